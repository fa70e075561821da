## El aire que se pregunta: air-ask; anotaciones que no encajan: odd-
air-ask = ¿Qué temperatura tiene el aire?
    .why = El hormigón fresco dice a qué temperatura se colocó, no la del aire. Hasta saberla no se dice nada posterior al fraguado.
    .less = Un grado menos
    .more = Un grado más
    .save = Guardar esta medición
odd-far_from_others = { $what } { $value }, { $at }: { $by } grados { $way ->
    [more] más
   *[less] menos
 } de lo que hacen esperar las demás ({ $expected }).
odd-far_from_physics = { $what } { $value }, { $at }: { $by } grados { $way ->
    [more] más
   *[less] menos
 } de lo que hacen esperar el calor y el tiempo ({ $expected }).
odd-far_from_strength = Un ensayo de { $value }, { $at }: se esperaban { $expected }.
odd-too_early = «{ $what }», { $at }: { $after } h después del inicio; antes de { $limit } h apenas puede ser.
odd-too_late = «{ $what }», { $at }: { $after } h después del inicio; después de { $limit } h apenas puede ser.
odd-contradicts = «{ $what }», { $at }, contradice «{ $other }» de { $other_at }.
odd-right = ¿Es correcto?
odd-yes = Sí, es correcto
odd-correct = Corregirlo
odd-until = Hasta entonces pesa poco en las horas.
odd-more = { $n ->
    [one] Sigue una pregunta más.
   *[other] Siguen { $n } preguntas más.
 }
odd-waiting = { $n ->
    [one] Una anotación no encaja con las demás.
   *[other] { $n } anotaciones no encajan con las demás.
 }
odd-not-here = Esta anotación ya no está.
