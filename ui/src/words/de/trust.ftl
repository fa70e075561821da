## Telefone und wer hinein darf. viewer = Lesen, helper = Helfen, keeper = Verwalten,
## certificate = Zertifikat, fingerprint = Fingerabdruck, revoke = abmelden.

set-share = Telefone
    .what = Telefone aus diesem Netz hereinlassen, hinzufügen, von der Liste nehmen

trust-once = Einmal für dieses Telefon: dem Hub vertrauen
trust-why = Die Verbindung ist mit einem Zertifikat verschlossen, das dieser Hub selbst gemacht hat. Ein Telefon nimmt es erst, wenn du zustimmst. Es gilt für die Adresse dieses Hubs in deinem eigenen Netz und für nichts anderes.
trust-load = Zertifikat laden
trust-android-1 = Tippe auf „Zertifikat laden“. Die Datei slowstone.crt wird gespeichert.
trust-android-2 = Öffne Einstellungen, dann Sicherheit, dann Weitere Sicherheitseinstellungen, dann Verschlüsselung und Anmeldedaten. Auf vielen Telefonen findet die Suche der Einstellungen „CA-Zertifikat“.
trust-android-3 = Wähle „Zertifikat installieren“, dann „CA-Zertifikat“. Lies die Warnung, geh weiter und wähle slowstone.crt.
trust-android-4 = Öffne es unter Vertrauenswürdige Anmeldedaten, Nutzer, und vergleiche seinen SHA-256-Fingerabdruck.
trust-ios-1 = Tippe in Safari auf „Zertifikat laden“ und erlaube das Profil.
trust-ios-2 = Öffne Einstellungen. Oben steht „Profil geladen“. Tippe darauf, dann auf Mehr Details, dann auf das Zertifikat: Vergleiche seinen SHA-256-Fingerabdruck.
trust-ios-3 = Geh zurück und tippe auf Installieren.
trust-ios-4 = Geh zu Allgemein, Info, Zertifikatsvertrauenseinstellungen und schalte das Zertifikat des Hubs ein.
trust-print = Fingerabdruck vergleichen
    .how = Das Telefon muss genau das zeigen, was der Bildschirm des Hubs zeigt. Ist ein Paar anders, installiere es nicht: Dann ist jemand dazwischen.
trust-then = Scanne dann den zweiten Code auf dem Bildschirm des Hubs.
trust-kind = Art des Telefons

role-viewer = Lesen
    .what = Liest alles, ändert nichts.
role-helper = Helfen
    .what = Trägt Güsse, Messungen und Fotos ein und berichtigt sie.
role-keeper = Verwalten
    .what = Fügt auch Telefone hinzu, ändert Einstellungen und gibt die Unterlagen weiter.

share-what = Die Einträge liegen auf diesem Computer. Telefone im selben Netz können sie über eine verschlossene Verbindung lesen und schreiben, jedes erst, wenn du es hereinlässt.
share-on = Telefone dürfen hinein
share-add = Telefon hinzufügen
share-more = Adressen, Zertifikat, Gäste
share-addresses = Adressen dieses Hubs
    .hint = Gib diesem Computer im Router eine feste Adresse: Ein Telefon, das ihn unter einer anderen kannte, muss sonst neu hinzugefügt werden.
share-guest = Gäste dürfen ohne Schlüssel lesen
    .what = Dann kann jeder in diesem Netz alles lesen, und andere können mitlesen: Diese Verbindung ist nicht verschlossen. Gäste ändern nichts und behalten nichts. Jede Ansicht sagt es.
share-devices = Wer hinein darf
share-none = Noch niemand.
share-here = Ein Browser auf diesem Computer
share-this = dieses
share-via-here = Auf diesem Computer
share-via-lan = Über das Netz
share-seen = hier { $ago }
share-person = Wessen Gerät ist es?
    .none = Noch niemandes
    .what = Was ein Gerät unter einem anderen Namen einträgt, steht da als für diese Person eingetragen. Ein Name von hier gilt für das, was es von nun an einträgt; ohne ihn ist es der Name, unter dem es zuerst einträgt.
share-person-set = { $device } gehört jetzt { $name }.
share-must-trust = Dieser Hub hat ein neues Zertifikat: Er wurde ohne seine Schlüssel wiederhergestellt, oder sein Ordner ist umgezogen. Bis sie ihm vertrauen, erreichen diese Telefone den Hub nicht: { $names }.
    .how = Für jedes: hier „Telefon hinzufügen“ drücken. Auf dem Telefon die Seite mit dem Zertifikat öffnen und es installieren; dann die App öffnen wie immer. Es ist noch bekannt und sendet, was es hat. Hat der Hub eine andere Adresse als vorher, das Telefon danach neu hinzufügen.
