## Die Einkaufsliste als Tabelle (CSV)

list-item = Was
list-unit = Einheit
list-exact = Wie gerechnet
list-sizes = Maße
list-bought = Gekauft
list-bags = Säcke
list-pieces = Stück
