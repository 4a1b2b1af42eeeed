## Überschrift eines Plans

plan-target = Profil { $profile }, Revision { $revision }
plan-headline-nothing-to-do = Nichts zu tun: Nach den Messwerten braucht kein Ventilplatz Arbeit, um konform zu sein ({ $target }).
plan-headline-planned = Geplant: { $work }. Das bringt { $what } voraussichtlich in die Grenzen ({ $target }), wenn jeder Schnitt dort endet, wo er soll. Vorhergesagt, nicht gemessen.
plan-headline-measure-again = Geplant: neu messen.
plan-headline-staged = In Stufen: { $work }. Das bringt { $what } voraussichtlich in die Grenzen ({ $target }), wenn jeder Schnitt dort endet, wo er soll; { $waiting }. Vorhergesagt, nicht gemessen.
plan-headline-nothing-yet = In Stufen: Noch kann nichts geschnitten werden; { $waiting }.
plan-headline-search-ended = Kein Plan gefunden: Die Suche endete an ihrer Grenze, bevor sie Arbeiten fand, die den Kopf in die Grenzen bringen ({ $target }); es kann welche geben.
plan-headline-not-together = Kein Plan: Jeder Ventilplatz für sich ließe sich in die Grenzen bringen ({ $target }), aber nicht alle zusammen mit Arbeiten, die diese Werkstatt ausführen kann. Was das löst, ist genannt.
plan-headline-no-plan =
    { $count ->
        [one] Kein Plan: { $count } Ventilplatz lässt sich mit Arbeiten, die diese Werkstatt ausführen kann, nicht in die Grenzen bringen ({ $target }), weil Grenzen einander widersprechen. Was das löst, ist genannt.
       *[other] Kein Plan: { $count } Ventilplätze lassen sich mit Arbeiten, die diese Werkstatt ausführen kann, nicht in die Grenzen bringen ({ $target }), weil Grenzen einander widersprechen. Was das löst, ist genannt.
    }
plan-headline-beyond = { $headline } Steht der Annahme im Weg und ist mit Arbeiten dieser Art nicht zu beheben: { $beyond }.

## Was getan wird: `work` der Überschriften (Nominativ)

plan-work-on-deck = Planschnitt der Dichtfläche
plan-work-on-ports =
    { $count ->
        [one] Arbeit an { $count } Ventilplatz
       *[other] Arbeit an { $count } Ventilplätzen
    }
plan-work-on-deck-and-ports =
    { $count ->
        [one] Planschnitt der Dichtfläche und Arbeit an { $count } Ventilplatz
       *[other] Planschnitt der Dichtfläche und Arbeit an { $count } Ventilplätzen
    }

## Wofür: `what` der Überschriften (Akkusativ)

plan-the-deck = die Dichtfläche
plan-every-port = alle Ventilplätze
plan-these-ports = diese Ventilplätze
plan-the-deck-and-every-port = die Dichtfläche und alle Ventilplätze
plan-the-deck-and-these-ports = die Dichtfläche und diese Ventilplätze

## Was vorher kommt: `waiting` der Überschriften

plan-guide-first-on =
    { $count ->
        [one] an { $count } Ventilplatz kommt zuerst die Führung
       *[other] an { $count } Ventilplätzen kommt zuerst die Führung
    }
plan-measure-first-on =
    { $count ->
        [one] an { $count } Ventilplatz ist zuerst noch etwas zu messen
       *[other] an { $count } Ventilplätzen ist zuerst noch etwas zu messen
    }
plan-waiting-for-both = { $guides }, und { $readings }
plan-measure-something-first = etwas anderes ist zuerst zu messen

## Nach der Arbeit

plan-predicted-headline = Vorhergesagt, nicht gemessen: Endet jeder Schnitt dort, wo er soll, { $opening }. Konform wären { $conforms } von { $limited } Merkmalen ({ $target }){ $outside }{ $unproven }{ $missed }{ $unasked }.
plan-would-be-acceptable = wäre der Kopf bei diesen Grenzen anzunehmen
plan-would-need-rework = wäre der Kopf weiterhin nachzuarbeiten
plan-would-be-incomplete = wäre Gefordertes weiterhin nicht gemessen oder nicht nachgewiesen
plan-would-not-be-acceptable = wäre der Kopf bei diesen Grenzen nicht anzunehmen
plan-would-not-conform = ; nicht konform: { $count }
plan-would-not-be-proven = ; nicht nachweisbar: { $count }
plan-would-miss = ; nicht gemessen: { $what }
plan-measuring-only = ; nur durch Messen festzustellen: { $what }
plan-predicted-notice = Vorhergesagt, nicht gemessen: Diese Werte errechnet der Plan für den Kopf, wenn jeder Schnitt dort endet, wo er soll. Niemand hat sie an einem Messmittel abgelesen; erst neues Messen zeigt, wie der Kopf ist.

