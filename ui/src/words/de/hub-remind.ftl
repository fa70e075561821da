## Was der Hub selbst zu Erinnerungen sagt

remind-title = { $site }: jetzt dran
remind-title-more = { $site }: { $n } Erinnerungen
remind-title-wet = { $site }: nass halten
remind-line = { $name }: { $ask }
remind-now = { $name }: jetzt { $ask }
remind-until = { $name }: jetzt { $ask }, bis { $until }
remind-since = { $name }: { $ask }, dran seit { $from }
remind-since-until = { $name }: { $ask }, dran seit { $from }, bis { $until }
remind-soon = { $name }: { $ask } ab { $from }
remind-try = { $name }: vielleicht { $ask }. { $test }
remind-try-until = { $name }: vielleicht { $ask }, bis { $until }. { $test }
remind-try-soon = { $name }: vielleicht { $ask } ab { $from }, erst prüfen
remind-try-line = { $name }: { $ask } (erst prüfen)
remind-missed = { $name }: Die Zeit ist vorbei ({ $ask }, { $from } bis { $until }). Sieh nach, bevor du etwas tust.
remind-wet = { $name }: nass und abgedeckt halten, bis { $until }
remind-sample = Probe
remind-done = Erledigt
remind-snooze = In 30 min wieder
remind-mail-foot = Gerechnet aus dem, was eingetragen ist. Prüfe mit der Hand, und halte dich an das Datenblatt des Sackbetons und die örtlichen Vorschriften. Erinnerungen änderst du unter Einstellungen, Erinnerungen.
remind-calendar = Slowstone
remind-test = Test
