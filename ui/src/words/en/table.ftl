## Tables of loggers: tab-, notable- why nothing can be taken, line- what is wrong with a line,
## order- of dates, measure- what a column is
tab-title = A table
tab-reading = The file is read.
tab-rows = { $n ->
    [one] One row
   *[other] { $n } rows
 }
tab-column = Column { $n }
tab-time = When
tab-date = Date, or date and time
tab-clock = Time of day
tab-same = In the same column
tab-order = How dates are written
tab-choose = Choose
tab-asked = These dates can be read in more than one way. Say which is right.
tab-zone = Clock of the logger
tab-zone-site = As the site ({ $tz })
tab-decimal = Decimals
tab-values = What each column is
tab-confirm = Proposed from the headings. Check each one: concrete taken for air gives wrong times.
tab-not = Not taken
tab-unit = Unit of { $column }
tab-pour = In the concrete of
tab-from-until = { $from } until { $until }
tab-values-n = { $n ->
    [one] One value to be kept
   *[other] { $n } instants to be kept
 }
tab-together = closer values drawn together to their mean over { $n } min
tab-odd = { $n ->
    [one] One line could not be read
   *[other] { $n } lines could not be read
 }
tab-take = { $n ->
    [0] Take in
   *[other] Right so: take in { $n }
 }
tab-said = { $n ->
    [one] One value is in the log.
   *[other] { $n } values are in the log.
 }
notable-too_long = This file is longer than 8 MB. Cut it to the months that matter.
notable-no_rows = No row with a time and a number was found. A table has one line for each time, its cells parted by comma, semicolon or tab.
notable-order_needed = Say how dates are written.
notable-columns_needed = Say what at least one column is.
notable-wrong_unit = This unit does not belong to what the column measures.
notable-nothing_read = Not one line can be read so. Check the order of the date, the decimals and the columns.
notable-too_many_rows = This table is longer than a year of hours. Cut it to the months that matter.
line-no_time = Line { $line }: “{ $text }” is no time
line-skipped_time = Line { $line }: the clocks skip { $text }
line-no_number = Line { $line }: “{ $text }” is no number
line-out_of_range = Line { $line }: { $text } cannot be
line-same_time = Line { $line }: { $text } stands there twice, with other values; the first was kept
order-ymd = year, month, day
order-dmy = day, month, year
order-mdy = month, day, year
order-seconds = seconds since 1970
order-millis = milliseconds since 1970
measure-air = Air
measure-rh = Humidity
measure-wind = Wind
measure-rain = Rain
measure-fresh = Concrete as placed
measure-edge = Concrete, edge
measure-middle = Concrete, half depth
measure-top = Concrete, top
