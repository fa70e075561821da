## Palabras de la aplicación, español. Glosario, una palabra por cosa:
## bleed = exudar, bleed water = agua de exudación, bleed sheen = brillo de agua, texture
## window = ventana de textura, liner = molde (molde de textura), relief = relieve, form =
## encofrado, strip / form off = desencofrar, initial/final set = inicio/fin de fraguado,
## green = verde (hormigón verde), dress = repasar, screed = enrasar, cure = curado, cover =
## cubrir, seal = sellar, stain = teñir, pour = vertido, batch = amasada, mix = mezcla,
## additive = aditivo, pigment = pigmento, riser = contrahuella, going / tread = huella,
## flight = escalera, step = peldaño, mesh = malla, aggregate = árido, site = obra,
## reading = medición, observation = observación, maturity = madurez, hub = central.

m-sheen_gone = Brillo de agua ido
    .now = El brillo de agua ya debería haberse ido
    .next = fin del brillo de agua
    .not = alisar o dar textura mientras haya agua
    .ask = mirar si el brillo de agua se ha ido
    .care = No metas el agua de exudación en la superficie: deja una piel débil que suelta polvo.
m-texture = Ventana de textura
    .now = Imprime la textura ahora
    .next = ventana de textura
    .not = imprimir la textura
    .ask = imprimir la textura
    .care = El hormigón fresco quema la piel. Guantes, botas, manga larga; lava las salpicaduras enseguida.
m-initial_set = Inicio de fraguado
    .now = Empieza a fraguar
    .next = inicio de fraguado
    .not = tocar la superficie
    .ask = inicio de fraguado
    .care = Deja en paz la superficie y el encofrado mientras fragua.
m-final_set = Fin de fraguado
    .now = Fraguado
    .next = fin de fraguado
    .not = golpear el encofrado
    .ask = fin de fraguado
    .care = Fraguado no es resistente: todavía lo sostiene el encofrado.
m-form_off = Se puede desencofrar
    .now = Ya se puede desencofrar
    .next = desencofrar
    .not = desencofrar
    .ask = desencofrar
    .care = Demasiado pronto se rompen los bordes y el relieve. Un encofrado largo se levanta entre dos; si se pega, para, golpea suave y espera.
m-dress = Verde: repasar los bordes
    .now = Repasa los bordes ahora
    .next = repasar los bordes
    .not = repasar los bordes
    .ask = repasar los bordes
    .care = Lijar hormigón seco suelta polvo de sílice: mantenlo mojado, usa mascarilla P100 o FFP3 y gafas.
m-next_step = Siguiente peldaño encima
    .now = El siguiente peldaño ya puede ir encima
    .next = siguiente peldaño encima
    .not = verter encima
    .ask = verter el siguiente peldaño encima
    .care = El peldaño de abajo carga con el encofrado, el hormigón fresco y contigo. Sigue la ficha técnica del saco y las normas locales.
m-foot = Paso ligero
    .now = Se puede pisar
    .next = paso ligero
    .not = pisarlo
    .ask = pisarlo
    .care = Solo paso ligero: sin carretilla, sin dejar caer herramientas, cuidado con los bordes.
m-full_use = Uso pleno
    .now = En uso pleno
    .next = uso pleno
    .not = cargarlo
    .ask = darle uso pleno
    .care = Para todo lo estructural, pregunta a alguien con título de ingeniería.
m-curing_ends = Fin del curado
    .now = El curado puede terminar
    .next = fin del curado
    .not = dejar que se seque
    .ask = terminar el curado
    .care = Hasta entonces, húmedo y cubierto: lo que se seca ahora nunca gana su resistencia.
m-seal = Listo para teñir o sellar
    .now = Tiñe o sella tras la prueba del plástico seco
    .next = teñir o sellar
    .not = teñirlo o sellarlo
    .ask = hacer la prueba del plástico, luego teñir o sellar
    .care = Pega encima un plástico durante un día: si debajo está oscuro o mojado, espera. Sigue la ficha técnica del producto.

may-done = hecho
may-now = ahora
may-likely = probablemente ya
may-maybe = quizá: prueba con la mano
may-later = todavía no
may-passed = la ventana se ha cerrado
may-never = fuera de alcance con este pronóstico

phase-fresh = Fresco: déjalo en paz
    .short = fresco
phase-texture_by_touch = Quizá toma textura: decide el pulgar
    .short = quizá toma textura
phase-texture = Ahora toma la textura
    .short = toma textura
phase-setting = Fragua: no lo toques
    .short = fragua
phase-form_off = Ya se puede desencofrar
    .short = se puede desencofrar
phase-green = Verde: cuida los bordes
    .short = verde
phase-curing = Curado: mantenlo húmedo
    .short = curado
phase-usable = En uso pleno
    .short = en uso
phase-done = Terminado
    .short = terminado
phase-unknown = Aún sin tiempos
    .short = aún sin tiempos

notyet-no_temperature = No se conoce ninguna temperatura. Añade una medición del aire y aparecerán los tiempos.
notyet-impossible = Un valor de este vertido no puede ser. Revisa temperaturas, mezcla y horas.
notyet-starts_later = Su comienzo está en el futuro: previsto, o una fecha equivocada. Hasta entonces no se calcula nada.

why-bleed_against_evaporation = El agua de exudación se ha secado más deprisa de lo que sube
why-age = Edad suficiente: { $hours } h a { $ref }
why-strength = Resistencia suficiente: { $mpa } { $place }
why-share = { $pct } de la resistencia especificada a 28 días
why-warm_hours = { $hours } h de aire a { $temp } o más; las horas más frías cuentan menos
why-calendar_days = { $days } { $days ->
    [one] día
   *[other] días
 } de calendario
why-curing_table = Tabla de curado (DIN 1045-3): { $days } { $days ->
    [one] día
   *[other] días
 }
why-handbook = Al lado, según el manual: { $days } días a { $temp } (NHBC)
why-load = Al lado, según su carga: { $mpa } en el borde
why-freely = Pisar sin cuidado: { $mpa } en la cara superior; hasta entonces, con suela blanda y sin pisar los bordes
why-sheet_test = Prueba del plástico seco, hecha por ti
why-observed = Visto en la obra
why-learned_here = Lo que hizo esta mezcla aquí en peldaños anteriores
why-after = Antes: { $milestone }
why-governs = decide
why-met = cumplido { $when }
why-will = se cumplirá { $when }
why-open = no se cumple con este pronóstico

place-edge = en el borde más frío
place-middle = a media profundidad
place-top = arriba

warn-frost_before_strength = { $seen ->
    [true] Helada ({ $when }) cuando solo tenía { $mpa }: puede estar dañado. Golpéalo y busca desconchones antes de fiarte.
   *[false] Se espera helada ({ $when }) cuando solo tendrá { $mpa }. Cúbrelo con mantas antes de que anochezca.
 }
warn-too_much_water = Más agua de la que admite el saco: cerca de { $loss } menos de resistencia. Los tiempos de aquí ya lo tienen en cuenta.
warn-too_little_water = Menos agua de la que admite el saco: seco y difícil de compactar. Busca coqueras al desencofrar.
warn-dries_fast = La superficie se seca a { $rate }: { $risk ->
    [act] es probable que se agriete. Da sombra, corta el viento, rocía o cubre enseguida.
   *[other] vigílala. Ten a mano sombra, cortavientos y agua pulverizada.
 }
