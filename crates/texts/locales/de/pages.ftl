## Jede Seite

page-of-pages = Seite { $page } von { $pages }

## Urteile

verdict-conforms = konform
verdict-does-not-conform = nicht konform
verdict-not-proven = nicht nachgewiesen
verdict-not-measured = nicht gemessen
verdict-no-limit = keine Grenze

## Was für einen Kopf folgt

disposition-accept = annehmen
disposition-rework = nacharbeiten
disposition-incomplete = unvollständig
disposition-reject = zurückweisen

decision-simple = Einfache Annahme: Ein Wert innerhalb seiner Grenzen, die Grenzen selbst eingeschlossen, ist konform; seine Messunsicherheit wird angegeben und verschiebt das Urteil nicht.
decision-guarded = Abgesicherte Annahme: Ein Wert ist nur konform, wenn die Messwerte es mit einer Wahrscheinlichkeit von mindestens { $percent } % belegen; liegt er dafür zu nah an einer Grenze, ist er nicht nachgewiesen.

## Wörter für Teile, Zustände und Werkstoffe

subject-head = Kopf
cylinder-name = Zylinder { $cylinder }
port-name = Zylinder { $cylinder }, { $service } { $index }
service-intake = Einlass
service-exhaust = Auslass
stage-as-received = Eingang
stage-after-rework = nach Nacharbeit
stage-final = Endprüfung
material-cast-iron = Gusseisen
material-aluminium = Aluminium
state-good = in Ordnung
state-worn = verschlissen
state-bad = beschädigt oder fehlend
stem-seal-new = neu
stem-seal-reused = wiederverwendet
stem-seal-absent = keine
insert-fit-tight = fest
insert-fit-loose = LOSE
insert-material-iron = Eisen
insert-material-steel = Stahl
insert-material-hard-alloy = Hartlegierung
insert-material-beryllium-copper = Berylliumkupfer
camshaft-pushrod = Stoßstangen
camshaft-overhead = obenliegende Nockenwelle
lifter-adjustable = einstellbares Ventilspiel
lifter-hydraulic = Hydrostößel
lifter-bucket-with-shim = Tassenstößel mit Einstellscheiben
layout =
    { $cylinders ->
        [one] { $cylinders } Zylinder
       *[other] { $cylinders } Zylinder
    }, je { $intake } Einlass und { $exhaust } Auslass; { $camshaft }, { $lifter }

## Anzahlen

heads =
    { $count ->
        [one] { $count } Kopf
       *[other] { $count } Köpfe
    }
heads-judged =
    { $count ->
        [one] { $count } Kopf beurteilt
       *[other] { $count } Köpfe beurteilt
    }
heads-of-disposition = { $count } { $disposition }
heads-without-sheet = { $count } ohne Prüfblatt

## Namen von Seiten und Dateien, und was auf jeder Seite steht

sheet-title = Prüfblatt: Kopf { $head }, Auftrag { $job }
batch-title = Losbericht: { $label }
attached-evaluation = Auswertung von Kopf { $head }, Auftrag { $job }
attached-earlier-evaluation = Auswertung einer früheren Stufe von Kopf { $head }, Auftrag { $job }
attached-rework-plan = Nacharbeitsplan von Kopf { $head }, Auftrag { $job }
attached-measurement-set = Messsatz von Kopf { $head }, Auftrag { $job }
attached-target-profile = Sollprofil von Kopf { $head }, Auftrag { $job }
bookmark-disposition = Entscheid: { $disposition }
bookmark-index = Inhalt
bookmark-head = { $head }, Auftrag { $job }: { $disposition }
profile-name = { $id } Revision { $revision }
sheet-closing = Nicht unterschrieben: Dieses Blatt nennt nur Messwerte und Urteile.
sheet-closing-with-plan = Nicht unterschrieben: Dieses Blatt nennt Messwerte, Urteile und einen daraus errechneten Plan.
batch-closing = Nicht unterschrieben: Dieser Bericht nennt nur Messwerte und Urteile.
notice-of-profile = Vermerk des Profils
notice-goes-on = … der ganze Vermerk steht am Ende dieses Blatts.

