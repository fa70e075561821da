## Warum der Hub etwas abgelehnt hat, und warum ein Eintrag nicht brauchbar war

refused-locked = Dieser Browser darf nicht hinein. Öffne die Adresse, die der Hub beim Start ausgab.
refused-revoked = Dieses Telefon wurde von der Liste genommen. Bitte die Person, die verwaltet, es wieder hinzuzufügen: Einstellungen, Telefone.
refused-role = Dieses Gerät liest hier nur. Wer verwaltet, kann das ändern: Einstellungen, Telefone.
refused-too_often = Zu viele Versuche. Warte eine Minute und versuche es dann noch einmal.
refused-missing = Hier ist nichts mit diesem Namen. Vielleicht wurde es zurückgenommen; geh zurück und wähle neu.
refused-too_large = Diese Datei ist größer, als der Hub annimmt.
refused-not_a_photo = { $value } ist kein Foto, das hier zu lesen ist.
refused-no_picture = Die Bildpunkte dieses Fotos sind hier nicht zu lesen. Speichere es als JPEG und füge es neu hinzu.
refused-photo_damaged = Die Datei dieses Fotos ist auf dem Hub beschädigt. Sende dasselbe Foto noch einmal von dort, wo es aufgenommen wurde; der Eintrag bleibt.
refused-photo_missing = Die Datei dieses Fotos ist nicht mehr auf dem Hub. Sende dasselbe Foto noch einmal von dort, wo es aufgenommen wurde; der Eintrag bleibt.
refused-photo_awaited = Dieses Foto ist noch nicht angekommen: Das Telefon, das es aufnahm, sendet es, sobald es den Hub erreicht.
refused-other_photo = Das ist ein anderes Bild als das, das auf dem Hub beschädigt ist. Wähle dieselbe Datei, wie die Kamera sie gemacht hat.
refused-broken_off = Die Verbindung ist abgerissen. Versuche es noch einmal.
refused-no_table = Das ist keine Tabelle, die zu lesen ist. Sie braucht eine Kopfzeile mit Zeit und Temperatur.
refused-table_long = Diese Tabelle ist zu lang. Kürze sie auf die Monate, um die es geht.
refused-table_order = Sag, wie das Datum geschrieben ist.
refused-table_columns = Sag, was die Spalten sind und in welchen Einheiten.
refused-not_a_copy = Diese Datei ist keine vollständige Kopie, die ein Telefon gespeichert oder ein Hub übergeben hat. Wähle die Datei noch einmal dort, wo sie entstand.
refused-closed = Das ist gerade geschlossen. Öffne es am Hub neu.
refused-outside = Das Rechteck liegt außerhalb des Fotos. Markiere es neu.
refused-no_colour = { $value ->
    [reference_clipped] Die Farbkarte ist überbelichtet, ihre Farbe im Foto ist deshalb nicht bekannt. Nimm das Foto noch einmal auf, dunkler: Tippe vor dem Auslösen auf die Karte.
    [reference_dark] Die Farbkarte ist zu dunkel zum Messen. Nimm das Foto bei mehr Licht noch einmal auf.
    [reference_too_small] Das Rechteck auf der Farbkarte ist zu klein. Geh näher heran oder markiere mehr von der Karte.
    [reference_colour] Die Farbe der Karte ist nicht brauchbar. Sie muss hell oder grau sein; prüfe ihre Werte L*, a*, b*.
    [patch_clipped] Die Hälfte der Fläche oder mehr ist überbelichtet oder schwarz. Nimm das Foto noch einmal auf, mit gut belichtetem Beton.
    [patch_too_small] Die Fläche ist zu klein. Geh näher heran oder markiere mehr vom Beton.
   *[other] Dort lässt sich keine Farbe messen. Markiere sauberen Beton, und nur die Karte.
 }
