## Wo am Kopf

head-named = Kopf
cylinder-named = Zylinder { $cylinder }
port-intake = Zylinder { $cylinder }, Einlass { $index }
port-exhaust = Zylinder { $cylinder }, Auslass { $index }
height-top = oben
height-middle = Mitte
height-bottom = unten
place-around = Stelle { $position } von { $of }
place-along = { $height }, Achse { $axis }
place-spring = Feder { $number }
place-entry = Eintrag { $number }
place-deck-point = nahe Messpunkt { $number }
place-towards = Richtung { $direction }
place-seat-outer = zuerst außen am Sitz
place-seat-inner = zuerst innen am Sitz
place-face-outer = zuerst außen am Ventil
place-face-inner = zuerst innen am Ventil
place-everywhere = überall zugleich
list-and = {" "}und{" "}

## Das Ergebnis in einem Satz

opening-accept = Bei diesen Grenzen annehmbar.
opening-rework = Nacharbeit nötig.
opening-incomplete = Unvollständig: Nicht alles Geforderte wurde gemessen und nachgewiesen.
opening-reject = Bei diesen Grenzen nicht annehmbar; eine Reparatur ist vielleicht möglich.
headline =
    { $opening } Konform mit Profil { $profile } Revision { $revision } bei { $conforms } von { $limited } Merkmalen{ $failing ->
        [0] {""}
       *[other] ; { $failing } nicht konform
    }{ $unproven ->
        [0] {""}
       *[other] ; { $unproven } nicht nachgewiesen
    }{ $kinds ->
        [0] {""}
       *[other] ; nicht gemessen: { $missing }
    }.
several-times = { $what } ({ $count })

## Warum ein Kopf nicht angenommen wird

cause-above-upper = { $title }: über der oberen Grenze
cause-below-lower = { $title }: unter der unteren Grenze
cause-not-in-order = { $title }: nicht in Ordnung befunden
cause-because = { $title }: { $why }
cause-itself = { $title }
cause-nothing-judged = nichts wurde gemessen, was dieses Profil begrenzt

## Warum es kein Urteil gibt oder es nicht nachgewiesen ist

detail-guard-band = für dieses Messmittel zu nah an der Grenze für einen Nachweis; genauer messen
detail-gauge-too-coarse = dieses Messmittel kann über diese Toleranz nicht entscheiden: Kein Messwert könnte die Konformität nachweisen
detail-uncertainty-unknown = die Regel verlangt einen Nachweis, und zu einem Messwert, von dem dies abhängt, ist keine Unsicherheit bekannt
detail-port-absent = zu diesem Ventilplatz wurde nichts angegeben
detail-blocked =
    die Messwerte sind nicht verwendbar, siehe Datenbefund { $finding ->
        [bore-and-stem-swapped] „{ finding-bore-and-stem-swapped }“
        [contact-outside-face] „{ finding-contact-outside-face }“
        [decay-rose] „{ finding-decay-rose }“
        [negative-clearance] „{ finding-negative-clearance }“
        [readings-contradict] „{ finding-readings-contradict }“
        [readings-pasted] „{ finding-readings-pasted }“
        [seat-diameters-crossed] „{ finding-seat-diameters-crossed }“
        [unit-doubtful] „{ finding-unit-doubtful }“
        [vacuum-too-deep] „{ finding-vacuum-too-deep }“
       *[other] { $finding }
    }
absent-state = nicht angegeben: { $title }

## Messwerte, die fehlen

