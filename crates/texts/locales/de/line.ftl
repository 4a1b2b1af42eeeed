## Statistik: das Dokument

line-what = Statistik über beurteilte Köpfe
line-title = Statistik: { $title }
line-closing = Nicht unterschrieben: Dieser Bericht nennt nur Messwerte, Urteile und Statistik darüber.
attached-statistics = Statistik: { $title }
line-sets =
    { $count ->
        [one] { $count } Messsatz
       *[other] { $count } Messsätze
    }
label-statistics = Statistik

## Die Zusammenfassung

line-heading = Was die Köpfe zusammen sagen
line-column-of-heads = Von den Köpfen
line-column-says = Was zu sagen ist
line-heads-counted = Gezählt
line-heads-measured =
    { $count ->
        [one] { $count } Messsatz, gemessen { $from }
       *[other] { $count } Messsätze, gemessen vom { $from } bis zum { $to }
    }
line-first-pass-yield = Auf Anhieb angenommen
line-concession-rate = Mit Sonderfreigabe
line-share = { $share }: { $count } von { $of }
line-of-stage = { $stage }: { $says }
line-not-counted = Nicht gezählt
line-not-counted-says =
    { $superseded } durch eine spätere Fassung ersetzt · { $without } ohne Werte{ $left-out ->
        [0] {""}
       *[other] {" "}· { $left-out } Werte von mehr Merkmalen, Profilen und Grenzen, als getrennt geführt werden
    }
line-in-control = Regelkarten
line-in-control-says =
    { $charts ->
        [0] Kein Merkmal hat eine Regelkarte.
       *[other] { $signalling } von { $charts } melden. Durch Zufall allein tut das eine Karte etwa einmal in { $chance } Köpfen.
    }
line-few-heads = Weniger als { $fewest } Köpfe: Die Eingriffsgrenzen sind noch nicht gut bekannt.
line-stands-out = Fällt auf
line-stands-out-none = Keine Werkbank, kein Fräser, kein Messmittel und kein Bediener unterscheidet sich oder driftet mehr als durch Zufall.
line-stands-out-drift = { $code }, { $of }: driftet um { $slope } je Tag ({ $p })
line-stands-out-differ = { $by } unterscheiden sich, { $of }: Am weitesten liegt { $code } ab ({ $p })
line-least-ppk = Kleinster Ppk
line-selection = Gefragt nach
line-selection-all = allen Köpfen
line-selection-batch = Los { $value }
line-selection-from = ab { $value }
line-selection-to = vor { $value }
line-selection-stage = Stufe { $value }
line-selection-profile = Profil { $value }
line-selection-bench = Werkbank { $value }
line-selection-cutter = Fräser { $value }
line-selection-operator = Bediener { $value }
line-selection-gauge = Messmittel { $value }
line-selection-characteristic = nur { $value }
line-how = Verfahren
line-how-says = Vertrauensniveau der Bereiche { $confidence }; die Regelkarten werden geprüft nach: { $rules }. Drift und Unterschiede werden genannt, wo der Zufall allein unter all diesen Merkmalen zusammen selten einen brächte (Bonferroni); jeder Kopf zählt einmal, mit dem Mittel seiner Werte.
line-rules-three-sigma = nur die Eingriffsgrenzen
line-rules-western-electric = die vier Zonenregeln von Western Electric
line-rules-nelson = die acht Prüfungen von Nelson

line-cautions = Zu bedenken
line-caution-about-control = Karten, die melden
line-caution-control = Wo eine Regelkarte meldet, hat sich vielleicht etwas geändert: Herausfinden, was. Solange das so ist, sagt kein Fähigkeitskennwert etwas voraus. Wo sich Köpfe mehr unterscheiden als die Plätze eines Kopfs, melden Karten der Mittel immerzu: Dann Einzelwerte und gleitende Spannweiten verlangen.
line-caution-about-places = Schlechteste Stellen
line-caution-places = Jeder Wert ist der an der schlechtesten Stelle seines Ventilplatzes oder Kopfs, wie er beurteilt wurde; das Mittel solcher Werte ist nicht das Mittel des Teils.
line-caution-about-limits = Grenzen entscheiden
line-caution-limits = Jeder Kopf wird nach seinen eigenen Messwerten und Grenzen beurteilt. Keine Statistik macht einen Kopf gut oder schlecht.
line-caution-about-manual = Handbuch zuerst
line-caution-manual = Das Handbuch des Motorherstellers geht diesen Grenzen und allem vor, was hier steht.