refused-disk_full = Der Speicher des Hubs ist voll. Schaffe dort Platz und versuche es noch einmal; nichts Gespeichertes ist verloren.
refused-locked_file = Ein anderes Programm hält die Daten des Hubs fest. Schließe es und versuche es noch einmal.
refused-store = Der Hub kann nicht schreiben. Sieh dir die Meldungen des Hubs an.
refused-fault = Der Hub ist an einem eigenen Fehler gescheitert. Was gespeichert war, ist sicher; bitte melde, was du getan hast.
refused-host = Unter dieser Adresse kennt der Hub sich nicht. Öffne die Adresse, die er ausgab.
refused-origin = Eine Seite von anderswo hat danach gefragt. Öffne stattdessen die Seite des Hubs.

problem-missing_target = Er ändert einen Eintrag, der noch nicht hier ist.
problem-missing_reference = Er verweist auf einen Eintrag, der noch nicht hier ist.
problem-unknown_zone = Seine Zeitzone ist hier nicht bekannt; es gilt UTC.
problem-unknown_kind = Diese Version kennt diese Art von Eintrag nicht; er wird behalten und weitergegeben.
problem-time_outside = Dieser Eintrag hat eine Zeit außerhalb des Kalenders: korrigiere ihn oder nimm ihn zurück.
problem-clock_outside = Die Uhr des Geräts, das dies eingetragen hat, lag außerhalb des Kalenders: sag, wann es eingetragen wurde, oder nimm es zurück.
problem-unreadable = Ein Wert darin ist nicht zu lesen.
problem-bad_correction = Eine Änderung daran ist nicht zu lesen und blieb außen vor.

refused-unreadable = Der Hub kann nicht lesen, was diese Seite geschickt hat. Lade die Seite neu.
refused-method = Das macht der Hub hier nicht. Lade die Seite neu.
refused-name = Diesen Namen kann es nicht geben. Gib einen anderen ein.
refused-too_many = Zu viele Fotos sind unterwegs. Warte, bis einige angekommen sind.
refused-other_device = Das gehört einem anderen Gerät.
refused-subscription = Der Push-Dienst dieses Browsers ist nicht brauchbar. Schalte die Erinnerungen auf diesem Gerät aus und wieder ein.
refused-own = Das ist das Gerät, das du gerade benutzt: Niemand soll sich aus Versehen aussperren. Tu es vom Gerät einer anderen Person, die verwaltet.
refused-code = Gerade fragt kein Telefon mit diesem Code. Zeigt das Telefon einen anderen, drücke „Nicht gleich“; sonst beginne neu.
refused-secret = Das ist nicht der Code, den der Hub jetzt zeigt. Scanne diesen.
refused-used = Dieser Code wurde schon benutzt. Warst du das nicht, sag es der Person, die verwaltet; beginne dann neu am Bildschirm des Hubs.
refused-expired = Dieser Code gilt nicht mehr: Er hält einige Minuten. Drücke am Bildschirm des Hubs „Telefon hinzufügen“ und scanne den neuen Code.
refused-refused = Dieses Telefon wurde nicht hinzugefügt. Beginne neu am Bildschirm des Hubs: Einstellungen, Telefone, „Telefon hinzufügen“.
refused-nonce = Die Seite des Telefons hat etwas Seltsames geschickt. Scanne den Code noch einmal.
refused-offset = Ein Teil dieses Fotos ist schon da. Von dort geht es weiter.
refused-id = Diesen Namen eines Fotos kann es nicht geben. Füge das Foto neu hinzu.
refused-size = In dieser Größe gibt es kein Bild. Lade die Seite neu.