absent-air-temperatures = nicht angegeben: Lufttemperatur zu Beginn und am Ende
absent-band-or-outer-diameters = nicht angegeben: Tragbild, oder Tellerdurchmesser und Außendurchmesser des Sitzes
absent-band-or-seat-inner-diameter = nicht angegeben: Tragbild, oder Innendurchmesser des Sitzes
absent-band-or-seat-outer-diameter = nicht angegeben: Tragbild, oder Außendurchmesser des Sitzes
absent-bore-and-stem = nicht angegeben: Führungsbohrung und Schaft auf gleicher Höhe
absent-bore-and-stem-or-rocking = nicht angegeben: Führungsbohrung und Schaft auf gleicher Höhe, oder Kippweg und Führungslänge
absent-both-angles = nicht angegeben: gemessener Winkel von Sitz und Ventilsitzfläche
absent-cam-bore-diameters = nicht angegeben: Bohrungen der Nockenwellenlager
absent-cam-bore-straightness = nicht angegeben: Geradheit der Nockenwellenlager
absent-cam-journal-clearances = nicht angegeben: Spiel der Nockenwelle in den Lagern
absent-chamber-volume = nicht angegeben: Brennraumvolumen
absent-chamber-volume-of-all = nicht angegeben: Brennraumvolumen aller Zylinder
absent-contact-gaps = nicht angegeben: Lücken im Tragbild, oder dass es keine hat
absent-contact-width-everywhere = nicht angegeben: Breite des Tragbilds an jeder Stelle des Umfangs
absent-counterbore-diameter = nicht angegeben: Durchmesser der Aufnahmebohrung
absent-crosswise-feeler-readings = nicht angegeben: Fühlerlehrenmaße in Querrichtung
absent-cylinder-bore = nicht angegeben: Zylinderbohrung
absent-decay-test = nicht angegeben: Druckverlustprüfung
absent-deck-heights = nicht angegeben: Höhen der Dichtfläche
absent-deck-heights-or-short-gaps = nicht angegeben: Höhen der Dichtfläche, oder Fühlerlehrenmaße über eine kurze Strecke
absent-deck-removed = nicht angegeben: bisheriger Abtrag der Dichtfläche
absent-deck-roughness = nicht angegeben: Rauheit der Dichtfläche
absent-deepest-pit = nicht angegeben: tiefste Narbe
absent-diagonal-feeler-readings = nicht angegeben: Fühlerlehrenmaße in der Diagonale
absent-diameter-of-the-part = nicht angegeben: Durchmesser des Teils
absent-engaged-length = nicht angegeben: Führungslänge
absent-face-angle = nicht angegeben: Winkel der Ventilsitzfläche
absent-face-inner-diameter = nicht angegeben: Innendurchmesser der Ventilsitzfläche
absent-face-runout-readings = nicht angegeben: Messuhrwerte der Ventilsitzfläche
absent-free-lengths = nicht angegeben: ungespannte Länge jeder Feder
absent-gasket-bore = nicht angegeben: Bohrung der Kopfdichtung
absent-gasket-thickness = nicht angegeben: Dicke der Kopfdichtung
absent-guide-bores = nicht angegeben: Führungsbohrungen
absent-guide-bores-at-two-heights = nicht angegeben: Führungsbohrungen auf zwei Höhen
absent-guide-bores-middle-and-end = nicht angegeben: Führungsbohrungen in der Mitte und an einem Ende
absent-guide-bores-on-two-axes = nicht angegeben: Führungsbohrungen in zwei Achsen
absent-head-thickness = nicht angegeben: Kopfhöhe
absent-injector-protrusion = nicht angegeben: Überstand der Einspritzdüse
absent-injector-sleeve-protrusion = nicht angegeben: Überstand der Düsenhülse
absent-insert-diameter = nicht angegeben: Durchmesser des Sitzrings
absent-insert-material = nicht angegeben: Werkstoff des Sitzrings
absent-insert-wall = nicht angegeben: Wand hinter dem Sitzring
absent-installed-height = nicht angegeben: Einbaulänge der Feder
absent-lash = nicht angegeben: Ventilspiel
absent-lash-shim = nicht angegeben: Einstellscheibe
absent-lengthwise-feeler-readings = nicht angegeben: Fühlerlehrenmaße in Längsrichtung
absent-lift = nicht angegeben: Ventilhub
absent-margin = nicht angegeben: Höhe des Tellerrands
absent-nominal-installed-height = nicht angegeben: Nennmaß der Einbaulänge im Profil
absent-piston-deck-clearance = nicht angegeben: Kolbenrückstand
absent-piston-volume = nicht angegeben: Kolbenvolumen
absent-pre-chamber-protrusion = nicht angegeben: Überstand der Vorkammer
absent-recession = nicht angegeben: Ventilrückstand
absent-retainer-to-seal = nicht angegeben: Abstand vom Federteller zur Schaftdichtung
absent-seat-angle = nicht angegeben: Sitzwinkel
absent-seat-inner-diameter = nicht angegeben: Innendurchmesser des Sitzes
absent-seat-insert = nicht angegeben: Sitzring
absent-seat-load-of-all = nicht angegeben: Federkraft geschlossen aller Ventile
absent-seat-outer-diameter = nicht angegeben: Außendurchmesser des Sitzes
absent-seat-runout-readings = nicht angegeben: Messuhrwerte des Sitzes
absent-seat-widths = nicht angegeben: Sitzbreiten
absent-seat-widths-or-diameters = nicht angegeben: Sitzbreiten, oder Innen- und Außendurchmesser
absent-several-seat-widths = nicht angegeben: Sitzbreiten an mehreren Stellen des Umfangs
absent-solid-heights = nicht angegeben: Blocklänge jeder Feder
absent-spring-loads = nicht angegeben: Federkräfte
absent-springs = nicht angegeben: Federn
absent-squareness = nicht angegeben: Rechtwinkligkeit jeder Feder
absent-stem-at-every-bore = nicht angegeben: Schaftdurchmesser auf jeder Höhe, auf der die Bohrung gemessen wurde
absent-stem-diameters = nicht angegeben: Schaftdurchmesser
absent-stem-diameters-to-compare = nicht angegeben: Schaftdurchmesser auf zwei Höhen, oder an unverschlissener und verschlissener Stelle
absent-stem-protrusion = nicht angegeben: Schaftüberstand
absent-stem-protrusion-of-all = nicht angegeben: Schaftüberstand aller Ventile
absent-stem-protrusion-of-two = nicht angegeben: Schaftüberstand von zwei Einlass- oder zwei Auslassventilen
absent-stroke = nicht angegeben: Kolbenhub
absent-test-volume = nicht angegeben: Prüfvolumen
absent-throat-cut-angle = nicht angegeben: Winkel des unteren Korrekturschnitts
absent-throat-diameter = nicht angegeben: Durchmesser der Kehle
absent-tip-to-retainer = nicht angegeben: Abstand vom Schaftende zum Federteller
absent-top-cut-angle = nicht angegeben: Winkel des oberen Korrekturschnitts
absent-valve-head-diameter = nicht angegeben: Tellerdurchmesser
absent-valve-length = nicht angegeben: Gesamtlänge des Ventils
absent-valve-stretch = nicht angegeben: Längung des Ventils
absent-valve-to-piston = nicht angegeben: Abstand vom Ventil zum Kolben
absent-windings = nicht angegeben: Wicklung jeder Feder
absent-window-size = nicht angegeben: Größe des Fensters im Profil

