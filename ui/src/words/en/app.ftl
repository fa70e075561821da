## Words of the web app, English. Plain words of the trade, one word per idea.
## Key prefixes: m- milestone, may- its state, phase-, why- criterion, warn-, seen- observation,
## air- source of air temperature, notyet-, place-, ts- source of a photo's time, stage-,
## risk-, sky-, f- field, k- kind of record, opt- other choices, said-, error-.

## Milestones. .now: may be done now. .next: what is waited for. .not: must not be done yet.
## .ask: reminder. .care: caution that stands beside it.

m-sheen_gone = Bleed sheen gone
    .now = Bleed sheen should be gone
    .next = bleed sheen gone
    .not = trowel or texture while water stands
    .ask = look whether the sheen is gone
    .care = Do not work bleed water into the surface: it makes a weak, dusting skin.
m-texture = Texture window
    .now = Press the texture now
    .next = texture window
    .not = press the texture
    .ask = press the texture
    .care = Wet concrete burns skin. Gloves, boots, long sleeves; wash off splashes at once.
m-initial_set = Initial set
    .now = Begins to set
    .next = initial set
    .not = touch the surface
    .ask = initial set
    .care = Leave surface and form alone while it sets.
m-final_set = Final set
    .now = Set
    .next = final set
    .not = bump the form
    .ask = final set
    .care = Set is not strength: the form still holds it.
m-form_off = Form may come off
    .now = Form can come off now
    .next = form off
    .not = take the form off
    .ask = take the form off
    .care = Off too early tears edges and relief. Two people lift a long form; stop when it sticks, tap, wait.
m-dress = Green: dress the edges
    .now = Dress the edges now
    .next = dress the edges
    .not = dress the edges
    .ask = dress the edges
    .care = Grinding dry concrete makes silica dust: keep it wet, wear a P100 or FFP3 mask and eye protection.
m-next_step = Next step on top
    .now = Next step can go on top
    .next = next step on top
    .not = cast on top of it
    .ask = cast the next step on top
    .care = The lower step carries form, fresh concrete and you. Follow the data sheet of the bag and local codes.
m-foot = Light foot traffic
    .now = Can be walked on
    .next = light foot traffic
    .not = walk on it
    .ask = walk on it
    .care = Light foot traffic only: no barrow, no dropped tools, mind the edges.
m-full_use = Full use
    .now = In full use
    .next = full use
    .not = load it
    .ask = use it fully
    .care = For anything structural, ask a licensed engineer.
m-curing_ends = End of curing
    .now = Curing may end
    .next = end of curing
    .not = let it dry out
    .ask = end the curing
    .care = Keep it damp and covered until then: what dries now never gains its strength.
m-seal = Ready to stain or seal
    .now = Stain or seal after a dry sheet test
    .next = stain or seal
    .not = stain or seal it
    .ask = try the plastic sheet, then stain or seal
    .care = Tape a plastic sheet on it for a day: dark or wet below means wait. Follow the data sheet of the sealer.

may-done = done
may-now = now
may-likely = likely by now
may-maybe = perhaps: try by touch
may-later = not yet
may-passed = window has closed
may-never = not within reach of this forecast

phase-fresh = Fresh: leave it alone
    .short = fresh
phase-texture_by_touch = Perhaps takes a texture: a thumb decides
    .short = perhaps takes a texture
phase-texture = Takes a texture now
    .short = takes a texture
phase-setting = Setting: hands off
    .short = setting
phase-form_off = Form can come off now
    .short = form can come off
phase-green = Green: mind the edges
    .short = green
phase-curing = Curing: keep it damp
    .short = curing
phase-usable = In full use
    .short = usable
phase-done = Finished
    .short = finished
phase-unknown = No times yet
    .short = no times yet

notyet-no_temperature = No temperature is known. Add an air reading and the times appear.
notyet-impossible = A value of this pour cannot be. Check temperatures, mix and times.
notyet-starts_later = Its start lies ahead: planned, or a wrong date. Nothing is reckoned until then.

why-bleed_against_evaporation = Bleed water has dried off faster than it rises
why-age = Old enough: { $hours } h at { $ref }
why-strength = Strong enough: { $mpa } { $place }
why-share = { $pct } of the specified 28-day strength
why-warm_hours = { $hours } h of air at { $temp } or warmer; colder hours count for less
why-calendar_days = { $days } { $days ->
    [one] day
   *[other] days
 } by the calendar
why-curing_table = Curing table (DIN 1045-3): { $days } { $days ->
    [one] day
   *[other] days
 }
why-handbook = By the handbook beside it: { $days } days at { $temp } (NHBC)
why-load = By its load beside it: { $mpa } at the edge
why-freely = Walk on it freely: { $mpa } at the top; until then in soft soles and off the edges
why-sheet_test = Dry plastic-sheet test, by you
why-observed = Seen on the site
why-learned_here = What this mix did on earlier steps here
why-after = First: { $milestone }
why-governs = decides
why-met = met { $when }
why-will = will be met { $when }
why-open = not met in this forecast

place-edge = at the coldest edge
place-middle = at half depth
place-top = at the top

warn-frost_before_strength = { $seen ->
    [true] Frost at { $when } while it had only { $mpa }: it may be damaged. Tap it and look for scaling before you trust it.
   *[false] Frost expected { $when } while it has only { $mpa }. Cover it with blankets before dark.
 }
warn-too_much_water = More water than the bag allows: about { $loss } weaker. The times here reckon with it.
warn-too_little_water = Less water than the bag allows: stiff, hard to compact. Look for honeycombs when the form is off.
warn-dries_fast = The surface dries at { $rate }: { $risk ->
    [act] cracks are likely. Shade it, break the wind, mist or cover at once.
   *[other] watch it. Have shade, windbreak and mist ready.
 }
