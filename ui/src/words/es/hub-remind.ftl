## Lo que dice la central misma en los avisos

remind-title = { $site }: toca ahora
remind-title-more = { $site }: { $n } avisos
remind-title-wet = { $site }: mantenlo mojado
remind-line = { $name }: { $ask }
remind-now = { $name }: { $ask } ahora
remind-until = { $name }: { $ask } ahora, hasta { $until }
remind-since = { $name }: { $ask }, pendiente desde { $from }
remind-since-until = { $name }: { $ask }, pendiente desde { $from }, hasta { $until }
remind-soon = { $name }: { $ask } desde { $from }
remind-try = { $name }: quizá { $ask }. { $test }
remind-try-until = { $name }: quizá { $ask }, hasta { $until }. { $test }
remind-try-soon = { $name }: quizá { $ask } desde { $from }, prueba antes
remind-try-line = { $name }: { $ask } (prueba antes)
remind-missed = { $name }: ya pasó el momento de { $ask } ({ $from } a { $until }). Mira antes de hacer nada.
remind-wet = { $name }: mantenlo mojado y cubierto, hasta { $until }
remind-sample = Muestra
remind-done = Hecho
remind-snooze = En 30 min otra vez
remind-mail-foot = Calculado con lo anotado. Comprueba con la mano, y sigue la ficha técnica del saco y las normas locales. Los avisos se cambian en Ajustes, Avisos.
remind-calendar = Slowstone
remind-test = Prueba