## Was sich nicht berechnen lässt

sum-not-enough = nicht berechenbar: mindestens { $needed } Messwerte nötig, { $given } angegeben
sum-all-same-place = nicht berechenbar: alle Messwerte stammen von derselben Stelle
sum-not-positive = nicht berechenbar: { $what } muss größer als null sein, ist { $given }
sum-negative = nicht berechenbar: { $what } darf nicht kleiner als null sein, ist { $given }
sum-angle-out-of-range = nicht berechenbar: { $what } muss mindestens 0° und weniger als 90° betragen, ist { $given }
sum-not-steeper = nicht berechenbar: der innere Kegel von { $steeper } muss steiler sein als der äußere von { $flatter }
sum-no-material = nicht berechenbar: { $given } kann kein Wert für { $what } sein
sum-out-of-reach = nicht berechenbar: { $height } liegt zu weit außerhalb der gemessenen Längen { $least } bis { $greatest }
sum-counts-differ = nicht berechenbar: { $readings } Messwerte, aber { $angles } Winkel
sum-angles-too-close = nicht berechenbar: die Messwerte liegen zu nah beieinander, um eine Exzentrizität zu erkennen
sum-no-window = nicht berechenbar: kein Fenster von { $length } mal { $width } enthält vier Punkte an verschiedenen Stellen
sum-too-many = nicht berechenbar: das ungünstigste Fenster unter { $points } Punkten wurde in { $steps } Schritten nicht gefunden
sum-off-grid = nicht berechenbar: das Ergebnis ist keine sinnvolle Zahl
sum-only-a-lower-bound = nicht berechenbar: die Messwerte zeigen nur, was es mindestens ist, und das liegt unter der Grenze
sum-no-load = nicht berechenbar: die stärkste Feder hat keine Kraft
sum-no-table = nicht berechenbar: keine Tabelle dieses Dienstes enthält die Kennwerte dieses Werkstoffs