share-unreached = Der Hub ist nicht erreichbar. Wurde er wiederhergestellt oder auf einen anderen Computer gebracht, ist sein Zertifikat neu: Wer das Buch verwaltet, öffnet Einstellungen, Telefone, „Telefon hinzufügen“; das Zertifikat von dort hier installieren. Was hier eingetragen ist, bleibt bis dahin auf diesem Telefon.
share-role-of = Was { $name } darf
share-revoke = Abmelden
share-revoked = { $name } darf nicht mehr hinein.
share-ask = Wer verwaltet, kann das ändern: Einstellungen, Telefone.
share-step-1 = 1. Einmal für jedes Telefon: das hier scannen, das Zertifikat laden und ihm vertrauen
share-step-2 = 2. Das hier mit der Kamera des Telefons scannen
share-scan = Scanne das hier mit der Kamera des Telefons
share-qr = Code mit der Adresse für dieses Telefon
share-how = So geht es, Schritt für Schritt
share-file = Zertifikat als Datei speichern
share-waits = Wartet auf das Telefon. Der Code gilt noch { $min } min und für ein Telefon.
share-address = Adresse für das Telefon
share-asks = „{ $name }“ möchte hinein. Zeigt das Telefon denselben Code?
share-role = Was darf es?
share-same = Die Codes sind gleich: hereinlassen
share-differ = Nicht gleich
share-added = { $name } wurde hinzugefügt.
share-refused = Niemand wurde hereingelassen. Wenn dich das überrascht, hat vielleicht jemand anderes den Code gesehen.
share-over = Dieser Code gilt nicht mehr.
share-again = Neuer Code
share-close = Fertig

pair-title = Dieses Telefon hinzufügen
pair-look = Prüft, ob die Verbindung sicher ist …
pair-none = Scanne den Code auf dem Bildschirm des Hubs: Einstellungen, Telefone, Telefon hinzufügen.
pair-untrusted = Dieses Telefon vertraut dem Zertifikat des Hubs nicht; es könnte jemand dazwischen sein.
    .how = Geh nicht über die Warnung hinweg. Scanne den ersten Code auf dem Bildschirm des Hubs, vertraue dem Zertifikat wie dort beschrieben und scanne dann den zweiten Code noch einmal.
pair-name = Name dieses Telefons
pair-phone-of = Telefon von { $name }
pair-ask = Um Einlass bitten
pair-compare = Der Bildschirm des Hubs muss denselben Code zeigen. Dort muss jemand zustimmen.
pair-wait = Wartet auf den Hub …
pair-in = Dieses Telefon darf hinein.
pair-open = Einträge öffnen

view-only = Dieses Gerät liest nur. Wer verwaltet, kann das ändern: Einstellungen, Telefone.
guest-note = Du liest als Gast: Nichts lässt sich ändern, nichts bleibt auf diesem Telefon, und andere im Netz können mitlesen.
guest-open = Gäste dürfen lesen: Jeder in diesem Netz kann diese Einträge sehen.
state-revoked = Dieses Telefon darf nicht mehr hinein
    .how = Es wurde von der Liste genommen. Bitte die Person, die verwaltet, es wieder hinzuzufügen: Einstellungen, Telefone. Was noch nicht gesendet war, ist noch auf diesem Telefon.
state-unpaired = Dieses Telefon wurde noch nicht hereingelassen
    .how = Öffne am Bildschirm des Hubs Einstellungen, Telefone, drücke „Telefon hinzufügen“ und scanne den Code.

## Worum man sich beim Zertifikat kümmern muss (cert-CODE)
cert-authority_ends = Das Zertifikat, dem die Telefone vertrauen, endet am { $value }. Vorher: den Hub anhalten, den Ordner „trust“ aus seinem Datenordner nehmen, ihn starten und jedes Telefon neu hinzufügen.
cert-clock_behind = Die Uhr dieses Rechners geht falsch: Sie zeigt einen Tag vor dem { $value }, an dem sein Zertifikat gemacht wurde. Stelle die Uhr.
cert-files_broken = Die neuen Zertifikatsdateien sind nicht brauchbar ({ $value }). Bis sie es sind, sehen die Telefone das bisherige Zertifikat.
cert-files_end = Das Zertifikat in deinen Dateien endet am { $value }. Lege ein neues an seine Stelle; der Hub übernimmt es von selbst.