## Vorausgesetzt

plan-assumes-cutters-at-nominal-angles = Es wurden keine Fräser genannt: Für jeden Nennwinkel des Profils wird einer angenommen.
plan-assumes-nominal-angles = Wo ein Winkel nicht gemessen wurde, gilt der Nennwinkel des Profils.
plan-assumes-usual-angles = Die Winkel der Korrekturschnitte wurden weder gemessen noch nennt sie das Profil: Sie gelten so, wie die Werkstatt sie schneidet, sonst als 15° flacher und 15° steiler als der Sitz.
plan-assumes-diameters-from-contact = Wo die Durchmesser eines Sitzes nicht gemessen wurden, gelten die seines Tragbilds.
plan-assumes-same-length = Ein neues Ventil gilt von der Sitzfläche bis zum Schaftende als so lang wie das alte, weil eine Länge fehlt.

## Schritte: Schnitte am Sitz

plan-named-cutter = { $angle } ({ $name })
plan-seat-cut = Sitz einfärben. Sitzfräser { $cutter }: drehen, bis { $until }.
plan-form-cut = Sitz einfärben. Formmesser { $cutter }: ein Einstich, bis { $until }.
plan-until-unbroken = ein ununterbrochener blanker Ring steht, etwa { $feed } nach der ersten Berührung{ $touch }{ $ring }
plan-until-sizes = der Ring auf dem neuen Sitzring außen { $outer } und innen { $inner } misst{ $touch }{ $ring }
plan-ring-shows = ; der Ring erscheint zuerst bei { $side } ab der ersten Ablesung der Messuhr, die letzte Farbe verschwindet gegenüber
plan-touches-outer-edge = ; der Fräser berührt zuerst die Außenkante
plan-touches-inner-edge = ; der Fräser berührt zuerst die Innenkante
plan-ring-check = Auf dem Ring ist keine Farbe mehr: etwa { $width } breit, außen { $outer }, innen { $inner }.
plan-ring-check-feed = Auf dem Ring ist keine Farbe mehr: etwa { $width } breit, außen { $outer }, innen { $inner }. Der Schaft eines Referenzventils zeigt die Zustellung: Er ist um etwa so viel gestiegen.
plan-top-cut = Oberer Fräser { $cutter }: den Außendurchmesser des Sitzes verkleinern auf { $outer }{ $feed }{ $touch }.
plan-top-cut-check = Außendurchmesser, { $outer }, an mehreren Stellen messen: lieber zu früh aufhören als zu spät.
plan-throat-cut = Unterer Fräser { $cutter }: drehen, bis das Sitzband { $width } ist, sein Innendurchmesser dann { $inner }{ $feed }{ $touch }.
plan-throat-cut-check = Breite des Sitzbands, { $width }, an mehreren Stellen messen: Es ist ringsum gleich breit.
plan-wide = { $size } breit
plan-wide-within = { $size } breit (±{ $tolerance })
plan-about-feed = , etwa { $feed } Zustellung
plan-light-turns = Zwei leichte Umdrehungen mit dem Sitzfräser { $cutter } gegen den Grat.
plan-light-turns-at-most = Zwei leichte Umdrehungen mit dem Sitzfräser { $cutter } gegen den Grat: höchstens { $most }.
plan-light-turns-check = An keiner Kante ist noch Grat; das Sitzband ist { $width } breit, außen { $outer }, innen { $inner }.

## Schritte: andere Arbeiten