warn-short_window = La ventana de textura es corta, unos { $minutes } min. Ten listos molde, pisón y manos antes de que se abra.
warn-rain_before_set = Lluvia ({ $when }), antes de fraguar: busca una piel lavada y blanda.
warn-hot = Llega a { $temp }: al final, cerca de { $loss } menos de resistencia. Dale sombra y mantenlo mojado.
warn-cold_placing = Colocado a { $temp }: demasiado frío para hormigón fresco. Todo tarda más; mantenlo cubierto.
warn-pigment_high = El pigmento es el { $pct } del cemento. Por encima de una décima parte debilita el hormigón y apenas colorea más.
warn-improvised = Lleva algo que no es para hormigón: estos tiempos son menos seguros. Prueba con la mano.
warn-stripped_early = Se desencofró con unos { $mpa }: antes de tiempo. Aparta manos y pies de los bordes.
warn-walked_early = Se pisó antes de tiempo: mira los bordes y la superficie.
warn-set_changed = Lleva retardante o acelerante: donde difieran, valen los tiempos del fabricante.

seen-sheen_gone = Brillo ido
seen-thumb_deep = El pulgar se hunde
seen-thumb_mark = El pulgar deja marca, sin anotar la profundidad
seen-thumb_6mm = El pulgar se hunde unos 6 mm
seen-thumb_faint = El pulgar deja una huella leve
seen-thumb_none = El pulgar no deja marca
seen-textured = Textura impresa
seen-stripped_clean = Encofrado fuera, limpio
seen-stripped_stuck = Encofrado fuera, se pegó o rompió
seen-scratch_deep = El clavo abre un surco y se sueltan granos
seen-scratch_faint = El clavo deja una línea que se nota al tacto
seen-scratch_none = El clavo solo deja una marca de metal
seen-edge_damage = Borde dañado
seen-cracked = Grieta
seen-dressed_easily = Repasado, fácil
seen-dressed_hard = Repasado, costoso
seen-wetted = Mojado
seen-covered = Cubierto
seen-uncovered = Destapado
seen-shaded = Sombra o abrigo
seen-rain = Lluvia
seen-frost = Helada
seen-walked = Pisado
seen-curing_ended = Curado terminado
seen-sealed = Teñido o sellado
seen-strength = Ensayo de rotura
seen-note = Nota

air-readings = tus mediciones
air-hourly = un pronóstico por horas o un registrador
air-day_range = la mínima y la máxima de cada día
air-carried_on = los últimos días, prolongados

ts-exif_offset = hora de la cámara, con su zona horaria
ts-exif_site_zone = hora de la cámara, leída en la zona horaria de la obra
ts-other_date = otra fecha del archivo
ts-arrival = sin hora en el archivo: cuando llegó

risk-low = bajo
risk-caution = cuidado
risk-act = actúa ya

sky-sun = Sol
sky-broken = Algo nublado
sky-overcast = Cubierto
sky-shade = Sombra

stage-prepare = Antes del vertido
stage-fresh = Fresco
stage-texture = Textura
stage-setting = Fraguado
stage-form_off = Desencofrado
stage-green = Verde
stage-curing = Curado
stage-usable = En uso
stage-done = Terminado

what-created = anotado
what-corrected = cambiado
what-retracted = retirado
what-restored = recuperado

## Registros y campos
k-site = Obra
k-flight = Escalera
k-step = Peldaño
k-mix = Mezcla
k-additive = Aditivo
k-form = Encofrado
k-liner = Molde
k-pour = Vertido
k-batch = Amasada
k-reading = Medición
k-forecast = Pronóstico
k-observation = Observación
k-photo = Foto
k-hourly = Valores por hora
k-unlearn = Lección olvidada
k-mark = Respuesta a un aviso
k-correction = Cambio
k-retraction = Retirada

kk-flight = Escaleras
kk-step = Peldaños
kk-mix = Mezclas
kk-additive = Aditivos
kk-form = Encofrados
kk-liner = Moldes

add-flight = Añadir una escalera
add-step = Añadir un peldaño
add-mix = Añadir una mezcla
add-additive = Añadir un aditivo
add-form = Añadir un encofrado
add-liner = Añadir un molde
add-reading = Añadir una medición
add-forecast = Añadir un pronóstico
add-batch = Añadir una amasada
add-observation = Añadir una observación
add-site = Obra nueva

f-name = Nombre
f-place = Dónde está
f-tz = Zona horaria
f-units = Unidades
f-lat = Latitud
f-lon = Longitud
f-located = Lugar según
f-note = Nota
f-flight = Escalera
f-number = Número (1 es el de abajo)
f-width_m = Ancho, por el frente
f-depth_m = Fondo, de delante a atrás
f-rise_m = Altura vertida
f-on_step_below = Apoya casi todo en el peldaño de abajo
f-bag_kg = Saco
f-yield_l = Hormigón fresco por saco
f-water_min_l = Agua mínima por saco
f-water_max_l = Agua máxima por saco
f-cement_pct = Cemento en la mezcla seca
f-class_mpa = Resistencia a 28 días
f-class_7d_mpa = Resistencia a 7 días
f-class_3d_mpa = Resistencia a 3 días
f-class_1d_mpa = Resistencia a 1 día
f-strengths_are = Estas resistencias son
f-initial_set_h = Inicio de fraguado a 23 °C, horas
f-rapid = Rápido o de alta resistencia inicial
f-kind = Para qué sirve
f-liquid = Líquido
f-tone = Cuánto oscurece
f-min_pct = Dosis mínima, sobre el cemento
f-max_pct = Dosis máxima, sobre el cemento
f-material = Tablas
f-board_mm = Grueso de la tabla
f-relief_mm = Profundidad del relieve
f-undercut = Tiene contrasalidas que se enganchan
f-step = Peldaño
f-mix = Mezcla
f-form = Encofrado
f-liner = Molde
f-liner_side = Lado del molde
f-second_pour = Si el escalón ya estaba vertido
f-until_ms = Hasta cuándo
f-started_ms = Comienzo
f-finished_ms = Enrasado
f-air_c = Aire
f-concrete_c = Hormigón
f-rh_pct = Humedad
f-wind_kmh = Viento en el peldaño
f-rain_mm_h = Lluvia
f-sky = Cielo sobre el peldaño
f-pour = Vertido
f-bags = Sacos
f-water_l = Agua, en total
f-additives = Aditivos
f-amount = Cantidad
f-additive = Aditivo
f-logged_ms = Cuándo se anotó
f-at_ms = Cuándo
f-date = Día
f-min_c = Mínima
f-max_c = Máxima
f-what = Qué
f-mpa = Resultado
f-stage = Fase
f-state = Cómo de mojado estaba
f-taken_ms = Tomada
f-before_ms = Hasta
f-place_in = Medido
f-by = Tu nombre

