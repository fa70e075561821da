# What the desktop program says itself. Steps and milestones are named in app.ftl.

desk-due =
    { $count ->
        [one] Slowstone: due now
       *[other] Slowstone: { $count } things are due
    }
desk-line = { $what }: { $may }
desk-show = Show
