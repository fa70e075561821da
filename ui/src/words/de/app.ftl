## Worte der App, Deutsch. Glossar, ein Wort je Sache:
## bleed = bluten, bleed water = Blutwasser, bleed sheen = Wasserfilm, texture window =
## Prägefenster, liner = Matrize (Strukturmatrize), relief = Relief, form = Schalung,
## strip / form off = ausschalen, initial/final set = Abbindebeginn/-ende, green = jung
## (grüner Beton), dress = nacharbeiten, screed = abziehen, cure = Nachbehandlung, cover =
## abdecken, seal = versiegeln, stain = beizen, pour = Guss, batch = Mischung, mix =
## Rezept, additive = Zusatz, pigment = Pigment, riser = Steigung, going = Auftritt, tread =
## Trittstufe, flight = Treppe, mesh = Bewehrungsmatte, aggregate = Gesteinskörnung, site =
## Baustelle, reading = Messung, observation = Beobachtung, maturity = Reife, hub = Hub.

m-sheen_gone = Wasserfilm weg
    .now = Wasserfilm sollte weg sein
    .next = Wasserfilm weg
    .not = glätten oder prägen, solange Wasser steht
    .ask = nachsehen, ob der Wasserfilm weg ist
    .care = Blutwasser nicht einarbeiten: Das gibt eine weiche, staubende Haut.
m-texture = Prägefenster
    .now = Jetzt die Struktur eindrücken
    .next = Prägefenster
    .not = die Struktur eindrücken
    .ask = die Struktur eindrücken
    .care = Frischer Beton verätzt die Haut. Handschuhe, Stiefel, lange Ärmel; Spritzer sofort abwaschen.
m-initial_set = Abbindebeginn
    .now = Beginnt abzubinden
    .next = Abbindebeginn
    .not = die Oberfläche berühren
    .ask = Abbindebeginn
    .care = Oberfläche und Schalung in Ruhe lassen, während der Beton abbindet.
m-final_set = Abbindeende
    .now = Abgebunden
    .next = Abbindeende
    .not = an die Schalung stoßen
    .ask = Abbindeende
    .care = Abgebunden heißt nicht fest: Noch hält ihn die Schalung.
m-form_off = Ausschalen möglich
    .now = Jetzt kann ausgeschalt werden
    .next = ausschalen
    .not = ausschalen
    .ask = ausschalen
    .care = Zu früh ausgeschalt reißen Kanten und Relief. Eine lange Schalung zu zweit heben; wenn sie klemmt, aufhören, klopfen, warten.
m-dress = Jung: Kanten nacharbeiten
    .now = Jetzt die Kanten nacharbeiten
    .next = Kanten nacharbeiten
    .not = die Kanten nacharbeiten
    .ask = die Kanten nacharbeiten
    .care = Trocken geschliffener Beton gibt Quarzstaub: nass halten, FFP3-Maske und Schutzbrille tragen.
m-next_step = Nächste Stufe darauf
    .now = Die nächste Stufe kann darauf
    .next = nächste Stufe darauf
    .not = darauf betonieren
    .ask = die nächste Stufe darauf betonieren
    .care = Die untere Stufe trägt Schalung, Frischbeton und dich. Halte dich an das Datenblatt des Sackbetons und die örtlichen Vorschriften.
m-foot = Vorsichtig begehbar
    .now = Kann begangen werden
    .next = vorsichtig begehbar
    .not = begehen
    .ask = begehen
    .care = Nur vorsichtig begehen: keine Schubkarre, kein Werkzeug fallen lassen, Kanten schonen.
m-full_use = Volle Nutzung
    .now = Voll nutzbar
    .next = volle Nutzung
    .not = belasten
    .ask = voll nutzen
    .care = Bei allem, was tragen muss, eine Fachperson für Tragwerksplanung fragen.
m-curing_ends = Ende der Nachbehandlung
    .now = Die Nachbehandlung kann enden
    .next = Ende der Nachbehandlung
    .not = austrocknen lassen
    .ask = die Nachbehandlung beenden
    .care = Bis dahin feucht und abgedeckt halten: Was jetzt austrocknet, wird nie mehr fest.
m-seal = Bereit zum Beizen oder Versiegeln
    .now = Nach trockener Folienprobe beizen oder versiegeln
    .next = beizen oder versiegeln
    .not = beizen oder versiegeln
    .ask = die Folienprobe machen, dann beizen oder versiegeln
    .care = Klebe für einen Tag eine Folie auf: Ist es darunter dunkel oder nass, warte noch. Halte dich an das Datenblatt des Mittels.

may-done = erledigt
may-now = jetzt
may-likely = wahrscheinlich schon
may-maybe = vielleicht: mit der Hand prüfen
may-later = noch nicht
may-passed = Fenster ist zu
may-never = mit dieser Vorhersage nicht erreichbar

phase-fresh = Frisch: in Ruhe lassen
    .short = frisch
phase-texture_by_touch = Vielleicht prägbar: der Daumen entscheidet
    .short = vielleicht prägbar
phase-texture = Lässt sich jetzt prägen
    .short = prägbar
phase-setting = Bindet ab: Hände weg
    .short = bindet ab
phase-form_off = Jetzt kann ausgeschalt werden
    .short = ausschalbar
phase-green = Jung: Kanten schonen
    .short = jung
phase-curing = Nachbehandlung: feucht halten
    .short = Nachbehandlung
phase-usable = Voll nutzbar
    .short = nutzbar
phase-done = Fertig
    .short = fertig
phase-unknown = Noch keine Zeiten
    .short = noch keine Zeiten

notyet-no_temperature = Es ist keine Temperatur bekannt. Trage eine Lufttemperatur ein, dann erscheinen die Zeiten.
notyet-impossible = Ein Wert dieses Gusses kann nicht sein. Prüfe Temperaturen, Rezept und Zeiten.
notyet-starts_later = Der Beginn liegt in der Zukunft: geplant, oder ein falsches Datum. Bis dahin wird nichts gerechnet.

why-bleed_against_evaporation = Das Blutwasser ist schneller verdunstet, als es aufsteigt
why-age = Alt genug: { $hours } h bei { $ref }
why-strength = Fest genug: { $mpa } { $place }
why-share = { $pct } der festgelegten 28-Tage-Festigkeit
why-warm_hours = { $hours } h Luft von { $temp } oder wärmer; kältere Stunden zählen weniger
why-calendar_days = { $days } { $days ->
    [one] Tag
   *[other] Tage
 } nach dem Kalender
why-curing_table = Tabelle zur Nachbehandlung (DIN 1045-3): { $days } { $days ->
    [one] Tag
   *[other] Tage
 }
why-handbook = Daneben nach dem Handbuch: { $days } Tage bei { $temp } (NHBC)
why-load = Daneben nach der Last: { $mpa } an der Kante
why-freely = Frei begehen: { $mpa } an der Oberfläche; bis dahin mit weichen Sohlen und nicht auf die Kanten
why-sheet_test = Trockene Folienprobe, von dir gemacht
why-observed = Auf der Baustelle gesehen
why-learned_here = Was dieses Rezept bei früheren Stufen hier getan hat
why-after = Zuerst: { $milestone }
why-governs = entscheidet
why-met = erfüllt { $when }
why-will = wird erfüllt { $when }
why-open = mit dieser Vorhersage nicht erfüllt

place-edge = an der kältesten Kante
place-middle = in halber Tiefe
place-top = an der Oberseite

warn-frost_before_strength = { $seen ->
    [true] Frost ({ $when }), als er erst { $mpa } hatte: Er kann geschädigt sein. Klopfe ihn ab und suche nach Abplatzungen, bevor du ihm traust.
   *[false] Frost erwartet ({ $when }), wenn er erst { $mpa } hat. Decke ihn vor dem Dunkelwerden mit Matten ab.
 }
