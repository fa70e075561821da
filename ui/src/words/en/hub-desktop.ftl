## What the desktop program says itself: tray, notifications, photos given as files.

desk-now = What can I do now?
desk-nothing = Nothing is due
desk-next = Next
desk-line = { $what }: { $may }
desk-at-site = { $site } · { $text }
desk-open = Open Slowstone
desk-login = Start at login
desk-no-login = Starting at login could not be changed
desk-quit = Quit
desk-show = Show
desk-closed = Slowstone goes on
desk-closed-what = Reminders still come and phones still reach the log. Quit is in its menu in the tray.
desk-added =
    { $count ->
        [one] 1 photo added to { $site }
       *[other] { $count } photos added to { $site }
    }
desk-none = No photo was added
desk-filed = { $file }: { $pour }, { $stage }
desk-loose = { $file }: belongs to no pour by its time; open the site to file it
desk-known = { $file }: here already
desk-refused = { $file }: { $why }
desk-unread = It cannot be read ({ $why }).
desk-large = It is larger than the { $most } MB that are taken; make the picture smaller.
desk-more =
    { $count ->
        [one] and 1 more file
       *[other] and { $count } more files
    }
desk-no-site = There is no site yet. Make one, then add the photos again.
desk-which = There are several sites. Open the one that the photos belong to, then add them again.