## Was am häufigsten nicht konform ist

line-pareto = Was am häufigsten nicht konform ist
line-pareto-none = Keine Zeile ist nicht konform.
line-pareto-key = Zeilen, die nicht konform sind. Balken: ihr Anteil an allen solchen Zeilen; Linie mit Punkten und Zahlen rechts: der Anteil eines Balkens und aller darüber.
line-pareto-characteristics = Nach Merkmal
line-pareto-ports = Nach Ventilplatz
line-pareto-others = { $count } andere
line-pareto-bar = { $name }: { $count }, zusammen { $sum }

## Was der Prozess kann

line-capability = Prozessfähigkeit
line-capability-none = Kein Merkmal hat Werte.
line-capability-key = { $signals }: Die Regelkarte meldet; erst herausfinden, warum, ehe man sich auf die Kennwerte verlässt. { $not-normal }: nicht normalverteilt. Cp, Cpk: aus der Streuung innerhalb der Köpfe, oder von Kopf zu Kopf, wo jeder einen Wert hat; Pp, Ppk: aus der Streuung aller Werte; in Klammern der Vertrauensbereich zu { $confidence }, wo es einen gibt.
line-column-signs = Marke
line-column-ports = Plätze
line-column-mean = Mittel
line-column-least = Kleinster
line-column-greatest = Größter
line-profile = Profil { $profile }
line-method-normal = Fähigkeit aus Mittel und Standardabweichung
line-method-log-normal = Fähigkeit aus Perzentilen der Lognormalverteilung
line-method-empirical = Fähigkeit aus Perzentilen der Werte
line-no-capability = keine Fähigkeit
line-no-capability-no-limits = keine Fähigkeit: keine Grenzen
line-no-capability-too-few = keine Fähigkeit: zu wenige Werte
line-no-capability-no-spread = keine Fähigkeit: die Hälfte der Werte oder mehr sind gleich
line-no-capability-not-positive = keine Fähigkeit: ein Wert liegt nicht über null, wie lognormale Werte es tun
line-no-capability-limits-crossed = keine Fähigkeit: Grenzen vertauscht
line-no-cpk = kein Cpk: Die Karte gibt keine Streuung dafür
line-no-cpk-not-normal = kein Cpk: Werte nicht normalverteilt
line-no-cpk-by-percentiles = kein Cpk: Perzentile waren gewünscht
line-no-cpk-no-spread = kein Cpk: keine Streuung
line-thin-tails = zu wenige Werte für die äußeren Perzentile: Es sind die äußersten Werte
line-chart-signals =
    { $count ->
        [0] Regelkarte ohne Meldung
        [one] Regelkarte mit { $count } Meldung
       *[other] Regelkarte mit { $count } Meldungen
    }
line-no-chart = keine Regelkarte
line-no-chart-sizes-differ = keine Regelkarte: Die Köpfe haben verschieden viele Werte
line-note-not-normal = nicht normalverteilt

## Die Bilder

line-figures = Regelkarten
line-figures-none = Kein Merkmal hat eine Regelkarte.
line-figures-left-out =
    Die { $shown }, die zuerst anzusehen sind: die, deren Regelkarten melden, dann die mit dem kleinsten Ppk. { $count ->
        [one] { $count } weiteres Merkmal fehlt
       *[other] { $count } weitere Merkmale fehlen
    } hier; die Statistik als JSON und CSV hat alle.
