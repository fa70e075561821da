## Por qué la central rechazó algo, y por qué una anotación no se pudo usar

refused-locked = Este navegador no puede entrar. Abre la dirección que mostró la central al arrancar.
refused-revoked = Este teléfono se quitó de la lista. Pide a quien es responsable que lo añada otra vez: Ajustes, Teléfonos.
refused-role = Este aparato aquí solo lee. Quien es responsable puede cambiarlo: Ajustes, Teléfonos.
refused-too_often = Demasiados intentos. Espera un minuto y prueba otra vez.
refused-missing = Aquí no hay nada con ese nombre. Quizá se retiró; vuelve y elige otra vez.
refused-too_large = Este archivo es mayor de lo que admite la central.
refused-not_a_photo = { $value } no es una foto que se pueda leer aquí.
refused-no_picture = Los píxeles de esta foto no se pueden leer aquí. Guárdala como JPEG y añádela otra vez.
refused-photo_damaged = El archivo de esta foto está dañado en la central. Envía otra vez la misma foto desde donde se tomó; la entrada se queda.
refused-photo_missing = El archivo de esta foto ya no está en la central. Envía otra vez la misma foto desde donde se tomó; la entrada se queda.
refused-photo_awaited = Esta foto aún no ha llegado: el teléfono que la tomó la envía cuando alcance la central.
refused-other_photo = Es otra imagen que la que está dañada en la central. Elige el mismo archivo, tal como lo hizo la cámara.
refused-broken_off = La conexión se cortó. Inténtalo otra vez.
refused-no_table = Esto no es una tabla que se pueda leer. Necesita una fila de títulos con hora y temperatura.
refused-table_long = Esta tabla es demasiado larga. Recórtala a los meses que importan.
refused-table_order = Di cómo están escritas las fechas.
refused-table_columns = Di qué son las columnas y en qué unidades.
refused-not_a_copy = Este archivo no es una copia completa guardada por un teléfono o entregada por la central. Elige el archivo otra vez donde se creó.
refused-closed = Esto está cerrado ahora. Ábrelo de nuevo en la central.
refused-outside = El rectángulo queda fuera de la foto. Márcalo otra vez.
refused-no_colour = { $value ->
    [reference_clipped] La carta de color está sobreexpuesta y no se sabe su color en la foto. Haz la foto otra vez, más oscura: toca la carta antes de disparar.
    [reference_dark] La carta de color está demasiado oscura para medir. Haz la foto otra vez con más luz.
    [reference_too_small] El rectángulo sobre la carta es demasiado pequeño. Acércate o marca más de la carta.
    [reference_colour] El color de la carta no sirve. Debe ser una superficie clara o gris; revisa sus valores L*, a*, b*.
    [patch_clipped] La mitad de la zona o más está sobreexpuesta o negra. Haz la foto otra vez con el hormigón bien expuesto.
    [patch_too_small] La zona es demasiado pequeña. Acércate o marca más hormigón.
   *[other] Ahí no se puede medir ningún color. Marca hormigón limpio, y solo la carta.
 }
refused-disk_full = El disco de la central está lleno. Libera espacio y prueba otra vez; nada de lo guardado se ha perdido.
refused-locked_file = Otro programa tiene abierto el registro de la central. Ciérralo y prueba otra vez.
refused-store = La central no puede escribir su registro. Mira los mensajes de la central.
refused-fault = La central falló por un error suyo. Lo guardado está a salvo; por favor, di qué hiciste.
refused-host = La central no se conoce por esta dirección. Abre la que ella mostró.
refused-origin = Una página de otro sitio pidió esto. Abre la página de la central.

problem-missing_target = Cambia una anotación que aún no está aquí.
problem-missing_reference = Se refiere a una anotación que aún no está aquí.
problem-unknown_zone = Su zona horaria no se conoce aquí; se usa UTC.
problem-unknown_kind = Esta versión no conoce esta clase de anotación; se guarda y se pasa adelante.
problem-time_outside = Esta anotación tiene una hora fuera del calendario: corrígela o retírala.
problem-clock_outside = El reloj del dispositivo que hizo esta anotación estaba fuera del calendario: indica cuándo se anotó o retírala.
problem-unreadable = Un valor suyo no se puede leer.
problem-bad_correction = Un cambio suyo no se puede leer y se dejó fuera.

