## The air that is asked for: air-ask; entries that do not fit: odd-
air-ask = How warm is the air?
    .why = The fresh concrete tells how warm it was placed, not the air around it. Nothing past set is told until then.
    .less = One degree less
    .more = One degree more
    .save = Keep this reading
odd-far_from_others = { $what } { $value }, { $at }: { $by } degrees { $way ->
    [more] more
   *[less] less
 } than the others let expect ({ $expected }).
odd-far_from_physics = { $what } { $value }, { $at }: { $by } degrees { $way ->
    [more] more
   *[less] less
 } than heat and weather let expect ({ $expected }).
odd-far_from_strength = A test of { $value }, { $at }: { $expected } was to be expected.
odd-too_early = “{ $what }”, { $at }: { $after } h after the start; before { $limit } h it can hardly be.
odd-too_late = “{ $what }”, { $at }: { $after } h after the start; after { $limit } h it can hardly be.
odd-contradicts = “{ $what }”, { $at }, contradicts “{ $other }” of { $other_at }.
odd-right = Is it right?
odd-yes = Yes, it is right
odd-correct = Correct it
odd-until = Until then it weighs little in the times.
odd-more = { $n ->
    [one] One more question follows.
   *[other] { $n } more questions follow.
 }
odd-waiting = { $n ->
    [one] One entry does not fit the others.
   *[other] { $n } entries do not fit the others.
 }
odd-not-here = This entry is not here any more.