warn-short_window = The texture window is short, about { $minutes } min. Have liner, tamper and hands ready before it opens.
warn-rain_before_set = Rain at { $when }, before it had set: look for a washed, soft skin.
warn-hot = It gets as hot as { $temp }: about { $loss } less strength in the end. Shade it and keep it wet.
warn-cold_placing = Placed at { $temp }: too cold for fresh concrete. Everything takes longer; keep it covered.
warn-pigment_high = Pigment is { $pct } of the cement. Above a tenth it weakens the concrete and colours little more.
warn-improvised = Something not made for concrete went in: these times are less sure. Try by touch.
warn-stripped_early = The form came off when it had about { $mpa }: earlier than it was due. Keep hands and feet off the edges.
warn-walked_early = Walked on before it was due: look at the edges and the surface.
warn-set_changed = Retarder or accelerator in it: follow the times of its maker where they differ.

seen-sheen_gone = Sheen gone
seen-thumb_deep = Thumb sinks in
seen-thumb_mark = Thumb leaves a mark, depth not noted
seen-thumb_6mm = Thumb presses in about 6 mm
seen-thumb_faint = Thumb leaves a faint print
seen-thumb_none = Thumb leaves no mark
seen-textured = Texture pressed
seen-stripped_clean = Form off, clean
seen-stripped_stuck = Form off, stuck or tore
seen-scratch_deep = Nail scratches a groove, grains come loose
seen-scratch_faint = Nail leaves a line you can feel
seen-scratch_none = Nail leaves only a metal mark
seen-edge_damage = Edge damaged
seen-cracked = Crack
seen-dressed_easily = Dressed, easy
seen-dressed_hard = Dressed, hard work
seen-wetted = Wetted
seen-covered = Covered
seen-uncovered = Cover off
seen-shaded = Shade or windbreak
seen-rain = Rain
seen-frost = Frost
seen-walked = Walked on
seen-curing_ended = Curing ended
seen-sealed = Stained or sealed
seen-strength = Strength test
seen-note = Note

air-readings = your readings
air-hourly = an hourly forecast or logger
air-day_range = each day’s lowest and highest
air-carried_on = the last days carried on

ts-exif_offset = time from the camera, with its time zone
ts-exif_site_zone = time from the camera, read in the time zone of the site
ts-other_date = another date in the file
ts-arrival = no time in the file: when it arrived

risk-low = low
risk-caution = caution
risk-act = act now

sky-sun = Sun
sky-broken = Some cloud
sky-overcast = Overcast
sky-shade = Shade

stage-prepare = Before the pour
stage-fresh = Fresh
stage-texture = Texture
stage-setting = Setting
stage-form_off = Form off
stage-green = Green
stage-curing = Curing
stage-usable = In use
stage-done = Finished

what-created = logged
what-corrected = changed
what-retracted = taken back
what-restored = restored

## Records and fields
k-site = Site
k-flight = Flight
k-step = Step
k-mix = Mix
k-additive = Additive
k-form = Form
k-liner = Liner
k-pour = Pour
k-batch = Batch
k-reading = Reading
k-forecast = Forecast
k-observation = Observation
k-photo = Photo
k-hourly = Hourly values
k-unlearn = Lesson forgotten
k-mark = Answer to a reminder
k-correction = Change
k-retraction = Taking back

kk-flight = Flights
kk-step = Steps
kk-mix = Mixes
kk-additive = Additives
kk-form = Forms
kk-liner = Liners

add-flight = Add a flight
add-step = Add a step
add-mix = Add a mix
add-additive = Add an additive
add-form = Add a form
add-liner = Add a liner
add-reading = Add a reading
add-forecast = Add a forecast
add-batch = Add a batch
add-observation = Add an observation
add-site = New site

f-name = Name
f-place = Where it is
f-tz = Time zone
f-units = Units
f-lat = Latitude
f-lon = Longitude
f-located = Place by
f-note = Note
f-flight = Flight
f-number = Number (1 at the bottom)
f-width_m = Width, along the front
f-depth_m = Depth, front to back
f-rise_m = Height as cast
f-on_step_below = Rests mostly on the step below
f-bag_kg = Bag
f-yield_l = Fresh concrete from a bag
f-water_min_l = Least water per bag
f-water_max_l = Most water per bag
f-cement_pct = Cement in the dry mix
f-class_mpa = Strength at 28 days
f-class_7d_mpa = Strength at 7 days
f-class_3d_mpa = Strength at 3 days
f-class_1d_mpa = Strength at 1 day
f-strengths_are = These strengths are
f-initial_set_h = Initial set at 23 °C, hours
f-rapid = Fast setting or high early strength
f-kind = What it is for
f-liquid = Liquid
f-tone = How dark it colours
f-min_pct = Least dose, of cement
f-max_pct = Greatest dose, of cement
f-material = Boards
f-board_mm = Board thickness
f-relief_mm = Depth of the relief
f-undercut = Has undercuts that lock in
f-step = Step
f-mix = Mix
f-form = Form
f-liner = Liner
f-liner_side = Side of the liner
f-second_pour = Where the step was poured before
f-until_ms = Until when
f-started_ms = Started
f-finished_ms = Screeded
f-air_c = Air
f-concrete_c = Concrete
f-rh_pct = Humidity
f-wind_kmh = Wind at the step
f-rain_mm_h = Rain
f-sky = Sky over the step
f-pour = Pour
f-bags = Bags
f-water_l = Water, all together
f-additives = Additives
f-amount = Amount
f-additive = Additive
f-logged_ms = When it was logged
f-at_ms = When
f-date = Day
f-min_c = Lowest
f-max_c = Highest
f-what = What
f-mpa = Result
f-stage = Stage
f-state = How wet it was
f-taken_ms = Taken
f-before_ms = Up to
f-place_in = Measured
f-by = Your name