warn-too_much_water = Mehr Wasser, als der Sack erlaubt: etwa { $loss } weniger Festigkeit. Die Zeiten hier sind damit gerechnet.
warn-too_little_water = Weniger Wasser, als der Sack erlaubt: steif und schwer zu verdichten. Suche nach dem Ausschalen nach Kiesnestern.
warn-dries_fast = Die Oberfläche trocknet mit { $rate }: { $risk ->
    [act] Risse sind wahrscheinlich. Gleich beschatten, Wind brechen, einnebeln oder abdecken.
   *[other] beobachten. Schatten, Windschutz und Sprühwasser bereithalten.
 }
warn-short_window = Das Prägefenster ist kurz, etwa { $minutes } min. Halte Matrize, Stampfer und helfende Hände bereit, bevor es aufgeht.
warn-rain_before_set = Regen ({ $when }), bevor er abgebunden hatte: Suche nach einer ausgewaschenen, weichen Haut.
warn-hot = Er wird bis zu { $temp } heiß: am Ende etwa { $loss } weniger Festigkeit. Beschatten und nass halten.
warn-cold_placing = Mit { $temp } eingebaut: zu kalt für Frischbeton. Alles dauert länger; abgedeckt halten.
warn-pigment_high = Das Pigment macht { $pct } des Zements aus. Über einem Zehntel schwächt es den Beton und färbt kaum stärker.
warn-improvised = Es kam etwas hinein, das nicht für Beton gemacht ist: Diese Zeiten sind unsicherer. Mit der Hand prüfen.
warn-stripped_early = Ausgeschalt bei etwa { $mpa }: früher, als es dran war. Hände und Füße von den Kanten lassen.
warn-walked_early = Begangen, bevor es dran war: Kanten und Oberfläche ansehen.
warn-set_changed = Verzögerer oder Beschleuniger drin: Wo die Zeiten des Herstellers abweichen, gelten sie.

seen-sheen_gone = Wasserfilm weg
seen-thumb_deep = Daumen sinkt ein
seen-thumb_mark = Daumen drückt sich ab, Tiefe nicht notiert
seen-thumb_6mm = Daumen drückt etwa 6 mm tief ein
seen-thumb_faint = Daumen hinterlässt einen schwachen Abdruck
seen-thumb_none = Daumen drückt sich nicht ab
seen-textured = Struktur gepresst
seen-stripped_clean = Schalung ab, sauber
seen-stripped_stuck = Schalung ab, klebte oder riss
seen-scratch_deep = Nagel ritzt eine Rille, Körner lösen sich
seen-scratch_faint = Nagel hinterlässt eine fühlbare Linie
seen-scratch_none = Nagel hinterlässt nur eine Metallspur
seen-edge_damage = Kante beschädigt
seen-cracked = Riss
seen-dressed_easily = Kanten gemacht, leicht
seen-dressed_hard = Kanten gemacht, mühsam
seen-wetted = Gewässert
seen-covered = Abgedeckt
seen-uncovered = Abdeckung ab
seen-shaded = Schatten oder Windschutz
seen-rain = Regen
seen-frost = Frost
seen-walked = Begangen
seen-curing_ended = Feucht halten beendet
seen-sealed = Gebeizt oder versiegelt
seen-strength = Festigkeit geprüft
seen-note = Notiz

air-readings = deinen Messungen
air-hourly = einer stündlichen Vorhersage oder einem Logger
air-day_range = Tiefst- und Höchstwert jedes Tages
air-carried_on = den letzten Tagen, fortgeführt

ts-exif_offset = Zeit aus der Kamera, mit ihrer Zeitzone
ts-exif_site_zone = Zeit aus der Kamera, in der Zeitzone der Baustelle gelesen
ts-other_date = ein anderes Datum in der Datei
ts-arrival = keine Zeit in der Datei: wann sie ankam

risk-low = gering
risk-caution = Vorsicht
risk-act = jetzt handeln

sky-sun = Sonne
sky-broken = Etwas bewölkt
sky-overcast = Bedeckt
sky-shade = Schatten

stage-prepare = Vor dem Guss
stage-fresh = Frisch
stage-texture = Struktur
stage-setting = Abbinden
stage-form_off = Ausgeschalt
stage-green = Jung
stage-curing = Nachbehandlung
stage-usable = In Nutzung
stage-done = Fertig

what-created = eingetragen
what-corrected = geändert
what-retracted = zurückgenommen
what-restored = wiederhergestellt

## Einträge und Felder
k-site = Baustelle
k-flight = Treppe
k-step = Stufe
k-mix = Rezept
k-additive = Zusatz
k-form = Schalung
k-liner = Matrize
k-pour = Guss
k-batch = Mischung
k-reading = Messung
k-forecast = Vorhersage
k-observation = Beobachtung
k-photo = Foto
k-hourly = Stundenwerte
k-unlearn = Gelerntes vergessen
k-mark = Antwort auf eine Erinnerung
k-correction = Änderung
k-retraction = Rücknahme

kk-flight = Treppen
kk-step = Stufen
kk-mix = Rezepte
kk-additive = Zusätze
kk-form = Schalungen
kk-liner = Matrizen

add-flight = Treppe hinzufügen
add-step = Stufe hinzufügen
add-mix = Rezept hinzufügen
add-additive = Zusatz hinzufügen
add-form = Schalung hinzufügen
add-liner = Matrize hinzufügen
add-reading = Messung hinzufügen
add-forecast = Vorhersage hinzufügen
add-batch = Mischung hinzufügen
add-observation = Beobachtung hinzufügen
add-site = Neue Baustelle

f-name = Name
f-place = Wo sie liegt
f-tz = Zeitzone
f-units = Einheiten
f-lat = Geografische Breite
f-lon = Geografische Länge
f-located = Ort nach
f-note = Notiz
f-flight = Treppe
f-number = Nummer (1 ist unten)
f-width_m = Breite, an der Vorderkante
f-depth_m = Tiefe, vorn bis hinten
f-rise_m = Höhe, wie betoniert
f-on_step_below = Liegt überwiegend auf der unteren Stufe
f-bag_kg = Sack
f-yield_l = Frischbeton aus einem Sack
f-water_min_l = Wenigstes Wasser je Sack
f-water_max_l = Meistes Wasser je Sack
f-cement_pct = Zement in der Trockenmischung
f-class_mpa = Festigkeit nach 28 Tagen
f-class_7d_mpa = Festigkeit nach 7 Tagen
f-class_3d_mpa = Festigkeit nach 3 Tagen
f-class_1d_mpa = Festigkeit nach 1 Tag
f-strengths_are = Diese Festigkeiten sind
f-initial_set_h = Erstarrungsbeginn bei 23 °C, Stunden
f-rapid = Schnellbeton oder hohe Frühfestigkeit
f-kind = Wozu es dient
f-liquid = Flüssig
f-tone = Wie dunkel es färbt
f-min_pct = Kleinste Dosis, vom Zement
f-max_pct = Größte Dosis, vom Zement
f-material = Schalhaut
f-board_mm = Brettdicke
f-relief_mm = Tiefe des Reliefs
f-undercut = Hat Hinterschneidungen, die sich verhaken
f-step = Stufe
f-mix = Rezept
f-form = Schalung
f-liner = Matrize
f-liner_side = Seite der Matrize
f-second_pour = Wo die Stufe schon gegossen war
f-until_ms = Bis wann
f-started_ms = Begonnen
f-finished_ms = Abgezogen
f-air_c = Luft
f-concrete_c = Beton
f-rh_pct = Luftfeuchte
f-wind_kmh = Wind an der Stufe
f-rain_mm_h = Regen
f-sky = Himmel über der Stufe
f-pour = Guss
f-bags = Säcke
f-water_l = Wasser, insgesamt
f-additives = Zusätze
f-amount = Menge
f-additive = Zusatz
f-logged_ms = Wann es eingetragen wurde
f-at_ms = Wann
f-date = Tag
f-min_c = Tiefstwert
f-max_c = Höchstwert
f-what = Was
f-mpa = Ergebnis
f-stage = Phase
f-state = Wie nass es war
f-taken_ms = Aufgenommen
f-before_ms = Bis
f-place_in = Gemessen
f-by = Dein Name

