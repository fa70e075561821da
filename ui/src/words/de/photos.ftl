## Fotos: wohin sie gehören, nach Stufe und Phase.
stage-base = Unterbau
stage-form = Schalung
stage-mesh = Matte

photo-went = { $n ->
    [one] Foto: { $place }
   *[other] { $n } Fotos: { $place }
}
photo-went-many = an { $n } Stellen
photo-change = Ändern
photo-place = { $n ->
    [one] Wohin gehört dieses Foto?
   *[other] Wohin gehören diese { $n } Fotos?
}
photo-by-time = Nach der Aufnahmezeit
photo-by-log = Wie es das Protokoll ergibt
photo-nowhere = Keine Stufe
photo-file-as = Ablegen: { $place }
photo-placed = { $n ->
    [one] Foto: { $place }
   *[other] { $n } Fotos: { $place }
}
photo-record = Zeit, Notiz und Verlauf
photo-step = { $name }: vor dem Guss
clockwhy-activity = { $n } ihrer Fotos liegen Stunden neben allem, was eingetragen oder anders fotografiert wurde, und mit dieser Verschiebung genau darauf.

bar-photos = Fotos
board-step = { $name }: { $what }
board-lacks-base = vom Unterbau gibt es noch kein Foto
board-lacks-form = von der Schalung gibt es noch kein Foto
board-lacks-fresh = vom frischen Beton gibt es noch kein Foto
board-lacks-texture = von der Struktur gibt es noch kein Foto
board-lacks-form_off = seit dem Ausschalen gibt es noch kein Foto
board-lacks-dry = von der trockenen Stufe gibt es noch kein Foto
board-before-base = Nimm es auf, bevor die Schalung steht.
board-before-form = Nimm es auf, bevor der Beton hineinkommt.
board-before-fresh = Nimm es auf, bevor der Glanz weg ist.
board-before-texture = Nimm es auf, bevor die Folie darauf liegt.
board-before-form_off = Nimm es auf, bevor wieder abgedeckt wird.
board-before-dry = Nimm es bei gleichmäßigem Licht auf.
board-base = Unterbau
board-form = Schalung
board-fresh = Frisch
board-texture = Struktur
board-form_off = Schalung ab
board-dry = Trocken
board-missed = nicht aufgenommen
board-coming = kommt noch
board-hold = halten: auswählen
board-take = Jetzt aufnehmen
board-add = Dateien dazu
board-choose = Auswählen
board-chosen = { $n } gewählt
board-file = Ablegen
board-shift = Zeit schieben
board-shift-title = { $n ->
    [one] Zeit dieses Fotos verschieben
   *[other] Zeit von { $n } Fotos verschieben
}
board-hand = Übergeben
board-compare = Vergleichen
board-photos = { $name }: { $n ->
    [one] ein Foto
   *[other] { $n } Fotos
}
