## Por qué la central rechazó algo, y por qué una anotación no se pudo usar

refused-locked = Este navegador no puede entrar. Abre la dirección que mostró la central al arrancar.
refused-revoked = Este teléfono se quitó de la lista. Pide a quien es responsable que lo añada otra vez: Ajustes, Teléfonos.
refused-role = Este aparato aquí solo lee. Quien es responsable puede cambiarlo: Ajustes, Teléfonos.
refused-too_often = Demasiados intentos. Espera un minuto y prueba otra vez.
refused-missing = Aquí no hay nada con ese nombre. Quizá se retiró; vuelve y elige otra vez.
refused-too_large = Este archivo es mayor de lo que admite la central.
refused-not_a_photo = { $value } no es una foto que se pueda leer aquí.
refused-no_picture = Los píxeles de esta foto no se pueden leer aquí. Guárdala como JPEG y añádela otra vez.
refused-broken_off = La conexión se cortó. Inténtalo otra vez.
refused-no_table = Esto no es una tabla que se pueda leer. Necesita una fila de títulos con hora y temperatura.
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
problem-unreadable = Un valor suyo no se puede leer.
problem-bad_correction = Un cambio suyo no se puede leer y se dejó fuera.
