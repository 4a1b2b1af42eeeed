# Messblatt

cylinders-of-valves =
    { $cylinders ->
        [one] { $cylinders } Zylinder
       *[other] { $cylinders } Zylinder
    }, { $valves } Ventile je Zylinder

## Was das Messblatt ist und wozu es gehört

blank-document = Messblatt: Profil { $id } Revision { $revision }
blank-title = Messblatt
blank-for-readings = Vordruck, für Messwerte von Hand
blank-closing = Messblatt: Grenzen des Profils und Platz für Messwerte; nichts darauf ist beurteilt.
blank-profile-digest = Profil-Prüfsumme
blank-profile-named = { $title } – { $id } Revision { $revision }
blank-units = Einheiten dieses Messblatts
blank-how-to-fill-in = Ein Feld, ein Messwert, wie das Messmittel ihn zeigt, in der Einheit neben seinem Namen. Was fett gedruckt ist, muss gemessen werden. Ein leeres Feld heißt: nicht gemessen. Einen falschen Messwert einmal durchstreichen, den richtigen daneben schreiben und abzeichnen. Stellen rund um Sitz oder Ventilsitzfläche im Uhrzeigersinn, vom Brennraum aus gesehen; kennzeichnen, wo 12:00 ist.
blank-code-profile = Profil { $id }
blank-code-revision = Revision { $revision }
blank-code-job = Auftrag { $number }
blank-code-head = Kopf { $serial }

## Wer, wann und welcher

blank-date-and-time = Datum und Uhrzeit
blank-head-temperature = Temperatur des Kopfs, °C
blank-welded = geschweißt
blank-name-date = Name, Datum
blank-valve-tag = Ventilkennzeichen

## Messmittel

blank-instrument-id = Messmittel (Kennung)
blank-instrument-measures = Misst, Einheit
blank-instrument-coverage = k
blank-note-uncertainty = U: erweiterte Messunsicherheit mit ihrem Erweiterungsfaktor k, in den Einheiten oben (Längen: { $length }). Das Messmittel in der Leiste über seinen Messwerten nennen.

## Reihenfolge an der Werkbank

blank-order = Reihenfolge an der Werkbank
blank-order-clean = Reinigen. Jedes Ventil kennzeichnen: Es bleibt bei seinem Sitz.
blank-order-tests = Rissprüfung, dann Abdrücken: bevor andere Arbeit Geld kostet.
blank-order-cam-bores = Nockenwellenlager: messen vor jedem Planschnitt an einer verzogenen Dichtfläche.
blank-order-deck = Dichtfläche: Höhen oder Haarlineal, Rauheit; Kopfhöhe.
blank-order-guides = Führungen und Schäfte. Nach Arbeit an einer Führung wird ihr Sitz neu gemessen.
blank-order-valves = Ventile: Ventilsitzfläche, Tellerrand, Schaftende, Keilnut, Hals.
blank-order-seats = Sitze: auf einem Führungsdorn, der in die Führung passt.
blank-order-contact = Tragbild: Tuschierpaste, leichter Druck, nicht drehen.
blank-order-heights = Höhen: Ventil geschlossen auf dem eigenen Sitz.
blank-order-chambers = Brennräume.
blank-order-springs = Federn: jede an ihrem Platz, äußere und innere getrennt.
blank-order-leak-test = Dichtprüfung zuletzt: gewaschen und zusammengebaut.

## Hinweise, solange noch nichts gemessen ist

blank-caution-eyes = Beim Fräsen, Schleifen und Ausblasen Augenschutz tragen. Hartmetallschneiden schneiden auch bei stehendem Fräser in die Haut.
blank-caution-treated = Beschichtete oder nitrierte Ventile und solche aus Titan weder schleifen noch einschleifen, außer wenn ihr Hersteller es erlaubt: Die harte Schicht ist dünner als ein einziger Durchgang. Vor dem Tuschieren nachsehen, ob das Ventil behandelt ist.
blank-caution-sodium = Schäfte von Auslassventilen können Natrium enthalten. Solange nicht sicher ist, dass sie keines enthalten, niemals schneiden, schweißen, anbohren oder brechen: Natrium brennt und reagiert mit Wasser explosionsartig.
blank-caution-warped = Sollte die Dichtfläche uneben sein: vor jedem Planschnitt die Nockenwellenlager messen. Eine ebene Dichtfläche unter einer krummen Lagergasse führt zum Fressen der Nockenwelle.

## Grenzen und Felder

blank-nominal = Sollwert
blank-nominal-amount = Sollwert { $amount }
blank-as-received = Eingang:
blank-in-any-window = auf je { $length } × { $width }{"\u00A0"}{ $unit }
blank-in-order = i.{"\u00A0"}O.
blank-not-in-order = n.{"\u00A0"}i.{"\u00A0"}O.

## Kopf

