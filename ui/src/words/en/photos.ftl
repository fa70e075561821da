## Photos: where they go, by step and stage.
stage-base = Base
stage-form = Form
stage-mesh = Mesh

photo-went = { $n ->
    [one] Photo: { $place }
   *[other] { $n } photos: { $place }
}
photo-went-many = to { $n } places
photo-change = Change
photo-place = { $n ->
    [one] Where does this photo belong?
   *[other] Where do these { $n } photos belong?
}
photo-by-time = By its time
photo-by-log = As the log says
photo-nowhere = No step
photo-file-as = File it: { $place }
photo-placed = { $n ->
    [one] Photo: { $place }
   *[other] { $n } photos: { $place }
}
photo-record = Time, note and history
photo-step = { $name }: before the pour
clockwhy-activity = { $n } of its photos lie hours beside everything that was logged or photographed otherwise, and on it with this shift.

bar-photos = Photos
board-step = { $name }: { $what }
board-lacks-base = the base has no photo yet
board-lacks-form = the form has no photo yet
board-lacks-fresh = the fresh concrete has no photo yet
board-lacks-texture = the texture has no photo yet
board-lacks-form_off = no photo yet since the form came off
board-lacks-dry = no photo yet of the dry step
board-before-base = Take it before the form stands.
board-before-form = Take it before the concrete goes in.
board-before-fresh = Take it before the sheen is gone.
board-before-texture = Take it before the sheet goes on.
board-before-form_off = Take it before it is covered again.
board-before-dry = Take it in even light.
board-base = Base
board-form = Form
board-fresh = Fresh
board-texture = Texture
board-form_off = Form off
board-dry = Dry
board-missed = not taken
board-coming = still to come
board-hold = hold: choose
board-take = Photograph it
board-add = Add files
board-choose = Choose
board-chosen = { $n } chosen
board-file = File
board-shift = Shift time
board-shift-title = { $n ->
    [one] Shift the time of this photo
   *[other] Shift the time of { $n } photos
}
board-hand = Hand over
board-compare = Compare
board-photos = { $name }: { $n ->
    [one] photo
   *[other] { $n } photos
}
