## Die Luft, nach der gefragt wird: air-ask; Einträge, die nicht passen: odd-
air-ask = Wie warm ist die Luft?
    .why = Der Frischbeton sagt, wie warm er eingebaut wurde, nicht die Luft um ihn. Bis dahin wird nichts nach dem Erstarren gesagt.
    .less = Ein Grad weniger
    .more = Ein Grad mehr
    .save = Diese Messung eintragen
odd-far_from_others = { $what } { $value }, { $at }: { $by } Grad { $way ->
    [more] mehr
   *[less] weniger
 }, als die anderen erwarten lassen ({ $expected }).
odd-far_from_physics = { $what } { $value }, { $at }: { $by } Grad { $way ->
    [more] mehr
   *[less] weniger
 }, als Wärme und Wetter erwarten lassen ({ $expected }).
odd-far_from_strength = Eine Prüfung mit { $value }, { $at }: { $expected } waren zu erwarten.
odd-too_early = „{ $what }“, { $at }: { $after } h nach Beginn; vor { $limit } h kann es kaum sein.
odd-too_late = „{ $what }“, { $at }: { $after } h nach Beginn; nach { $limit } h kann es kaum sein.
odd-contradicts = „{ $what }“, { $at }, widerspricht „{ $other }“ von { $other_at }.
odd-right = Stimmt das?
odd-yes = Ja, es stimmt
odd-correct = Ändern
odd-until = Bis dahin zählt es für die Zeiten wenig.
odd-more = { $n ->
    [one] Eine weitere Frage folgt.
   *[other] { $n } weitere Fragen folgen.
 }
odd-waiting = { $n ->
    [one] Ein Eintrag passt nicht zu den anderen.
   *[other] { $n } Einträge passen nicht zu den anderen.
 }
odd-not-here = Diesen Eintrag gibt es nicht mehr.