opt-metric = Métrico: °C, mm, kg, L, MPa
opt-us = EE. UU.: °F, in, lb, qt, psi
opt-pigment = Pigmento
opt-plasticiser = Plastificante
opt-accelerator = Acelerante
opt-retarder = Retardante
opt-fibre = Fibra
opt-improvised = No es para hormigón
opt-other = Otra cosa
opt-minimum = El mínimo que promete el fabricante
opt-mean = Medias de ensayos
opt-light = Claro: blanco, arena, amarillo
opt-dark = Oscuro: rojo, marrón, negro
opt-timber = Madera
opt-plywood = Contrachapado
opt-steel = Acero
opt-plastic = Plástico
opt-fresh = al colocarlo
opt-edge = en un borde
opt-middle = a media profundidad
opt-top = arriba
opt-position = posición de un teléfono
opt-town = una ciudad
opt-typed = escrito
opt-core = dentro
opt-surface = en la superficie
opt-none = ninguno
opt-yes = sí
opt-no = no

## Ajustes
settings = Ajustes
set-language = Idioma
    .what = Palabras, fechas y números en este aparato
set-language-own = Como este aparato

## Pantallas
app-name = Slowstone
sites-title = Obras
sites-empty = Anota cada vertido. Mira cuándo se puede desencofrar, cuándo puede ir encima el siguiente peldaño, y por qué.
sites-new = Obra nueva
sites-pour = Anotar el primer vertido
    .hint = ¿Ya entra el hormigón? Los peldaños y la mezcla vienen como suelen ser; cámbialos cuando haya tiempo.
sites-first = Empezar con una obra
site-first-name = Mi obra
site-steps = { $steps ->
    [0] aún sin peldaños
    [one] { $steps } peldaño
   *[other] { $steps } peldaños
 }
site-pours = { $pours ->
    [0] aún nada vertido
    [one] { $pours } vertido
   *[other] { $pours } vertidos
 }
site-last = última anotación { $when }

step-n = Peldaño { $n }
step-unpoured = Aún sin verter
step-volume = { $volume } como bloque
sample = Muestra
poured = vertido { $when }
next-line = Lo siguiente: { $what }
next-likely = probable { $when }
next-safe = seguro desde { $when }
not-line = Todavía no: { $list }
maybe-line = Quizá: { $list }.
head-try = Prueba antes: { $ask }
test-water = Mira la superficie a ras: no debe quedar agua encima.
test-thumb = Aprieta el pulgar: debe dejar una marca de unos 6 mm, sin hundirse.
test-scratch = Raya un borde con un clavo: como mucho una línea fina, ningún surco.
test-strength = Antes de que sea seguro solo decide un ensayo de resistencia.
test-sheet = Pega un plástico encima un día: debajo no debe haber agua.
can-also = Además: { $list }
due-title = Toca ahora
due-line = { $name }: { $ask }
due-until = hasta { $when }
due-done = Hecho
due-later = Más tarde
due-later-hint = preguntar de nuevo en 1 h
due-open = Ver
due-more = { $n } más
coming-title = Lo que viene

start-title = ¿Qué se va a verter?
start-hint = Cambia lo que difiera; el resto se puede cambiar en cualquier momento.
start-how-many = ¿Cuántos peldaños?
start-all-same = Medidas de cada peldaño
start-mix = La mezcla, como dice el saco
start-go = { $n ->
    [one] Preparar { $n } peldaño
   *[other] Preparar { $n } peldaños
 }
start-flight = Escalera
start-mix-name = Hormigón seco en sacos
start-form-name = Encofrado de madera
start-skip = Mejor añadirlos uno a uno
more-steps = Añadir peldaños de una medida

log-title = Anotar un vertido
log-second = { $name } ya está vertido ({ $when }). ¿Qué es este vertido?
log-second-wrong = El escalón equivocado: elegir otro
log-ahead = Este comienzo está en el futuro: { $when }. ¿El vertido empieza entonces?
log-ahead-yes = Sí, está previsto para entonces
log-ahead-now = No, empieza ahora
log-answer-first = Responde primero a esto y luego guarda.
second-replaces = Un nuevo intento: lo anterior se quitó
second-layer = Una segunda capa encima
other-pours = Otros vertidos de este escalón
other-line = { $when }: { $what }
other-replaced = sustituido por un nuevo intento
other-planned = previsto
other-pour = otro vertido
pour-replaced = Un nuevo intento ha ocupado el lugar de este vertido.
log-save = Guardar el vertido
log-more = Tiempo, mezcla y más
log-batches = Amasadas
log-batch-add = Otra amasada como la última
log-batch-out = Quitar esta amasada
log-sample = Una muestra, no un peldaño
log-draft = Lo que escribiste la última vez sigue aquí.
log-draft-drop = Empezar de nuevo
log-now = ahora
log-ago = hace { $m } min
log-h-ago = hace { $h } h

bar-steps = Obra
bar-photo = Foto
bar-log = Anotar vertido
bar-reading = Medir
bar-more = Más
bar-happened = Qué ha pasado

pour-line = Línea de tiempo
pour-now = ahora
pour-why = Por qué
pour-seen-head = Qué ha pasado
rec-undo-short = Deshacer
pour-curve = Resistencia y temperatura
pour-batches = Qué lleva
pour-readings = Mediciones
pour-photos = Fotos
pour-record = Este vertido
pour-waiting = Este vertido está guardado en este teléfono y aún no se ha enviado. Su página aparece cuando se alcance la central, o cuando la aplicación se haya cargado entera una vez.
pour-assumed = No se eligió mezcla: se supone hormigón corriente en sacos.
range = { $early } a { $late }
earliest = no antes de { $when }
safe-from = seguro desde { $when }
until-safe = hasta { $when }
seen-at = visto { $when }
likely-since = probable desde { $when }
safe-since = seguro desde { $when } ya
possible-since = posible desde { $when }
was-open = probablemente abierta { $early } a { $late }
care-more = Sigue la ficha técnica del saco y las normas locales; para todo lo estructural, pregunta a alguien con título de ingeniería.
care-fresh = El hormigón fresco quema piel y ojos. Guantes y botas; lava las salpicaduras enseguida. Vaciar sacos suelta polvo de sílice: mascarilla puesta, viento a la espalda.
care-weak = Mantiene la forma antes de aguantar una carga. Desencofrar pronto desconcha los bordes y arranca el relieve.

why-now-strength = Resistencia ahora
    .range = { $low } a { $mid }, de prudente a probable
why-age-now = Madurez hasta ahora
    .unit = { $h } h a { $ref }
why-degree-hours = Grados-hora sobre el punto de congelación
why-concrete = Hormigón ahora
why-edge = Borde más frío
why-air = Aire ahora
why-evaporation = Secado de la superficie fresca
    .line = { $low } a { $high }: { $risk }
why-source = Temperaturas de
why-source-line = { $n ->
    [0] aún sin medición del aire
    [one] { $n } medición del aire
   *[other] { $n } mediciones del aire
 }, { $c ->
    [0] ninguna en el hormigón
    [one] { $c } en el hormigón
   *[other] { $c } en el hormigón
 }