opt-metric = Metrisch: °C, mm, kg, L, MPa
opt-us = US: °F, in, lb, qt, psi
opt-pigment = Pigment
opt-plasticiser = Fließmittel
opt-accelerator = Beschleuniger
opt-retarder = Verzögerer
opt-fibre = Fasern
opt-improvised = Nicht für Beton gemacht
opt-other = Etwas anderes
opt-minimum = Mindestwerte des Herstellers
opt-mean = Mittelwerte von Prüfungen
opt-light = Hell: Weiß, Sand, Gelb
opt-dark = Dunkel: Rot, Braun, Schwarz
opt-timber = Bretter
opt-plywood = Schaltafel
opt-steel = Stahl
opt-plastic = Kunststoff
opt-fresh = beim Einbau
opt-edge = an einer Kante
opt-middle = in halber Tiefe
opt-top = oben
opt-position = Standort eines Telefons
opt-town = eine Stadt
opt-typed = eingetippt
opt-core = innen
opt-surface = an der Oberfläche
opt-none = nichts davon
opt-yes = ja
opt-no = nein

## Einstellungen
settings = Einstellungen
set-language = Sprache
    .what = Worte, Datum und Zahlen auf diesem Gerät
set-language-own = Wie dieses Gerät

## Ansichten
app-name = Slowstone
sites-title = Baustellen
sites-empty = Trage jeden Guss ein. Sieh, wann ausgeschalt werden kann, wann die nächste Stufe darauf darf, und warum.
sites-new = Neue Baustelle
sites-pour = Ersten Guss eintragen
    .hint = Läuft der Beton schon? Stufen und Rezept sind ausgefüllt, wie sie meistens sind; ändere sie, wenn Zeit ist.
sites-first = Mit einer Baustelle beginnen
site-first-name = Meine Baustelle
site-steps = { $steps ->
    [0] noch keine Stufen
    [one] { $steps } Stufe
   *[other] { $steps } Stufen
 }
site-pours = { $pours ->
    [0] noch nichts betoniert
    [one] { $pours } Guss
   *[other] { $pours } Güsse
 }
site-last = letzter Eintrag { $when }

step-n = Stufe { $n }
step-unpoured = Noch nicht betoniert
step-volume = { $volume } als Quader
sample = Probe
poured = betoniert { $when }
next-line = Als Nächstes: { $what }
next-likely = wahrscheinlich { $when }
next-safe = sicher ab { $when }
not-line = Noch nicht: { $list }
maybe-line = Vielleicht: { $list }.
head-try = Erst prüfen: { $ask }
test-water = Flach über die Fläche schauen: Es darf kein Wasser darauf stehen.
test-thumb = Daumen eindrücken: Er soll etwa 6 mm tief eindrücken, nicht einsinken.
test-scratch = Mit einem Nagel an einer Kante kratzen: höchstens eine feine Linie, keine Rille.
test-strength = Bevor es sicher ist, entscheidet nur eine Festigkeitsprüfung.
test-sheet = Einen Tag lang Folie aufkleben: Darunter darf kein Wasser stehen.
can-also = Außerdem: { $list }
due-title = Jetzt dran
due-line = { $name }: { $ask }
due-until = bis { $when }
due-done = Erledigt
due-later = Später
due-later-hint = in 1 h wieder fragen
due-open = Ansehen
due-more = { $n } weitere
coming-title = Demnächst

start-title = Was soll betoniert werden?
start-hint = Ändere, was abweicht; den Rest kannst du jederzeit ändern.
start-how-many = Wie viele Stufen?
start-all-same = Maße jeder Stufe
start-mix = Das Rezept, wie es auf dem Sack steht
start-go = { $n ->
    [one] { $n } Stufe anlegen
   *[other] { $n } Stufen anlegen
 }
start-flight = Treppe
start-mix-name = Einfacher Sackbeton
start-form-name = Schalung aus Brettern
start-skip = Lieber einzeln hinzufügen
more-steps = Stufen eines Maßes hinzufügen

log-title = Guss eintragen
log-second = { $name } ist schon gegossen ({ $when }). Was ist dieser Guss?
log-second-wrong = Die falsche Stufe: eine andere wählen
log-ahead = Dieser Beginn liegt in der Zukunft: { $when }. Beginnt der Guss dann?
log-ahead-yes = Ja, er ist für dann geplant
log-ahead-now = Nein, er beginnt jetzt
log-answer-first = Beantworte zuerst das, dann speichere.
second-replaces = Ein neuer Versuch: der frühere Guss kam heraus
second-layer = Eine zweite Lage darauf
other-pours = Weitere Güsse dieser Stufe
other-line = { $when }: { $what }
other-replaced = durch einen neuen Versuch ersetzt
other-planned = geplant
other-pour = ein weiterer Guss
pour-replaced = Ein neuer Versuch ist an die Stelle dieses Gusses getreten.
log-save = Guss speichern
log-more = Wetter, Rezept und mehr
log-batches = Mischungen
log-batch-add = Noch eine Mischung wie die letzte
log-batch-out = Diese Mischung herausnehmen
log-sample = Eine Probe, keine Stufe
log-draft = Was du zuletzt getippt hast, steht noch hier.
log-draft-drop = Neu beginnen
log-now = jetzt
log-ago = vor { $m } min
log-h-ago = vor { $h } h

bar-steps = Stufen
bar-photo = Foto
bar-log = Guss eintragen
bar-reading = Messen
bar-more = Mehr
bar-happened = Was geschah

pour-line = Zeitband
pour-now = jetzt
pour-why = Warum
pour-seen-head = Was geschah
rec-undo-short = Rückgängig
pour-curve = Festigkeit und Temperatur
pour-batches = Was hineinkam
pour-readings = Messungen
pour-photos = Fotos
pour-record = Dieser Guss
pour-waiting = Dieser Guss ist auf diesem Telefon gespeichert und noch nicht gesendet. Seine Seite erscheint, wenn der Hub erreicht wird oder die App einmal ganz geladen wurde.
pour-assumed = Es wurde kein Rezept gewählt: Gerechnet wird mit einfachem Sackbeton.
range = { $early } bis { $late }
earliest = frühestens { $when }
safe-from = sicher ab { $when }
until-safe = bis { $when }
seen-at = gesehen { $when }
likely-since = wahrscheinlich seit { $when }
safe-since = sicher seit { $when }
possible-since = möglich seit { $when }
was-open = wahrscheinlich offen { $early } bis { $late }
care-more = Halte dich an das Datenblatt des Sackbetons und die örtlichen Vorschriften; bei allem, was tragen muss, frage eine Fachperson für Tragwerksplanung.
care-fresh = Frischer Beton verätzt Haut und Augen. Handschuhe und Stiefel; Spritzer sofort abwaschen. Säcke ausleeren gibt Quarzstaub: Maske auf, Wind im Rücken.
care-weak = Er hält seine Form, bevor er eine Last hält. Wer zu früh ausschalt, bricht Kanten aus und reißt das Relief ab.

why-now-strength = Festigkeit jetzt
    .range = { $low } bis { $mid }, vorsichtig bis wahrscheinlich
why-age-now = Reife bis jetzt
    .unit = { $h } h bei { $ref }
why-degree-hours = Gradstunden über dem Gefrierpunkt
why-concrete = Beton jetzt
why-edge = Kälteste Kante
why-air = Luft jetzt
why-evaporation = Austrocknung der frischen Oberfläche
    .line = { $low } bis { $high }: { $risk }
why-source = Temperaturen aus
why-source-line = { $n ->
    [0] noch keine Messung der Luft
    [one] { $n } Messung der Luft
   *[other] { $n } Messungen der Luft
 }, { $c ->
    [0] keine im Beton
    [one] { $c } im Beton
   *[other] { $c } im Beton
 }
why-until = Messungen reichen bis { $when }; ab da nach { $how }.
why-learned = { $n ->
    [one] { $n } Beobachtung an diesem Rezept hier
   *[other] { $n } Beobachtungen an diesem Rezept hier
 } eingerechnet.