plan-measure-first = Zuerst messen: { $what }.
plan-measure-first-check = Messsatz mit diesen Werten neu einreichen und einen neuen Plan anfordern; vorher wird hier nichts geschnitten.
plan-everything-limited = alles, was dieses Profil begrenzt
plan-renew-guide = Führung instand setzen oder ersetzen: Sie kommt vor jeder Arbeit an diesem Sitz.
plan-renew-guide-check = Führung, Schaft, Sitz und Rundlauf auf der neuen Achse messen und einen neuen Plan anfordern: Was an der alten Führung gemessen wurde, sagt darüber nichts.
plan-fit-insert = Alten Sitzring ausbauen, Aufnahmebohrung reinigen und Sitzring { $insert } einsetzen.
plan-fit-insert-check = Er liegt ringsum am Grund der Aufnahmebohrung an und bewegt sich nicht.
plan-cut-deck = Planschnitt der Dichtfläche: an der höchsten Stelle { $depth } abnehmen ({ $needed } sind nötig, bis sie sauber ist).
plan-cut-deck-check = Die Dichtfläche ist überall blank. Ihre Ebenheit und Rauheit, die Kopfhöhe und die Brennräume messen.
plan-grind-face = Ventilsitzfläche schleifen: { $stock } rechtwinklig zu ihr abnehmen.
plan-grind-face-check = Die Fläche ist ringsum blank; der Tellerrand ist noch etwa { $margin } hoch, nirgends eine scharfe Kante.
plan-grind-face-check-margin = Die Fläche ist ringsum blank, nirgends eine scharfe Kante; die Höhe des verbliebenen Tellerrands messen.
plan-grind-tip = Schaftende schleifen: { $stock } rechtwinklig zum Schaft abnehmen, mit Kühlmittel.
plan-grind-tip-check = Das Schaftende ist eben und rechtwinklig und überragt den Federteller.
plan-grind-tip-check-stem = Das Schaftende ist eben und rechtwinklig und überragt den Federteller. Der Schaft steht { $protrusion } über der Federauflage.
plan-valve-back = Ventil { $valve } kommt zurück an seinen Platz: { $port }.
plan-old-valve-back = Das Ventil, das von hier stammt, kommt zurück an seinen Platz: { $port }.
plan-new-valve = Neues Ventil { $new } statt Ventil { $valve } einbauen: { $port }; für diesen Sitz kennzeichnen.
plan-new-valve-for-old = Neues Ventil { $new } statt des alten einbauen: { $port }; für diesen Sitz kennzeichnen.
plan-fit-valve-check = Es gleitet und dreht sich frei in seiner Führung und trägt das Zeichen seines Sitzes.
plan-check-marking = Tuschierpaste dünn auf die Ventilsitzfläche auftragen, Ventil auf seinen Sitz setzen, ein wenig drehen und herausheben.
plan-check-marking-check = Das Tragbild ist { $width } breit, ununterbrochen und ringsum gleichmäßig; wenn nicht, messen, bevor mehr geschnitten wird.
plan-check-marking-check-edge = Das Tragbild beginnt { $edge } von der Außenkante der Ventilsitzfläche und ist { $width } breit, ununterbrochen und ringsum gleichmäßig; wenn nicht, messen, bevor mehr geschnitten wird.
plan-leak-test = Diesen Ventilplatz bei geschlossenem Ventil auf Dichtheit prüfen.
plan-leak-test-check = Er hält dicht. Kalt dicht ist kein Beweis für den warmen Motor.
plan-springs-back = Die Federn dieses Ventilplatzes wieder einbauen{ $then }.
plan-fit-shims = Unterlagen einlegen: { $shims }{ $then }.
plan-new-springs = Neue Federn { $springs } einbauen{ $then }.
plan-new-springs-and-shims = Neue Federn { $springs } einbauen und Unterlagen einlegen: { $shims }{ $then }.
plan-and = { $first } und { $next }
plan-then-installed-height = ; Einbaulänge danach { $size }
plan-fit-springs-check = Einbaulänge von der Federauflage bis zum Federteller messen; die Ventilkeile sitzen ringsum in ihrer Nut.
plan-fit-lash-shim = Einstellscheibe von { $thickness } einlegen{ $then }.
plan-then-lash = ; Ventilspiel danach { $size }
plan-fit-lash-shim-check = Ventilspiel messen, dabei den Grundkreis des Nockens zum Stößel drehen.
plan-set-lash = Ventilspiel mit der Einstellschraube auf die Angabe des Motorherstellers einstellen, dabei den Grundkreis des Nockens zum Stößel drehen.
plan-set-lash-check = Nach zwei vollen Umdrehungen von Hand noch einmal messen.
plan-measure-again = Neu messen: { $what }.
plan-measure-again-check = Diese Werte einreichen: Nur sie zeigen, ob alles konform ist. Die Zahlen dieses Plans sind vorhergesagt.

## Was verletzen oder verderben kann

