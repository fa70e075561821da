## Tablas de registradores: tab-, notable- por qué no se puede tomar nada, line- qué falla en
## una línea, order- de fechas, measure- qué es una columna
tab-title = Una tabla
tab-reading = Se lee el archivo.
tab-rows = { $n ->
    [one] Una fila
   *[other] { $n } filas
 }
tab-column = Columna { $n }
tab-time = Cuándo
tab-date = Fecha, o fecha y hora
tab-clock = Hora del día
tab-same = En la misma columna
tab-order = Cómo están escritas las fechas
tab-choose = Elegir
tab-asked = Estas fechas se pueden leer de más de una manera. Di cuál es la correcta.
tab-zone = Reloj del registrador
tab-zone-site = Como la obra ({ $tz })
tab-decimal = Decimales
tab-values = Qué es cada columna
tab-confirm = Propuesto por los encabezados. Revisa cada una: tomar hormigón por aire da horas falsas.
tab-not = No tomar
tab-unit = Unidad de { $column }
tab-pour = En el hormigón de
tab-from-until = { $from } hasta { $until }
tab-values-n = { $n ->
    [one] Se guarda un valor
   *[other] Se guardan { $n } instantes
 }
tab-together = los más próximos reunidos en su media de { $n } min
tab-odd = { $n ->
    [one] Una línea no se pudo leer
   *[other] { $n } líneas no se pudieron leer
 }
tab-take = { $n ->
    [0] Anotar
   *[other] Está bien: anotar { $n }
 }
tab-said = { $n ->
    [one] Un valor está anotado.
   *[other] { $n } valores están anotados.
 }
notable-too_long = Este archivo pasa de 8 MB. Recórtalo a los meses que importan.
notable-no_rows = No se halló ninguna fila con hora y número. Una tabla tiene una línea por instante, con celdas separadas por coma, punto y coma o tabulador.
notable-order_needed = Di cómo están escritas las fechas.
notable-columns_needed = Di qué es al menos una columna.
notable-wrong_unit = Esta unidad no corresponde a lo que mide la columna.
notable-nothing_read = Así no se puede leer ninguna línea. Revisa el orden de la fecha, los decimales y las columnas.
notable-too_many_rows = Esta tabla pasa de un año de horas. Recórtala a los meses que importan.
line-no_time = Línea { $line }: «{ $text }» no es una hora
line-skipped_time = Línea { $line }: los relojes saltan { $text }
line-no_number = Línea { $line }: «{ $text }» no es un número
line-out_of_range = Línea { $line }: { $text } no puede ser
line-same_time = Línea { $line }: { $text } está dos veces, con otros valores; quedó el primero
order-ymd = año, mes, día
order-dmy = día, mes, año
order-mdy = mes, día, año
order-seconds = segundos desde 1970
order-millis = milisegundos desde 1970
measure-air = Aire
measure-rh = Humedad
measure-wind = Viento
measure-rain = Lluvia
measure-fresh = Hormigón al colocarlo
measure-edge = Hormigón, borde
measure-middle = Hormigón, media profundidad
measure-top = Hormigón, arriba
