## Weitergeben (hand-), Finden (find-) und eine Baustelle einlesen (take-)

hand-title = Weitergeben
hand-count = { $pours ->
    [one] 1 Guss
   *[other] { $pours } Güsse
 }, { $entries ->
    [one] 1 Eintrag
   *[other] { $entries } Einträge
 }, { $photos ->
    [one] 1 Foto
   *[other] { $photos } Fotos
 } ({ $size })
hand-record = Die Unterlagen
hand-record-what = Jeder Guss mit Zeiten, Wetter, Rezept, Kurve, Fotos und Warnungen. Zum Lesen, Drucken und Aufheben.
hand-pdf = Unterlagen als PDF
hand-html = Unterlagen als eine Webseite
hand-csv = Tabellen (CSV)
hand-photos = Fotos (zip)
hand-photos-what = Benannt nach Stufe, Tag und Phase der Arbeit.
hand-again = { $n ->
    [one] Ein Foto wird neu kodiert, weil sich Standorte aus seinem Format nicht entfernen lassen.
   *[other] { $n } Fotos werden neu kodiert, weil sich Standorte aus ihrem Format nicht entfernen lassen.
 }
hand-away = { $n ->
    [one] Ein Foto ist noch nicht auf dem Hub und wird fehlen.
   *[other] { $n } Fotos sind noch nicht auf dem Hub und werden fehlen.
 }
hand-hub = Für einen anderen Hub
hand-hub-what = Alles, was eingetragen wurde, mit den Fotos. Ein anderer Hub liest es unter Einstellungen, „Baustelle einlesen“, so oft du willst.
hand-zip = Baustelle mit Fotos (zip)
hand-jsonl = Nur Einträge (JSON-Zeilen)
hand-gps = Mit Standorten
hand-gps-why = Aus: Fotos und Einträge gehen ohne den Ort hinaus, an dem sie entstanden, damit niemand erfährt, wo du wohnst oder arbeitest. Nur an, wenn der Empfänger ihn braucht; fragen muss ein Gerät, das verwaltet.
hand-copy = Auf anderer Baustelle verwenden
hand-copy-what = Der Eintrag eines Rezepts, eines Zusatzes, einer Schalung, Matrize oder Prüfliste, kopiert mit einer Notiz, woher er stammt.
hand-copy-which = Was
hand-copy-to = Wohin
hand-copy-new = Eine neue Baustelle
hand-copy-name = Name der neuen Baustelle
hand-copy-go = Kopieren
hand-copied = Nach { $site } kopiert
hand-archive = Diese Baustelle weglegen
hand-archive-what = Sie verschwindet aus der Liste der Baustellen. Nichts wird gelöscht, und eine Suche findet sie.
hand-unarchive = Diese Baustelle zurückholen
hand-archived = Die Baustelle wurde weggelegt
hand-unarchived = Die Baustelle ist wieder in der Liste
hand-is-archived = Diese Baustelle wurde weggelegt.

set-find = Finden
    .what = Baustellen, Güsse, Notizen, Rezepte, Zusätze und Menschen, auch auf weggelegten Baustellen
find-words = Suchworte
find-who = Eingetragen von
find-anybody = Allen
find-kind = Art
find-any-kind = Alles
find-none = Nichts gefunden. Versuche weniger oder kürzere Worte.
find-more = Es gibt mehr. Füge ein Wort hinzu.
find-away = weggelegt
find-by = von { $name }

set-take = Baustelle einlesen
    .what = Eine Baustelle, die ein anderer Hub weitergegeben hat, als zip oder als JSON-Zeilen
take-file = Datei wählen
take-busy = Wird eingelesen. Lass diese Seite offen.
take-done = Eingelesen: { $events } Einträge, { $photos } Fotos.
take-cut = Die Datei ist nicht ganz: Ein Teil fehlt oder ist beschädigt. Was lesbar war, ist hier; lass dir den Rest noch einmal geben.
take-refused = { $n ->
    [one] Ein Eintrag wurde nicht angenommen:
   *[other] { $n } Einträge wurden nicht angenommen:
 }
take-again = Dieselbe Datei darf noch einmal eingelesen werden: Nichts wird doppelt eingetragen.

k-archive = Weglegen
k-copied = Woher eine Kopie stammt
k-entered = Wer es eingetragen hat
