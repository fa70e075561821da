## Lo que dice el programa de escritorio: bandeja, avisos, fotos dadas como archivos

desk-now = ¿Qué puedo hacer ahora?
desk-nothing = No hay nada pendiente
desk-next = Después
desk-line = { $what }: { $may }
desk-at-site = { $site } · { $text }
desk-open = Abrir Slowstone
desk-login = Arrancar al iniciar la sesión
desk-no-login = No se pudo cambiar el arranque al iniciar la sesión
desk-quit = Salir
desk-show = Mostrar
desk-closed = Slowstone sigue en marcha
desk-closed-what = Los avisos siguen llegando y los teléfonos siguen teniendo el registro. Salir está en el menú de su icono en la bandeja.
desk-added =
    { $count ->
        [one] 1 foto añadida a { $site }
       *[other] { $count } fotos añadidas a { $site }
    }
desk-none = No se añadió ninguna foto
desk-filed = { $file }: { $pour }, { $stage }
desk-loose = { $file }: por su hora no es de ningún vertido; abre la obra para archivarla
desk-known = { $file }: ya estaba
desk-refused = { $file }: { $why }
desk-unread = No se puede leer ({ $why }).
desk-large = Pasa de los { $most } MB que se admiten; haz la imagen más pequeña.
desk-more =
    { $count ->
        [one] y 1 archivo más
       *[other] y { $count } archivos más
    }
desk-no-site = Todavía no hay ninguna obra. Crea una y vuelve a añadir las fotos.
desk-which = Hay varias obras. Abre la de las fotos y vuelve a añadirlas.
