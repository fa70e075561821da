## Phones and who may come in: settings, the pairing page, the page that gives out the
## certificate (which the hub makes). trust-android-…, trust-ios-…: steps on a phone.

set-share = Phones
    .what = Let phones of this network in, add one, take one off the list

trust-once = Once for this phone: trust the hub
trust-why = The connection is locked with a certificate that this hub made for itself. A phone takes it only after you said so. It holds for this hub’s address in your own network and for nothing else.
trust-load = Load the certificate
trust-android-1 = Tap “Load the certificate”. The file slowstone.crt is saved.
trust-android-2 = Open Settings, then Security, then More security settings, then Encryption and credentials. On many phones the search of Settings finds “CA certificate”.
trust-android-3 = Choose “Install a certificate”, then “CA certificate”. Read the warning, go on, and choose slowstone.crt.
trust-android-4 = Under Trusted credentials, User, open it and compare its SHA-256 fingerprint.
trust-ios-1 = In Safari tap “Load the certificate” and allow the profile.
trust-ios-2 = Open Settings. At the top stands “Profile Downloaded”. Tap it, then More Details, then the certificate: compare its SHA-256 fingerprint.
trust-ios-3 = Go back and tap Install.
trust-ios-4 = Go to General, About, Certificate Trust Settings, and switch the hub’s certificate on.
trust-print = Compare the fingerprint
    .how = The phone must show exactly what the hub’s own screen shows. If one pair differs, do not install it: somebody is in between.
trust-then = Then scan the second code on the hub’s screen.
trust-kind = Kind of phone

## Roles.

role-viewer = Viewer
    .what = Reads everything, changes nothing.
role-helper = Helper
    .what = Logs pours, readings and photos, and corrects them.
role-keeper = Keeper
    .what = Also adds phones, changes settings, and hands the records on.

## Settings, Phones.

share-what = The log lies on this computer. Phones in the same network can read and write it over a locked connection, each only after you let it in.
share-on = Phones may come in
share-add = Add a phone
share-more = Addresses, certificate, guests
share-addresses = Addresses of this hub
    .hint = Give this computer a fixed address in the router: a phone that knew it under another one has to be added again.
share-guest = Guests may read without a key
    .what = Anybody in this network can then read everything, and others can listen in: this connection is not locked. Guests change nothing and keep nothing. Every screen says so.
share-devices = Who may come in
share-none = Nobody yet.
share-here = A browser on this computer
share-this = this one
share-via-here = On this computer
share-via-lan = Over the network
share-seen = here { $ago }
share-person = Whose device is it?
    .none = Nobody’s yet
    .what = What a device enters under another name is shown as entered for that person. A name given here holds for what it enters from now on; without one it is the name that it first enters under.
share-person-set = { $device } belongs to { $name } now.
share-must-trust = This hub has a new certificate: it was restored without its keys, or its folder was moved. Until they trust it, these phones do not reach the hub: { $names }.
    .how = For each of them: press “Add a phone” here. On the phone, open the page of the certificate and install it; then open the app as ever. It is known still and sends what it holds. If the hub has another address than before, go on and add the phone anew.
share-unreached = The hub is not reached. If it was restored or moved to another computer, its certificate is new: ask whoever keeps the log for Settings, Phones, “Add a phone”, and install the certificate that is shown there. What is logged here stays on this phone until then.
share-role-of = What { $name } may do
share-revoke = Take off
share-revoked = { $name } can no longer come in.
share-ask = A keeper can change this: Settings, Phones.
share-step-1 = 1. Once for each phone: scan this, load the certificate, and trust it
share-step-2 = 2. Scan this with the phone’s camera
share-scan = Scan this with the phone’s camera
share-qr = Code with the address for this phone
share-how = How, step by step
share-file = Save the certificate as a file
share-waits = Waiting for the phone. The code is good for { $min } min and for one phone.
share-address = Address for the phone
share-asks = “{ $name }” asks to come in. Does the phone show the same code?
share-role = What may it do?
share-same = The codes are the same: let it in
share-differ = Not the same
share-added = { $name } was added.
share-refused = Nobody was let in. If you did not expect this, somebody else may have seen the code.
share-over = This code is no longer good.
share-again = New code
share-close = Done

## The phone’s page.

pair-title = Add this phone
pair-look = Looking whether the connection is safe …
pair-none = Scan the code on the hub’s own screen: Settings, Phones, Add a phone.
pair-untrusted = This phone does not trust the hub’s certificate, so somebody could be in between.
    .how = Do not go on past the warning. Scan the first code on the hub’s screen, trust the certificate as described there, then scan the second code again.
pair-name = Name of this phone
pair-phone-of = { $name }’s phone
pair-ask = Ask to come in
pair-compare = The hub’s screen must show the same code. Somebody there has to say so.
pair-wait = Waiting for the hub …
pair-in = This phone may come in.
pair-open = Open the log

## On every screen.

view-only = This device only reads. A keeper can change what it may do: Settings, Phones.
guest-note = You read as a guest: nothing can be changed, nothing is kept on this phone, and others in the network can listen in.
guest-open = Guests may read: anybody in this network can see this log.
state-revoked = This phone can no longer come in
    .how = It was taken off the list. Ask whoever keeps the log to add it again: Settings, Phones. What was not sent yet is still on this phone.
state-unpaired = This phone was not let in yet
    .how = On the hub’s own screen open Settings, Phones, press “Add a phone” and scan the code.

## What has to be seen to about the certificate (cert-CODE)
cert-authority_ends = The certificate that phones trust ends on { $value }. Before that: stop the hub, take the folder “trust” out of its data folder, start it, and add every phone again.
cert-clock_behind = The clock of this computer is wrong: it shows a day before { $value }, when its certificate was made. Set the clock.
cert-files_broken = The new certificate files cannot be used ({ $value }). Phones are shown the certificate from before until they can.
cert-files_end = The certificate in your files ends on { $value }. Put a new one in its place; the hub takes it up by itself.