plan-caution-sodium-stem = Natrium im Schaft: nie schleifen, schneiden, schweißen, anbohren oder brechen. Durch einen Fachbetrieb entsorgen lassen.
plan-caution-beryllium-copper = Berylliumkupfer: nie trocken schleifen, der Staub ist giftig. Nass halten und den Abtrag auffangen.
plan-caution-thin-insert = Ansehen, was vom Sitzring bleibt: Ein zu dünn geschnittener wird ersetzt, nicht verwendet.
plan-caution-treated-face = Beschichtete, nitrierte oder Titan-Ventilsitzfläche: nur schleifen oder einschleifen, wo der Motorhersteller es erlaubt.
plan-caution-stored-energy = Federn speichern Energie: Federspanner benutzen, seitlich stehen, Schutzbrille tragen.
plan-caution-eyes-and-skin = Schutzbrille tragen. Hartmetallschneiden und Späne schneiden in die Haut, auch bei stehendem Fräser.
plan-caution-hot-and-cold = Ein erwärmter Kopf verbrennt die Haut und gibt Dämpfe ab; Trockeneis und flüssiger Stickstoff verursachen Kälteverbrennungen und verdrängen die Atemluft: Handschuhe, Gesichtsschutz, offene Türen.
plan-caution-axis-moves = Führung und Sitz haben eine gemeinsame Achse: Was die Führung bewegt, macht die Messwerte ihres Sitzes ungültig.
plan-caution-cam-timing = Ein Planschnitt der Dichtfläche verschiebt die Steuerzeiten bei obenliegender Nockenwelle. Wo Ventile auf Kolben treffen können, den Motor vor dem ersten Start zwei volle Umdrehungen von Hand durchdrehen.
plan-caution-tight-lash = Zu kleines Ventilspiel hält ein Ventil von seinem Sitz ab und verbrennt es.

## Woran ein Plan stößt

plan-bound-lower-limit = Untere Grenze für { $what }: Der Abstand zu ihr muss decken, was Messmittel und Schnitte abweichen können.
plan-bound-upper-limit = Obere Grenze für { $what }: Der Abstand zu ihr muss decken, was Messmittel und Schnitte abweichen können.
plan-bound-gauge-too-coarse = { $what }: Mit diesem Messmittel ließe sich kein Wert als konform nachweisen.
plan-bound-as-it-is = { $what }: Diese Arbeit lässt es, wie es ist.
plan-bound-clean-up = Der Sitzfräser muss so tief gehen, dass Rundlaufabweichung und Narben verschwinden.
plan-bound-correction = Ein Schnitt muss so tief sein, dass er ausgleicht, was der Schnitt davor verfehlt haben kann.
plan-bound-throat = Der Sitz muss außerhalb der Kehle bleiben.
plan-bound-face-edge = Das Tragbild muss auf der Ventilsitzfläche bleiben.
plan-bound-insert-edge = Der Sitz muss auf seinem Sitzring bleiben.
plan-bound-insert-stock = Tiefer darf in den Sitzring nicht zugestellt werden, sonst bleibt zu wenig von ihm.
plan-bound-tip-limit = Mehr darf vom gehärteten Schaftende nicht abgeschliffen werden.
plan-bound-spring-readings = Die Federkräfte sind nur zwischen bestimmten Längen bekannt.
plan-bound-shim-stock = Andere Unterlagen sind nicht vorrätig, oder mehr dürfen unter einer Feder nicht liegen.
plan-bound-lash-shim-stock = Andere Einstellscheiben sind nicht vorrätig.
plan-bound-spare-stock = Andere Teile sind nicht vorrätig.
plan-bound-deck-most = Mehr darf von der Dichtfläche nicht abgenommen werden.
plan-bound-deck-clean-up = So viel muss von der Dichtfläche abgenommen werden, bis sie überall sauber ist.
plan-beyond = { $what }: verhindert die Annahme des Kopfs, und keine Arbeit dieser Art behebt es.

## Was es löst

plan-way-concession = Sonderfreigabe: { $what }, um mindestens { $amount }. Darüber entscheidet, wer für diesen Motor verantwortlich ist.
plan-way-new-insert = Mit einem neuen Sitzring gibt es einen Plan.
plan-way-other-valve = Mit einem anderen Ventil gibt es einen Plan.
plan-way-other-springs = Mit anderen Federn gibt es einen Plan.
plan-way-more-shims = Mit mehr Unterlagen oder mit Unterlagen anderer Dicke gibt es einen Plan.
plan-way-better-gauge = Mit einem besseren Messmittel ({ $what }) gibt es einen Plan.