look-next = Was als Nächstes anzusehen ist
look-sheen = Auf das Ende des Wasserfilms achten ab { $when }
look-thumb = Mit dem Daumen auf die Oberfläche drücken { $when }
look-scratch = Mit einem Nagel an der Kante kratzen { $when }
look-air_reading = Die Luft messen { $when }
look-concrete_reading = Im Beton messen { $when }
look-worth = { $look }: „{ $milestone }“ ist dann im Mittel { $hours } h früher sicher, oder du weißt, warum nicht.

curve-48h = 48 h
curve-7d = 7 Tage
curve-28d = 28 Tage
curve-low = vorsichtig
curve-mid = wahrscheinlich
curve-high = günstig
curve-strength = Festigkeit
curve-temp = Temperatur
curve-concrete = Beton
curve-air = Luft
curve-table = Die Kurve als Tabelle
curve-label = Festigkeit über der Zeit: jetzt etwa { $mid }, vorsichtig { $low }. Die Tabelle darunter hat die Zahlen.
curve-when = Wann

mixed-bags = { $bags ->
    [one] { $bags } Sack
   *[other] { $bags } Säcke
 }
mixed-water = { $water } je Sack
mixed-fits = im Bereich, den der Sack nennt
mixed-over = außerhalb des Bereichs, den der Sack nennt ({ $min } bis { $max })
mixed-cement = { $cement } Zement
mixed-dose = { $pct } vom Zement
mixed-dose-fits = im Bereich des Herstellers
mixed-dose-over = außerhalb des Bereichs des Herstellers
mixed-none = Noch keine Mischung eingetragen.

photo-add = Kamera
photo-file = Dateien
photo-failed = { $name }: { $why }
photo-again = Noch einmal versuchen
photo-known = schon hier
photo-here = Nur auf diesem Telefon
photo-gone = Dieser Browser hat den Inhalt verloren. Nimm das Foto neu auf oder wähle es aus der Galerie des Telefons.
photo-no-room = { $name } wurde nicht behalten: Dieser Browser hat keinen Platz mehr. Wenn es hier aufgenommen wurde, ist es noch in der Galerie des Telefons; schaffe Platz und wähle es noch einmal.
photo-remove = Entfernen
photo-removed = { $name } wurde von diesem Telefon entfernt.
photo-none = Noch kein Foto.
photo-loose = Fotos, die noch zu keiner Stufe gehören
photo-move = Stufe oder Phase ändern
photo-broken = kann hier nicht gezeigt werden
photo-damaged = Die Datei dieses Fotos ist auf dem Hub beschädigt
photo-missing = Die Datei dieses Fotos fehlt auf dem Hub
photo-damaged-why = Der Eintrag bleibt. Wer das Foto aufnahm, kann dieselbe Datei noch einmal senden, dann ist es hier wieder ganz; oder kopiere die Datei aus einer Sicherung.
photo-send-again = Noch einmal senden
photo-mended = { $name } ist wieder ganz
photo-open = Foto, { $stage }, { $when }
photo-original = Originaldatei
photo-close = Schließen
photo-earlier = Früher
photo-later = Später
photo-of = { $n } von { $of }
photo-step-up = Stufe davor
photo-step-down = Nächste Stufe
photo-no-alike = Keine weitere Stufe hat ein Foto aus dieser Phase ({ $stage }).
photo-compare = Vorher und nachher
photo-against = Vergleichen mit
photo-slider = Wie viel vom früheren Foto zu sehen ist

clock-head = Die Uhr von { $camera } geht anscheinend { $way ->
    [late] { $by } nach
   *[early] { $by } vor
}
clockwhy-arrival = { $n } ihrer Fotos kamen gleich nach der Aufnahme an, immer um so viel daneben.
clockwhy-ahead = { $n } ihrer Fotos tragen eine Zeit nach ihrer Ankunft; die Uhr geht also mindestens so viel vor.
clockwhy-work = { $n } ihrer Fotos passen nur mit dieser Verschiebung zu der Arbeit, bei der sie abgelegt sind.
clock-shift = { $n ->
    [one] Dieses Foto um { $by } verschieben
   *[other] Diese { $n } Fotos um { $by } verschieben
}
clock-keep = Die Uhr stimmt
clock-shifted = { $n ->
    [one] { $n } Foto verschoben und neu abgelegt.
   *[other] { $n } Fotos verschoben und neu abgelegt.
}

rec-edit = Ändern
rec-save = Speichern
rec-cancel = Abbrechen
rec-correct = Korrigieren
rec-take-back = Zurücknehmen
rec-undo = Das rückgängig machen
rec-history = Verlauf
rec-by = { $by }, { $when }
rec-for = { $name } (eingetragen von { $by })
rec-edited = seither geändert
rec-nothing = Es wurde nichts geändert.
rec-taken-back = Zurückgenommen.
rec-restore = Wiederherstellen
rec-deleted = Das wurde zurückgenommen. Unten kannst du es wiederherstellen.
rec-empty = hier ist noch nichts

weather-table = Tabelle eines Loggers oder einer Vorhersage (CSV)
advice-title = Anfassen und schützen
advice-none = Kein Rat: Der Hub ist nicht zu erreichen, oder es gibt noch keine Vorhersage.
protect-none = Kein Frost zu befürchten.
protect-cover = Gegen Frost abdecken, oben und an den Seiten.
protect-heat = Abdecken reicht nicht: dick dämmen und warm halten.
protect-freezes = Nicht abgedeckt kommt die Kante { $when } nahe an den Gefrierpunkt.
protect-until = Drauflassen bis { $when }.
protect-stands = Hält ab { $when } einen Frost aus.
window-short = Ein kurzes Prägefenster: etwa { $time }.
window-short-how = Halte Hände und Werkzeug bereit; gieße das nächste Mal ein kleineres Stück auf einmal oder zu einer früheren Stunde. Ob ein Verzögerer hilft, weiß sein Hersteller.
shade-helps = Schatten und Windschutz geben dir Zeit.
shade-line = Das Prägefenster dauert so etwa { $now }, damit { $then }.
stack-carries = Sie kann die nächste Stufe tragen.
stack-not = Sie trägt die nächste Stufe noch nicht.
stack-push = Der Frischbeton in der nächsten Schalung drückt mit etwa { $push } auf diese Kante: Stütze jene Schalung gegen den Boden ab.
stack-care = Mit Menschen darauf sollte sie { $load } ihrer vollen Festigkeit haben; sicher hat sie { $has }. Arbeite bis dahin von der Seite.
move-mass = { $mass }, wie betoniert.
move-persons = { $n ->
    [one] Eine Person darf es vom Boden heben.
   *[other] { $n } Personen heben es vom Boden.
  }
move-machine = Mehr als drei Personen wären nötig: nimm eine Maschine, einen Hebel oder Rollen, oder bewege es nicht.
move-holds = Es reißt nicht, wenn es an den Enden hängt; die Kanten brechen lange vorher.
move-cracks = An den Enden gehoben kann es reißen: fasse es je ein Fünftel der Länge vom Ende entfernt.
clamps = Zwingen oder Pflöcke dieser Schalung höchstens { $far } auseinander.
placing = So dünner Beton wird mit { $low } bis { $high } eingebaut.
care-handle = Gehoben nach den Grenzen von NIOSH für eine Person, vom Boden, schlecht zu greifen. Niemand steht unter oder hangabwärts von einer Stufe, die bewegt wird.
best-title = Beste Stunde zum Betonieren
best-how = Je höher der Balken, desto länger lässt sich die Oberfläche prägen; schraffiert, wo Frost, schnelles Austrocknen oder die Nacht dagegen sprechen.
best-start = Beginn um { $at }
best-window = Prägen wahrscheinlich { $from } bis { $to } ({ $long }).
best-against = Aber: { $list }.
best-none = Trage zuerst eine Vorhersage ein: Ohne Temperatur gibt es keine Zahl.
best-over = Dieser Tag hat keine Stunde mehr übrig.
against-frost = Frost, bevor er fest ist
against-dries_very_fast = er trocknet sehr schnell
against-window_at_night = die Arbeit fällt in die Nacht
against-short_window = ein kurzes Fenster
against-dries_fast = er trocknet schnell
against-hot = Hitze kostet Endfestigkeit
against-strips_at_night = die Schalung wartet auf den Morgen