why-until = Las mediciones llegan hasta { $when }; de ahí en adelante, { $how }.
why-learned = Se { $n ->
    [one] tiene en cuenta { $n } observación de esta mezcla aquí
   *[other] tienen en cuenta { $n } observaciones de esta mezcla aquí
 }.
look-next = Qué mirar ahora
look-sheen = Vigilar el final del brillo de agua desde { $when }
look-thumb = Apretar con el pulgar la superficie { $when }
look-scratch = Rascar un borde con un clavo { $when }
look-air_reading = Medir el aire { $when }
look-concrete_reading = Medir dentro del hormigón { $when }
look-worth = { $look }: «{ $milestone }» es entonces seguro { $hours } h antes por término medio, o sabes por qué no.

curve-48h = 48 h
curve-7d = 7 días
curve-28d = 28 días
curve-low = prudente
curve-mid = probable
curve-high = favorable
curve-strength = Resistencia
curve-temp = Temperatura
curve-concrete = hormigón
curve-air = aire
curve-table = La curva como tabla
curve-label = Resistencia en el tiempo: ahora unos { $mid }, prudente { $low }. La tabla de abajo tiene los números.
curve-when = Cuándo

mixed-bags = { $bags ->
    [one] { $bags } saco
   *[other] { $bags } sacos
 }
mixed-water = { $water } por saco
mixed-fits = dentro de lo que dice el saco
mixed-over = fuera de lo que dice el saco ({ $min } a { $max })
mixed-cement = { $cement } de cemento
mixed-dose = { $pct } del cemento
mixed-dose-fits = dentro de lo que dice el fabricante
mixed-dose-over = fuera de lo que dice el fabricante
mixed-none = Aún no hay amasadas.

photo-add = Cámara
photo-file = Archivos
photo-failed = { $name }: { $why }
photo-again = Intentar otra vez
photo-known = ya está aquí
photo-here = Solo en este teléfono
photo-gone = Este navegador ha perdido su contenido. Tómala otra vez o elígela en la galería del teléfono.
photo-no-room = { $name } no se ha guardado: a este navegador no le queda sitio. Sigue en la galería del teléfono si se tomó ahí; libera espacio y elígela otra vez.
photo-remove = Quitar
photo-removed = { $name } se ha quitado de este teléfono.
photo-none = Aún no hay fotos.
photo-loose = Fotos que aún no son de ningún peldaño
photo-move = Cambiar peldaño o fase
photo-broken = no se puede mostrar aquí
photo-damaged = El archivo de esta foto está dañado en la central
photo-missing = El archivo de esta foto falta en la central
photo-damaged-why = La entrada se queda. Quien tomó la foto puede enviar otra vez el mismo archivo, y aquí vuelve a estar entera; o copia el archivo de una copia de seguridad.
photo-send-again = Enviarla otra vez
photo-mended = { $name } vuelve a estar entera
photo-open = Foto, { $stage }, { $when }
photo-original = Archivo original
photo-close = Cerrar
photo-earlier = Anterior
photo-later = Posterior
photo-of = { $n } de { $of }
photo-step-up = Peldaño anterior
photo-step-down = Peldaño siguiente
photo-no-alike = Ningún otro peldaño tiene una foto de esta fase ({ $stage }).
photo-compare = Antes y después
photo-against = Comparar con
photo-slider = Cuánto se ve de la foto anterior

clock-head = El reloj de { $camera } parece { $way ->
    [late] atrasado { $by }
   *[early] adelantado { $by }
}
clockwhy-arrival = { $n } de sus fotos llegaron nada más tomarse, siempre con esta diferencia.
clockwhy-ahead = { $n } de sus fotos llevan una hora posterior a su llegada, así que el reloj va adelantado al menos esto.
clockwhy-work = { $n } de sus fotos solo encajan con este cambio en el trabajo en que están archivadas.
clock-shift = { $n ->
    [one] Mover esta foto { $by }
   *[other] Mover estas { $n } fotos { $by }
}
clock-keep = El reloj va bien
clock-shifted = { $n ->
    [one] { $n } foto movida y archivada de nuevo.
   *[other] { $n } fotos movidas y archivadas de nuevo.
}

rec-edit = Cambiar
rec-save = Guardar
rec-cancel = Cancelar
rec-correct = Corregir
rec-take-back = Retirar
rec-undo = Deshacer esto
rec-history = Historial
rec-by = { $by }, { $when }
rec-for = { $name } (anotado por { $by })
rec-edited = cambiado después
rec-nothing = No se ha cambiado nada.
rec-taken-back = Retirado.
rec-restore = Recuperar
rec-deleted = Esto se retiró. Puedes recuperarlo abajo.
rec-empty = aquí no hay nada todavía

weather-table = Tabla de un registrador o de un pronóstico (CSV)
advice-title = Manejar y proteger
advice-none = Sin consejo: no se alcanza la central o aún no hay predicción.
protect-none = No hay que temer heladas.
protect-cover = Cúbrelo contra la helada, por arriba y por los lados.
protect-heat = Cubrir no bastará: aísla bien y mantenlo caliente.
protect-freezes = Sin cubrir, el borde se acerca a la congelación { $when }.
protect-until = Déjalo puesto hasta { $when }.
protect-stands = Aguanta una helada desde { $when }.
window-short = Ventana de textura corta: unos { $time }.
window-short-how = Ten manos y herramientas listas; la próxima vez vierte una pieza menor o a una hora más temprana. Si ayuda un retardante, lo sabe su fabricante.
shade-helps = La sombra y un cortavientos te dan tiempo.
shade-line = La ventana de textura dura unos { $now } así, { $then } con ellos.
stack-carries = Puede llevar el siguiente peldaño.
stack-not = Todavía no aguanta el siguiente peldaño.
stack-push = El hormigón fresco del siguiente encofrado empuja este borde con unos { $push }: apuntala ese encofrado contra el suelo.
stack-care = Con gente encima debería tener el { $load } de su resistencia plena; seguro tiene el { $has }. Hasta entonces trabaja desde el lado.
move-mass = { $mass } recién vertido.
move-persons = { $n ->
    [one] Una persona puede levantarlo del suelo.
   *[other] { $n } personas lo levantan del suelo.
  }
move-machine = Harían falta más de tres personas: usa una máquina, una palanca o rodillos, o no lo muevas.
move-holds = No se agrieta colgado de sus extremos; sus bordes se rompen mucho antes.
move-cracks = Colgado de sus extremos puede agrietarse: llévalo a un quinto de su largo desde cada extremo.
clamps = Sargentos o estacas de este encofrado cada { $far } como mucho.
placing = Un hormigón tan delgado se coloca entre { $low } y { $high }.
care-handle = Levantar según los límites de NIOSH para una persona, desde el suelo, con mal agarre. Nadie se pone debajo ni más abajo de un peldaño que se mueve.
best-title = Mejor hora para verter
best-how = Cuanto más alta la barra, más tiempo toma textura la superficie; rayada donde lo desaconsejan la helada, el secado rápido o la noche.
best-start = Empieza a las { $at }
best-window = Textura probable { $from } a { $to } ({ $long }).
best-against = Pero: { $list }.
best-none = Escribe antes un pronóstico: sin temperatura no hay número.
best-over = A este día ya no le quedan horas.
against-frost = helada antes de que resista
against-dries_very_fast = se seca muy deprisa
against-window_at_night = el trabajo cae en la noche
against-short_window = ventana corta
against-dries_fast = se seca deprisa
against-hot = el calor cuesta resistencia final
against-strips_at_night = el encofrado espera a la mañana