opt-metric = Metric: °C, mm, kg, L, MPa
opt-us = US: °F, in, lb, qt, psi
opt-pigment = Pigment
opt-plasticiser = Plasticiser
opt-accelerator = Accelerator
opt-retarder = Retarder
opt-fibre = Fibre
opt-improvised = Not made for concrete
opt-other = Something else
opt-minimum = The least that the maker promises
opt-mean = Means of tests
opt-light = Light: white, buff, yellow
opt-dark = Dark: red, brown, black
opt-timber = Timber
opt-plywood = Plywood
opt-steel = Steel
opt-plastic = Plastic
opt-fresh = as placed
opt-edge = at an edge
opt-middle = at half depth
opt-top = on top
opt-position = a phone’s position
opt-town = a town
opt-typed = typed
opt-core = inside
opt-surface = on the surface
opt-none = none
opt-yes = yes
opt-no = no

## Settings: set-NAME is the title of ui/src/settings/NAME.svelte, .what what it is for.
settings = Settings
set-language = Language
    .what = Words, dates and numbers on this device
set-language-own = As this device

## Screens
app-name = Slowstone
sites-title = Sites
sites-empty = Log each pour. See when the form may come off, when the next step may go on top, and why.
sites-new = New site
sites-pour = Log the first pour
    .hint = Concrete is going in? The steps and the mix are filled in as they usually are; change them when there is time.
sites-first = Begin with a site
site-first-name = My site
site-steps = { $steps ->
    [0] no steps yet
    [one] { $steps } step
   *[other] { $steps } steps
 }
site-pours = { $pours ->
    [0] nothing poured yet
    [one] { $pours } pour
   *[other] { $pours } pours
 }
site-last = last entry { $when }

step-n = Step { $n }
step-unpoured = Not poured yet
step-volume = { $volume } as a box
sample = Sample
poured = poured { $when }
next-line = Next: { $what }
next-likely = likely { $when }
next-safe = safe from { $when }
not-line = Not yet: { $list }
maybe-line = Perhaps: { $list }.
head-try = Test first: { $ask }
test-water = Look along the surface: no water may stand on it.
test-thumb = Press a thumb: it should leave a mark of about 6 mm, not sink in.
test-scratch = Scratch an edge with a nail: a fine line at most, no groove.
test-strength = Before it is safe only a test of strength decides.
test-sheet = Tape a plastic sheet on it for a day: no water below it.
can-also = Also: { $list }
due-title = Now due
due-line = { $name }: { $ask }
due-until = until { $when }
due-done = Done
due-later = Later
due-later-hint = ask again in 1 h
due-open = Look
due-more = { $n } more
coming-title = Coming up

start-title = What is to be cast?
start-hint = Change what differs; the rest can be changed at any time.
start-how-many = How many steps?
start-all-same = Size of each step
start-mix = The mix, as the bag states it
start-go = Set up { $n ->
    [one] { $n } step
   *[other] { $n } steps
 }
start-flight = Flight
start-mix-name = Plain concrete mix
start-form-name = Timber form
start-skip = Add them one by one instead
more-steps = Add steps of one size

log-title = Log a pour
log-second = { $name } is poured already ({ $when }). What is this pour?
log-second-wrong = The wrong step: choose another
log-ahead = This start lies ahead: { $when }. Does the pour begin then?
log-ahead-yes = Yes, it is planned for then
log-ahead-now = No, it begins now
log-answer-first = Answer this first, then save.
second-replaces = A new attempt: the one before came out
second-layer = A second layer on top
other-pours = Other pours of this step
other-line = { $when }: { $what }
other-replaced = replaced by a new attempt
other-planned = planned
other-pour = another pour
pour-replaced = A new attempt has taken the place of this pour.
log-save = Save the pour
log-more = Weather, mix and more
log-batches = Batches
log-batch-add = Another batch like the last one
log-batch-out = Take this batch out
log-sample = A sample, no step
log-draft = What you typed last time is still here.
log-draft-drop = Begin anew
log-now = now
log-ago = { $m } min ago
log-h-ago = { $h } h ago

bar-steps = Steps
bar-photo = Photo
bar-log = Log a pour
bar-reading = Reading
bar-more = More
bar-happened = What happened

pour-line = Time line
pour-now = now
pour-why = Why
pour-seen-head = What happened
rec-undo-short = Undo
pour-curve = Strength and temperature
pour-batches = What went in
pour-readings = Readings
pour-photos = Photos
pour-record = This pour
pour-waiting = This pour is saved on this phone and not sent yet. Its page appears when the hub is reached, or when the app has been loaded once in full.
pour-assumed = No mix was chosen: a plain bagged mix is assumed.
range = { $early } to { $late }
earliest = { $when } at the earliest
safe-from = safe from { $when }
until-safe = until { $when }
seen-at = seen { $when }
likely-since = likely since { $when }
safe-since = safe since { $when }
possible-since = possible since { $when }
was-open = likely open { $early } to { $late }
care-more = Follow the data sheet of the bag, local codes, and for anything structural a licensed engineer.
care-fresh = Wet concrete burns skin and eyes. Gloves and boots; wash splashes off at once. Emptying bags makes silica dust: mask on, wind in your back.
care-weak = It holds its shape before it holds a load. Early stripping chips edges and tears relief.

why-now-strength = Strength now
    .range = { $low } to { $mid }, cautious to likely
why-age-now = Maturity so far
    .unit = { $h } h at { $ref }
why-degree-hours = Degree-hours above freezing
why-concrete = Concrete now
why-edge = Coldest edge
why-air = Air now
why-evaporation = Drying of the fresh surface
    .line = { $low } to { $high }: { $risk }
why-source = Temperatures from
why-source-line = { $n ->
    [0] no air reading yet
    [one] { $n } air reading
   *[other] { $n } air readings
 }, { $c ->
    [0] none in the concrete
    [one] { $c } in the concrete
   *[other] { $c } in the concrete
 }
why-until = Readings reach to { $when }; from there on { $how }.
why-learned = { $n ->
    [one] { $n } observation of this mix here
   *[other] { $n } observations of this mix here
 } taken into account.