learned-title = Was deine Stufen gelehrt haben
learned-no-mix = Güsse ohne Rezept
learned-set-same = Bindet etwa dann ab, wenn der Sack es sagt.
learned-set-later = Bindet etwa { $time } später ab, als der Sack sagt
learned-set-sooner = Bindet etwa { $time } früher ab, als der Sack sagt
learned-range = ({ $low } bis { $high }).
learned-sheen-same = Der Wasserfilm geht etwa wie gerechnet.
learned-sheen-more = Der Wasserfilm bleibt etwa { $pct } % länger als gerechnet
learned-sheen-less = Der Wasserfilm geht etwa { $pct } % früher als gerechnet
learned-strong-same = Etwa so fest, wie der Sack sagt.
learned-strong-more = Etwa { $pct } % fester, als der Sack sagt
learned-strong-less = Etwa { $pct } % weniger fest, als der Sack sagt
learned-from = { $n ->
    [one] Aus einer Beobachtung hier; bei { $ref }.
   *[other] Aus { $n } Beobachtungen hier; bei { $ref }.
  }
learned-nothing = Noch nichts: Frühere Güsse sollen nichts mehr lehren.
learned-forget = Das vergessen
learned-again = Wieder aus ihnen lernen
learned-again-said = Frühere Güsse lehren wieder.

set-title = Einrichten
set-site = Diese Baustelle
set-look = Aussehen
set-auto = wie das Gerät
set-light = hell
set-dark = dunkel
set-person = Dein Name
set-conflicts = Zwei Personen haben dasselbe geändert
set-conflict-line = { $kind }, { $field }: Wähle, was gilt
set-problem-notice = { $n ->
    [one] Mit einem Eintrag stimmt etwas nicht
   *[other] Mit { $n } Einträgen stimmt etwas nicht
 }
set-problem-more = und { $n } weitere
set-problem-look = Ansehen
set-problems = Einträge, die nicht brauchbar waren
weather-title = Wetter
weather-now = Jetzt messen
weather-forecast = Vorhersage, die du gehört hast
weather-today = Heute
weather-tomorrow = Morgen
weather-list = Messungen

name-title = Wer trägt ein?
name-hint = Wird einmal gefragt. Der Name steht bei dem, was du einträgst.

state-try = Jetzt versuchen
state-refused = { $n ->
    [one] Der Hub hat { $n } Eintrag abgelehnt:
   *[other] Der Hub hat { $n } Einträge abgelehnt:
 }
state-refused-drop = Ich habe es gelesen
state-locked = Dieser Browser darf nicht hinein
    .how = Öffne die Adresse, die der Hub beim Start ausgab (sie endet auf ?t=…). Damit darf dieser Browser hinein.
state-lost = Unter dieser Adresse ist nichts.
state-gone = Es wurde zurückgenommen oder war nie hier.
state-home = Zu den Baustellen
state-loading = lädt

said-saved = Gespeichert und gesendet.
said-kept = Auf diesem Telefon gespeichert. Es wird gesendet, sobald der Hub erreicht ist.
said-fleeting = Noch nicht gesendet, und dieser Browser behält nichts: Lass diese Seite offen, bis es gesendet ist.
said-cleared = Dieser Browser hat gelöscht, was Slowstone für die Arbeit ohne Hub behielt. Nicht Gesendetes war nicht dabei; es wird neu geholt.
said-refill = { $n ->
    [one] Der Hub wurde auf eine Sicherung zurückgesetzt. { $n } Eintrag, der ihm fehlt, wird von diesem Telefon noch einmal gesendet.
   *[other] Der Hub wurde auf eine Sicherung zurückgesetzt. { $n } Einträge, die ihm fehlen, werden von diesem Telefon noch einmal gesendet.
 }
said-sent = Alles ist gesendet.
said-refused = Nicht angenommen. { $field }: { $why }
said-marked = { $what }: gespeichert.

error-unreachable = Der Hub ist nicht zu erreichen. Sieh nach, ob er läuft und ob dieses Gerät in seinem Netz ist.
error-needs-hub = Das braucht den Hub, und er ist nicht zu erreichen. Die Zeiten jedes Gusses und alle Einträge sind hier.
error-core = Der Hub ist nicht zu erreichen, und dieses Telefon hat noch nicht geladen, was es zum eigenen Rechnen braucht. Was du einträgst, bleibt erhalten. Öffne die App einmal in der Nähe des Hubs.
error-http = Der Hub hat mit einem Fehler geantwortet ({ $status }). Versuche es noch einmal.
error-shelf = Dieser Browser hat keinen Platz mehr dafür. Schaffe Platz und speichere dann noch einmal.
error-unreadable = Das ist nicht zu lesen. Schreibe es zum Beispiel so: { $example }.
error-length = Das ist als Länge nicht zu lesen. Schreibe zum Beispiel 350 mm, 35 cm, 0,35 m, 5 1/2" oder 6'-3".
error-range = Muss zwischen { $min } und { $max } liegen.
error-missing = Wird gebraucht.

rel-in = in { $time }
rel-since = vor { $time }
time-outside = Zeit unbekannt
rel-now = gerade eben
len-dh = { $d } Tg. { $h } h
len-d = { $d } Tg.
len-hm = { $h } h { $m } min
len-h = { $h } h
len-m = { $m } min

## Der Plan
k-layout = Lage der Treppe
k-rules = Regeln
k-materials = Material und Verschnitt
k-crew = Stunden und Leute
k-planned = Tag eines Gusses
k-bought = Gekauft
k-checklist = Prüfung vor dem Guss
k-ticked = Geprüft

f-bank_rise_m = Höhe der Böschung
f-bank_run_m = Waagrechte Länge der Böschung
f-overlap_m = Auf der unteren Stufe
f-fall_pct = Gefälle der Trittstufen
f-fall_min_pct = Kleinstes Gefälle
f-fall_max_pct = Größtes Gefälle
f-base_m = Verdichteter Schotter darunter
f-drain_m = Sauberer Kies darunter
f-riser_max_mm = Höchste Steigung
f-going_min_mm = Kürzester Auftritt
f-variation_max_mm = Größter Unterschied zwischen Steigungen oder Auftritten
f-two_r_plus_t_min_mm = Zwei Steigungen und ein Auftritt, mindestens
f-two_r_plus_t_max_mm = Zwei Steigungen und ein Auftritt, höchstens
f-waste_pct = Verlust an Beton
f-mixer_l = Mischer oder Karre fasst
f-dose_pct = Anteil am Zement
f-mesh_gap_mm = Matte kürzer als die Schalung
f-rubber_mm = Gummi, mittlere Dicke
f-rubber_kg_l = Gummi, Rohdichte
f-rubber_waste_pct = Verlust an Gummi
f-from_h = Arbeit ab, Uhr
f-until_h = Arbeit bis, Uhr
f-forms = Schalungen im Einsatz (leer: alle)
f-pour_h = Stunden zum Mischen, Füllen und Abziehen
f-wash_h = Stunden zum Ausschalen und Waschen
f-dry_h = Stunden, bis die Matrize trocken ist
f-reset_h = Stunden zum neuen Einschalen
f-planned_ms = Tag und Stunde

add-layout = Lage der Treppe
add-rules = Regeln
add-materials = Material und Verschnitt
add-crew = Stunden und Leute

plan-title = Plan
plan-flight = Treppe
plan-buy = Einkauf
plan-days = Tage
plan-check = Prüfen
plan-usual = wie üblich; niemand hat es geändert
error-clock = Die Uhr dieses Geräts liegt außerhalb des Kalenders. Stelle ihr Datum und speichere noch einmal; was du getippt hast, ist noch da.
error-part = Dieser Teil der App wurde nicht geladen. Sieh nach, ob der Hub erreichbar ist, und lade die Seite neu.

lie-steps = { $n ->
    [one] Stufe
   *[other] Stufen
 }