blank-deck-heights = Höhen der Dichtfläche über einem Bezug, { $unit }
blank-deck-across = quer, y
blank-deck-along = längs, x
blank-deck-one-side = eine Seite
blank-deck-middle = Mitte
blank-deck-other-side = andere Seite
blank-before-first = vor 1
blank-beside-first = neben 1
blank-behind = hinter { $cylinder }
blank-between = zwischen { $before }, { $behind }
blank-part-tests = Prüfungen am Gussteil
blank-crack-method = Rissprüfung, Verfahren
blank-pressure-test = Abdrücken
blank-test-medium = Medium
blank-test-pressure = Druck
blank-test-temperature = Temperatur
blank-test-seconds = Sekunden
blank-part-deck = Dichtfläche
blank-note-feeler = dickstes Fühlerblatt; 0, wo das dünnste nicht darunter geht
blank-place = Stelle { $number }
blank-corner = Ecke { $number }
blank-part-cam-bores = Nockenwellenlager
blank-part-further-head = Weiteres am ganzen Kopf

## Zylinder

blank-each-cylinder = Jeder Zylinder
blank-all-cylinders = Alle Zylinder
blank-compression-terms = Größen des Verdichtungsverhältnisses
blank-note-compression = Dichtung: gepresst; Kolbenrückstand: +{"\u00A0"}tiefer, −{"\u00A0"}überstehend; Kolbenvolumen: +{"\u00A0"}Mulde, −{"\u00A0"}Dom
blank-term-bore = Bohrung
blank-term-stroke = Hub
blank-term-gasket-bore = Dichtung, Ø
blank-term-gasket-thickness = Dichtungsdicke
blank-term-deck-clearance = Kolbenrückstand
blank-term-piston-volume = Kolbenvolumen
blank-term-prechamber = Vorkammer
blank-term-crevice = Spaltvolumen

## Ventilplätze: Führung, Schaft und Ventil

blank-part-guide = Führung und Schaft
blank-bore-top-1 = oben, Achse 1
blank-bore-top-2 = oben, Achse 2
blank-bore-middle-1 = Mitte, 1
blank-bore-middle-2 = Mitte, 2
blank-bore-bottom-1 = unten, 1
blank-bore-bottom-2 = unten, 2
blank-stem-unworn = unverschlissen
blank-stem-rocking = Oder Schaftkippen, ohne Innenmessgerät
blank-rocking-travel = Weg von Seite zu Seite
blank-rocking-outside = Abstand Messuhr–Führung
blank-rocking-engaged = Führungslänge
blank-part-valve = Ventil
blank-face-dial = Messuhr einmal um die Ventilsitzfläche
blank-note-plunger = Stand des Taststifts einkreisen: senkrecht zur Fläche, senkrecht zur Achse, längs der Achse
blank-face-begins = Durchmesser am Beginn der Ventilsitzfläche

## Ventilplätze: Sitz, Tragbild und Höhen

blank-part-seat = Sitz
blank-seat-dial = Messuhr einmal um den Sitz
blank-insert-diameter = Durchmesser des Sitzrings
blank-counterbore-diameter = Durchmesser der Aufnahmebohrung
blank-part-contact = Tragbild auf der Ventilsitzfläche
blank-note-overhang = von der Außenkante der Ventilsitzfläche bis zum Tragbild
blank-note-contact-gap = alle Bögen ohne Kontakt; 0:{"\u00A0"}keine
blank-note-interference = Sitz minus Ventil
blank-part-heights = Höhen
blank-note-recession = +{"\u00A0"}tiefer, −{"\u00A0"}überstehend; einkreisen: zur Dichtfläche, zum Brennraum

## Ventilplätze: Federn

blank-part-springs = Federn
blank-spring-outer = außen
blank-spring-inner = innen
blank-spring-loads = Kräfte bei zwei Längen
blank-outer-height = außen, Länge
blank-outer-load = außen, Kraft
blank-inner-height = innen, Länge
blank-inner-load = innen, Kraft
blank-spring-winding = Wicklung der äußeren Feder
blank-winding-wire = Draht
blank-winding-diameter = Außendurchmesser
blank-winding-coils = federnde Windungen
blank-valve-lift = Größter Hub am Ventil
blank-retainer-to-seal = Federteller zu Schaftdichtung, geschlossen
blank-coil-bind-height = Blocklänge
blank-spring-step = Stufe der eigenen Federauflage

## Ventilplätze: Dichtprüfung und der Rest

blank-part-leak = Dichtprüfung
blank-leak-decay = Druckverlust
blank-decay-start = Anfang
blank-decay-end = Ende
blank-note-decay = einkreisen: Unterdruck, Überdruck; im Kanal, im Brennraum; Feder eingebaut; Führung abgedichtet
blank-leak-volume = Volumen und Luft
blank-volume-closed = geschlossenes Volumen
blank-air-at-start = Luft am Anfang
blank-air-at-end = Luft am Ende
blank-air-pressure = Luftdruck
blank-part-further = Weiteres