look-next = What to look at next
look-sheen = Watch for the end of the sheen from { $when }
look-thumb = Press a thumb into the surface { $when }
look-scratch = Scratch an edge with a nail { $when }
look-air_reading = Read the air { $when }
look-concrete_reading = Read a thermometer in the concrete { $when }
look-worth = { $look }: “{ $milestone }” is then safe { $hours } h sooner on average, or you know why not.

curve-48h = 48 h
curve-7d = 7 days
curve-28d = 28 days
curve-low = cautious
curve-mid = likely
curve-high = hopeful
curve-strength = Strength
curve-temp = Temperature
curve-concrete = concrete
curve-air = air
curve-table = The curve as a table
curve-label = Strength against time: now about { $mid }, cautious { $low }. The table below has the numbers.
curve-when = When

mixed-bags = { $bags ->
    [one] { $bags } bag
   *[other] { $bags } bags
 }
mixed-water = { $water } per bag
mixed-fits = within the range of the bag
mixed-over = outside the range of the bag ({ $min } to { $max })
mixed-cement = { $cement } of cement
mixed-dose = { $pct } of cement
mixed-dose-fits = within the range of its maker
mixed-dose-over = outside the range of its maker
mixed-none = No batch logged yet.

photo-add = Camera
photo-file = Files
photo-failed = { $name }: { $why }
photo-again = Try again
photo-known = already here
photo-here = Only on this phone
photo-gone = This browser has lost its bytes. Take it again, or choose it from the phone's gallery.
photo-no-room = { $name } was not kept: this browser has no room left. It is still in the phone's gallery if it was taken there; free some space and choose it again.
photo-remove = Remove
photo-removed = { $name } was removed from this phone.
photo-none = No photo yet.
photo-loose = Photos that belong to no step yet
photo-move = Change step or stage
photo-broken = cannot be shown here
photo-damaged = The file of this photo is damaged on the hub
photo-missing = The file of this photo is gone from the hub
photo-damaged-why = The entry stays. Whoever took the photo can send the same file again, and it is whole here again; or copy the file from a backup.
photo-send-again = Send it again
photo-mended = { $name } is whole again
photo-open = Photo, { $stage }, { $when }
photo-original = Original file
photo-close = Close
photo-earlier = Earlier
photo-later = Later
photo-of = { $n } of { $of }
photo-step-up = Step before
photo-step-down = Next step
photo-no-alike = No further step has a photo of this stage ({ $stage }).
photo-compare = Before and after
photo-against = Compare with
photo-slider = How much of the earlier photo is shown

clock-head = The clock of { $camera } seems { $way ->
    [late] { $by } slow
   *[early] { $by } fast
}
clockwhy-arrival = { $n } of its photos arrived as soon as they were taken, always by this much off.
clockwhy-ahead = { $n } of its photos are dated after they had arrived, so the clock is fast by at least this.
clockwhy-work = { $n } of its photos fit the work that they are filed under only with this shift.
clock-shift = { $n ->
    [one] Shift this photo by { $by }
   *[other] Shift these { $n } photos by { $by }
}
clock-keep = The clock is right
clock-shifted = { $n ->
    [one] { $n } photo shifted and filed anew.
   *[other] { $n } photos shifted and filed anew.
}

rec-edit = Change
rec-save = Save
rec-cancel = Cancel
rec-correct = Correct
rec-take-back = Take back
rec-undo = Undo this
rec-history = History
rec-by = { $by }, { $when }
rec-for = { $name } (entered by { $by })
rec-edited = changed since
rec-nothing = Nothing was changed.
rec-taken-back = Taken back.
rec-restore = Restore
rec-deleted = This was taken back. Restore it below.
rec-empty = nothing here yet

weather-table = Table of a logger or a forecast (CSV)
advice-title = Handle and protect
advice-none = No advice: the hub cannot be reached, or there is no prediction yet.
protect-none = No frost to fear.
protect-cover = Cover it against frost, top and sides.
protect-heat = A cover will not be enough: insulate thickly and keep it warm.
protect-freezes = Uncovered, the edge comes near freezing { $when }.
protect-until = Keep it on until { $when }.
protect-stands = Stands one frost from { $when }.
window-short = A short texture window: about { $time }.
window-short-how = Have hands and tools ready; next time pour a smaller piece at once, or at an earlier hour. Whether a retarder helps is its supplier's business.
shade-helps = Shade and a windbreak give you time.
shade-line = The texture window lasts about { $now } as things are, { $then } with them.
stack-carries = It may carry the next step.
stack-not = It does not carry the next step yet.
stack-push = The wet concrete in the next form pushes on this edge with about { $push }: brace that form against the ground.
stack-care = With people on top it should have { $load } of its full strength; it surely has { $has }. Until then work from beside it.
move-mass = { $mass } as cast.
move-persons = { $n ->
    [one] One person may lift it from the ground.
   *[other] { $n } people lift it from the ground.
  }
move-machine = More than three people should lift: use a machine, a lever or rollers, or do not move it.
move-holds = It does not crack when it hangs by its ends; its edges break long before.
move-cracks = Hung by its ends it may crack: carry it at a fifth of its length from either end.
clamps = Clamps or stakes of this form at most { $far } apart.
placing = Concrete this thin goes in at { $low } to { $high }.
care-handle = Lifting by the limits of NIOSH for one person, from the ground, poor grip. Nobody stands under or below a step that is moved.
best-title = Best hour to pour
best-how = The higher the bar, the longer the surface takes a texture; hatched where frost, fast drying or the night speaks against it.
best-start = Start at { $at }
best-window = Texture likely { $from } to { $to } ({ $long }).
best-against = But: { $list }.
best-none = Type a forecast first: without a temperature there is no number.
best-over = This day has no hour left.
against-frost = frost before it is strong
against-dries_very_fast = it dries very fast
against-window_at_night = the work falls into the night
against-short_window = a short window
against-dries_fast = it dries fast
against-hot = heat costs final strength
against-strips_at_night = the form waits for the morning

