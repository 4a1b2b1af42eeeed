## Balken zwischen den Grenzen

bars-title = Zwischen den Grenzen
bars-key = Balken, ohne Zahlen gezeichnet: Die senkrechten Striche sind die Grenzen; konform ist, was zwischen ihnen liegt oder auf der Seite mit einer Linie darüber. Scheibe: konform; Quadrat: nicht konform; Raute: nicht nachgewiesen; jeweils mit U nach beiden Seiten. Pfeilspitze: jenseits des Balkenendes.
bars-key-guarded = Balken, ohne Zahlen gezeichnet: Die senkrechten Striche sind die Grenzen; konform ist, was zwischen ihnen liegt oder auf der Seite mit einer Linie darüber. Grau: Sicherheitsband, für einen Nachweis zu nah an der Grenze. Scheibe: konform; Quadrat: nicht konform; Raute: nicht nachgewiesen; jeweils mit U nach beiden Seiten. Pfeilspitze: jenseits des Balkenendes.

## Wörter unter Zeichnungen

limits-from-to = { $lower }{"\u00A0"}bis{"\u00A0"}{ $upper }
figure-overhang = Randabstand
figure-band-width = Tragbildbreite
figure-gaps = Lücken
figure-no-gaps = keine Lücken
figure-interference = Winkeldifferenz
figure-seat-width = Sitzbreite

## Die Dichtfläche

deck-map-title = Dichtfläche, Höhen an den Messstellen
deck-discs = Scheiben und Zahlen ({ $unit }): Höhe über dem tiefsten Punkt; die Fläche einer Scheibe wächst mit ihr. x nach rechts, y nach oben, wie übermittelt.
deck-high-and-low = Hochpunkt (Ring): { $high }, { $range } über dem Tiefpunkt. Tiefpunkt (Kreuz): { $low }.
deck-cut-parallel = Planschnitt, bis alles blank ist: Eine Ebene durch den Tiefpunkt, parallel zum Bezug, nimmt am Hochpunkt { $parallel } ab.
deck-cut-parallel-or-free = Planschnitt, bis alles blank ist: Eine Ebene durch den Tiefpunkt, parallel zum Bezug, nimmt am Hochpunkt { $parallel } ab; frei geneigt { $free }.
deck-high = hoch { $height }
deck-low = tief { $height }

## Rundlauf

runout-title = Rundlauf, { $unit }
runout-of-seat = Sitz
runout-of-face = Ventil
runout-of-face-alone = nur der Ventilsitzfläche
runout-off-centre = außermittig { $amount } nach { $towards }°
runout-rings = Ringe im Abstand { $apart }
key-seat-as-read = Sitz, wie abgelesen
key-best-circle = bester Ausgleichskreis; in der Mitte, wie er außermittig liegt
key-zone = Zone, die seine Grenze zulässt
key-face-as-read = Ventilsitzfläche, wie abgelesen
key-runout = Rechtwinklig zum Kegel, um den Mittelwert; Grad im Uhrzeigersinn gezeichnet.

## Das Tragbild

contact-title = Tragbild, { $unit }
contact-stretched = { $times } : 1 quer zur Sitzfläche
key-band = Tragbild
key-least-overhang = kleinster Randabstand
key-gaps = Lücken darin, wo immer sie liegen
key-contact = Kreise: die Kanten der Ventilsitzfläche. Zahlen: Uhrpositionen, im Uhrzeigersinn gezeichnet.

## Der Sitz im Schnitt

section-title = Sitz im Schnitt, { $unit }
section-band-by-diameters = Tragbild aus Durchmessern: es wurde nicht tuschiert
section-edges-by-contact = Sitzkanten aus dem Tragbild: kein Durchmesser gemessen
section-valve = Ventil ⌀ { $diameter }
section-margin = Rand { $margin }
cone-seat = Sitz
cone-top = oben
cone-throat = unten
cone-face = Ventil
key-touch = wo Ventil und Sitz sich berühren
key-angle-measured = Winkel wie gemessen
key-angle-supposed = Winkel angestrebt oder üblich: nicht gemessen
key-section = Darunter die Ventilsitzfläche im gleichen Maßstab abgewickelt, Außenkante rechts. Schwarz: Kontakt ringsum; grau: stellenweise. Pfeil: kleinster Randabstand. Klammer: konforme Breiten.

## Federn

spring-title = Federkraft, { $force } über { $length }
spring-at = { $valve } bei { $height }
valve-closed = zu
valve-open = offen
key-springs = wie abgelesen, jede Feder
key-heights = senkrecht: Ventil zu, Ventil offen
key-loads = senkrecht: dort konforme Kräfte
key-spring = Die Länge nimmt nach rechts ab.
