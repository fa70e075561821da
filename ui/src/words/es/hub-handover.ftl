## El registro de una obra (ho-), escrito por la central

ho-title = Registro de la obra: { $site }
ho-foot = { $site } · a { $when }
ho-page = Página { $page } de { $pages }
ho-made = Registro a { $when }, zona horaria { $zone }
ho-poured = Vertido
ho-pours = Vertidos
ho-steps = Peldaños previstos
ho-people = Anotado por
ho-photos = Fotos
ho-where = Posición
ho-overview = Todos los vertidos
ho-col-pour = Vertido
ho-col-began = Comienzo
ho-col-temps = Aire / hormigón
ho-col-now = Estado
ho-used = Qué se usó
ho-water-range = Agua por saco
ho-size = Ancho × fondo × alto
ho-now-strength = Resistencia hasta ahora, de prudente a media
ho-logged-by = Anotado por
ho-entered-by = { $name } (anotado por { $by })
ho-mixed = Amasadas
ho-water = Agua
ho-water-off = fuera de lo que dice el saco
ho-dose = { $name }: { $pct } del cemento
ho-times = Tiempos: calculados y reales
ho-col-what = Qué
ho-col-likely = Probable
ho-col-range = Margen (5 a 95 %)
ho-col-seen = Visto o hecho
ho-col-why = Qué decide
ho-from = desde { $when }
ho-curve = Resistencia según la edad: centro, y el margen de prudente a favorable
ho-curve-alt = Resistencia de { $name } según su edad. Los mismos números están en la tabla de abajo.
ho-readings = Tiempo y temperaturas
ho-wind = Viento
ho-by = Por
ho-happened = Qué ha pasado
ho-assumed = En qué se basan estos tiempos
ho-mix-assumed = No se eligió mezcla: se supuso hormigón corriente en sacos.
ho-basis = Aire según { $how }: { $n } valores del aire y { $c } { $c ->
    [one] medición
   *[other] mediciones
 } en el hormigón.
ho-until = Las mediciones llegan hasta { $when }; los tiempos posteriores se basan en un pronóstico o en los últimos días prolongados.
ho-learned = { $n ->
    [one] Se usó una observación de vertidos anteriores.
   *[other] Se usaron { $n } observaciones de vertidos anteriores.
 }
ho-corrected = { $n ->
    [0] Ninguna anotación de este vertido se cambió después.
    [one] Una anotación de este vertido se cambió después.
   *[other] { $n } anotaciones de este vertido se cambiaron después.
 }
ho-some = { $n } de { $all } fotos; todas están en el zip de fotos.
ho-photo-alt = Foto de { $name }, { $stage }, { $when }
ho-colours = Colores medidos
ho-colour-how = Medidos en fotos con una carta de referencia junto al hormigón; CIELAB con D65. dE es CIEDE2000 respecto al vertido con el que se comparan los demás.
ho-col-measured = Medido
ho-col-lab = Color
ho-col-doses = Pigmentos, sobre el cemento
ho-col-apart = Diferencia
ho-notes = Sobre este registro
ho-how = Las horas están en la zona horaria de la obra. Lo que se llama probable, y los márgenes, se calcularon con las temperaturas que tuvo el hormigón y con lo visto en vertidos anteriores; lo visto o hecho es lo que la gente anotó.
ho-changed = De { $entries } anotaciones, { $changes } cambian otras anteriores y { $back } retiran algo. Nada de lo anotado se borra nunca: cada versión anterior está en el archivo para otra central.
ho-conflicts = { $n ->
    [one] Un valor lo cambiaron dos personas sin verse; vale el primero hasta que alguien lo resuelva.
   *[other] { $n } valores los cambiaron dos personas sin verse; vale el primero hasta que alguien lo resuelva.
 }
ho-problems = { $n ->
    [one] Una anotación no se pudo usar.
   *[other] { $n } anotaciones no se pudieron usar.
 }
ho-care = Resistencias y tiempos están calculados, no ensayados. Sigue la ficha técnica del saco, las normas locales y, para todo lo estructural, pregunta a alguien con título de ingeniería.

ho-zip-gps = Estas son las fotos tal como llegaron, con las posiciones que llevan dentro.
ho-zip-no-gps = De estas copias de las fotos se quitaron las posiciones, y con ellas todas las notas del fabricante de la cámara. Las imágenes no se codificaron otra vez salvo que se diga abajo.
ho-zip-again = { $name }: codificada otra vez como JPEG sin sus notas, porque { $file } no se puede limpiar de otro modo.
ho-zip-cannot = { $name }: dejada fuera, porque de { $file } no se pueden quitar las posiciones en este ordenador.
ho-zip-away = { $name }: dejada fuera, porque { $file } aún no está en este ordenador o está dañada.
ho-copied = copiado de { $site }
