## Fotos: dónde van, por peldaño y fase.
stage-base = Base
stage-form = Encofrado
stage-mesh = Malla

photo-went = { $n ->
    [one] Foto: { $place }
   *[other] { $n } fotos: { $place }
}
photo-went-many = en { $n } sitios
photo-change = Cambiar
photo-place = { $n ->
    [one] ¿Dónde va esta foto?
   *[other] ¿Dónde van estas { $n } fotos?
}
photo-by-time = Según su hora
photo-by-log = Según el registro
photo-nowhere = Ningún peldaño
photo-file-as = Archivar: { $place }
photo-placed = { $n ->
    [one] Foto: { $place }
   *[other] { $n } fotos: { $place }
}
photo-record = Hora, nota e historial
photo-step = { $name }: antes del vertido
clockwhy-activity = { $n } de sus fotos caen a horas de distancia de todo lo anotado o fotografiado con otra cámara, y con este cambio coinciden.

bar-photos = Fotos
board-step = { $name }: { $what }
board-lacks-base = aún no hay foto de la base
board-lacks-form = aún no hay foto del encofrado
board-lacks-fresh = aún no hay foto del hormigón fresco
board-lacks-texture = aún no hay foto de la textura
board-lacks-form_off = aún no hay foto desde que se desencofró
board-lacks-dry = aún no hay foto del peldaño seco
board-before-base = Tómala antes de montar el encofrado.
board-before-form = Tómala antes de verter el hormigón.
board-before-fresh = Tómala antes de que se vaya el brillo.
board-before-texture = Tómala antes de poner el plástico.
board-before-form_off = Tómala antes de volver a cubrir.
board-before-dry = Tómala con luz uniforme.
board-base = Base
board-form = Encofrado
board-fresh = Fresco
board-texture = Textura
board-form_off = Sin encofrado
board-dry = Seco
board-missed = no se tomó
board-coming = aún por venir
board-hold = mantener: elegir
board-take = Tomar la foto
board-add = Añadir
board-choose = Elegir
board-chosen = { $n } elegidas
board-file = Archivar
board-shift = Mover hora
board-shift-title = { $n ->
    [one] Mover la hora de esta foto
   *[other] Mover la hora de { $n } fotos
}
board-hand = Entregar
board-compare = Comparar
board-photos = { $name }: { $n ->
    [one] una foto
   *[other] { $n } fotos
}