learned-title = What your steps taught
learned-no-mix = Pours without a mix
learned-set-same = Sets about when the bag says.
learned-set-later = Sets about { $time } later than the bag says
learned-set-sooner = Sets about { $time } sooner than the bag says
learned-range = ({ $low } to { $high }).
learned-sheen-same = The bleed sheen goes about when reckoned.
learned-sheen-more = The bleed sheen stays about { $pct } % longer than reckoned
learned-sheen-less = The bleed sheen goes about { $pct } % sooner than reckoned
learned-strong-same = About as strong as the bag says.
learned-strong-more = About { $pct } % stronger than the bag says
learned-strong-less = About { $pct } % weaker than the bag says
learned-from = { $n ->
    [one] From one observation here; at { $ref }.
   *[other] From { $n } observations here; at { $ref }.
  }
learned-nothing = Nothing yet: earlier pours were made to teach nothing.
learned-forget = Forget this
learned-again = Learn from them again
learned-again-said = Earlier pours teach again.

set-title = Setup
set-site = This site
set-look = Look
set-auto = as the device
set-light = light
set-dark = dark
set-person = Your name
set-conflicts = Two people changed the same thing
set-conflict-line = { $kind }, { $field }: choose what holds
set-problem-notice = { $n ->
    [one] One entry has something wrong with it
   *[other] { $n } entries have something wrong with them
 }
set-problem-more = and { $n } more
set-problem-look = Look
set-problems = Entries that could not be used
weather-title = Weather
weather-now = Reading now
weather-forecast = Forecast you heard
weather-today = Today
weather-tomorrow = Tomorrow
weather-list = Readings

name-title = Who is logging?
name-hint = Asked once. It stands beside what you log.

state-try = Try now
state-refused = { $n ->
    [one] The hub refused { $n } entry:
   *[other] The hub refused { $n } entries:
 }
state-refused-drop = I have read it
state-locked = This browser is not let in
    .how = Open the address that the hub printed when it started (it ends in ?t=…). It lets this browser in.
state-lost = There is nothing at this address.
state-gone = It was taken back, or never was here.
state-home = To the sites
state-loading = loading

said-saved = Saved and sent.
said-kept = Saved on this phone. It is sent as soon as the hub is reached.
said-fleeting = Not sent yet, and this browser keeps nothing: leave this page open until it is sent.
said-cleared = This browser has cleared what Slowstone kept for working without the hub. Nothing unsent was among it; it is fetched again.
said-refill = { $n ->
    [one] The hub was set back to a backup. { $n } entry that it lacks is sent again from this phone.
   *[other] The hub was set back to a backup. { $n } entries that it lacks are sent again from this phone.
 }
said-sent = Everything has been sent.
said-refused = Not taken. { $field }: { $why }
said-marked = { $what }: saved.

error-unreachable = The hub is not reached. Look whether it runs and whether this device is on its network.
error-needs-hub = This needs the hub, and it is not reached. The times of every pour and all entries are here.
error-core = The hub is not reached, and this phone has not loaded yet what it needs to reckon by itself. What you log is kept. Open the app once near the hub.
error-http = The hub answered with an error ({ $status }). Try again.
error-shelf = This browser has no room left to keep it. Free some space, then save again.
error-unreadable = This cannot be read. Write it like { $example }.
error-length = Not a length that can be read. Write it like 350 mm, 35 cm, 0.35 m, 5 1/2" or 6'-3".
error-range = Must be from { $min } to { $max }.
error-missing = This is needed.

rel-in = in { $time }
rel-since = { $time } ago
time-outside = time not known
rel-now = just now
len-dh = { $d } d { $h } h
len-d = { $d } d
len-hm = { $h } h { $m } min
len-h = { $h } h
len-m = { $m } min

## The plan: how a flight lies, what to buy, when to pour, what to check
k-layout = How the flight lies
k-rules = Rules
k-materials = Material and waste
k-crew = Hours and people
k-planned = Day of a pour
k-bought = Bought
k-checklist = Check before pouring
k-ticked = Checked

f-bank_rise_m = Height of the bank
f-bank_run_m = Level length of the bank
f-overlap_m = On the step below
f-fall_pct = Fall of the treads
f-fall_min_pct = Least fall
f-fall_max_pct = Most fall
f-base_m = Compacted gravel beneath
f-drain_m = Clean stone below that
f-riser_max_mm = Highest riser
f-going_min_mm = Shortest going
f-variation_max_mm = Most that risers or goings may differ
f-two_r_plus_t_min_mm = Two risers and a going, at least
f-two_r_plus_t_max_mm = Two risers and a going, at most
f-waste_pct = Waste of concrete
f-mixer_l = Mixer or barrow takes
f-dose_pct = Share of the cement
f-mesh_gap_mm = Mesh short of the form
f-rubber_mm = Rubber, mean thickness
f-rubber_kg_l = Rubber, weight by volume
f-rubber_waste_pct = Waste of rubber
f-from_h = Work from, o’clock
f-until_h = Work until, o’clock
f-forms = Forms in use (empty: all)
f-pour_h = Hours to mix, fill and screed
f-wash_h = Hours to strip and wash
f-dry_h = Hours until the liner is dry
f-reset_h = Hours to set the form again
f-planned_ms = Day and hour

add-layout = How the flight lies
add-rules = Rules
add-materials = Material and waste
add-crew = Hours and people

plan-title = Plan
plan-flight = Flight
plan-buy = Buy
plan-days = Days
plan-check = Check
plan-usual = as usual; nobody has changed it
error-clock = The clock of this device is outside the calendar. Set its date, then save again; what you typed is still here.
error-part = This part of the app did not load. Look whether the hub is reached, then load the page again.

lie-steps = { $n ->
    [one] step
   *[other] steps
 }
