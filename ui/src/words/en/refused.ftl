## Why the hub refused something (refused-CODE, by the code of its answer), and why an entry
## could not be used (problem-CODE). What the hub itself says stays English, for programs.

refused-locked = This browser is not let in. Open the address that the hub printed when it started.
refused-revoked = This phone was taken off the list. Ask a keeper to add it again: Settings, Phones.
refused-role = This device only reads here. A keeper can change what it may do: Settings, Phones.
refused-too_often = Too many tries. Wait a minute, then try again.
refused-missing = There is nothing here of that name. It may have been taken back; go back and choose again.
refused-too_large = This file is larger than the hub takes.
refused-not_a_photo = { $value } is no photo that can be read here.
refused-no_picture = The pixels of this photo cannot be read here. Save it as JPEG and add it again.
refused-photo_damaged = The file of this photo is damaged on the hub. Send the same photo again from where it was taken; its entry stays.
refused-photo_missing = The file of this photo is no longer on the hub. Send the same photo again from where it was taken; its entry stays.
refused-photo_awaited = This photo has not arrived yet: the phone that took it sends it when it reaches the hub.
refused-other_photo = This is another picture than the one that is damaged on the hub. Choose the same file, as the camera made it.
refused-broken_off = The connection broke off. Try again.
refused-no_table = This is no table that can be read. It needs a line of heads with time and temperature.
refused-table_long = This table is too long. Cut it to the months that matter.
refused-table_order = Say how dates are written.
refused-table_columns = Say what the columns are and in which units.
refused-not_a_copy = This file is no whole copy that a phone saved or a hub handed over. Choose the file again, from where it was made.
refused-closed = This is closed at the moment. Open it anew on the hub.
refused-outside = The rectangle lies outside the photo. Mark it again.
refused-no_colour = { $value ->
    [reference_clipped] The reference card is over-exposed, so its colour in the photo is not known. Take the photo again, darker: tap on the card before you shoot.
    [reference_dark] The reference card is too dark to measure by. Take the photo again in more light.
    [reference_too_small] The rectangle on the reference card is too small. Go closer, or mark more of the card.
    [reference_colour] The colour of the reference card cannot be used. It must be a light or grey surface; check its L*, a*, b*.
    [patch_clipped] Half of the patch or more is over-exposed or black. Take the photo again with the concrete well exposed.
    [patch_too_small] The patch is too small. Go closer, or mark more of the concrete.
   *[other] No colour can be measured there. Mark clean concrete, and only the card.
 }
refused-disk_full = The disk of the hub is full. Free some space there, then try again; nothing that was saved is lost.
refused-locked_file = Another program holds the log of the hub. Close it, then try again.
refused-store = The hub cannot write its log. Look at the messages of the hub.
refused-fault = The hub failed at this by a fault of its own. What was saved is safe; please report what you did.
refused-host = The hub does not know itself by this address. Open the address that it printed.
refused-origin = A page of another site asked for this. Open the page of the hub instead.

problem-missing_target = It changes an entry that is not here yet.
problem-missing_reference = It refers to an entry that is not here yet.
problem-unknown_zone = Its time zone is not known here; UTC is used.
problem-unknown_kind = This version does not know this kind of entry; it is kept and passed on.
problem-time_outside = This entry has a time outside the calendar: correct it or take it back.
problem-clock_outside = The clock of the device that logged this entry was outside the calendar: say when it was logged, or take it back.
problem-unreadable = A value of it cannot be read.
problem-bad_correction = A change of it cannot be read and was left out.