lie-rise = hoch
lie-length = lang
lie-riser = Steigung
lie-going = Auftritt
lie-overlap = Auf der unteren
lie-fall = Gefälle
lie-mass = Masse, frisch
lie-drawing = Schnitt und Grundriss von { $name } im Maßstab, { $n } Stufen. Die Tabelle darunter hat die Maße.
lie-drawing-hint = Maßstäblich auf A4. Was du vor Ort misst, gilt vor dem Papier.
lie-good = Nichts daran verstößt gegen { $rules }.
lie-none = Noch keine Stufen darin.
lie-heavy = Schwerer, als Menschen heben dürfen (eine Person vom Boden: { $one }): Gieße sie, wo sie bleiben, oder hole Rollen und eine Maschine.
lie-change = Lage ändern
lie-new = Eine neue Treppe
lie-lay-out = Nach der Böschung einteilen
lie-rules = Steigung höchstens { $riser }, Auftritt mindestens { $going }, beide höchstens { $differ } verschieden; zwei Steigungen und ein Auftritt { $least } bis { $most }; Gefälle { $fall }.
lie-code = Die örtlichen Vorschriften gehen vor. Handläufe, Podeste und alles Tragende werden hier nicht geprüft.
lie-rules-change = An die örtlichen Regeln anpassen

lay-hint = Miss die Höhe vom Boden vorn bis zum Weg oben und die waagrechte Länge dazwischen. Du bekommst die Maße für jede Stufenzahl, die geht.
lay-propose = Welche Stufen passen?
lay-best = passt am besten
lay-sizes = Steigung { $riser }, Auftritt { $going }, zwei Steigungen und ein Auftritt { $stride }
lay-form = Schalung { $depth } tief, { $height } hoch

amiss-riser = Eine Steigung von { $value } ist höher als { $limit }.
amiss-going = Ein Auftritt von { $value } ist kürzer als { $limit }.
amiss-riser_variation = Die Steigungen sind um { $value } verschieden; höchstens { $limit }.
amiss-going_variation = Die Auftritte sind um { $value } verschieden; höchstens { $limit }.
amiss-stride = Zwei Steigungen und ein Auftritt ergeben { $value }: { $side ->
    [above] mehr als { $limit }, ein zu langer Schritt.
   *[below] weniger als { $limit }, ein zu kurzer Schritt.
 }
amiss-fall = Ein Gefälle von { $value } ist { $side ->
    [above] mehr als { $limit }: Man rutscht nach vorn.
   *[below] weniger als { $limit }: Wasser bleibt stehen und gefriert.
 }
amiss-bank_rise = Die Stufen sind zusammen { $value } hoch, die Böschung { $limit }.
amiss-bank_run = Die Auftritte sind zusammen { $value } lang, die Böschung { $limit }.
amiss-overlap = Nur { $value } auf der unteren Stufe; üblich sind { $limit } oder mehr.

buy-batch = Eine Mischung
buy-plain = Einfacher Sackbeton (keiner gewählt)
buy-as-last = wie bei der letzten Stufe
buy-alike = Wiege und mische jedes Mal gleich: So bekommen alle Stufen dieselbe Farbe. Beginne mit der kleineren Wassermenge.
buy-heavy = Ein Sack von { $bag } ist mehr, als eine Person vom Boden heben sollte ({ $one }).
buy-change = Mischer, Matte, Verschnitt
buy-doses = Pigment und andere Dosen
buy-list = Vor dem Beginn da haben: { $n ->
    [one] eine Stufe zu betonieren
   *[other] { $n } Stufen zu betonieren
 }
buy-exact = { $exact } mit { $waste } Verlust. Wenn jede Stufe neue Säcke öffnet: { $each }.
buy-board = Bretter { $thick } dick, mindestens { $high } breit
buy-apart = höchstens { $apart } auseinander
buy-rubber = { $size }, im Mittel { $thick } dick, in einem Guss: { $litres } mit { $waste } Verlust
buy-mesh = rundum { $gap } kürzer als die Schalung, in halber Tiefe
buy-pieces = { $n } Stück
buy-there = Es ist da.
buy-back = Wieder auf der Liste.
buy-print = Drucken
buy-care = Fehlt ein Sack, ist der Guss verloren. Pigment nach Gewicht, alles aus einer Charge. Ausbeute und Wasser sind Angaben des Sacks.
buy-steps = Stufe für Stufe
buy-batches = Mischungen
buy-mesh-up = Matte über dem Boden

item-bags = Säcke
item-additive = Zusatz
item-water = Wasser
item-mesh = Bewehrungsmatte
item-chairs = Abstandhalter unter der Matte
item-gravel = Schotter für den Unterbau, lose
item-stone = Sauberer Kies zur Entwässerung, lose
item-boards = Schalbretter
item-screws = Schrauben für die Schalung
item-stakes = Pflöcke und Streben
item-sealant = Dichtmasse für die Fugen, Kartuschen
item-rubber = Gummi für eine Matrize
item-release = Trennmittel
item-cover = Abdeckungen zur Nachbehandlung, eine je Stufe
item-gloves = Wasserdichte Handschuhe und Schutzbrille, je Person
item-mask = Staubmasken

days-title = Wann betonieren
days-last = { $n ->
    [one] Eine Stufe fehlt noch. Sie kann { $when } betoniert werden.
   *[other] { $n } Stufen fehlen noch. Die letzte kann { $when } betoniert werden.
 }
days-form-buys = Mit { $forms } Schalungen { $days } { $days ->
    [one] Tag
   *[other] Tage
 } früher.
days-form-nothing = Mit { $forms } Schalungen ginge es nicht schneller: Die Stufen warten aufeinander.
steps-none = Noch keine Stufen.
steps-begin = Stufen einrichten
steps-more = Stufen hinzufügen
days-all-poured = Alle Stufen sind betoniert.
days-picture = Die Reihenfolge der Arbeit als Bild; lässt sich seitlich schieben
days-picture-label = { $n } Stufen über der Zeit, die letzte betoniert { $when }. Die Liste darunter hat die Zeiten.
days-legend = Ein Balken beginnt mit dem Guss, wird dicker bis zum Ausschalen (Striche) und endet mit der Nachbehandlung. Die Linie nach oben führt zum nächsten Guss. Gefüllt: ist betoniert.
days-over = { $n ->
    [one] Eine Stufe ist fertig nachbehandelt und nicht gezeigt.
   *[other] { $n } Stufen sind fertig nachbehandelt und nicht gezeigt.
 }
days-surface = Oberfläche { $from } bis { $until }
days-strip = ausschalen { $when }
days-earliest = möglich ab { $when }
days-after-hours = Die Oberfläche kann dich nach Feierabend brauchen. Beginne früher, oder wechselt euch ab.
days-planned-early = Der geplante Tag ist zu früh. Das ist der erste, der sicher ist.
days-try = Eine andere Zeit probieren
days-when = { $name } wird betoniert
days-ask = Was folgt daraus?
days-if = Wird { $name } { $when } betoniert,
days-then = kann { $name } { $when } betoniert werden.
days-too-early = { $name } kann nicht { $when } betoniert werden: frühestens { $earliest }.
days-keep = Diesen Tag festhalten
days-free = Den Tag freigeben
days-back = Zurück zum Plan
days-care = Die Zeiten sind das vorsichtige Ende der Vorhersage. Sie verschieben sich mit dem Wetter und mit dem, was du einträgst.
days-hours = Arbeit von { $from } bis { $until }, { $forms } { $forms ->
    [one] Schalung
   *[other] Schalungen
 }. Höchstens { $wet } { $wet ->
    [one] Stufe
   *[other] Stufen
 } zugleich in Nachbehandlung.
days-off = Tage, an denen du arbeitest
days-off-hint = Tage ohne Arbeit bleiben hell. Tippe zum Ändern.
days-change = Stunden, Schalungen, Waschen und Trocknen

waits-nothing = sobald du da bist
waits-form = wartet auf die Schalung: ab, gewaschen, trocken, neu gestellt
waits-step_below = wartet, bis die untere Stufe sie trägt
waits-working_time = wartet auf den nächsten Arbeitstag
waits-planned_day = der gewählte Tag

