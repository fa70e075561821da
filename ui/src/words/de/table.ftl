## Tabellen von Loggern: tab-, notable- warum nichts zu nehmen ist, line- was an einer Zeile
## nicht stimmt, order- von Daten, measure- was eine Spalte ist
tab-title = Eine Tabelle
tab-reading = Die Datei wird gelesen.
tab-rows = { $n ->
    [one] Eine Zeile
   *[other] { $n } Zeilen
 }
tab-column = Spalte { $n }
tab-time = Wann
tab-date = Datum, oder Datum und Uhrzeit
tab-clock = Uhrzeit
tab-same = In derselben Spalte
tab-order = Wie das Datum geschrieben ist
tab-choose = Wählen
tab-asked = Diese Daten lassen sich verschieden lesen. Sag, was stimmt.
tab-zone = Uhr des Loggers
tab-zone-site = Wie die Baustelle ({ $tz })
tab-decimal = Dezimalzeichen
tab-values = Was jede Spalte ist
tab-confirm = Vorschlag nach den Überschriften. Prüfe jede: Beton, der für Luft gilt, gibt falsche Zeiten.
tab-not = Nicht nehmen
tab-unit = Einheit von { $column }
tab-pour = Im Beton von
tab-from-until = { $from } bis { $until }
tab-values-n = { $n ->
    [one] Ein Wert wird behalten
   *[other] { $n } Zeitpunkte werden behalten
 }
tab-together = dichtere Werte über { $n } min gemittelt
tab-odd = { $n ->
    [one] Eine Zeile war nicht zu lesen
   *[other] { $n } Zeilen waren nicht zu lesen
 }
tab-take = { $n ->
    [0] Eintragen
   *[other] Stimmt so: { $n } eintragen
 }
tab-said = { $n ->
    [one] Ein Wert ist eingetragen.
   *[other] { $n } Werte sind eingetragen.
 }
notable-too_long = Diese Datei ist länger als 8 MB. Kürze sie auf die Monate, um die es geht.
notable-no_rows = Keine Zeile mit Zeit und Zahl gefunden. Eine Tabelle hat eine Zeile je Zeitpunkt, die Zellen durch Komma, Strichpunkt oder Tabulator getrennt.
notable-order_needed = Sag, wie das Datum geschrieben ist.
notable-columns_needed = Sag von wenigstens einer Spalte, was sie ist.
notable-wrong_unit = Diese Einheit gehört nicht zu dem, was die Spalte misst.
notable-nothing_read = So ist keine Zeile zu lesen. Prüfe Reihenfolge des Datums, Dezimalzeichen und Spalten.
notable-too_many_rows = Diese Tabelle ist länger als ein Jahr von Stunden. Kürze sie auf die Monate, um die es geht.
line-no_time = Zeile { $line }: „{ $text }“ ist keine Zeit
line-skipped_time = Zeile { $line }: Die Uhren überspringen { $text }
line-no_number = Zeile { $line }: „{ $text }“ ist keine Zahl
line-out_of_range = Zeile { $line }: { $text } kann nicht sein
line-same_time = Zeile { $line }: { $text } steht zweimal da, mit anderen Werten; der erste blieb
order-ymd = Jahr, Monat, Tag
order-dmy = Tag, Monat, Jahr
order-mdy = Monat, Tag, Jahr
order-seconds = Sekunden seit 1970
order-millis = Millisekunden seit 1970
measure-air = Luft
measure-rh = Feuchte
measure-wind = Wind
measure-rain = Regen
measure-fresh = Beton beim Einbau
measure-edge = Beton, Kante
measure-middle = Beton, halbe Tiefe
measure-top = Beton, oben
