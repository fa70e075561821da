## The screen Hand over (hand-), finding (find-) and taking in a site (take-).

hand-title = Hand over
hand-count = { $pours ->
    [one] 1 pour
   *[other] { $pours } pours
 }, { $entries ->
    [one] 1 entry
   *[other] { $entries } entries
 }, { $photos ->
    [one] 1 photo
   *[other] { $photos } photos
 } ({ $size })
hand-record = The record
hand-record-what = Every pour with its times, weather, mix, curve, photos and cautions. To read, print and keep.
hand-pdf = Record as PDF
hand-html = Record as one web page
hand-csv = Tables (CSV)
hand-photos = Photos (zip)
hand-photos-what = Named by step, day and stage of work.
hand-again = { $n ->
    [one] One photo is encoded again, because its format cannot be cleaned of positions.
   *[other] { $n } photos are encoded again, because their format cannot be cleaned of positions.
 }
hand-away = { $n ->
    [one] One photo is not on the hub yet and will be missing.
   *[other] { $n } photos are not on the hub yet and will be missing.
 }
hand-hub = For another hub
hand-hub-what = Everything that was logged, with the photos. Another hub takes it in under Settings, “Take in a site”, as often as you like.
hand-zip = Site with photos (zip)
hand-jsonl = Entries only (JSON lines)
hand-gps = With positions
hand-gps-why = Off: photos and entries leave without the place where they were taken, so that nobody learns where you live or work. On only if whoever gets it needs it; a keeper’s device must ask.
hand-copy = Use on another site
hand-copy-what = The record of a mix, additive, form, liner or checklist, copied with a note where it comes from.
hand-copy-which = What
hand-copy-to = To
hand-copy-new = A new site
hand-copy-name = Name of the new site
hand-copy-go = Copy
hand-copied = Copied to { $site }
hand-archive = Put this site away
hand-archive-what = It leaves the list of sites. Nothing is deleted, and a search finds it.
hand-unarchive = Fetch this site back
hand-archived = The site was put away
hand-unarchived = The site is in the list again
hand-is-archived = This site was put away.

set-find = Find
    .what = Sites, pours, notes, mixes, additives and people, also on sites that were put away
find-words = Words
find-who = Logged by
find-anybody = Anybody
find-kind = Kind
find-any-kind = Everything
find-none = Nothing was found. Try fewer or shorter words.
find-more = There are more. Add a word.
find-away = put away
find-by = by { $name }

set-take = Take in a site
    .what = A site that another hub handed over, as a zip or as JSON lines
take-file = Choose the file
take-busy = Taking it in. Leave this page open.
take-done = Taken in: { $events } entries, { $photos } photos.
take-cut = The file is not whole: part of it is missing or damaged. What could be read of it is here; hand it over again for the rest.
take-refused = { $n ->
    [one] One entry was not taken:
   *[other] { $n } entries were not taken:
 }
take-again = The same file can be taken in again: nothing is entered twice.

k-archive = Putting away
k-copied = Where a copy comes from
k-entered = Who entered it