check-base_level = Untergrund eben und verdichtet
check-form_level = Schalung quer in Waage, mit Gefälle nach vorn
check-gaps_closed = Jede Fuge der Schalung geschlossen
check-mesh_cut = Matte geschnitten, Abstandhalter für halbe Tiefe bereit
check-liner_clamped = Matrize eingespannt, tiefer als die Oberkante
check-bags_enough = Genug Säcke neben der Schalung
check-release_agent = Trennmittel auf Schalung und Matrize
check-water_ready = Wasser abgemessen, dazu welches zum Waschen
check-cover_ready = Abdeckung und Gewichte zur Hand
check-gloves_eyes = Handschuhe, Stiefel, Schutzbrille, Maske
check-open = { $n ->
    [0] offen: bereit zum Betonieren
    [one] Punkt ist offen
   *[other] Punkte sind offen
 }
check-still-open = { $n ->
    [one] { $n } Punkt der Prüfung ist offen
   *[other] { $n } Punkte der Prüfung sind offen
 }
check-change = Liste ändern
check-out = Herausnehmen
check-new = Eigener Punkt
check-add = Hinzufügen

## Was nur auf diesem Telefon ist

out-away = Kein Hub erreichbar. Mach weiter: Alles wird gemerkt.
out-none = Nichts wartet auf das Senden.
out-here = Nur auf diesem Telefon: { $what }
out-entries = { $n ->
    [one] { $n } Eintrag
   *[other] { $n } Einträge
 }
out-photos = { $n ->
    [one] { $n } Foto
   *[other] { $n } Fotos
 }
out-oldest = ältestes { $when } ({ $ago })
out-send = Jetzt senden
out-going = Sendet, { $pct } %
out-fleeting = Dieser Browser behält nichts. Lass diese Seite offen, bis alles gesendet ist.
out-elsewhere = { $n ->
    [one] { $n } Eintrag auf diesem Telefon gehört zu einem anderen Hub, der diese Adresse hatte. Er wird gesendet, wenn jener erreicht wird, oder speichere eine Kopie.
   *[other] { $n } Einträge oder Fotos auf diesem Telefon gehören zu einem anderen Hub, der diese Adresse hatte. Sie werden gesendet, wenn jener erreicht wird, oder speichere eine Kopie.
 }
out-lost = Dieser Browser hat weggeworfen, was noch nicht gesendet war: { $what }, das älteste von { $when }.
    .how = Trage es neu ein, solange du es weißt; Fotos sind vielleicht noch in der Galerie des Telefons. Lege die App auf den Startbildschirm, damit der Browser das nicht wieder tut.
out-skew = Die Uhr dieses Geräts geht { $span } { $side ->
    [ahead] vor gegenüber
   *[behind] nach gegenüber
 } der Uhr des Hubs. Die Zeiten hier gehen nach dem Hub; stelle diese Uhr richtig.
out-new = Es gibt eine neue Version.
out-new-use = Jetzt verwenden
out-conflicts = { $n ->
    [one] Zwei Personen haben dasselbe geändert, ohne voneinander zu wissen. Wähle, was gilt.
   *[other] { $n } Dinge wurden von zwei Personen geändert, ohne voneinander zu wissen. Wähle, was gilt.
 }
out-conflicts-open = Klären

phone-title = Dieses Telefon
phone-ready = Geht ohne Hub: App und Einträge sind auf diesem Telefon.
phone-not-ready = Ohne den Hub behält dieser Browser, was du einträgst, kann die App aber nicht öffnen.
phone-safe = Der Browser hat versprochen, nicht wegzuwerfen, was hier liegt.
phone-unsafe = Der Browser wirft vielleicht weg, was hier liegt, wenn der Platz knapp wird. Lege die App auf den Startbildschirm, um das zu verhindern.
copy-save = Kopie speichern
copy-import = Kopie einlesen
copy-hint = Eine Kopie ist eine Datei mit allem, was dieses Telefon noch nicht gesendet hat. Bring sie auf irgendeinem Weg zum Hub und lies sie dort ein. Zweimal schadet nicht.
copy-saved = Die Kopie ist bei deinen Downloads. Bis zum Senden bleibt alles auch auf diesem Telefon.
copy-done = { $events ->
    [one] { $events } Eintrag
   *[other] { $events } Einträge
 } und { $photos ->
    [one] { $photos } Foto
   *[other] { $photos } Fotos
 } sind jetzt aufgenommen.
copy-cut = Die Datei ist nicht ganz: Ein Teil fehlt oder ist beschädigt. Was lesbar war, wurde eingelesen; speichere sie auf dem Telefon noch einmal.
missing-line = Zeile { $n }:
missing-damaged = Beschädigt und ausgelassen.
missing-unknown = Enthält weder einen Eintrag noch ein Foto.
missing-after_end = Steht hinter dem Ende der Datei.
missing-no_end = Das Ende der Datei fehlt.
missing-entries = In der Datei stehen nicht so viele Einträge, wie ihr Ende angibt.
missing-photos = In der Datei sind nicht so viele Fotos, wie ihr Ende angibt.
missing-hash = In der Datei wurde etwas geändert, nachdem sie geschrieben war.

## Farbe

col-title = Farbe
col-compare = Verglei­chen
col-measure = Messen
col-dose = Dosis
k-card = Referenzkarte
k-colour = Gemessene Farbe

wet-dry = Trocken
wet-damp = Feucht
wet-wet = Nass
cardkind-grey_card = Graukarte, 18 %
cardkind-white_paper = Weißes Druckerpapier
cardkind-other = Andere Karte
cardkind-hint-white_paper = Schwächer als eine Graukarte: Papier ist verschieden.

doubt-reference_partly_clipped = Ein Teil der Karte ist überbelichtet und blieb außen vor; ein dunkleres Foto ist sicherer.
doubt-reference_bright = Die Karte ist fast überbelichtet; ein dunkleres Foto ist sicherer.
doubt-reference_dim = Die Karte ist im Foto dunkel; mehr Licht ist sicherer.
doubt-reference_uneven = Die Karte ist ungleich beleuchtet oder schmutzig. Halte Schatten von ihr fern und markiere nur die Karte.
doubt-reference_is_paper = Weißes Papier ist eine schwache Referenz: Papier ist verschieden. Eine Graukarte ist besser.
doubt-reference_far_in_lightness = Die Karte ist viel heller oder dunkler als der Beton. Eine Graukarte nahe daran ist besser.
doubt-cards_disagree = Die zwei Karten sehen Licht verschiedener Farbe. Nimm das Foto im offenen Schatten auf.
doubt-not_between_cards = Der Fleck liegt nicht zwischen den Karten. Lege auf jede Seite eine.
doubt-light_changes = Das Licht ändert sich über den Fleck. Lege die Karte näher, oder auf jede Seite eine.
doubt-strong_cast = Das Licht hat eine starke Farbe. Nimm das Foto bei Tageslicht auf, im offenen Schatten, ohne Blitz.
doubt-patch_partly_clipped = Ein Teil des Flecks ist überbelichtet und blieb außen vor; ein dunkleres Foto ist sicherer.
doubt-patch_dim = Der Fleck ist im Foto dunkel; mehr Licht ist sicherer.
doubt-patch_uneven = Viel vom Fleck ist Schatten, Verschmutzung oder eine andere Fläche und blieb außen vor. Markiere eine sauberere Stelle.
doubt-patch_small = Der Fleck hat wenige Bildpunkte; geh näher heran oder markiere mehr davon.
doubt-profile_unknown = Das Farbprofil dieses Fotos ist hier nicht bekannt; die Farbe kann danebenliegen.
doubt-preview_only = Nur das kleine Vorschaubild in der Datei war zu lesen.

word-cannot_be_seen = nicht zu sehen
word-slight = gering
word-plain = deutlich
tend-lighter = heller
tend-darker = dunkler
tend-redder = röter
tend-greener = grüner
tend-yellower = gelber
tend-bluer = blauer
ccare-state_differs = Eine war nasser als die andere, und nasser Beton ist dunkler. Vergleiche trocken mit trocken.
ccare-state_unknown = Es ist nicht notiert, ob beide trocken waren. Vergleiche trocken mit trocken.
ccare-age_differs = Sie sind sehr verschieden alt; Beton wird in den ersten Wochen heller. Vergleiche noch einmal, wenn beide 28 Tage alt sind.
ccare-age_unknown = Das Alter von einer ist nicht bekannt; junger Beton ist dunkler.
stand-fits = Wie die anderen
stand-stands_out = Fällt auf
stand-cannot_tell = Weicht vielleicht ab: noch einmal messen
stand-too_few_alike = Zu wenige gleiche, um es zu sagen

