## Die Unterlagen einer Baustelle (ho-), vom Hub geschrieben

ho-title = Unterlagen der Baustelle: { $site }
ho-foot = { $site } · Stand { $when }
ho-page = Seite { $page } von { $pages }
ho-made = Stand { $when }, Zeitzone { $zone }
ho-poured = Betoniert
ho-pours = Güsse
ho-steps = Geplante Stufen
ho-people = Eingetragen von
ho-photos = Fotos
ho-where = Standort
ho-overview = Alle Güsse
ho-col-pour = Guss
ho-col-began = Beginn
ho-col-temps = Luft / Beton
ho-col-now = Stand
ho-used = Was verwendet wurde
ho-water-range = Wasser je Sack
ho-size = Breite × Tiefe × Höhe
ho-now-strength = Festigkeit bis jetzt, vorsichtig bis mittel
ho-logged-by = Eingetragen von
ho-entered-by = { $name } (eingetragen von { $by })
ho-mixed = Mischungen
ho-water = Wasser
ho-water-off = außerhalb des Bereichs, den der Sack nennt
ho-dose = { $name }: { $pct } vom Zement
ho-times = Zeiten: gerechnet und wirklich
ho-col-what = Was
ho-col-likely = Wahrscheinlich
ho-col-range = Bereich (5 bis 95 %)
ho-col-seen = Gesehen oder getan
ho-col-why = Was entscheidet
ho-from = ab { $when }
ho-curve = Festigkeit über dem Alter: Mitte, und der Bereich von vorsichtig bis günstig
ho-curve-alt = Festigkeit von { $name } über dem Alter. Dieselben Zahlen stehen in der Tabelle darunter.
ho-readings = Wetter und Temperaturen
ho-wind = Wind
ho-by = Von
ho-happened = Was geschah
ho-assumed = Worauf diese Zeiten beruhen
ho-mix-assumed = Es war kein Rezept gewählt: Gerechnet wurde mit einfachem Sackbeton.
ho-basis = Luft nach { $how }: { $n } Werte der Luft und { $c } { $c ->
    [one] Messung
   *[other] Messungen
 } im Beton.
ho-until = Messungen reichen bis { $when }; spätere Zeiten beruhen auf einer Vorhersage oder den fortgeführten letzten Tagen.
ho-learned = { $n ->
    [one] Eine Beobachtung früherer Güsse wurde verwendet.
   *[other] { $n } Beobachtungen früherer Güsse wurden verwendet.
 }
ho-corrected = { $n ->
    [0] Kein Eintrag dieses Gusses wurde nachträglich geändert.
    [one] Ein Eintrag dieses Gusses wurde nachträglich geändert.
   *[other] { $n } Einträge dieses Gusses wurden nachträglich geändert.
 }
ho-some = { $n } von { $all } Fotos; alle sind im zip der Fotos.
ho-photo-alt = Foto von { $name }, { $stage }, { $when }
ho-colours = Gemessene Farben
ho-colour-how = Gemessen in Fotos mit einer Referenzkarte neben dem Beton; CIELAB unter D65. dE ist CIEDE2000 gegen den Guss, an dem die anderen gemessen werden.
ho-col-measured = Gemessen
ho-col-lab = Farbe
ho-col-doses = Pigmente, vom Zement
ho-col-apart = Unterschied
ho-notes = Zu diesen Unterlagen
ho-how = Die Zeiten stehen in der Zeitzone der Baustelle. Was wahrscheinlich heißt, und die Bereiche, wurden aus den Temperaturen gerechnet, die der Beton hatte, zusammen mit dem, was bei früheren Güssen gesehen wurde; was gesehen oder getan heißt, haben Menschen eingetragen.
ho-changed = Von { $entries } Einträgen ändern { $changes } frühere und { $back } nehmen etwas zurück. Nichts Eingetragenes wird je gelöscht: Jede frühere Fassung ist in der Datei für einen anderen Hub.
ho-conflicts = { $n ->
    [one] Ein Wert wurde von zwei Personen geändert, die nichts voneinander wussten; bis es geklärt ist, gilt der erste.
   *[other] { $n } Werte wurden von zwei Personen geändert, die nichts voneinander wussten; bis es geklärt ist, gilt der erste.
 }
ho-problems = { $n ->
    [one] Ein Eintrag war nicht brauchbar.
   *[other] { $n } Einträge waren nicht brauchbar.
 }
ho-care = Festigkeiten und Zeiten sind gerechnet, nicht geprüft. Halte dich an das Datenblatt des Sackbetons und die örtlichen Vorschriften; bei allem, was tragen muss, frage eine Fachperson für Tragwerksplanung.

ho-zip-gps = Das sind die Fotos, wie sie kamen, mit den Standorten darin.
ho-zip-no-gps = Aus diesen Kopien der Fotos wurden die Standorte entfernt und mit ihnen alle Notizen des Kameraherstellers. Die Bilder wurden nicht neu kodiert, wenn es unten nicht steht.
ho-zip-again = { $name }: neu kodiert als JPEG ohne Notizen, weil sich { $file } anders nicht bereinigen lässt.
ho-zip-cannot = { $name }: weggelassen, weil sich Standorte auf diesem Computer nicht aus { $file } entfernen lassen.
ho-zip-away = { $name }: weggelassen, weil { $file } noch nicht auf diesem Computer oder beschädigt ist.
ho-copied = kopiert von { $site }