learned-title = Lo que enseñaron tus peldaños
learned-no-mix = Vertidos sin mezcla
learned-set-same = Fragua más o menos cuando dice el saco.
learned-set-later = Fragua unos { $time } más tarde de lo que dice el saco
learned-set-sooner = Fragua unos { $time } antes de lo que dice el saco
learned-range = ({ $low } a { $high }).
learned-sheen-same = El brillo de agua se va más o menos cuando se calcula.
learned-sheen-more = El brillo de agua dura cerca de un { $pct } % más de lo calculado
learned-sheen-less = El brillo de agua se va cerca de un { $pct } % antes de lo calculado
learned-strong-same = Más o menos tan resistente como dice el saco.
learned-strong-more = Cerca de un { $pct } % más resistente de lo que dice el saco
learned-strong-less = Cerca de un { $pct } % menos resistente de lo que dice el saco
learned-from = { $n ->
    [one] De una observación aquí; a { $ref }.
   *[other] De { $n } observaciones aquí; a { $ref }.
  }
learned-nothing = Aún nada: se decidió que los vertidos anteriores no enseñen.
learned-forget = Olvidar esto
learned-again = Volver a aprender de ellos
learned-again-said = Los vertidos anteriores enseñan otra vez.

set-title = Preparación
set-site = Esta obra
set-look = Aspecto
set-auto = como el aparato
set-light = claro
set-dark = oscuro
set-person = Tu nombre
set-conflicts = Dos personas cambiaron lo mismo
set-conflict-line = { $kind }, { $field }: elige lo que vale
set-problem-notice = { $n ->
    [one] Hay algo mal en una anotación
   *[other] Hay algo mal en { $n } anotaciones
 }
set-problem-more = y { $n } más
set-problem-look = Ver
set-problems = Anotaciones que no se pudieron usar
weather-title = Tiempo
weather-now = Medir ahora
weather-forecast = Pronóstico que has oído
weather-today = Hoy
weather-tomorrow = Mañana
weather-list = Mediciones

name-title = ¿Quién anota?
name-hint = Se pregunta una vez. Queda junto a lo que anotas.

state-try = Intentar ahora
state-refused = { $n ->
    [one] La central rechazó { $n } anotación:
   *[other] La central rechazó { $n } anotaciones:
 }
state-refused-drop = Lo he leído
state-locked = Este navegador no puede entrar
    .how = Abre la dirección que mostró la central al arrancar (acaba en ?t=…). Con ella entra este navegador.
state-lost = No hay nada en esta dirección.
state-gone = Se retiró, o nunca estuvo aquí.
state-home = A las obras
state-loading = cargando

said-saved = Guardado y enviado.
said-kept = Guardado en este teléfono. Se envía en cuanto se alcance la central.
said-fleeting = Aún sin enviar, y este navegador no guarda nada: deja esta página abierta hasta que se envíe.
said-cleared = Este navegador borró lo que Slowstone guardaba para trabajar sin la central. No había nada sin enviar; se vuelve a traer.
said-refill = { $n ->
    [one] La central volvió a una copia de seguridad. { $n } anotación que le falta se envía otra vez desde este teléfono.
   *[other] La central volvió a una copia de seguridad. { $n } anotaciones que le faltan se envían otra vez desde este teléfono.
 }
said-sent = Todo se ha enviado.
said-refused = No se aceptó. { $field }: { $why }
said-marked = { $what }: guardado.

error-unreachable = No se alcanza la central. Mira si funciona y si este aparato está en su red.
error-needs-hub = Esto necesita la central, y no se alcanza. Los tiempos de cada vertido y todas las anotaciones están aquí.
error-core = No se alcanza la central, y este teléfono aún no ha cargado lo que necesita para calcular por sí mismo. Lo que anotes se guarda. Abre la aplicación una vez cerca de la central.
error-http = La central respondió con un error ({ $status }). Inténtalo otra vez.
error-shelf = A este navegador no le queda sitio para guardarlo. Libera espacio y guarda otra vez.
error-unreadable = Esto no se puede leer. Escríbelo así, por ejemplo: { $example }.
error-length = Esto no se puede leer como medida. Escribe por ejemplo 350 mm, 35 cm, 0,35 m, 5 1/2" o 6'-3".
error-range = Tiene que estar entre { $min } y { $max }.
error-missing = Hace falta.

rel-in = en { $time }
rel-since = hace { $time }
time-outside = hora desconocida
rel-now = ahora mismo
len-dh = { $d } d { $h } h
len-d = { $d } d
len-hm = { $h } h { $m } min
len-h = { $h } h
len-m = { $m } min

## El plan
k-layout = Cómo va la escalera
k-rules = Reglas
k-materials = Material y pérdidas
k-crew = Horas y gente
k-planned = Día de un vertido
k-bought = Comprado
k-checklist = Revisión antes de verter
k-ticked = Revisado

f-bank_rise_m = Altura del talud
f-bank_run_m = Largo horizontal del talud
f-overlap_m = Sobre el peldaño de abajo
f-fall_pct = Pendiente de las huellas
f-fall_min_pct = Pendiente mínima
f-fall_max_pct = Pendiente máxima
f-base_m = Grava compactada debajo
f-drain_m = Piedra limpia más abajo
f-riser_max_mm = Contrahuella máxima
f-going_min_mm = Huella mínima
f-variation_max_mm = Diferencia máxima entre contrahuellas o huellas
f-two_r_plus_t_min_mm = Dos contrahuellas y una huella, como mínimo
f-two_r_plus_t_max_mm = Dos contrahuellas y una huella, como máximo
f-waste_pct = Pérdida de hormigón
f-mixer_l = Cabe en la hormigonera o carretilla
f-dose_pct = Parte del cemento
f-mesh_gap_mm = Malla más corta que el encofrado
f-rubber_mm = Caucho, grueso medio
f-rubber_kg_l = Caucho, densidad
f-rubber_waste_pct = Pérdida de caucho
f-from_h = Trabajo desde, hora
f-until_h = Trabajo hasta, hora
f-forms = Encofrados en uso (vacío: todos)
f-pour_h = Horas para amasar, llenar y enrasar
f-wash_h = Horas para desencofrar y lavar
f-dry_h = Horas hasta que el molde está seco
f-reset_h = Horas para volver a encofrar
f-planned_ms = Día y hora

add-layout = Cómo va la escalera
add-rules = Reglas
add-materials = Material y pérdidas
add-crew = Horas y gente

plan-title = Plan
plan-flight = Esca­lera
plan-buy = Com­prar
plan-days = Días
plan-check = Revisar
plan-usual = lo habitual; nadie lo ha cambiado
error-clock = El reloj de este dispositivo está fuera del calendario. Ajusta su fecha y guarda otra vez; lo escrito sigue aquí.
error-part = Esta parte de la aplicación no se cargó. Mira si se alcanza la central y carga la página otra vez.

