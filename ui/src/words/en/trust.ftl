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
