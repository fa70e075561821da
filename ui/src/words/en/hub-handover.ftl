## The record of a site (ho-), which the hub words itself; texts of milestones, warnings
## and observations are in app.ftl.

ho-title = Site record: { $site }
ho-foot = { $site } · as of { $when }
ho-page = Page { $page } of { $pages }
ho-made = Record as of { $when }, time zone { $zone }
ho-poured = Poured
ho-pours = Pours
ho-steps = Steps planned
ho-people = Logged by
ho-photos = Photos
ho-where = Position
ho-overview = All pours
ho-col-pour = Pour
ho-col-began = Began
ho-col-temps = Air / concrete
ho-col-now = State
ho-used = What was used
ho-water-range = Water per bag
ho-size = Width × depth × height
ho-now-strength = Strength by now, cautious to middle
ho-logged-by = Logged by
ho-entered-by = { $name } (entered by { $by })
ho-mixed = Batches
ho-water = Water
ho-water-off = outside of the bag’s range
ho-dose = { $name }: { $pct } of the cement
ho-times = Times: reckoned and real
ho-col-what = What
ho-col-likely = Likely
ho-col-range = Range (5 to 95 %)
ho-col-seen = Seen or done
ho-col-why = What decides
ho-from = from { $when }
ho-curve = Strength against age: middle, and the range from cautious to hopeful
ho-curve-alt = Strength of { $name } against its age. The same numbers stand in the table below.
ho-readings = Weather and temperatures
ho-wind = Wind
ho-by = By
ho-happened = What happened
ho-assumed = What these times rest on
ho-mix-assumed = No mix was chosen: a plain bagged mix was assumed.
ho-basis = Air from { $how }: { $n } air and { $c } concrete { $c ->
    [one] reading
   *[other] readings
 }.
ho-until = Readings reach to { $when }; later times rest on a forecast or on the last days carried on.
ho-learned = { $n ->
    [one] One observation of earlier pours was used.
   *[other] { $n } observations of earlier pours were used.
 }
ho-corrected = { $n ->
    [0] No entry of this pour was changed after it was logged.
    [one] One entry of this pour was changed after it was logged.
   *[other] { $n } entries of this pour were changed after they were logged.
 }
ho-some = { $n } of { $all } photos; all of them are in the zip of photos.
ho-photo-alt = Photo of { $name }, { $stage }, { $when }
ho-colours = Measured colours
ho-colour-how = Measured in photos with a reference card beside the concrete; CIELAB under D65. dE is CIEDE2000 against the pour that the others are held against.
ho-col-measured = Measured
ho-col-lab = Colour
ho-col-doses = Pigments, of the cement
ho-col-apart = Difference
ho-notes = About this record
ho-how = Times are in the time zone of the site. What is called likely, and the ranges, were reckoned from the temperatures that the concrete had, with what people saw on earlier pours; what was seen or done is what they logged.
ho-changed = Of { $entries } entries, { $changes } change earlier ones and { $back } take something back. Nothing that was logged is ever deleted: every earlier version is in the file for another hub.
ho-conflicts = { $n ->
    [one] One value was changed by two people who did not see each other; the first of them is used until somebody settles it.
   *[other] { $n } values were changed by two people who did not see each other; the first is used until somebody settles it.
 }
ho-problems = { $n ->
    [one] One entry could not be used.
   *[other] { $n } entries could not be used.
 }
ho-care = Strengths and times are reckoned, not tested. Follow the bag’s data sheet, local codes and, for anything structural, a licensed engineer.

ho-zip-gps = These are the photos as they came, with the positions that are in them.
ho-zip-no-gps = Positions were taken out of these copies of the photos, and with them all notes of the camera’s maker. The pictures were not encoded again unless it is said below.
ho-zip-again = { $name }: encoded again as a JPEG without its notes, because { $file } cannot be cleaned otherwise.
ho-zip-cannot = { $name }: left out, because { $file } cannot be cleaned of positions on this computer.
ho-zip-away = { $name }: left out, because { $file } is not on this computer yet, or is damaged.
ho-copied = copied from { $site }