lie-steps = { $n ->
    [one] peldaño
   *[other] peldaños
 }
lie-rise = de alto
lie-length = de largo
lie-riser = Contrahuella
lie-going = Huella
lie-overlap = Sobre el de abajo
lie-fall = Pendiente
lie-mass = Masa, fresco
lie-drawing = Sección y planta de { $name } a escala, { $n } peldaños. La tabla de abajo tiene las medidas.
lie-drawing-hint = A escala en A4. Una medida en obra vale más que una en papel.
lie-good = Nada incumple { $rules }.
lie-none = Aún no tiene peldaños.
lie-heavy = Más pesados de lo que puede levantar la gente (una persona desde el suelo: { $one }): viértelos donde se quedan, o trae rodillos y una máquina.
lie-change = Cambiar cómo va
lie-new = Una escalera nueva
lie-lay-out = Repartir según el talud
lie-rules = Contrahuella de { $riser } como máximo, huella de { $going } como mínimo, con { $differ } de diferencia como mucho; dos contrahuellas y una huella { $least } a { $most }; pendiente { $fall }.
lie-code = Las normas locales van primero. Pasamanos, rellanos y todo lo estructural no se miran aquí.
lie-rules-change = Poner las reglas locales

lay-hint = Mide la altura desde el suelo de delante hasta el camino de arriba, y el largo horizontal entre ambos. Salen las medidas para cada número de peldaños que sirva.
lay-propose = ¿Qué peldaños encajan?
lay-best = encaja mejor
lay-sizes = Contrahuella { $riser }, huella { $going }, dos contrahuellas y una huella { $stride }
lay-form = Encofrado de { $depth } de fondo y { $height } de alto

amiss-riser = Una contrahuella de { $value } es más alta que { $limit }.
amiss-going = Una huella de { $value } es más corta que { $limit }.
amiss-riser_variation = Las contrahuellas difieren en { $value }; como mucho { $limit }.
amiss-going_variation = Las huellas difieren en { $value }; como mucho { $limit }.
amiss-stride = Dos contrahuellas y una huella suman { $value }: { $side ->
    [above] más de { $limit }, un paso demasiado largo.
   *[below] menos de { $limit }, un paso demasiado corto.
 }
amiss-fall = Una pendiente de { $value } es { $side ->
    [above] más de { $limit }: la gente resbala.
   *[below] menos de { $limit }: el agua se queda y se hiela.
 }
amiss-bank_rise = Los peldaños suman { $value } de alto, el talud { $limit }.
amiss-bank_run = Las huellas suman { $value } de largo, el talud { $limit }.
amiss-overlap = Solo { $value } sobre el peldaño de abajo; lo normal es { $limit } o más.

buy-batch = Una amasada
buy-plain = Hormigón corriente en sacos (ninguno elegido)
buy-as-last = como en el último escalón
buy-alike = Pesa y amasa todas las amasadas igual: eso da a los peldaños un mismo color. Empieza con menos agua.
buy-heavy = Un saco de { $bag } es más de lo que una persona debería levantar del suelo ({ $one }).
buy-change = Hormigonera, malla, pérdidas
buy-doses = Pigmento y otras dosis
buy-list = Tener antes de empezar: { $n ->
    [one] un peldaño por verter
   *[other] { $n } peldaños por verter
 }
buy-exact = { $exact } con { $waste } de pérdida. Si cada peldaño abre sacos nuevos: { $each }.
buy-board = tablas de { $thick } de grueso, { $high } de ancho como mínimo
buy-apart = cada { $apart } como mucho
buy-rubber = { $size }, { $thick } de grueso medio, en una sola colada: { $litres } con { $waste } de pérdida
buy-mesh = { $gap } más corta que el encofrado por todos lados, a media profundidad
buy-pieces = { $n ->
    [one] { $n } pieza
   *[other] { $n } piezas
 }
buy-there = Ya está.
buy-back = De nuevo en la lista.
buy-print = Imprimir
buy-care = Falta un saco y se pierde el vertido. El pigmento, por peso y todo del mismo lote. Rendimiento y agua son lo que dice el saco.
buy-steps = Peldaño a peldaño
buy-batches = Amasadas
buy-mesh-up = Malla sobre el fondo

item-bags = Sacos
item-additive = Aditivo
item-water = Agua
item-mesh = Malla
item-chairs = Separadores bajo la malla
item-gravel = Grava para la base, suelta
item-stone = Piedra limpia para drenaje, suelta
item-boards = Tablas de encofrado
item-screws = Tornillos para el encofrado
item-stakes = Estacas y puntales
item-sealant = Sellador para las juntas, cartuchos
item-rubber = Caucho para un molde
item-release = Desencofrante
item-cover = Cubiertas para el curado, una por peldaño
item-gloves = Guantes impermeables y gafas, un juego por persona
item-mask = Mascarillas antipolvo

days-title = Cuándo verter
days-last = { $n ->
    [one] Queda un peldaño. Se puede verter { $when }.
   *[other] Quedan { $n } peldaños. El último se puede verter { $when }.
 }
days-form-buys = Con { $forms } encofrados, { $days } { $days ->
    [one] día
   *[other] días
 } antes.
days-form-nothing = Con { $forms } encofrados no se acabaría antes: los peldaños se esperan unos a otros.
steps-none = Aún no hay peldaños.
steps-begin = Definir los peldaños
steps-more = Añadir peldaños
days-all-poured = Todos los peldaños están vertidos.
days-picture = El orden del trabajo en un dibujo; se desliza de lado
days-picture-label = { $n } peldaños en el tiempo, el último vertido { $when }. La lista de abajo tiene las horas.
days-legend = Una barra empieza con el vertido, engorda hasta desencofrar (rayas) y acaba con el curado. La línea hacia arriba lleva al vertido siguiente. Rellena: ya está vertido.
days-over = { $n ->
    [one] Un peldaño está curado y no se muestra.
   *[other] { $n } peldaños están curados y no se muestran.
 }
days-surface = superficie { $from } a { $until }
days-strip = desencofrar { $when }
days-earliest = posible desde { $when }
days-after-hours = La superficie puede necesitarte fuera del horario. Empieza antes o turnaos.
days-planned-early = El día previsto es demasiado pronto. Este es el primero seguro.
days-try = Probar otra hora
days-when = { $name } se vierte
days-ask = ¿Qué resulta de eso?
days-if = Si { $name } se vierte { $when },
days-then = { $name } se puede verter { $when }.
days-too-early = { $name } no se puede verter { $when }: no antes de { $earliest }.
days-keep = Fijar este día
days-free = Liberar el día
days-back = Volver al plan
days-care = Los tiempos son el extremo prudente de la predicción; se mueven con el tiempo que hace y con lo que anotas.
days-hours = Trabajo de { $from } a { $until }, { $forms } { $forms ->
    [one] encofrado
   *[other] encofrados
 }. Como mucho { $wet } { $wet ->
    [one] peldaño en curado
   *[other] peldaños en curado
 } a la vez.
days-off = Días en que trabajas
days-off-hint = Los días sin trabajo quedan en claro. Toca para cambiar.
days-change = Horas, encofrados, lavado y secado

