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
refused-broken_off = The connection broke off. Try again.
refused-no_table = This is no table that can be read. It needs a line of heads with time and temperature.
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
problem-unreadable = A value of it cannot be read.
problem-bad_correction = A change of it cannot be read and was left out.
