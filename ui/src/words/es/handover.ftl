## Entregar (hand-), buscar (find-) y traer una obra (take-)

hand-title = Entregar
hand-count = { $pours ->
    [one] 1 vertido
   *[other] { $pours } vertidos
 }, { $entries ->
    [one] 1 anotación
   *[other] { $entries } anotaciones
 }, { $photos ->
    [one] 1 foto
   *[other] { $photos } fotos
 } ({ $size })
hand-record = El registro
hand-record-what = Cada vertido con sus horas, tiempo, mezcla, curva, fotos y avisos. Para leer, imprimir y conservar.
hand-pdf = Registro en PDF
hand-html = Registro en una página web
hand-csv = Tablas (CSV)
hand-photos = Fotos (zip)
hand-photos-what = Con nombre por peldaño, día y fase del trabajo.
hand-again = { $n ->
    [one] Una foto se codifica otra vez, porque de su formato no se pueden quitar las posiciones.
   *[other] { $n } fotos se codifican otra vez, porque de su formato no se pueden quitar las posiciones.
 }
hand-away = { $n ->
    [one] Una foto aún no está en la central y faltará.
   *[other] { $n } fotos aún no están en la central y faltarán.
 }
hand-hub = Para otra central
hand-hub-what = Todo lo anotado, con las fotos. Otra central lo recibe en Ajustes, «Traer una obra», tantas veces como quieras.
hand-zip = Obra con fotos (zip)
hand-jsonl = Solo anotaciones (líneas JSON)
hand-gps = Con posiciones
hand-gps-why = Apagado: fotos y anotaciones salen sin el lugar donde se tomaron, para que nadie sepa dónde vives o trabajas. Enciéndelo solo si quien lo recibe lo necesita; tiene que pedirlo un aparato responsable.
hand-copy = Usar en otra obra
hand-copy-what = El registro de una mezcla, un aditivo, un encofrado, un molde o una lista de revisión, copiado con una nota de dónde viene.
hand-copy-which = Qué
hand-copy-to = A
hand-copy-new = Una obra nueva
hand-copy-name = Nombre de la obra nueva
hand-copy-go = Copiar
hand-copied = Copiado a { $site }
hand-archive = Apartar esta obra
hand-archive-what = Sale de la lista de obras. No se borra nada, y una búsqueda la encuentra.
hand-unarchive = Recuperar esta obra
hand-archived = La obra se ha apartado
hand-unarchived = La obra está otra vez en la lista
hand-is-archived = Esta obra se apartó.

set-find = Buscar
    .what = Obras, vertidos, notas, mezclas, aditivos y personas, también en obras apartadas
find-words = Qué buscas
find-who = Anotado por
find-anybody = Cualquiera
find-kind = Clase
find-any-kind = Todo
find-none = No se encontró nada. Prueba con menos palabras o más cortas.
find-more = Hay más. Añade una palabra.
find-away = apartada
find-by = por { $name }

set-take = Traer una obra
    .what = Una obra que entregó otra central, en zip o en líneas JSON
take-file = Elegir el archivo
take-busy = Trayéndola. Deja esta página abierta.
take-done = Traído: { $events } anotaciones, { $photos } fotos.
take-cut = El archivo no está entero: falta una parte o está dañada. Lo que se pudo leer está aquí; pide el resto otra vez.
take-refused = { $n ->
    [one] Una anotación no se aceptó:
   *[other] { $n } anotaciones no se aceptaron:
 }
take-again = El mismo archivo se puede traer otra vez: nada se anota dos veces.

k-archive = Apartado
k-copied = De dónde viene una copia
k-entered = Quién lo anotó
