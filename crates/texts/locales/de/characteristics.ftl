## Ventil

characteristic-face-angle = Winkel am Ventil
characteristic-face-runout = Rundlauf am Ventil
characteristic-face-eccentricity = Exzentrizität am Ventil
characteristic-face-ovality = Ovalität am Ventil
characteristic-face-roundness-minimum-zone = Rundheit am Ventil, Minimumzone
characteristic-margin = Höhe des Tellerrands
characteristic-valve-head-diameter = Tellerdurchmesser
characteristic-stem-diameter = Schaftdurchmesser
characteristic-stem-wear = Schaftverschleiß
characteristic-valve-length = Ventillänge
characteristic-valve-stretch = Längung des Ventils
characteristic-valve-tip = Schaftende
characteristic-keeper-groove = Keilnut
characteristic-valve-neck = Ventilhals

## Brennraum

characteristic-chamber-volume = Brennraumvolumen
characteristic-compression-ratio = Verdichtungsverhältnis
characteristic-prechamber-protrusion = Überstand der Vorkammer
characteristic-injector-protrusion = Überstand der Einspritzdüse
characteristic-sleeve-protrusion = Überstand der Düsenhülse
characteristic-chamber-spread = Streuung der Brennraumvolumen
characteristic-compression-ratio-spread = Streuung der Verdichtung

## Führung

characteristic-stem-to-guide-clearance = Schaftspiel
characteristic-guide-bore = Führungsbohrung
characteristic-guide-taper = Konizität der Führung
characteristic-guide-ovality = Ovalität der Führung
characteristic-guide-bell-mouth = Aufweitung der Führung
characteristic-stem-tilt = Kippen des Schafts
characteristic-guide-fit = Führung fest im Kopf

## Prüfungen des Kopfs

characteristic-crack-test = Rissfreiheit
characteristic-pressure-test = Abdrücken bestanden
characteristic-dowels = Passhülsen
characteristic-bolt-threads = Gewinde
characteristic-plugs = Stopfen

## Tragbild

characteristic-overhang = Randabstand des Tragbilds
characteristic-contact-width = Tragbildbreite
characteristic-contact-width-uniformity = Schwankung der Tragbildbreite
characteristic-contact-offset = Lage des Tragbilds zur Mitte
characteristic-inner-edge-clearance = Innenabstand des Tragbilds
characteristic-contact-gap = Lücken im Tragbild
characteristic-interference-angle = Winkeldifferenz
characteristic-contact-edge-gap = Spalt an der freien Kante

## Dichtfläche

characteristic-deck-flatness = Ebenheit der Dichtfläche
characteristic-deck-flatness-least-squares = Ebenheit, kleinste Quadrate
characteristic-deck-flatness-local = Ebenheit, örtlich
characteristic-deck-feeler-lengthwise = Spalt längs
characteristic-deck-feeler-crosswise = Spalt quer
characteristic-deck-feeler-diagonal = Spalt diagonal
characteristic-deck-stock-parallel = Kleinster Schnitt, parallel
characteristic-deck-stock-free = Kleinster Schnitt, frei geneigt
characteristic-deck-roughness = Rauheit Ra der Dichtfläche
characteristic-head-thickness = Kopfhöhe
characteristic-head-thickness-cleaned = Kopfhöhe nach Schnitt, mindestens
characteristic-deck-removed = Abtrag der Dichtfläche
characteristic-cam-bore-straightness = Geradheit der Nockenwellenlager
characteristic-cam-bore-diameter = Bohrung der Nockenwellenlager
characteristic-cam-bore-clearance = Lagerspiel der Nockenwelle

## Feder

characteristic-installed-height = Einbaulänge der Feder
characteristic-shims-needed = Nötige Unterlagen
characteristic-seat-load = Federkraft geschlossen
characteristic-open-load = Federkraft offen
characteristic-spring-rate = Federrate
characteristic-coil-bind-margin = Abstand bis Blocklänge
characteristic-retainer-margin = Federteller zu Schaftdichtung
characteristic-spring-free-length = Ungespannte Länge der Feder
characteristic-spring-squareness = Rechtwinkligkeit der Feder
characteristic-spring-match = Gleichheit der Federn
characteristic-spring-rate-to-theory = Federrate ÷ Theorie
characteristic-spring-natural-frequency = Eigenfrequenz der Feder

## Sitz

characteristic-seat-angle = Sitzwinkel
characteristic-top-cut-angle = Korrekturwinkel oben
characteristic-throat-cut-angle = Korrekturwinkel unten
characteristic-seat-inner-diameter = Innendurchmesser des Sitzes
characteristic-seat-outer-diameter = Außendurchmesser des Sitzes
characteristic-seat-width = Sitzbreite
characteristic-seat-width-uniformity = Schwankung der Sitzbreite
characteristic-seat-runout = Rundlauf des Sitzes
characteristic-seat-eccentricity = Exzentrizität des Sitzes
characteristic-seat-ovality = Ovalität des Sitzes
characteristic-seat-chatter = Rundlauf des Sitzes, Rest
characteristic-seat-roundness-least-squares = Rundheit des Sitzes, kleinste Quadrate
characteristic-seat-roundness-minimum-zone = Rundheit des Sitzes, Minimumzone
characteristic-throat-diameter = Durchmesser der Kehle
characteristic-pit-depth = Narbentiefe im Tragbild

## Zusammenbau

characteristic-recession = Ventilrückstand
characteristic-stem-protrusion = Schaftüberstand
characteristic-stem-protrusion-spread = Streuung des Schaftüberstands
characteristic-lash = Ventilspiel
characteristic-lash-shim = Einstellscheibe
characteristic-tip-to-retainer = Schaftende zu Federteller
characteristic-valve-to-piston = Ventil zu Kolben

## Dichtheit

characteristic-leak-rate = Leckrate
characteristic-leak-pressure-drop = Druckverlust Dichtprüfung
characteristic-leak-drift = Druckverlust durch Abkühlung
characteristic-leak-held = Dichtprüfung gehalten
characteristic-leak-seep = Dichtheit gegen Lösemittel

## Sitzring

characteristic-insert-fit = Sitzring fest
characteristic-insert-wall = Wand hinter dem Sitzring
characteristic-insert-interference = Übermaß des Sitzrings
characteristic-insert-chill = Kühlung des Sitzrings
characteristic-insert-head-warming = Erwärmung des Kopfs
characteristic-insert-pressure = Haltedruck des Sitzrings
