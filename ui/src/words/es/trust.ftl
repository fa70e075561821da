## Teléfonos y quién puede entrar. viewer = lectura, helper = ayuda, keeper = responsable,
## certificate = certificado, fingerprint = huella digital, revoke = quitar.

set-share = Teléfonos
    .what = Dejar entrar a teléfonos de esta red, añadir uno, quitar uno de la lista

trust-once = Una vez para este teléfono: confiar en la central
trust-why = La conexión va cerrada con un certificado que esta central hizo para sí misma. Un teléfono solo lo acepta cuando tú lo dices. Vale para la dirección de esta central en tu propia red y para nada más.
trust-load = Cargar el certificado
trust-android-1 = Toca «Cargar el certificado». Se guarda el archivo slowstone.crt.
trust-android-2 = Abre Ajustes, luego Seguridad, luego Más ajustes de seguridad, luego Cifrado y credenciales. En muchos teléfonos la búsqueda de Ajustes encuentra «Certificado CA».
trust-android-3 = Elige «Instalar un certificado», luego «Certificado CA». Lee el aviso, sigue y elige slowstone.crt.
trust-android-4 = En Credenciales de confianza, Usuario, ábrelo y compara su huella digital SHA-256.
trust-ios-1 = En Safari toca «Cargar el certificado» y permite el perfil.
trust-ios-2 = Abre Ajustes. Arriba pone «Perfil descargado». Tócalo, luego Más detalles, luego el certificado: compara su huella digital SHA-256.
trust-ios-3 = Vuelve atrás y toca Instalar.
trust-ios-4 = Ve a General, Información, Confianza de certificados, y activa el certificado de la central.
trust-print = Compara la huella digital
    .how = El teléfono debe mostrar exactamente lo que muestra la pantalla de la central. Si un par difiere, no lo instales: hay alguien en medio.
trust-then = Luego escanea el segundo código en la pantalla de la central.
trust-kind = Clase de teléfono

role-viewer = Lectura
    .what = Lee todo, no cambia nada.
role-helper = Ayuda
    .what = Anota vertidos, mediciones y fotos, y los corrige.
role-keeper = Responsable
    .what = Además añade teléfonos, cambia ajustes y entrega los registros.

share-what = El registro está en este ordenador. Los teléfonos de la misma red pueden leerlo y escribir por una conexión cerrada, cada uno solo cuando tú lo dejas entrar.
share-on = Los teléfonos pueden entrar
share-add = Añadir un teléfono
share-more = Direcciones, certificado, invitados
share-addresses = Direcciones de esta central
    .hint = Da a este ordenador una dirección fija en el rúter: un teléfono que lo conocía por otra hay que añadirlo otra vez.
share-guest = Los invitados pueden leer sin llave
    .what = Entonces cualquiera en esta red puede leerlo todo, y otros pueden espiar: esta conexión no va cerrada. Los invitados no cambian ni guardan nada. Cada pantalla lo dice.
share-devices = Quién puede entrar
share-none = Aún nadie.
share-here = Un navegador en este ordenador
share-this = este
share-via-here = En este ordenador
share-via-lan = Por la red
share-seen = aquí { $ago }
share-person = ¿De quién es el dispositivo?
    .none = De nadie todavía
    .what = Lo que un dispositivo anota con otro nombre se muestra como anotado en nombre de esa persona. El nombre puesto aquí vale para lo que anote desde ahora; sin él, es el primero con el que anota.
share-person-set = { $device } es ahora de { $name }.
share-must-trust = Esta central tiene un certificado nuevo: se restauró sin sus claves o se movió su carpeta. Hasta que confíen en él, estos teléfonos no llegan a la central: { $names }.
    .how = Con cada uno: pulsa aquí «Añadir un teléfono». En el teléfono, abre la página del certificado e instálalo; después abre la aplicación como siempre. Sigue siendo conocido y envía lo que tiene. Si la central tiene otra dirección que antes, sigue y añade el teléfono de nuevo.
share-unreached = No se alcanza la central. Si se restauró o se llevó a otro ordenador, su certificado es nuevo: pide a quien es responsable que abra Ajustes, Teléfonos, «Añadir un teléfono», e instala aquí el certificado que se muestra allí. Lo anotado aquí queda en este teléfono hasta entonces.
share-role-of = Qué puede hacer { $name }
share-revoke = Quitar
share-revoked = { $name } ya no puede entrar.
share-ask = Quien es responsable puede cambiarlo: Ajustes, Teléfonos.
share-step-1 = 1. Una vez por teléfono: escanea esto, carga el certificado y confía en él
share-step-2 = 2. Escanea esto con la cámara del teléfono
share-scan = Escanea esto con la cámara del teléfono
share-qr = Código con la dirección para este teléfono
share-how = Cómo, paso a paso
share-file = Guardar el certificado como archivo
share-waits = Esperando al teléfono. El código vale { $min } min y para un teléfono.
share-address = Dirección para el teléfono
share-asks = «{ $name }» pide entrar. ¿Muestra el teléfono el mismo código?
share-role = ¿Qué puede hacer?
share-same = Los códigos son iguales: que entre
share-differ = No son iguales
share-added = { $name } se ha añadido.
share-refused = No entró nadie. Si no lo esperabas, quizá otra persona vio el código.
share-over = Este código ya no vale.
share-again = Código nuevo
share-close = Hecho

pair-title = Añadir este teléfono
pair-look = Mirando si la conexión es segura …
pair-none = Escanea el código en la pantalla de la central: Ajustes, Teléfonos, Añadir un teléfono.
pair-untrusted = Este teléfono no confía en el certificado de la central, así que podría haber alguien en medio.
    .how = No sigas más allá del aviso. Escanea el primer código en la pantalla de la central, confía en el certificado como se explica allí, y escanea otra vez el segundo código.
pair-name = Nombre de este teléfono
pair-phone-of = Teléfono de { $name }
pair-ask = Pedir entrar
pair-compare = La pantalla de la central debe mostrar el mismo código. Alguien allí tiene que confirmarlo.
pair-wait = Esperando a la central …
pair-in = Este teléfono puede entrar.
pair-open = Abrir el registro

view-only = Este aparato solo lee. Quien es responsable puede cambiarlo: Ajustes, Teléfonos.
guest-note = Lees como invitado: no se puede cambiar nada, no se guarda nada en este teléfono, y otros en la red pueden espiar.
guest-open = Los invitados pueden leer: cualquiera en esta red puede ver este registro.
state-revoked = Este teléfono ya no puede entrar
    .how = Se quitó de la lista. Pide a quien es responsable que lo añada otra vez: Ajustes, Teléfonos. Lo que no se había enviado sigue en este teléfono.
state-unpaired = Este teléfono aún no ha podido entrar
    .how = En la pantalla de la central abre Ajustes, Teléfonos, pulsa «Añadir un teléfono» y escanea el código.

## Lo que hay que atender del certificado (cert-CODE)
cert-authority_ends = El certificado en que confían los teléfonos termina el { $value }. Antes: detén la central, saca la carpeta «trust» de su carpeta de datos, arráncala y añade otra vez cada teléfono.
cert-clock_behind = El reloj de este ordenador va mal: muestra un día anterior al { $value }, cuando se hizo su certificado. Pon el reloj en hora.
cert-files_broken = Los nuevos archivos de certificado no sirven ({ $value }). Hasta que sirvan, los teléfonos ven el certificado de antes.
cert-files_end = El certificado de tus archivos termina el { $value }. Pon uno nuevo en su lugar; la central lo toma por sí misma.
