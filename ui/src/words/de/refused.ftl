## Warum der Hub etwas abgelehnt hat, und warum ein Eintrag nicht brauchbar war

refused-locked = Dieser Browser darf nicht hinein. Öffne die Adresse, die der Hub beim Start ausgab.
refused-revoked = Dieses Telefon wurde von der Liste genommen. Bitte die Person, die verwaltet, es wieder hinzuzufügen: Einstellungen, Telefone.
refused-role = Dieses Gerät liest hier nur. Wer verwaltet, kann das ändern: Einstellungen, Telefone.
refused-too_often = Zu viele Versuche. Warte eine Minute und versuche es dann noch einmal.
refused-missing = Hier ist nichts mit diesem Namen. Vielleicht wurde es zurückgenommen; geh zurück und wähle neu.
refused-too_large = Diese Datei ist größer, als der Hub annimmt.
refused-not_a_photo = { $value } ist kein Foto, das hier zu lesen ist.
refused-no_picture = Die Bildpunkte dieses Fotos sind hier nicht zu lesen. Speichere es als JPEG und füge es neu hinzu.
refused-broken_off = Die Verbindung ist abgerissen. Versuche es noch einmal.
refused-no_table = Das ist keine Tabelle, die zu lesen ist. Sie braucht eine Kopfzeile mit Zeit und Temperatur.
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
problem-unreadable = Ein Wert darin ist nicht zu lesen.
problem-bad_correction = Eine Änderung daran ist nicht zu lesen und blieb außen vor.