## Was über Seiten weitergeht

in-part = { $what } (Teil)
continued = { $what } (Fortsetzung)
in-full-below = … (ganz unten)
more-reasons =
    … und { $count ->
        [one] { $count } weiterer Grund
       *[other] { $count } weitere Gründe
    } auf der nächsten Seite.
more-findings =
    … und { $count ->
        [one] { $count } weiterer Befund
       *[other] { $count } weitere Befunde
    } auf der nächsten Seite.

## Bezeichnungen über Werten

label-batch = Los
label-bench-cutter-operator = Werkbank, Fräser, Bediener
label-casting = Gusszeichen
label-contents = Inhalt
label-customer = Kunde
label-customer-reference = Zeichen des Kunden
label-disposition = Entscheid
label-engine-family = Motorbaureihe
label-evaluation-digest = SHA-256 der Auswertung
label-head = Kopf
label-head-serial = Seriennummer des Kopfs
label-head-temperature = Temperatur des Kopfs
label-job = Auftrag
label-job-number = Auftragsnummer
label-layout = Bauart
label-material = Werkstoff
label-measured-at = Gemessen am
label-measured-by = Gemessen von
label-measurement-set-digest = SHA-256 des Messsatzes
label-profile = Profil
label-profile-digest = SHA-256 des Profils
label-record = Datensatz
label-stage = Stufe
label-target-profile = Sollprofil
label-units = Einheiten dieses Blatts
material-overheated = überhitzt
material-welded = früher geschweißt

## Das Los

batch-what = Losbericht: Prüfung von Zylinderköpfen
batch-heads = Köpfe
batch-heads-without-sheet = Köpfe ohne Prüfblatt
batch-sheets-elsewhere = Die Prüfblätter stehen nicht in diesem Bericht: Für einen Bericht, den man liest, sind es zu viele. Sie liegen im Archiv des Loses ({ $archive }), jedes unter der Nummer seiner Zeile und der Seriennummer seines Kopfs.
column-not-proven = nicht nachge-wiesen
column-not-measured = nicht gemessen
column-page = Seite
column-line = Zeile
failures = Beanstandungen nach Merkmal
failures-none = Kein gemessenes Merkmal liegt außerhalb seiner Grenzen.
column-failures = Merkmal, und wie oft an welchen Köpfen
more-heads =
    … und { $count ->
        [one] { $count } weiterer
       *[other] { $count } weitere
    }
column-times = Anzahl

## Die Draufsicht

plan-view = Draufsicht
plan-view-remark = Schema, nicht maßstäblich; Einlass oben, Auslass unten, wo immer sie im Guss liegen.
service-intake-short = Einl.
service-exhaust-short = Ausl.

## Die beurteilten Zeilen

rows-deck-and-head = Dichtfläche und Kopf
rows-cylinders = Zylinder
rows-ports = Ventilplätze
rows-of-head-none = Kein Merkmal des ganzen Kopfs.
rows-of-port-none = Kein Merkmal dieses Ventilplatzes.
key-of-port-drawings = Ventilplätze: was die Zeichnungen bedeuten
how-to-read-rows = Abweichung: wie weit jenseits der nächsten Grenze; − innerhalb, + außerhalb. U: erweiterte Messunsicherheit des Messwerts mit dem angegebenen Erweiterungsfaktor k. Gefunden: die schlechteste Stelle. Aus: woher die Grenze kommt, mit ihrer Nummer in der Liste am Ende.
how-to-read-probability = Belegt mit: die Wahrscheinlichkeit, dass nach diesen Messwerten der wahre Wert dieses einen Merkmals innerhalb seiner Grenzen liegt; über den ganzen Kopf sagt sie nichts.
outcome-of-port =
    { $verdict }: { $count } von { $limited ->
        [one] { $limited } begrenzten Merkmal
       *[other] { $limited } begrenzten Merkmalen
    }

## Was außerdem festgehalten wurde

