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
state-bad = beschädigt oder fehlt
stem-seal-new = neu
stem-seal-reused = die alte
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

## Counts

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
limited-characteristics =
    { $count ->
        [one] { $count } begrenzten Merkmal
       *[other] { $count } begrenzten Merkmalen
    }