## Was freigegeben würde (Nominativ)

plan-concession-lower-limit = untere Grenze für { $what }
plan-concession-upper-limit = obere Grenze für { $what }
plan-concession-tolerance = Toleranz für { $what }
plan-concession-as-it-is = { $what }, wie es ist
plan-concession-clean-up = Tiefe, die Rundlaufabweichung und Narben brauchen
plan-concession-correction = Tiefe, die ausgleicht, was ein Schnitt verfehlt haben kann
plan-concession-throat = Abstand des Sitzes von der Kehle
plan-concession-face-edge = Abstand des Tragbilds vom Rand der Ventilsitzfläche
plan-concession-insert-edge = Abstand des Sitzes vom Rand des Sitzrings
plan-concession-insert-stock = zulässige Zustellung in den Sitzring
plan-concession-tip-limit = zulässiger Abschliff am Schaftende
plan-concession-spring-readings = Längen, bei denen die Federkräfte bekannt sind
plan-concession-shim-stock = Höhe, die Unterlagen ausgleichen müssen
plan-concession-lash-shim-stock = Dicke der Einstellscheibe
plan-concession-spare-stock = vorrätige Teile
plan-concession-deck-most = zulässiger Abtrag der Dichtfläche
plan-concession-deck-clean-up = nötiger Abtrag der Dichtfläche

## Seiten eines Plans

plan-strip = NACHARBEITSPLAN: Was er über die Zeit nach der Arbeit sagt, ist errechnet, nicht gemessen
plan-title = Nacharbeitsplan
plan-worked-out = Alles, was dieser Teil über die Zeit nach der Arbeit sagt, ist aus den Messwerten dieses Blatts errechnet. Niemand hat es gemessen, und es gilt nur, soweit jeder Schnitt dort endet, wo er soll: Erst neues Messen zeigt, wie der Kopf ist.
plan-head-as-a-whole = Der Kopf als Ganzes
plan-subject-continued = { $subject } (Fortsetzung)

## Was er ergibt

plan-outcome-nothing-to-do = nichts zu tun
plan-outcome-planned = geplant
plan-outcome-staged = in Stufen
plan-outcome-no-plan = kein Plan
plan-status-guide-first = zuerst die Führung
plan-status-measure-first = zuerst messen
plan-total-outcome = Ergebnis
plan-total-ports = Plätze mit Arbeit
plan-total-sink = Einsinken gesamt
plan-total-new-parts = neue Teile
plan-total-shims = Unterlagen
plan-total-minutes = Minuten Werkbank
plan-total-cost = Kosten, eigene Währung
plan-best-in = Bestmöglich in
plan-objective-least-sink = Geringstes Einsinken: so wenige neue Teile wie nötig, dann so wenig Einsinken der Ventile wie möglich.
plan-objective-least-cost = Geringste Kosten: so wenig Geld für Teile und Minuten wie möglich.
plan-objective-fewest-parts = Wenigste Teile: so wenige neue Teile und Unterlagen wie nötig, dann so wenig Einsinken wie möglich.
plan-how-good = Wie gut er ist
plan-proof-best = Nachweislich der beste: Mit den genannten Mitteln ist kein anderer Plan darin besser.
plan-proof-none = Jeder Arbeitsweg, der dieser Werkstatt offensteht, wurde ausgeschlossen.
plan-no-proof-of-none = Es ist nicht nachgewiesen, dass es keinen gibt.
plan-no-proof-of-best = Nicht als bester nachgewiesen: Ein anderer Plan könnte darin um höchstens { $percent } % besser sein.
plan-no-proof-and-no-gap = Nicht als bester nachgewiesen: Um wie viel ein anderer Plan besser sein könnte, ist nicht bekannt.
plan-search-ended = { $proof } Die Suche endete an ihrer Grenze.
plan-deck = Dichtfläche
plan-deck-comes-off = An der höchsten Stelle werden { $depth } abgenommen; { $needed } sind nötig, bis sie sauber ist.
plan-taken-for-granted = Vorausgesetzt
plan-starts-from = Ausgangspunkt
plan-from-readings = Die Messwerte dieses Blatts; Stufe: { $stage }.
plan-digest = SHA-256 des Plans
plan-ports-at-a-glance = Ventilplätze im Überblick
plan-column-port = Ventilplatz
plan-column-comes-to = Ergebnis
plan-column-sinks-by-in = Einsinken, { $unit }
plan-column-what-for = Was geschieht
plan-see-where-no-plan = siehe „Wo es keinen Plan gibt“
plan-no-cut-before-guide = bevor sie fertig und gemessen ist, wird nichts geschnitten
plan-no-cut-before-that = vorher wird nichts geschnitten
plan-nothing-to-do-on = Nichts zu tun: { $ports }.
plan-what-is-beyond = Was keine Arbeit dieser Art behebt
plan-after-the-work = Nach der Arbeit: vorhergesagt, nicht gemessen