also-recorded = Außerdem festgehalten: { $notes }.
noted-state = { $part } { $state }
part-valve-tip = Schaftende
part-keeper-groove = Keilnut
part-valve-neck = Ventilhals
part-guide-fit = Führung im Kopf
part-dowels = Passhülsen
part-bolt-threads = Gewinde
part-plugs = Stopfen
noted-valve-tag = Ventilkennzeichen { $tag }
noted-valve-coated = Ventil: beschichtet
noted-valve-nitrided = Ventil: nitriert
noted-valve-titanium = Ventil: Titan
noted-valve-hollow = Ventil: hohler Schaft
noted-valve-sodium = Ventil: NATRIUMGEFÜLLTER Schaft
noted-stem-seal = Schaftdichtung: { $state }
noted-insert-fit = Sitzring { $fit }
noted-insert-material = Sitzring aus { $material }
noted-runout-square = Messuhr rechtwinklig zum Sitz, { $count } Ablesungen
noted-runout-radial = Messuhr rechtwinklig zur Achse, { $count } Ablesungen
noted-runout-axial = Messuhr längs der Achse, { $count } Ablesungen
noted-pit-inside = Narbe im Tragbild
noted-pit-outside = Narbe außerhalb des Tragbilds
noted-recession-from-deck = Ventilrückstand ab Dichtfläche
noted-recession-from-chamber = Ventilrückstand ab Brennraumdach
noted-seep = Lösemittel durchgesickert
noted-no-seep = kein Lösemittel durchgesickert
noted-leak-test =
    Dichtprüfung mit { $means ->
        [vacuum] Unterdruck
       *[pressure] Überdruck
    } im { $side ->
        [port] Kanal
       *[chamber] Brennraum
    }, { $spring ->
        [fitted] Feder eingebaut
       *[none] ohne Feder
    }, { $guide ->
        [sealed] Führung abgedichtet
       *[open] Führung offen
    }
noted-deck-removed = Dichtfläche bisher abgetragen um { $amount } { $unit }
noted-crack = RISS GEFUNDEN, Verfahren: { $method }
noted-no-crack = kein Riss gefunden, Verfahren: { $method }
noted-pressure-test =
    Abdrücken mit { $medium }: { $pressure } { $unit }{ $temperature ->
        [none] {""}
       *[other] {" "}bei { $temperature } °C
    }{ $seconds ->
        [none] {""}
       *[other] {" "}über { $seconds } s
    } { $held ->
        [yes] gehalten
       *[no] NICHT GEHALTEN
    }

## Messmittel und Quellen

instruments = Messmittel
instruments-none = Kein Messmittel wurde genannt.
column-instrument = Messmittel
column-kind = Art
column-measures = Misst
column-unit = Einheit
column-uncertainty-of-reading = U eines Messwerts
column-shared-error = Gemein-samer Fehler
column-resolution = Auflösung
column-calibration = Kalibriert bis
calibration-not-stated = nicht angegeben
measures-lengths = Längen
measures-angles = Winkel
measures-forces = Kräfte
measures-volumes = Volumen
measures-pressures = Drücke
measures-roughness = Rauheit
measures-temperatures = Temperaturen
measures-durations = Zeiten
sources-of-limits = Quellen der Grenzen

## Sicherheitshinweise