lie-rise = in height
lie-length = in length
lie-riser = Riser
lie-going = Going
lie-overlap = On the one below
lie-fall = Fall
lie-mass = Mass, wet
lie-drawing = Section and plan of { $name } to scale, { $n } steps. The table below has the sizes.
lie-drawing-hint = To scale on A4. A size on site beats a size on paper.
lie-good = Nothing in it breaks { $rules }.
lie-none = No steps in it yet.
lie-heavy = Heavier than people may lift (one person from the ground: { $one }): cast them where they stay, or bring rollers and a machine.
lie-change = Change how it lies
lie-new = A new flight
lie-lay-out = Lay out from the bank
lie-rules = Riser at most { $riser }, going at least { $going }, neither differing by more than { $differ }; two risers and a going { $least } to { $most }; fall { $fall }.
lie-code = Your local code comes first. Handrails, landings and anything structural are not looked at here.
lie-rules-change = Change to the local rules

lay-hint = Measure the height from the ground in front to the path above, and the level length between. You get the sizes for every number of steps that would do.
lay-propose = Which steps fit?
lay-best = fits best
lay-sizes = Riser { $riser }, going { $going }, two risers and a going { $stride }
lay-form = Form { $depth } deep, { $height } high

amiss-riser = A riser of { $value } is higher than { $limit }.
amiss-going = A going of { $value } is shorter than { $limit }.
amiss-riser_variation = Risers differ by { $value }; { $limit } is the most.
amiss-going_variation = Goings differ by { $value }; { $limit } is the most.
amiss-stride = Two risers and a going come to { $value }: { $side ->
    [above] more than { $limit }, too long a stride.
   *[below] less than { $limit }, too short a stride.
 }
amiss-fall = A fall of { $value } is { $side ->
    [above] more than { $limit }: it tips people.
   *[below] less than { $limit }: water stands on it and freezes.
 }
amiss-bank_rise = The steps come to { $value } in height, the bank to { $limit }.
amiss-bank_run = The goings come to { $value } in length, the bank to { $limit }.
amiss-overlap = Only { $value } on the step below; { $limit } or more is usual.

buy-batch = One batch
buy-plain = Plain bagged mix (none chosen)
buy-as-last = as in the last step
buy-alike = Weigh and mix every batch alike: that is what makes the steps one colour. Start with the lesser water.
buy-heavy = A bag of { $bag } is more than one person should lift from the ground ({ $one }).
buy-change = Mixer, mesh, waste
buy-doses = Pigment and other doses
buy-list = To have before starting: { $n ->
    [one] one step to cast
   *[other] { $n } steps to cast
 }
buy-exact = { $exact } with { $waste } of waste. If every step opens fresh bags: { $each }.
buy-board = boards { $thick } thick, at least { $high } wide
buy-apart = at most { $apart } apart
buy-rubber = { $size }, { $thick } thick on average, in one pour: { $litres } with { $waste } of waste
buy-mesh = { $gap } short of the form all round, at half depth
buy-pieces = { $n ->
    [one] { $n } piece
   *[other] { $n } pieces
 }
buy-there = It is there.
buy-back = Back on the list.
buy-print = Print
buy-care = One bag short and the pour is lost. Pigment by weight, all from one lot. Yield and water are the word of the bag.
buy-steps = Step by step
buy-batches = Batches
buy-mesh-up = Mesh above the bottom

item-bags = Bags
item-additive = Additive
item-water = Water
item-mesh = Mesh
item-chairs = Blocks under the mesh
item-gravel = Gravel for the base, loose
item-stone = Clean stone for drainage, loose
item-boards = Form boards
item-screws = Screws for the form
item-stakes = Stakes and braces
item-sealant = Sealant for the gaps, cartridges
item-rubber = Rubber for one liner
item-release = Release agent
item-cover = Covers for curing, one a step
item-gloves = Waterproof gloves and eye protection, a set a person
item-mask = Dust masks

days-title = When to pour
days-last = { $n ->
    [one] One step is left. It can be poured { $when }.
   *[other] { $n } steps are left. The last one can be poured { $when }.
 }
days-form-buys = With { $forms } forms, { $days } { $days ->
    [one] day
   *[other] days
 } sooner.
days-form-nothing = { $forms } forms would not make it sooner: the steps wait for each other.
steps-none = No steps yet.
steps-begin = Set up the steps
steps-more = Add steps
days-all-poured = Every step was poured.
days-picture = The order of work as a picture; scrolls sideways
days-picture-label = { $n } steps against time, the last one poured { $when }. The list below has the times.
days-legend = A bar begins with the pour, thickens until the form comes off (dashes) and ends with curing. The line up leads to the next pour. Filled: it was poured.
days-over = { $n ->
    [one] One step is cured and not shown.
   *[other] { $n } steps are cured and not shown.
 }
days-surface = surface { $from } to { $until }
days-strip = form off { $when }
days-earliest = possible from { $when }
days-after-hours = The surface may want you after working time. Begin earlier, or take it in turns.
days-planned-early = The day that was planned is too early. This is the first that is safe.
days-try = Try another time
days-when = { $name } is poured
days-ask = What follows from that?
days-if = If { $name } is poured { $when },
days-then = { $name } can be poured { $when }.
days-too-early = { $name } cannot be poured { $when }: not before { $earliest }.
days-keep = Keep this day
days-free = Free the day
days-back = Back to the plan
days-care = The times are the cautious end of the prediction, and move with the weather and with what you log.
days-hours = Work from { $from } to { $until }, { $forms } { $forms ->
    [one] form
   *[other] forms
 }. At most { $wet } { $wet ->
    [one] step cures
   *[other] steps cure
 } at once.
days-off = Days on which you work
days-off-hint = Days without work are left light. Tap to change.
days-change = Hours, forms, washing and drying

waits-nothing = as soon as you are there
waits-form = waits for the form: off, washed, dry, set again
waits-step_below = waits for the step below to carry it
waits-working_time = waits for the next working day
waits-planned_day = the day that was chosen