differ-dose = { $name }: { $a } und { $b } vom Zement
differ-mix = Rezept: { $a } und { $b }
differ-water = Wasser je Sack: { $a } und { $b }
differ-placed = Wärme beim Einbau: { $a } und { $b }
differ-liner = Matrize: { $a } und { $b }
differ-form = Schalung: { $a } und { $b }
differ-cure = Nachbehandlung: { $a } und { $b }
differ-batches = Mischungen: { $a } und { $b }
differ-note = Notizen: { $a } und { $b }
differ-none = nichts

nocurve-too_few_trials = Es ist noch zu wenig bekannt: Miss mindestens zwei Güsse oder Probeflächen dieses Rezepts mit verschiedenen Dosen. Eine darf ohne sein.
nocurve-doses_do_not_differ = Alle haben dieselbe Dosis. Gieße eine Probefläche mit einer anderen.
nocurve-pigments = Wähle einen oder zwei Zusätze.
nocurve-not_a_number = Eine Dosis oder eine Farbe kann nicht sein. Sieh dir die Mischungen dieser Güsse an.
leftout-not_dry = nass oder feucht gemessen
leftout-other_additive = enthält einen anderen färbenden Zusatz
leftout-dose_unknown = keine Mischung eingetragen
reach-within = Die Dosis liegt in dem Bereich, der probiert wurde.
reach-edge_of_tried = Die Dosis liegt am Rand dessen, was probiert wurde. Eine Probefläche etwas darüber hinaus würde zeigen, ob das näher kommt.
reach-supplier_limit = Das ist die Grenze des Herstellers: nicht mehr.
reach-cap = Das ist die Obergrenze von 10 % vom Zement: Mehr von diesem feinen Pulver braucht mehr Wasser und schwächt den Beton, und über 5 bis 7 % ändert es die Farbe kaum noch.
reach-out_of_reach = Keine Dosis davon gibt diese Farbe; näher geht es nicht. Es braucht ein anderes Pigment oder einen anderen Zement.
teach-least_sure = Dort ist unter den Dosen, die passen können, am wenigsten bekannt.
teach-beyond_tried = Die richtige Dosis liegt vielleicht jenseits dessen, was probiert wurde.
teach-to_begin = Sie liegt am weitesten von dem, was bisher bekannt ist.

col-none = Es wurde noch keine Farbe gemessen.
    .how = Lege im offenen Schatten eine Graukarte flach auf den trockenen Beton und fotografiere von oben ohne Blitz. Miss dann hier.
col-first = Eine Farbe messen
col-pick = Tippe zwei an, um zu sehen, wie weit sie auseinander sind.
col-lab-line = L* { $l } a* { $a } b* { $b }
col-give = plus/minus { $l }, { $a }, { $b }
col-age = { $n ->
    [one] { $n } Tag alt
   *[other] { $n } Tage alt
 }
col-age-none = Alter nicht bekannt
col-apart = Der Unterschied ist { $word }
col-apart-range = { $low } bis { $high } an den Enden des Bereichs
col-apart-num = dE { $de } ({ $low } bis { $high }), nach CIEDE2000
col-apart-tend = { $b } ist { $tend } als { $a }.
col-differed = Was sonst verschieden war
col-differed-none = Nichts, was eingetragen ist.
col-order = Zuerst { $a }, dann { $b }.
col-over-time = Messungen
col-since = Seit der ersten: { $word }{ $tend }
col-card-changed = Eine Karte hat seither eine andere Farbe bekommen. Miss noch einmal.
col-take-back = Zurücknehmen
col-middle = { $de } von der Mitte der anderen, plus/minus { $sd }
col-unmeasured = Noch nicht gemessen
col-cards = Referenzkarten
col-water = { $litres } Wasser je Sack

mark-choose = Wähle ein Foto mit einer Referenzkarte
mark-other = Anderes Foto
mark-pour = Was es zeigt
mark-pour-none = Wähle die Stufe oder Probe
mark-concrete = Beton
mark-card = Karte { $n }
mark-card-more = Zweite Karte
mark-card-less = Ohne die zweite Karte
mark-how-patch = Ziehe ein Rechteck auf sauberem, trockenem Beton, oder tippe eine vorgeschlagene Stelle an.
mark-how-card = Ziehe ein Rechteck auf der Karte, deutlich innerhalb ihres Rands.
mark-places = Ebene Stellen
mark-place = Stelle { $n }
mark-nudge = Rechteck verschieben
mark-left = Links
mark-right = Rechts
mark-up = Hoch
mark-down = Runter
mark-larger = Größer
mark-smaller = Kleiner
mark-which = Welche Karte ist es?
mark-state = Wie nass war es?
mark-go = Messen
mark-missing = Noch zu tun: { $what }
mark-todo-pour = sagen, was es zeigt
mark-todo-concrete = den Beton markieren
mark-todo-card = die Karte markieren
mark-todo-which = sagen, welche Karte es ist
mark-todo-wet = sagen, wie nass es war
mark-result = Gemessen
mark-again = Noch einmal messen
mark-no-picture = Dieses Foto gibt keine Bildpunkte zum Messen her.
mark-card-name = Name der Karte
mark-use = Farbe messen

dose-additive = Zusatz
dose-second = Zusammen mit
dose-no-second = Nichts weiter
dose-mix = Rezept
dose-mix-none = Rezept nicht gesagt
dose-match = Die Farbe treffen von
dose-match-none = Wähle eine gemessene Stufe
dose-none = Richte ein Pigment ein und miss einige Güsse, die es enthalten.
    .pigment = Pigment einrichten
dose-per-bag = je Sack
dose-range = { $low } bis { $high }
dose-per-batch = { $amount } in einer Mischung aus { $bags ->
    [one] { $bags } Sack
   *[other] { $bags } Säcken
 } ({ $low } bis { $high })
dose-pct = { $pct } vom Zement ({ $low } bis { $high })
dose-wanted = Gewünscht
dose-foretold = Vorhergesagt
dose-fit = Der Unterschied, der bleibt, ist { $word }.
dose-next = Am meisten lehrt eine weitere Probefläche mit { $pct } vom Zement: { $amount } je Sack.
dose-next-gain = Der Bereich würde von { $now } auf { $then } vom Zement schrumpfen.
dose-log = Diese Probefläche eintragen
dose-cap = Nie mehr als 10 % vom Zement: Dieses feine Pulver braucht mehr Wasser und schwächt den Beton, und über 5 bis 7 % ändert es die Farbe kaum noch.
dose-log-kept = Auf diesem Telefon wird gerade ein Guss eingetragen. Speichere ihn oder beginne neu, dann komm zurück.
dose-sample = Probefläche { $name } { $pct }
dose-limits = Probiert von { $low } bis { $high }. Höchstens { $most } vom Zement{ $whose ->
    [supplier] , die Grenze des Herstellers
   *[cap] : die Obergrenze, denn mehr schwächt den Beton und färbt kaum
 }.
dose-improvised = { $name } ist nicht für Beton gemacht: Es kann ihn schwächen und das Abbinden ändern. Gieße zuerst eine Probefläche und nimm wenig.
dose-assumed = Das Rezept ist nicht gesagt: Gerechnet wird mit einem einfachen Sack von { $bag } mit 14 % Zement.
dose-trials = Woraus die Kurve gezogen ist
dose-left-out = Nicht auf der Kurve: { $why }
dose-sure = Ein Versuch, der weggelassen wurde, wurde auf { $de } genau vorhergesagt (CIEDE2000).
dose-label = { $what } über der Dosis, mit ihrem Bereich
dose-axis = % vom Zement
dose-what = Was gezeichnet ist
dose-L = Helligkeit L*
dose-a = Rot a*
dose-b = Gelb b*