cautions = Sicherheitshinweise für diesen Kopf
caution-about-limits = Diese Grenzen
caution-limits = Dieses Blatt kennt nur die Grenzen des oben genannten Profils. Das Handbuch des Motorherstellers und das örtlich geltende Recht gehen ihm vor. Köpfe aus Luftfahrzeugen, aus klassifizierten Schiffen und von abgaszertifizierten Motoren sind Arbeit für zugelassene Fachleute mit genehmigten Unterlagen.
caution-about-springs = Ventilfedern
caution-springs = Eine gespannte Feder schleudert Federteller und Ventilkeile weg wie Geschosse. Einen Federspanner benutzen, der sicher greift, und aus der Schusslinie bleiben.
caution-about-eyes = Augen und Hände
caution-eyes = Sitze dieses Kopfs müssen gefräst oder geschliffen werden. Beim Fräsen, Schleifen und Ausblasen Augenschutz tragen. Hartmetallschneiden schneiden auch bei stehendem Fräser in die Haut.
caution-about-lapping = Schleifpaste
caution-lapping = Das Tragbild zuerst mit Tuschierpaste nachweisen. Wird eingeschliffen, danach jede Spur der Schleifpaste abwaschen: Reste zerschleifen Führungen und Kolbenringe. Einschleifen nimmt auch eine Winkeldifferenz weg.
caution-about-treated-valves = Behandelte Ventile
caution-treated-valves = Unter diesen Ventilen sind beschichtete, nitrierte oder solche aus Titan. Nicht schleifen und nicht einschleifen, außer der Hersteller der Ventile erlaubt es: Die harte Schicht ist dünner als ein Durchgang.
caution-about-sodium = Natrium im Schaft
caution-sodium = Unter diesen Ventilen sind solche mit Natrium im Schaft. Niemals schneiden, schweißen, anbohren oder brechen: Natrium brennt und reagiert mit Wasser explosionsartig. Von einem Fachbetrieb entsorgen lassen.
caution-about-beryllium = Berylliumkupfer
caution-beryllium = Sitzringe aus Berylliumkupfer sind eingebaut. Nicht trocken schleifen: Der Staub ist beim Einatmen giftig. Fräsen, nass halten und die Späne auffangen.
caution-about-changing-inserts = Sitzringe wechseln
caution-changing-inserts = Ein loser Sitzring muss ersetzt werden. Trockeneis und flüssiger Stickstoff verursachen Kälteverbrennungen und verdrängen die Atemluft geschlossener Räume; ein erhitzter Kopf verursacht Verbrennungen und gibt Dämpfe ab. Handschuhe, Gesichtsschutz, offene Türen.
caution-about-air = Druckluft
caution-air = Bei Prüfungen unter Druck den Druck langsam steigern, Abstand zu Stopfen und Platten halten und den Druck ablassen, bevor irgendetwas gelöst wird.
caution-about-held = Dichtprüfungen
caution-held = Gehalten heißt: wie angegeben gehalten, am kalten Kopf. Für den heißen Motor ist das kein Nachweis. Manche Risse öffnen sich erst bei Wärme.
caution-about-warmth = Leck und Wärme
caution-warmth = Ein geschlossenes Luftvolumen verliert je Kelvin Abkühlung etwa ein Drittel Kilopascal (0,1{"\u00A0"}inHg), unter Druck mehr; das sieht aus wie ein Leck. Die Luft zur Ruhe kommen lassen und ihre Temperatur notieren.
caution-about-cracks = Risse
caution-crack = Ein Riss wurde gefunden (Verfahren: { $method }). Nicht weiter bearbeiten, bevor seine Reparatur geklärt ist.
caution-no-crack = Kein Riss gefunden (Verfahren: { $method }): mit diesem Verfahren, an diesem Tag, und nicht mehr.
caution-about-aluminium = Aluminium
caution-aluminium = Dieser Kopf wurde überhitzt oder geschweißt. Aluminium wird dadurch weich, und Sitze werden lose: Härte und Geradheit prüfen, bevor Geld dafür ausgegeben wird.
caution-about-warped-deck = Verzogene Dichtfläche
caution-warped-deck = Die Dichtfläche ist uneben an einem Kopf, der seine Nockenwelle trägt. Vor jedem Planschnitt die Nockenwellenlager messen: Eine ebene Dichtfläche unter einer krummen Lagergasse führt zum Fressen der Nockenwelle.
caution-about-turning-over = Durchdrehen
caution-turning-over = Bei falschen Steuerzeiten können Ventile auf Kolben treffen. Nach dem Einbau den Motor zwei volle Umdrehungen von Hand durchdrehen, bevor der Anlasser betätigt wird.
caution-about-soot = Alte Dichtungen, Ruß
caution-soot = Alte Dichtungen können Asbest enthalten, Ablagerungen Blei oder Mangan. Keine rotierende Drahtbürste, nicht abblasen: einweichen, nass abschaben, Atemschutzmaske tragen. Kein Lösemittel in der Nähe eines heißen Kopfs.
caution-about-lifting = Heben
caution-lifting = Ein solcher Kopf ist schwer. Zu zweit oder mit einem Hebezeug heben und so ablegen, dass kein Ventil auf der Werkbank aufsteht.