check-base_level = Base level and compact
check-form_level = Form level across, with its fall to the front
check-gaps_closed = Every gap of the form closed
check-mesh_cut = Mesh cut, blocks ready for half depth
check-liner_clamped = Liner clamped, lower than the top edge
check-bags_enough = Enough bags beside the form
check-release_agent = Release agent on form and liner
check-water_ready = Water measured, and some to wash with
check-cover_ready = Cover and weights at hand
check-gloves_eyes = Gloves, boots, eye protection, mask
check-open = { $n ->
    [0] open: ready to pour
    [one] point is open
   *[other] points are open
 }
check-still-open = { $n ->
    [one] { $n } point of the check is open
   *[other] { $n } points of the check are open
 }
check-change = Change the list
check-out = Take out
check-new = Your own point
check-add = Add

## What is only on this phone.

out-away = No hub in reach. Go on: everything is kept.
out-none = Nothing waits to be sent.
out-here = Only on this phone: { $what }
out-entries = { $n ->
    [one] { $n } entry
   *[other] { $n } entries
 }
out-photos = { $n ->
    [one] { $n } photo
   *[other] { $n } photos
 }
out-oldest = oldest { $when } ({ $ago })
out-send = Send now
out-going = Sending, { $pct } %
out-fleeting = This browser keeps nothing. Leave this page open until everything is sent.
out-elsewhere = { $n ->
    [one] { $n } entry on this phone belongs to another hub that had this address. It is sent when that one is reached, or save a copy.
   *[other] { $n } entries or photos on this phone belong to another hub that had this address. They are sent when that one is reached, or save a copy.
 }
out-lost = This browser threw away what was not sent yet: { $what }, the oldest of { $when }.
    .how = Log it again while you remember it; photos may still be in the phone's gallery. Put the app on the home screen, so that the browser does not do it again.
out-skew = The clock of this device is { $span } { $side ->
    [ahead] ahead of
   *[behind] behind
 } the hub's clock. Times here go by the hub; set this clock right.
out-new = A new version is here.
out-new-use = Use it now
out-conflicts = { $n ->
    [one] Two people changed the same thing, without seeing each other. Choose what holds.
   *[other] { $n } things were changed by two people, without seeing each other. Choose what holds.
 }
out-conflicts-open = Settle

phone-title = This phone
phone-ready = Works without the hub: the app and the log are on this phone.
phone-not-ready = Without the hub this browser keeps what you log, but cannot open the app.
phone-safe = The browser has promised not to throw away what is kept here.
phone-unsafe = The browser may throw away what is kept here when space runs short. Put the app on the home screen to prevent it.
copy-save = Save a copy
copy-import = Take in a copy
copy-hint = A copy is one file with everything that this phone has not sent. Carry it to the hub by any way, and take it in there. Doing so twice does no harm.
copy-saved = The copy is in your downloads. It stays on this phone as well until it is sent.
copy-done = { $events ->
    [one] { $events } entry
   *[other] { $events } entries
 } and { $photos ->
    [one] { $photos } photo
   *[other] { $photos } photos
 } are in the log now.
copy-cut = The file is not whole: part of it is missing or damaged. What could be read of it is here; save it again on the phone.
missing-line = Line { $n }:
missing-damaged = Damaged and left out.
missing-unknown = Holds neither an entry nor a photo.
missing-after_end = Stands after the end of the file.
missing-no_end = The end of the file is missing.
missing-entries = The file does not hold as many entries as its end says.
missing-photos = The file does not hold as many photos as its end says.
missing-hash = Something in the file was changed after it was written.

## Colour: measuring it in photos, comparing steps, the dose that matches. wet- how wet it
## was, cardkind- reference cards, doubt- what was doubtful, word- a difference, tend- its
## direction, ccare- why two are not alike, stand- a step in its flight, differ- what else
## differed, nocurve-, leftout-, reach-, teach- dosing.

col-title = Colour
col-compare = Compare
col-measure = Measure
col-dose = Dose
k-card = Reference card
k-colour = Measured colour

wet-dry = Dry
wet-damp = Damp
wet-wet = Wet
cardkind-grey_card = Grey card, 18 %
cardkind-white_paper = White printer paper
cardkind-other = Another card
cardkind-hint-white_paper = Weaker than a grey card: sheets differ.

doubt-reference_partly_clipped = Part of the card is over-exposed and was left out; a darker photo is safer.
doubt-reference_bright = The card is nearly over-exposed; a darker photo is safer.
doubt-reference_dim = The card is dark in the photo; more light is safer.
doubt-reference_uneven = The card is unevenly lit or dirty. Keep shadows off it and mark only the card.
doubt-reference_is_paper = White paper is a weak reference: sheets differ. A grey card is better.
doubt-reference_far_in_lightness = The card is much lighter or darker than the concrete. A grey card close to it is better.
doubt-cards_disagree = The two cards see light of different colour. Take the photo in open shade.
doubt-not_between_cards = The patch does not lie between the cards. Put one on each side.
doubt-light_changes = The light changes across the patch. Put the card closer, or one on each side.
doubt-strong_cast = The light has a strong colour. Take the photo in daylight, in open shade, without flash.
doubt-patch_partly_clipped = Part of the patch is over-exposed and was left out; a darker photo is safer.
doubt-patch_dim = The patch is dark in the photo; more light is safer.
doubt-patch_uneven = Much of the patch is shadow, stain or another surface and was left out. Mark a cleaner place.
doubt-patch_small = The patch has few pixels; go closer or mark more of it.
doubt-profile_unknown = The colour profile of this photo is not known here; the colour may be off.
doubt-preview_only = Only the small preview inside the file could be read.

word-cannot_be_seen = cannot be seen
word-slight = slight
word-plain = plain
tend-lighter = lighter
tend-darker = darker
tend-redder = redder
tend-greener = greener
tend-yellower = yellower
tend-bluer = bluer
ccare-state_differs = One was wetter than the other, and wet concrete is darker. Compare dry with dry.
ccare-state_unknown = It was not noted whether both were dry. Compare dry with dry.
ccare-age_differs = Their ages are far apart; concrete lightens in its first weeks. Compare again when both are 28 days old.
ccare-age_unknown = The age of one is not known; young concrete is darker.
stand-fits = Like the others
stand-stands_out = Stands out
stand-cannot_tell = Perhaps off: measure again
stand-too_few_alike = Too few alike to tell