refused-unreadable = La central no puede leer lo que envió esta página. Cárgala de nuevo.
refused-method = La central no hace esto aquí. Carga la página de nuevo.
refused-name = Este nombre no puede ser. Escribe otro.
refused-too_many = Hay demasiadas fotos en camino. Espera a que lleguen algunas.
refused-other_device = Esto pertenece a otro dispositivo.
refused-subscription = El servicio push de este navegador no sirve. Apaga los avisos en este dispositivo y enciéndelos de nuevo.
refused-own = Este es el dispositivo que estás usando: nadie debe quedarse fuera por error. Hazlo desde el dispositivo de otra persona que administre.
refused-code = Ahora ningún teléfono pregunta con este código. Si el teléfono muestra otro, pulsa «No es igual»; si no, empieza de nuevo.
refused-secret = Este no es el código que la central muestra ahora. Escanea ese.
refused-used = Este código ya se usó. Si no fuiste tú, díselo a quien administra; luego empieza de nuevo en la pantalla de la central.
refused-expired = Este código ya no vale: dura unos minutos. Pulsa «Añadir un teléfono» en la pantalla de la central y escanea el nuevo.
refused-refused = Este teléfono no se añadió. Empieza de nuevo en la pantalla de la central: Ajustes, Teléfonos, «Añadir un teléfono».
refused-nonce = La página del teléfono envió algo raro. Escanea el código otra vez.
refused-offset = Una parte de esta foto ya está aquí. Sigue desde ahí.
refused-id = Este nombre de foto no puede ser. Añade la foto otra vez.
refused-size = No hay imagen de este tamaño. Carga la página de nuevo.

## Por qué un valor no puede ser
misfit-out_of_range = Tiene que estar entre { $min } y { $max }.
misfit-missing = Falta.
misfit-unknown_field = No se conoce aquí. Quizá lo conozca una central más nueva.
misfit-unknown_word = No es ninguna de las opciones.
misfit-not_text = Tiene que ser texto.
misfit-not_a_number = Tiene que ser un número.
misfit-not_whole = Tiene que ser un número entero.
misfit-not_yes_or_no = Tiene que ser sí o no.
misfit-not_a_time = Tiene que ser una hora.
misfit-not_a_list = Tiene que ser una lista.
misfit-not_an_object = No se puede leer.
misfit-not_a_colour = Tiene que ser L* de 0 a 100, a* y b* de -200 a 200.
misfit-not_a_rectangle = Marca un rectángulo dentro de la foto.
misfit-not_a_date = Tiene que ser una fecha.
misfit-not_a_hash = No se puede leer. Añade la foto otra vez.
misfit-not_an_id = No se puede leer. Elige de nuevo.
misfit-unknown_zone = No es una zona horaria conocida. Elige una como Europe/Oslo o America/Denver.
misfit-empty = No puede estar vacío.
misfit-too_long = Es demasiado largo: como mucho { $max } caracteres. Acórtalo.
misfit-too_deep = Contiene listas dentro de listas a más de { $max } niveles. Escríbelo más plano.
misfit-too_many = Son demasiados: como mucho { $max }.
misfit-control_characters = Contiene caracteres que nadie teclea. Escríbelo de nuevo.
misfit-below_other = No puede estar por debajo de «{ $than }» ({ $min }).
misfit-not_below_other = Tiene que estar por debajo de «{ $than }» ({ $max }). Déjalo vacío si no se sabe.
misfit-pour_length = El vertido tiene que terminar después de empezar, como mucho { $max } más tarde. Revisa las dos horas.
misfit-bag_density = No cuadra con el peso del saco: el hormigón fresco lleva de { $min } a { $max } de mezcla seca.
misfit-short_day = Tiene que ser al menos una hora después de empezar el trabajo.
misfit-no_workday = Tiene que quedar un día de la semana para trabajar.
misfit-nothing_read = Da al menos un valor.
misfit-pour_needed = Di en qué vertido se midió este hormigón.
misfit-result_needed = Da el resultado del ensayo.
misfit-time_needed = Di cuándo hay que volver a preguntar.
misfit-nothing_changed = No cambia nada.
misfit-id_taken = Otra anotación ya se llama así. Anótalo de nuevo.
misfit-site_is_not_id = No cuadra con su obra. Crea la obra de nuevo.
misfit-unknown_site = Esta obra no está en la central. Elígela de nuevo.
misfit-keeper_only = Solo quien administra puede anotar esto. Pídeselo.
misfit-unreadable = No se puede leer.
misfit-not_a_socket = Tiene que ser como 0.0.0.0:8478 (cualquier dirección de este ordenador) o 192.168.1.5:8478.
misfit-not_an_address = No es una dirección de la red. Escríbela así: https://example.org/hook.
misfit-password_in_address = Otros verían los nombres y contraseñas de una dirección. Quítalos.
misfit-place_missing = Necesita {"{lat}"} y {"{lon}"} donde va el lugar.
misfit-not_a_time_of_day = Tiene que ser de 00:00 a 23:59.
misfit-not_encrypted = La contraseña y el correo podrían leerse por el camino. Elige STARTTLS o TLS; sin cifrar, solo a un servidor de este ordenador.
misfit-not_a_mail_address = No es una dirección de correo. Escríbela así: site@example.org; varias, con comas entre ellas.
f-other = Un valor
f-points = Puntos de la lista
f-days_off = Días libres
f-references = Tarjetas de color
f-rows = Horas de tiempo
f-email_from = Remitente del correo
f-email_to = Destinatarios del correo
f-email_security = Cifrado del correo
f-webhook_url = Dirección del webhook
f-ahead_min = Avisar antes
f-rules = Horas del día
f-address = Dirección del pronóstico
f-at = Dirección para teléfonos
f-q = Lo que se busca
