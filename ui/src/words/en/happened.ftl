## What happened: short names in the places of the sheet, and how it is logged.
did-thumb_deep = sinks in
did-thumb_6mm = 6 mm
did-thumb_faint = faint print
did-thumb_none = no mark
did-scratch_deep = groove, grains
did-scratch_faint = line you feel
did-scratch_none = metal mark only
did-head-thumb = Thumb pressed in
did-ask-thumb = how deep?
did-head-scratch = Scratched with a nail
did-ask-scratch = what does it leave?
did-head-or = Or
did-head-rare = Less often
did-earlier = Five minutes earlier
did-later = Five minutes later
did-words = Words
did-photos = { $n ->
    [one] { $n } photo
   *[other] { $n } photos
}
did-choose = What happened?
did-log = Log: { $what }, { $when }
did-open = Log what happened
did-thumb = thumb: { $what }
did-scratch = scratch: { $what }
## Fields for gloves.
num-less = { $what }: less
num-more = { $what }: more
wind-moves = The wind moves
wind-calm = nothing
wind-leaves = leaves
wind-twigs = twigs
wind-trees = small trees