differ-dose = { $name }: { $a } and { $b } of the cement
differ-mix = Mix: { $a } and { $b }
differ-water = Water per bag: { $a } and { $b }
differ-placed = Warmth at placing: { $a } and { $b }
differ-liner = Liner: { $a } and { $b }
differ-form = Form: { $a } and { $b }
differ-cure = Cure: { $a } and { $b }
differ-batches = Batches: { $a } and { $b }
differ-note = Notes: { $a } and { $b }
differ-none = none

nocurve-too_few_trials = Not enough is known yet: measure at least two pours or test patches of this mix with different doses. One may be without any.
nocurve-doses_do_not_differ = All of them have the same dose. Cast a test patch with another one.
nocurve-pigments = Choose one or two additives.
nocurve-not_a_number = A dose or a colour cannot be. Look at the batches of these pours.
leftout-not_dry = measured wet or damp
leftout-other_additive = holds another additive that colours
leftout-dose_unknown = no batch logged
reach-within = The dose lies within what was tried.
reach-edge_of_tried = The dose lies at the edge of what was tried. A test patch a little beyond would show whether that is closer.
reach-supplier_limit = This is the supplier’s limit: no more.
reach-cap = This is the cap of 10 % of the cement: more of this fine powder needs more water and weakens the concrete, and past 5 to 7 % it hardly changes the colour.
reach-out_of_reach = No dose of this makes that colour; this is the closest there is. Another pigment or cement is needed.
teach-least_sure = Least is known there among the doses that may be right.
teach-beyond_tried = The right dose may lie beyond what was tried.
teach-to_begin = It lies furthest from what is known so far.

col-none = No colour was measured yet.
    .how = Lay a grey card flat on the dry concrete, in open shade, and take a photo from above without flash. Then measure here.
col-first = Measure a colour
col-pick = Tap two to see how far they are apart.
col-lab-line = L* { $l } a* { $a } b* { $b }
col-give = give or take { $l }, { $a }, { $b }
col-age = { $n ->
    [one] { $n } day old
   *[other] { $n } days old
 }
col-age-none = age not known
col-apart = The difference is { $word }
col-apart-range = { $low } to { $high } at the ends of the range
col-apart-num = dE { $de } ({ $low } to { $high }), by CIEDE2000
col-apart-tend = { $b } is { $tend } than { $a }.
col-differed = What else differed
col-differed-none = Nothing that was logged.
col-order = First { $a }, then { $b }.
col-over-time = Measurements
col-since = Since the first: { $word }{ $tend }
col-card-changed = A card was given another colour since. Measure again.
col-take-back = Take back
col-middle = { $de } from the middle of the others, give or take { $sd }
col-unmeasured = Not measured yet
col-cards = Reference cards
col-water = { $litres } water per bag

mark-choose = Choose a photo with a reference card in it
mark-other = Another photo
mark-pour = What it shows
mark-pour-none = Choose the step or sample
mark-concrete = Concrete
mark-card = Card { $n }
mark-card-more = Second card
mark-card-less = Without the second card
mark-how-patch = Drag a rectangle on clean, dry concrete, or tap a suggested place.
mark-how-card = Drag a rectangle on the card, well inside its edge.
mark-places = Flat places
mark-place = Place { $n }
mark-nudge = Move the rectangle
mark-left = Left
mark-right = Right
mark-up = Up
mark-down = Down
mark-larger = Larger
mark-smaller = Smaller
mark-which = Which card is it?
mark-state = How wet was it?
mark-go = Measure
mark-missing = Still to do: { $what }
mark-todo-pour = say what it shows
mark-todo-concrete = mark the concrete
mark-todo-card = mark the card
mark-todo-which = say which card it is
mark-todo-wet = say how wet it was
mark-result = Measured
mark-again = Measure again
mark-no-picture = This photo gives no pixels to measure in.
mark-card-name = Name of the card
mark-use = Measure colour

dose-additive = Additive
dose-second = Together with
dose-no-second = Nothing else
dose-mix = Mix
dose-mix-none = Mix not said
dose-match = Match the colour of
dose-match-none = Choose a measured step
dose-none = Set up a pigment and measure some pours that hold it.
    .pigment = Set up a pigment
dose-per-bag = per bag
dose-range = { $low } to { $high }
dose-per-batch = { $amount } in a batch of { $bags ->
    [one] { $bags } bag
   *[other] { $bags } bags
 } ({ $low } to { $high })
dose-pct = { $pct } of the cement ({ $low } to { $high })
dose-wanted = Wanted
dose-foretold = Predicted
dose-fit = The difference that is left is { $word }.
dose-next = One more test patch teaches most at { $pct } of the cement: { $amount } per bag.
dose-next-gain = The range would shrink from { $now } to { $then } of the cement.
dose-log = Log this test patch
dose-cap = Never more than 10 % of the cement: this fine powder needs more water and weakens the concrete, and past 5 to 7 % it hardly changes the colour.
dose-log-kept = A pour is being logged on this phone. Save it or start afresh, then come back.
dose-sample = Test patch { $name } { $pct }
dose-limits = Tried from { $low } to { $high }. At most { $most } of the cement{ $whose ->
    [supplier] , the supplier’s limit
   *[cap] : the cap, since more weakens the concrete and hardly colours
 }.
dose-improvised = { $name } is not made for concrete: it may weaken it and change how it sets. Cast a test patch first and keep to little.
dose-assumed = The mix was not said: a plain bag of { $bag } with 14 % cement is assumed.
dose-trials = What the curve is drawn from
dose-left-out = Not on the curve: { $why }
dose-sure = A trial that was left out was predicted to within { $de } (CIEDE2000).
dose-label = { $what } against dose, with its range
dose-axis = % of the cement
dose-what = What is drawn
dose-L = Lightness L*
dose-a = Red a*
dose-b = Yellow b*