refused-unreadable = The hub cannot read what this page sent. Load the page again.
refused-method = The hub does not do this here. Load the page again.
refused-name = This name cannot be. Enter another one.
refused-too_many = Too many photos are on their way. Wait until some have arrived.
refused-other_device = This belongs to another device.
refused-subscription = The push service of this browser cannot be used. Switch reminders off and on again on this device.
refused-own = This is the device that you are using: nobody shuts themselves out by mistake. Do it from another keeper’s device.
refused-code = No phone asks with this code now. If the phone shows another one, press “Not the same”; else begin again.
refused-secret = This is not the code that the hub shows now. Scan that one.
refused-used = This code was used already. If it was not by you, say so to whoever keeps the log; then begin again on the hub’s screen.
refused-expired = This code is no longer good: it lasts for some minutes. Press “Add a phone” on the hub’s screen and scan the new code.
refused-refused = This phone was not added. Begin again on the hub’s screen: Settings, Phones, “Add a phone”.
refused-nonce = The page of the phone sent something odd. Scan the code again.
refused-offset = A part of this photo is here already. It goes on from there.
refused-id = This name of a photo cannot be. Add the photo again.
refused-size = There is no picture of this size. Load the page again.

## Why a value cannot be (misfit-CODE): $min and $max with their units, $than another field.
misfit-out_of_range = Must be from { $min } to { $max }.
misfit-missing = Is missing.
misfit-unknown_field = Is not known here. A newer version of the hub may know it.
misfit-unknown_word = Is none of the choices.
misfit-not_text = Must be text.
misfit-not_a_number = Must be a number.
misfit-not_whole = Must be a whole number.
misfit-not_yes_or_no = Must be yes or no.
misfit-not_a_time = Must be a time.
misfit-not_a_list = Must be a list.
misfit-not_an_object = Cannot be read.
misfit-not_a_colour = Must be L* from 0 to 100, a* and b* from -200 to 200.
misfit-not_a_rectangle = Mark a rectangle within the photo.
misfit-not_a_date = Must be a date.
misfit-not_a_hash = Cannot be read. Add the photo again.
misfit-not_an_id = Cannot be read. Choose again.
misfit-unknown_zone = Is no known time zone. Choose one such as Europe/Oslo or America/Denver.
misfit-empty = Must not be empty.
misfit-too_long = Is too long: at most { $max } characters. Shorten it.
misfit-too_deep = Holds lists within lists more than { $max } deep. Write it flatter.
misfit-too_many = Are too many: at most { $max }.
misfit-control_characters = Holds characters that nobody types. Type it again.
misfit-below_other = Must not be below “{ $than }” ({ $min }).
misfit-not_below_other = Must be below “{ $than }” ({ $max }). Leave it empty if it is not known.
misfit-pour_length = The pour must end after its start, at most { $max } later. Check both times.
misfit-bag_density = Does not fit the weight of the bag: fresh concrete holds from { $min } to { $max } of dry mix.
misfit-short_day = Must be at least an hour after work begins.
misfit-no_workday = One day of the week must be left to work on.
misfit-nothing_read = Give at least one value.
misfit-pour_needed = Say in which pour this concrete was measured.
misfit-result_needed = Give the result of the test.
misfit-time_needed = Say when to ask again.
misfit-nothing_changed = Nothing is changed.
misfit-id_taken = Another entry has this name already. Log it anew.
misfit-site_is_not_id = Does not fit its site. Make the site anew.
misfit-unknown_site = This site is not on the hub. Choose it again.
misfit-keeper_only = Only keepers may log this. Ask one.
misfit-unreadable = Cannot be read.
misfit-not_a_socket = Must look like 0.0.0.0:8478 (every address of this computer) or 192.168.1.5:8478.
misfit-not_an_address = Is no address of the web. Write it like https://example.org/hook.
misfit-password_in_address = Names and passwords in an address would be seen by others. Leave them out.
misfit-place_missing = Needs {"{lat}"} and {"{lon}"} where the place goes in.
misfit-not_a_time_of_day = Must be from 00:00 to 23:59.
misfit-not_encrypted = Password and mail could be read on the way. Choose STARTTLS or TLS; without is only for a server on this computer.
misfit-not_a_mail_address = Is no mail address. Write it like site@example.org, several with commas between them.
f-other = A value
f-points = Points of the list
f-days_off = Days off
f-references = Reference cards
f-rows = Hours of weather
f-email_from = Sender of the mail
f-email_to = Receivers of the mail
f-email_security = Encryption of the mail
f-webhook_url = Address of the webhook
f-ahead_min = Told ahead
f-rules = Times of day
f-address = Address of the forecast
f-at = Address for phones
f-q = What is looked for