## Größen, die eine Rechnung ablehnt

size-poisson = die Querkontraktionszahl
size-youngs-modulus = den Elastizitätsmodul
size-density = die Dichte
size-expansion = die Wärmeausdehnung
size-absolute-pressure = der absolute Druck
size-absolute-pressure-end = der absolute Druck am Ende
size-absolute-pressure-start = der absolute Druck zu Beginn
size-bore = die Bohrung
size-clearance = das Spiel
size-clearance-volume = das Verdichtungsvolumen
size-diameter = der Durchmesser
size-interface = der Durchmesser der Fuge
size-distance-outside = der Abstand außerhalb der Führung
size-duration = die Dauer
size-engaged-length = die Führungslänge
size-face-angle = der Winkel der Ventilsitzfläche
size-flatter-angle = der flachere Winkel
size-coil-inner = der Innendurchmesser der Windung
size-insert-inner = der Innendurchmesser des Sitzrings
size-ring-wall = der Fugendurchmesser abzüglich des Innendurchmessers
size-interference = das Übermaß
size-window-length = die Länge des Fensters
size-mean-coil = der mittlere Windungsdurchmesser
size-active-coils = die Zahl der federnden Windungen
size-coils = die Zahl der Windungen
size-surrounding-wall = der Außendurchmesser abzüglich des Fugendurchmessers
size-shared-ring = der gemeinsame Ring von Sitz und Ventilsitzfläche
size-rocking-travel = der Kippweg
size-seat-angle = der Sitzwinkel
size-shear-modulus = der Schubmodul
size-steeper-angle = der steilere Winkel
size-stroke = der Kolbenhub
size-kelvin-end = die Temperatur am Ende, in Kelvin,
size-kelvin-start = die Temperatur zu Beginn, in Kelvin,
size-test-volume = das Prüfvolumen
size-window-width = die Breite des Fensters
size-wire = der Drahtdurchmesser

## Was an den Daten falsch oder zweifelhaft ist

found-port-missing = { $port } gehört zum Kopf, wurde aber nicht gemessen
found-chamber-missing = andere Brennräume wurden gemessen, der von Zylinder { $cylinder } nicht
found-valve-tag-repeated = das Ventilkennzeichen { $tag } steht bei { $ports }: Ein Ventil gehört zu einem Sitz
found-widths-contradict = { $port }: Die Sitzbreiten und die Breite aus den Durchmessern des Sitzes widersprechen sich
found-clearances-contradict = { $port }: Der Schaft kippt weniger, als die gemessenen Bohrungen es zuließen
found-bore-and-stem-swapped = { $port }: Jede Führungsbohrung ist kleiner als der Schaft darin; umgekehrt angegeben ergäben sie einen Sinn
found-negative-clearance = { $port }: Der Schaft ist dicker als die Führungsbohrung ({ $height }, Achse { $axis })
found-seat-diameters-crossed = { $port }: Der Innendurchmesser des Sitzes ist nicht kleiner als sein Außendurchmesser
found-band-over-outer-edge = { $port }: Das Tragbild reicht über die Außenkante der Ventilsitzfläche
found-band-over-inner-edge = { $port }: Das Tragbild reicht über die Innenkante der Ventilsitzfläche
found-seat-larger-than-valve = { $port }: Der Außendurchmesser des Sitzes ist größer als der Ventilteller
found-pressure-rose = { $port }: Der Druck der Dichtprüfung war am Ende größer als zu Beginn; beide gelten gegenüber der Atmosphäre
found-vacuum-rose = { $port }: Der Unterdruck der Dichtprüfung war am Ende größer als zu Beginn; beide gelten gegenüber der Atmosphäre
found-vacuum-too-deep = { $port }: Ein Unterdruck wird als Tiefe unter der Atmosphäre angegeben, und dieser ist tiefer als die Atmosphäre; vielleicht wurde ein absoluter Druck angegeben
found-calibration-overdue = die Kalibrierung von { $instrument } lief am { $due } ab, vor der Messung am { $measured }
found-uncertainty-below-resolution = { $instrument } nennt weniger Unsicherheit, als die Schritte der eigenen Skala zulassen
found-readings-pasted = die { $series } sind Wert für Wert gleich bei { $ports }
series-guide-bores = Führungsbohrungen
series-seat-widths = Sitzbreiten
series-seat-dial = Messuhrwerte des Sitzes
series-face-dial = Messuhrwerte der Ventilsitzfläche
series-contact-bands = Tragbilder
found-at-port = { $port }: { $what }
found-inches-as-millimetres = Maße, die in Zoll einen Sinn ergäben, wurden in Millimetern angegeben
found-millimetres-as-inches = Maße, die in Millimetern einen Sinn ergäben, wurden in Zoll angegeben
found-temperature-off = gemessen bei { $celsius }: Maße an Teilen aus { $material }, mit einem Messmittel von 20 °C gemessen, brauchen eine Korrektur von { $cold }, um für 20 °C zu gelten; mit einem stählernen Messmittel, so warm wie der Kopf, eine von { $warm }
found-temperature-drift = { $port }: Die Luft der Dichtprüfung änderte ihre Temperatur so sehr, dass es einen guten Teil des Verlusts vortäuschen oder verdecken kann; die Leckrate berücksichtigt das, der Druckverlust nicht