line-key-run = Punkt einer Folge, die eine Regel verletzt (Punkt im Ring)
line-key-signal = Meldung: Punkt jenseits einer Eingriffsgrenze oder letzter einer solchen Folge (Quadrat mit Kreuz)
line-key-lines = unterbrochene Linien: Eingriffsgrenzen, was der Prozess von selbst tut; dünne Linie: seine Mitte. Nach rechts: die Köpfe, wie sie nacheinander gemessen wurden. In Histogrammen sind die kräftigen Striche die Grenzen des Profils, ein Pfeil zeigt zu einer weiter entfernten.
line-histogram =
    { $count ->
        [one] { $count } Wert, { $unit }
       *[other] { $count } Werte, { $unit }
    }
line-no-histogram = kein Histogramm
line-histogram-words = Histogramm mit { $bins } Klassen von { $from } bis { $to }; die vollste von { $low } bis { $high } hat { $count }
line-track-means = Mittel der Köpfe
line-track-values = Einzelwerte
line-track-ranges = Spannweiten
line-track-deviations = Standardabweichungen
line-track-moving-ranges = Gleitende Spannweiten
line-track-words = der letzte von { $count } Punkten: Mitte { $centre }, Eingriffsgrenzen { $lower } und { $upper }
line-kind-mean-range = Mittel und Spannweiten
line-kind-mean-deviation = Mittel und Standardabweichungen
line-kind-individuals = Einzelwerte und gleitende Spannweiten
line-sigma-mean-range = aus der mittleren Spannweite
line-sigma-mean-deviation = aus den Standardabweichungen
line-sigma-moving-range = aus der mittleren gleitenden Spannweite
line-sigma-reference = vorgegeben
line-about-chart =
    Regelkarte ({ $kind }) von { $groups ->
        [one] { $groups } Kopf
       *[other] { $groups } Köpfen
    }, { $drawn } gezeichnet; { $within } { $sigma }, { $estimator }; geprüft nach: { $rules }.
line-within-heads = σ innerhalb der Köpfe
line-from-head-to-head = σ von Kopf zu Kopf
line-signals-none = Keine Meldungen.
line-signals =
    { $count ->
        [one] { $count } Meldung
       *[other] { $count } Meldungen
    }{ $named ->
        [0] .
       *[other] , die neueste zuerst: { $heads }{ $more ->
            [0] .
           *[other] {" "}… und { $more } weitere.
        }
    }
line-rule-one-beyond-three = jenseits einer Eingriffsgrenze
line-rule-two-of-three = 2 von 3 jenseits 2 σ auf einer Seite
line-rule-four-of-five = 4 von 5 jenseits 1 σ auf einer Seite
line-rule-eight-on-one-side = 8 nacheinander auf einer Seite der Mitte
line-rule-nine-on-one-side = 9 nacheinander auf einer Seite der Mitte
line-rule-six-rising = 6 nacheinander steigend oder fallend
line-rule-fourteen-alternating = 14 nacheinander auf und ab
line-rule-fifteen-within = 15 nacheinander innerhalb 1 σ
line-rule-eight-beyond = 8 nacheinander jenseits 1 σ
line-normal = nichts spricht gegen eine Normalverteilung
line-not-normal = nicht normalverteilt
line-normality-unknown = ob die Werte normalverteilt sind, ist nicht bekannt
line-trend = Driftet um { $slope } je Tag ({ $p }).
line-trend-none = Keine Drift außer Zufall: { $slope } je Tag ({ $p }).
line-by-bench = Werkbänke
line-by-cutter = Fräser
line-by-gauge = Messmittel
line-by-operator = Bediener
line-codes-drift =
    { $by }, die für sich driften: { $codes }{ $more ->
        [0] .
       *[other] {" "}… und { $more } weitere.
    }
line-code-drift = { $code } um { $slope } je Tag ({ $p })
line-groups-differ =
    { $by } unterscheiden sich ({ $p }), die am weitesten abliegenden zuerst: { $codes }{ $more ->
        [0] .
       *[other] {" "}… und { $more } weitere.
    }