## Schritte auf der Seite

plan-steps = Schritte in der Reihenfolge der Werkbank
plan-steps-how = Einen Schritt abhaken, wenn seine Prüfung bestanden ist, und den Messwert aufschreiben. Zustellungen zählen ab der ersten Berührung; die Maße sind die des Sitzes nach diesem Schnitt.
plan-check = Prüfen: { $check }
plan-caution = Vorsicht
plan-read-after = Danach gemessen
plan-column-cutter = Fräser
plan-column-angle = Winkel
plan-column-feed = Zustellung, { $unit }
plan-column-outer-in = Außendurchmesser, { $unit }
plan-column-inner-in = Innendurchmesser, { $unit }
plan-column-width-left = Breite danach, { $unit }
plan-any-cutter = beliebiger mit diesem Winkel
plan-feed-at-most = höchstens { $feed }
plan-feed-by-sizes = nach Maß

## Ventilplätze auf der Seite

plan-ports-with-work = Ventilplätze mit Arbeit: vorher und nachher
plan-ports-how = Jetzt: wie gemessen, ungünstigste Stelle. Ziel: errechnet, nicht gemessen. Kann abweichen um: wenn jeder Schnitt seinen Anschlag so weit verfehlt, wie er darf. Ziel zwischen: die Grenzen, enger um das, was Messmittel, Entscheidungsregel und Schnitte davon nehmen.
plan-what-binds = Warum nicht weniger Arbeit genügt
plan-valve-as-high = Ventil sitzt so hoch wie vorher
plan-valve-higher = Ventil sitzt um { $amount } höher
plan-valve-sinks = Ventil sinkt um { $amount } ein
plan-column-now = Jetzt, gemessen
plan-column-aim = Ziel, errechnet
plan-column-off-by = Kann abweichen um
plan-column-aim-least = Ziel zwischen: mindestens
plan-column-aim-greatest = und höchstens
plan-column-more-feed = { $step } mehr Zustellung
plan-column-outer = Außen-⌀
plan-column-inner = Innen-⌀
plan-column-width = Breite
plan-column-sinks-by = Einsinken
plan-new-insert = neuer Sitzring { $name }
plan-new-valve-named = neues Ventil { $name }
plan-new-springs-named = neue Federn { $name }
plan-cuts = Schnitte: { $cuts }
plan-cut-form = Formmesser
plan-cut-light-turns = leichte Umdrehungen
plan-face-ground = Ventilsitzfläche um { $stock } geschliffen
plan-tip-ground = Schaftende um { $stock } geschliffen
plan-shims =
    { $count ->
        [one] { $count } Unterlage von { $thickness }
       *[other] { $count } Unterlagen von { $thickness }
    }
plan-lash-shim = Einstellscheibe von { $thickness }
plan-to-be-measured = zu messen: { $what }
plan-drawn-width = Breite { $width }
plan-drawn-chamber = Brennraum
plan-drawn-axis = Achse
plan-key-before = vorher
plan-key-nothing-before = kein Sitz vorher zum Vergleich
plan-key-after = nachher, errechnet
plan-key-not-cut = ungeschnitten oder ohne Winkel

## Wo es keinen Plan gibt

plan-where-no-plan = Wo es keinen Plan gibt
plan-conflict-between = Dies lässt sich nicht alles erfüllen; fällt ein Punkt davon weg, gelingen die übrigen:
plan-conflict-first = Dies lässt sich nicht alles erfüllen; mindestens ein Punkt davon muss weichen:
plan-conflict-apart = Unabhängig davon lässt sich auch dies nicht alles erfüllen; auch hier muss ein Punkt weichen:
plan-conflict-freed = Jedes davon löst es; jedes wurde durchgerechnet und führt zu einem Plan:
plan-conflict-not-freed = Nichts, was durchgerechnet wurde, löst es.
plan-conflict-unknown = Es wurde kein Plan gefunden; welche Grenzen einander widersprechen, ist nicht bekannt.