waits-nothing = en cuanto estés allí
waits-form = espera al encofrado: quitado, lavado, seco, montado otra vez
waits-step_below = espera a que el peldaño de abajo lo aguante
waits-working_time = espera al siguiente día de trabajo
waits-planned_day = el día que se eligió

check-base_level = Base nivelada y compacta
check-form_level = Encofrado a nivel de lado a lado, con su pendiente al frente
check-gaps_closed = Todas las juntas del encofrado cerradas
check-mesh_cut = Malla cortada, separadores listos para media profundidad
check-liner_clamped = Molde sujeto, más bajo que el borde superior
check-bags_enough = Sacos suficientes junto al encofrado
check-release_agent = Desencofrante en encofrado y molde
check-water_ready = Agua medida, y algo para lavar
check-cover_ready = Cubierta y pesos a mano
check-gloves_eyes = Guantes, botas, gafas, mascarilla
check-open = { $n ->
    [0] por revisar: listo para verter
    [one] punto por revisar
   *[other] puntos por revisar
 }
check-still-open = { $n ->
    [one] Queda { $n } punto por revisar
   *[other] Quedan { $n } puntos por revisar
 }
check-change = Cambiar la lista
check-out = Quitar
check-new = Tu propio punto
check-add = Añadir

## Lo que solo está en este teléfono

out-away = La central no responde. Sigue: todo se guarda.
out-none = No hay nada por enviar.
out-here = Solo en este teléfono: { $what }
out-entries = { $n ->
    [one] { $n } anotación
   *[other] { $n } anotaciones
 }
out-photos = { $n ->
    [one] { $n } foto
   *[other] { $n } fotos
 }
out-oldest = lo más antiguo { $when } ({ $ago })
out-send = Enviar ahora
out-going = Enviando, { $pct } %
out-fleeting = Este navegador no guarda nada. Deja esta página abierta hasta que todo se envíe.
out-elsewhere = { $n ->
    [one] { $n } anotación de este teléfono es de otra central que tuvo esta dirección. Se envía cuando se alcance aquella, o guarda una copia.
   *[other] { $n } anotaciones o fotos de este teléfono son de otra central que tuvo esta dirección. Se envían cuando se alcance aquella, o guarda una copia.
 }
out-lost = Este navegador tiró lo que aún no se había enviado: { $what }, lo más antiguo de { $when }.
    .how = Anótalo otra vez mientras lo recuerdas; las fotos pueden seguir en la galería del teléfono. Pon la aplicación en la pantalla de inicio para que el navegador no vuelva a hacerlo.
out-skew = El reloj de este aparato va { $span } { $side ->
    [ahead] adelantado
   *[behind] atrasado
 } respecto al de la central. Aquí valen las horas de la central; pon bien este reloj.
out-new = Hay una versión nueva.
out-new-use = Usarla ahora
out-conflicts = { $n ->
    [one] Dos personas cambiaron lo mismo sin verse. Elige lo que vale.
   *[other] { $n } cosas las cambiaron dos personas sin verse. Elige lo que vale.
 }
out-conflicts-open = Resolver

phone-title = Este teléfono
phone-ready = Funciona sin la central: la aplicación y las anotaciones están en este teléfono.
phone-not-ready = Sin la central este navegador guarda lo que anotas, pero no puede abrir la aplicación.
phone-safe = El navegador ha prometido no tirar lo que se guarda aquí.
phone-unsafe = El navegador puede tirar lo que se guarda aquí si falta espacio. Pon la aplicación en la pantalla de inicio para evitarlo.
copy-save = Guardar una copia
copy-import = Traer una copia
copy-hint = Una copia es un archivo con todo lo que este teléfono no ha enviado. Llévala a la central como sea y tráela allí. Hacerlo dos veces no hace daño.
copy-saved = La copia está en tus descargas. También sigue en este teléfono hasta que se envíe.
copy-done = { $events ->
    [one] { $events } anotación
   *[other] { $events } anotaciones
 } y { $photos ->
    [one] { $photos } foto
   *[other] { $photos } fotos
 } ya están en el registro.
copy-cut = El archivo no está entero: falta una parte o está dañada. Lo que se pudo leer se ha traído; guárdalo otra vez en el teléfono.
missing-line = Línea { $n }:
missing-damaged = Dañada y omitida.
missing-unknown = No contiene ni una anotación ni una foto.
missing-after_end = Está detrás del final del archivo.
missing-no_end = Falta el final del archivo.
missing-entries = El archivo no contiene tantas anotaciones como dice su final.
missing-photos = El archivo no contiene tantas fotos como dice su final.
missing-hash = Algo del archivo se cambió después de escribirlo.

## Color

col-title = Color
col-compare = Compa­rar
col-measure = Medir
col-dose = Dosis
k-card = Carta de referencia
k-colour = Color medido

wet-dry = Seco
wet-damp = Húmedo
wet-wet = Mojado
cardkind-grey_card = Carta gris, 18 %
cardkind-white_paper = Papel blanco de impresora
cardkind-other = Otra carta
cardkind-hint-white_paper = Peor que una carta gris: las hojas difieren.

doubt-reference_partly_clipped = Parte de la carta está sobreexpuesta y no se contó; una foto más oscura es más segura.
doubt-reference_bright = La carta está casi sobreexpuesta; una foto más oscura es más segura.
doubt-reference_dim = La carta sale oscura en la foto; más luz es más seguro.
doubt-reference_uneven = La carta tiene luz desigual o está sucia. Que no le dé sombra, y marca solo la carta.
doubt-reference_is_paper = El papel blanco es una referencia débil: las hojas difieren. Mejor una carta gris.
doubt-reference_far_in_lightness = La carta es mucho más clara u oscura que el hormigón. Mejor una carta gris parecida.
doubt-cards_disagree = Las dos cartas ven luz de distinto color. Toma la foto en sombra abierta.
doubt-not_between_cards = La zona no está entre las cartas. Pon una a cada lado.
doubt-light_changes = La luz cambia a lo largo de la zona. Acerca la carta, o pon una a cada lado.
doubt-strong_cast = La luz tiene un color fuerte. Toma la foto de día, en sombra abierta, sin flash.
doubt-patch_partly_clipped = Parte de la zona está sobreexpuesta y no se contó; una foto más oscura es más segura.
doubt-patch_dim = La zona sale oscura en la foto; más luz es más seguro.
doubt-patch_uneven = Gran parte de la zona es sombra, mancha u otra superficie y no se contó. Marca un sitio más limpio.
doubt-patch_small = La zona tiene pocos píxeles; acércate o marca más.
doubt-profile_unknown = El perfil de color de esta foto no se conoce aquí; el color puede estar desviado.
doubt-preview_only = Solo se pudo leer la vista previa pequeña del archivo.

