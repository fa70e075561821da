## What the hub says of reminders by itself: push messages, mail, webhook, calendar.

remind-title = { $site }: now due
remind-title-more = { $site }: { $n } reminders
remind-title-wet = { $site }: keep it wet
remind-line = { $name }: { $ask }
remind-now = { $name }: { $ask } now
remind-until = { $name }: { $ask } now, until { $until }
remind-since = { $name }: { $ask }, due since { $from }
remind-since-until = { $name }: { $ask }, due since { $from }, until { $until }
remind-soon = { $name }: { $ask } from { $from }
remind-try = { $name }: perhaps { $ask }. { $test }
remind-try-until = { $name }: perhaps { $ask }, until { $until }. { $test }
remind-try-soon = { $name }: perhaps { $ask } from { $from }, test first
remind-try-line = { $name }: { $ask } (test first)
remind-missed = { $name }: the time to { $ask } is over ({ $from } to { $until }). Look before you do anything.
remind-wet = { $name }: keep it wet and covered, until { $until }
remind-sample = Sample
remind-done = Done
remind-snooze = Snooze 30 min
remind-mail-foot = Reckoned from what was logged. Check by touch, and follow the bag’s data sheet and local codes. You can change reminders under Settings, Reminders.
remind-calendar = Slowstone
remind-test = Test
