## Qué ha pasado: nombres cortos en los sitios de la hoja, y cómo se anota.
did-thumb_deep = se hunde
did-thumb_6mm = 6 mm
did-thumb_faint = huella leve
did-thumb_none = sin marca
did-scratch_deep = surco y granos
did-scratch_faint = línea que se nota
did-scratch_none = solo raya metálica
did-head-thumb = Pulgar apretado
did-ask-thumb = ¿hasta dónde?
did-head-scratch = Rayado con un clavo
did-ask-scratch = ¿qué deja?
did-head-or = O bien
did-head-rare = Menos frecuente
did-earlier = Cinco minutos antes
did-later = Cinco minutos después
did-words = Palabras
did-photos = { $n ->
    [one] { $n } foto
   *[other] { $n } fotos
}
did-choose = ¿Qué ha pasado?
did-log = Anotar: { $what }, { $when }
did-open = Anotar qué ha pasado
did-thumb = pulgar: { $what }
did-scratch = clavo: { $what }
## Fields for gloves.
num-less = { $what }: menos
num-more = { $what }: más
wind-moves = El viento mueve
wind-calm = nada
wind-leaves = hojas
wind-twigs = ramitas
wind-trees = árboles pequeños