## Warum ein Wert nicht sein kann
misfit-out_of_range = Muss zwischen { $min } und { $max } liegen.
misfit-missing = Fehlt.
misfit-unknown_field = Ist hier nicht bekannt. Ein neuerer Hub kennt es vielleicht.
misfit-unknown_word = Ist keine der Möglichkeiten.
misfit-not_text = Muss Text sein.
misfit-not_a_number = Muss eine Zahl sein.
misfit-not_whole = Muss eine ganze Zahl sein.
misfit-not_yes_or_no = Muss ja oder nein sein.
misfit-not_a_time = Muss eine Zeit sein.
misfit-not_a_list = Muss eine Liste sein.
misfit-not_an_object = Ist nicht zu lesen.
misfit-not_a_colour = Muss L* von 0 bis 100 sein, a* und b* von -200 bis 200.
misfit-not_a_rectangle = Markiere ein Rechteck innerhalb des Fotos.
misfit-not_a_date = Muss ein Datum sein.
misfit-not_a_hash = Ist nicht zu lesen. Füge das Foto neu hinzu.
misfit-not_an_id = Ist nicht zu lesen. Wähle neu.
misfit-unknown_zone = Ist keine bekannte Zeitzone. Wähle eine wie Europe/Oslo oder America/Denver.
misfit-empty = Darf nicht leer sein.
misfit-too_long = Ist zu lang: höchstens { $max } Zeichen. Kürze es.
misfit-too_deep = Enthält Listen, die mehr als { $max }-fach ineinander stehen. Schreibe es flacher.
misfit-too_many = Sind zu viele: höchstens { $max }.
misfit-control_characters = Enthält Zeichen, die niemand tippt. Tippe es neu.
misfit-below_other = Darf nicht unter „{ $than }“ ({ $min }) liegen.
misfit-not_below_other = Muss unter „{ $than }“ ({ $max }) liegen. Lass es leer, wenn es nicht bekannt ist.
misfit-pour_length = Der Guss muss nach seinem Beginn enden, höchstens { $max } später. Prüfe beide Zeiten.
misfit-bag_density = Passt nicht zum Gewicht des Sacks: In frischem Beton stecken { $min } bis { $max } Trockenmischung.
misfit-short_day = Muss mindestens eine Stunde nach Arbeitsbeginn liegen.
misfit-no_workday = Ein Tag der Woche muss zum Arbeiten bleiben.
misfit-nothing_read = Gib mindestens einen Wert an.
misfit-pour_needed = Sag, in welchem Guss dieser Beton gemessen wurde.
misfit-result_needed = Gib das Ergebnis der Prüfung an.
misfit-time_needed = Sag, wann wieder gefragt werden soll.
misfit-nothing_changed = Nichts ist geändert.
misfit-id_taken = Ein anderer Eintrag heißt schon so. Trag es neu ein.
misfit-site_is_not_id = Passt nicht zu seiner Baustelle. Lege die Baustelle neu an.
misfit-unknown_site = Diese Baustelle ist nicht auf dem Hub. Wähle sie neu.
misfit-keeper_only = Das darf nur eintragen, wer verwaltet. Frag dort.
misfit-unreadable = Ist nicht zu lesen.
misfit-not_a_socket = Muss so aussehen: 0.0.0.0:8478 (jede Adresse dieses Rechners) oder 192.168.1.5:8478.
misfit-not_an_address = Ist keine Adresse im Netz. Schreib sie so: https://example.org/hook.
misfit-password_in_address = Namen und Passwörter in einer Adresse würden andere sehen. Lass sie weg.
misfit-place_missing = Braucht {"{lat}"} und {"{lon}"}, wo der Ort hinkommt.
misfit-not_a_time_of_day = Muss von 00:00 bis 23:59 sein.
misfit-not_encrypted = Passwort und Mail wären unterwegs zu lesen. Wähle STARTTLS oder TLS; ohne geht es nur zu einem Server auf diesem Rechner.
misfit-not_a_mail_address = Ist keine Mailadresse. Schreib sie so: site@example.org, mehrere mit Komma dazwischen.
f-other = Ein Wert
f-points = Punkte der Liste
f-days_off = Freie Tage
f-references = Farbkarten
f-rows = Stunden mit Wetter
f-email_from = Absender der Mail
f-email_to = Empfänger der Mail
f-email_security = Verschlüsselung der Mail
f-webhook_url = Adresse des Webhooks
f-ahead_min = Vorher sagen
f-rules = Uhrzeiten
f-address = Adresse der Vorhersage
f-at = Adresse für Telefone
f-q = Gesucht