## Titel der Befunde, nach ihren Kennwörtern

finding-port-missing = Ventilplatz fehlt
finding-chamber-missing = Brennraum fehlt
finding-negative-clearance = Negatives Spiel
finding-contact-outside-face = Tragbild neben der Fläche
finding-seat-diameters-crossed = Sitzdurchmesser vertauscht
finding-decay-rose = Prüfdruck nahm zu
finding-vacuum-too-deep = Unterdruck zu tief
finding-valve-tag-repeated = Ventilkennzeichen doppelt
finding-calibration-overdue = Kalibrierung abgelaufen
finding-uncertainty-below-resolution = Unsicherheit unter Auflösung
finding-unit-doubtful = Einheit zweifelhaft
finding-bore-and-stem-swapped = Bohrung und Schaft vertauscht
finding-readings-pasted = Messwerte kopiert
finding-readings-contradict = Messwerte widersprechen sich
finding-temperature-off = Temperatur nicht 20 °C
finding-temperature-drift = Temperaturdrift

## Titel der Gründe, nach ihren Kennwörtern

reason-inside-limits = Innerhalb der Grenzen
reason-above-upper-limit = Über der oberen Grenze
reason-below-lower-limit = Unter der unteren Grenze
reason-in-order = In Ordnung
reason-not-in-order = Nicht in Ordnung
reason-inside-guard-band = Im Sicherheitsband
reason-gauge-too-coarse = Messmittel zu grob
reason-uncertainty-unknown = Unsicherheit unbekannt
reason-no-limit = Keine Grenze
reason-reading-missing = Messwert fehlt
reason-port-missing = Ventilplatz fehlt
reason-not-computable = Nicht berechenbar
reason-blocked-by-finding = Durch Datenbefund gesperrt

## Oben auf der ersten Seite

sheet-of-a-head = Prüfblatt eines Zylinderkopfs
tally-conforms = konform
tally-does-not-conform = nicht konform
tally-not-proven = nicht nachgewiesen
tally-not-measured = nicht gemessen
tally-no-limit = ohne Grenze

## Tabelle der Gründe

reasons-caption = Gründe
reasons-disposition = Verlangt
reasons-subject = Wo
reasons-why = Warum
reasons-amounts = Gemessen und Grenzen
reasons-between = { $lower } bis { $upper }
reasons-at-least = mindestens { $lower }
reasons-at-most = höchstens { $upper }

## Tabelle der Datenbefunde

findings-caption = Datenbefunde
findings-severity = Gewicht
findings-title = Was
findings-why = Warum, und wo im Messsatz (was ein sperrender Befund berührt, gilt als nicht gemessen)
severity-blocking = sperrend
severity-warning = Warnung

## Tabellen der beurteilten Merkmale

rows-verdict = Urteil
rows-characteristic = Merkmal, Einheit
rows-measured = Gemessen
rows-lower = Untere Grenze
rows-upper = Obere Grenze
rows-deviation = Abweichung
rows-uncertainty = U (k = { $k })
rows-probability = Belegt mit
rows-place = Gefunden
rows-source = Aus
rows-in-order = in Ordnung
rows-not-in-order = nicht in Ordnung