word-cannot_be_seen = no se ve
word-slight = leve
word-plain = clara
tend-lighter = más claro
tend-darker = más oscuro
tend-redder = más rojo
tend-greener = más verde
tend-yellower = más amarillo
tend-bluer = más azul
ccare-state_differs = Uno estaba más mojado que otro, y el hormigón mojado es más oscuro. Compara seco con seco.
ccare-state_unknown = No se anotó si los dos estaban secos. Compara seco con seco.
ccare-age_differs = Sus edades difieren mucho; el hormigón se aclara en las primeras semanas. Compara otra vez cuando los dos tengan 28 días.
ccare-age_unknown = No se conoce la edad de uno; el hormigón joven es más oscuro.
stand-fits = Como los otros
stand-stands_out = Llama la atención
stand-cannot_tell = Quizá distinto: mide otra vez
stand-too_few_alike = Demasiado pocos iguales para decirlo

differ-dose = { $name }: { $a } y { $b } del cemento
differ-mix = Mezcla: { $a } y { $b }
differ-water = Agua por saco: { $a } y { $b }
differ-placed = Temperatura al colocar: { $a } y { $b }
differ-liner = Molde: { $a } y { $b }
differ-form = Encofrado: { $a } y { $b }
differ-cure = Curado: { $a } y { $b }
differ-batches = Amasadas: { $a } y { $b }
differ-note = Notas: { $a } y { $b }
differ-none = ninguno

nocurve-too_few_trials = Aún se sabe poco: mide al menos dos vertidos o muestras de esta mezcla con dosis distintas. Una puede ir sin nada.
nocurve-doses_do_not_differ = Todos tienen la misma dosis. Vierte una muestra con otra.
nocurve-pigments = Elige uno o dos aditivos.
nocurve-not_a_number = Una dosis o un color no puede ser. Mira las amasadas de estos vertidos.
leftout-not_dry = medido mojado o húmedo
leftout-other_additive = lleva otro aditivo que colorea
leftout-dose_unknown = sin amasada anotada
reach-within = La dosis está dentro de lo probado.
reach-edge_of_tried = La dosis está en el borde de lo probado. Una muestra un poco más allá diría si se acerca más.
reach-supplier_limit = Este es el límite del fabricante: no más.
reach-cap = Este es el tope del 10 % del cemento: más de este polvo fino pide más agua y debilita el hormigón, y pasado el 5 a 7 % apenas cambia el color.
reach-out_of_reach = Ninguna dosis de esto da ese color; esto es lo más cercano. Hace falta otro pigmento o cemento.
teach-least_sure = Ahí se sabe menos, entre las dosis que pueden servir.
teach-beyond_tried = La dosis buena puede estar más allá de lo probado.
teach-to_begin = Está lo más lejos de lo que se sabe hasta ahora.

col-none = Aún no se ha medido ningún color.
    .how = Pon una carta gris plana sobre el hormigón seco, en sombra abierta, y toma una foto desde arriba sin flash. Luego mide aquí.
col-first = Medir un color
col-pick = Toca dos para ver cuánto se separan.
col-lab-line = L* { $l } a* { $a } b* { $b }
col-give = más o menos { $l }, { $a }, { $b }
col-age = { $n ->
    [one] { $n } día de edad
   *[other] { $n } días de edad
 }
col-age-none = edad desconocida
col-apart = Diferencia: { $word }
col-apart-range = { $low } a { $high } en los extremos
col-apart-num = dE { $de } ({ $low } a { $high }), según CIEDE2000
col-apart-tend = { $b } es { $tend } que { $a }.
col-differed = Qué más fue distinto
col-differed-none = Nada de lo anotado.
col-order = Primero { $a }, luego { $b }.
col-over-time = Mediciones
col-since = Desde la primera: { $word }{ $tend }
col-card-changed = Desde entonces se dio otro color a una carta. Mide otra vez.
col-take-back = Retirar
col-middle = a { $de } del centro de los otros, más o menos { $sd }
col-unmeasured = Aún sin medir
col-cards = Cartas de referencia
col-water = { $litres } de agua por saco

mark-choose = Elige una foto con una carta de referencia
mark-other = Otra foto
mark-pour = Qué muestra
mark-pour-none = Elige el peldaño o la muestra
mark-concrete = Hormigón
mark-card = Carta { $n }
mark-card-more = Segunda carta
mark-card-less = Sin la segunda carta
mark-how-patch = Arrastra un rectángulo sobre hormigón limpio y seco, o toca un sitio propuesto.
mark-how-card = Arrastra un rectángulo sobre la carta, bien dentro de su borde.
mark-places = Sitios lisos
mark-place = Sitio { $n }
mark-nudge = Mover el rectángulo
mark-left = Izquierda
mark-right = Derecha
mark-up = Arriba
mark-down = Abajo
mark-larger = Mayor
mark-smaller = Menor
mark-which = ¿Qué carta es?
mark-state = ¿Cómo de mojado estaba?
mark-go = Medir
mark-missing = Falta: { $what }
mark-todo-pour = decir qué muestra
mark-todo-concrete = marcar el hormigón
mark-todo-card = marcar la carta
mark-todo-which = decir qué carta es
mark-todo-wet = decir cómo de mojado estaba
mark-result = Medido
mark-again = Medir otra vez
mark-no-picture = Esta foto no da píxeles en los que medir.
mark-card-name = Nombre de la carta
mark-use = Medir el color

dose-additive = Aditivo
dose-second = Junto con
dose-no-second = Nada más
dose-mix = Mezcla
dose-mix-none = Mezcla sin decir
dose-match = Igualar el color de
dose-match-none = Elige un peldaño medido
dose-none = Prepara un pigmento y mide algunos vertidos que lo lleven.
    .pigment = Definir un pigmento
dose-per-bag = por saco
dose-range = { $low } a { $high }
dose-per-batch = { $amount } en una amasada de { $bags ->
    [one] { $bags } saco
   *[other] { $bags } sacos
 } ({ $low } a { $high })
dose-pct = { $pct } del cemento ({ $low } a { $high })
dose-wanted = Buscado
dose-foretold = Previsto
dose-fit = Diferencia que queda: { $word }.
dose-next = Lo que más enseña es otra muestra con { $pct } del cemento: { $amount } por saco.
dose-next-gain = El margen bajaría de { $now } a { $then } del cemento.
dose-log = Anotar esta muestra
dose-cap = Nunca más del 10 % del cemento: este polvo fino pide más agua y debilita el hormigón, y pasado el 5 a 7 % apenas cambia el color.
dose-log-kept = Se está anotando un vertido en este teléfono. Guárdalo o empieza de nuevo, y vuelve.
dose-sample = Muestra { $name } { $pct }
dose-limits = Probado de { $low } a { $high }. Como mucho { $most } del cemento{ $whose ->
    [supplier] , el límite del fabricante
   *[cap] : el tope, porque más debilita el hormigón y apenas colorea
 }.
dose-improvised = { $name } no es para hormigón: puede debilitarlo y cambiar cómo fragua. Vierte antes una muestra y usa poco.
dose-assumed = No se dijo la mezcla: se supone un saco corriente de { $bag } con 14 % de cemento.
dose-trials = De dónde sale la curva
dose-left-out = Fuera de la curva: { $why }
dose-sure = Una muestra dejada fuera se previó con un error de { $de } (CIEDE2000).
dose-label = { $what } según la dosis, con su margen
dose-axis = % del cemento
dose-what = Qué se dibuja
dose-L = Claridad L*
dose-a = Rojo a*
dose-b = Amarillo b*
