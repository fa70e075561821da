## Was geschah: kurze Namen auf den Plätzen des Blatts, und wie es eingetragen wird.
did-thumb_deep = sinkt ein
did-thumb_6mm = 6 mm
did-thumb_faint = schwacher Abdruck
did-thumb_none = keine Spur
did-scratch_deep = Rille, Körner
did-scratch_faint = fühlbare Linie
did-scratch_none = nur Metallspur
did-head-thumb = Daumen eingedrückt
did-ask-thumb = wie tief?
did-head-scratch = Mit dem Nagel gekratzt
did-ask-scratch = was bleibt zurück?
did-head-or = Oder
did-head-rare = Seltener
did-earlier = Fünf Minuten früher
did-later = Fünf Minuten später
did-words = Worte
did-photos = { $n ->
    [one] { $n } Foto
   *[other] { $n } Fotos
}
did-choose = Was geschah?
did-log = Eintragen: { $what }, { $when }
did-open = Eintragen, was geschah
did-thumb = Daumen: { $what }
did-scratch = Nagel: { $what }
## Fields for gloves.
num-less = { $what }: weniger
num-more = { $what }: mehr
wind-moves = Der Wind bewegt
wind-calm = nichts
wind-leaves = Blätter
wind-twigs = Zweige
wind-trees = kleine Bäume
