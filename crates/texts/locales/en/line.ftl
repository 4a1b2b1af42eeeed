## Statistics: the document

line-what = Statistics over judged heads
line-title = Statistics: { $title }
line-closing = Not signed: this report states measurements, verdicts and statistics of them only.
attached-statistics = Statistics: { $title }
line-sets =
    { $count ->
        [one] { $count } measurement set
       *[other] { $count } measurement sets
    }
label-statistics = Statistics

## The summary

line-heading = What the heads say together
line-column-of-heads = Of the heads
line-column-says = What there is to say
line-heads-counted = Counted
line-heads-measured =
    { $count ->
        [one] { $count } measurement set, measured { $from }
       *[other] { $count } measurement sets, measured from { $from } to { $to }
    }
line-first-pass-yield = First-pass yield
line-concession-rate = Signed with concessions
line-share = { $share }: { $count } of { $of }
line-of-stage = { $stage }: { $says }
line-not-counted = Not counted
line-not-counted-says =
    { $superseded } superseded by a later revision · { $without } without values{ $left-out ->
        [0] {""}
       *[other] {" "}· { $left-out } values of more characteristics, profiles and limits than are kept apart
    }
line-in-control = Control charts
line-in-control-says =
    { $charts ->
        [0] No characteristic has a control chart.
       *[other] { $signalling } of { $charts } signal. By chance alone a chart does so about once in { $chance } heads.
    }
line-few-heads = Fewer than { $fewest } heads: the control limits are not well known yet.
line-stands-out = Stands out
line-stands-out-none = No bench, cutter, gauge or operator differs or drifts beyond chance.
line-stands-out-drift = { $code }, { $of }: drifts by { $slope } a day ({ $p })
line-stands-out-differ = { $by } differ, { $of }: farthest off is { $code } ({ $p })
line-least-ppk = Least Ppk
line-selection = Asked for
line-selection-all = all heads
line-selection-batch = batch { $value }
line-selection-from = from { $value }
line-selection-to = before { $value }
line-selection-stage = stage { $value }
line-selection-profile = profile { $value }
line-selection-bench = bench { $value }
line-selection-cutter = cutter { $value }
line-selection-operator = operator { $value }
line-selection-gauge = gauge { $value }
line-selection-characteristic = { $value } only
line-how = How
line-how-says = Intervals hold with { $confidence } confidence; charts are held against { $rules }. Drifts and differences are told where chance alone would seldom make one among all of these characteristics together (Bonferroni); each head counts once, with the mean of its values.
line-rules-three-sigma = the control limits only
line-rules-western-electric = the four zone rules of Western Electric
line-rules-nelson = the eight tests of Nelson

line-cautions = To be borne in mind
line-caution-about-control = Charts that signal
line-caution-control = Where a control chart signals, something may have changed: look for what. While that goes on, no capability index foretells anything. Where heads differ by more than the ports of one head, charts of means signal all the time: ask for single values and moving ranges.
line-caution-about-places = Worst places
line-caution-places = Each value is the one at the worst place of its port or head, as it was judged; the mean of such values is not the mean of the part.
line-caution-about-limits = Limits decide
line-caution-limits = Each head is judged by its own readings and limits. No statistic makes a head good or bad.
line-caution-about-manual = Manual first
line-caution-manual = The engine maker's manual goes before these limits and before anything said here.

## What fails most

line-pareto = What fails most
line-pareto-none = No row does not conform.
line-pareto-key = Rows that do not conform. Bars: their share of all such rows; line with dots and figures at the right: the share of a bar and all above it.
line-pareto-characteristics = By characteristic
line-pareto-ports = By port
line-pareto-others = { $count } others
line-pareto-bar = { $name }: { $count }, cumulative { $sum }

## What the process can do

line-capability = Capability
line-capability-none = No characteristic has values.
line-capability-key = { $signals }: the control chart signals; find out why before the indices are relied on. { $not-normal }: not normally distributed. Cp, Cpk: from the scatter within heads, or from head to head where each has one value; Pp, Ppk: from the scatter of all values; in brackets the { $confidence } confidence interval, where there is one.
line-column-signs = Sign
line-column-ports = Ports
line-column-mean = Mean
line-column-least = Least
line-column-greatest = Greatest
line-profile = profile { $profile }
line-method-normal = capability from mean and standard deviation
line-method-log-normal = capability from log-normal percentiles
line-method-empirical = capability from percentiles of the values
line-no-capability = no capability
line-no-capability-no-limits = no capability: no limits
line-no-capability-too-few = no capability: too few values
line-no-capability-no-spread = no capability: half of the values or more are the same
line-no-capability-not-positive = no capability: a value is not above zero, which log-normal values are
line-no-capability-limits-crossed = no capability: the limits are crossed
line-no-cpk = no Cpk: the chart gives no scatter for it
line-no-cpk-not-normal = no Cpk: the values are not normal
line-no-cpk-by-percentiles = no Cpk: percentiles were asked for
line-no-cpk-no-spread = no Cpk: no scatter
line-thin-tails = too few values for the outer percentiles: these are the extremes
line-chart-signals =
    { $count ->
        [0] chart without signals
        [one] chart with { $count } signal
       *[other] chart with { $count } signals
    }
line-no-chart = no chart
line-no-chart-sizes-differ = no chart: the heads have different numbers of values
line-note-not-normal = not normal

## The figures

line-figures = Charts
line-figures-none = No characteristic has a control chart.
line-figures-left-out =
    The { $shown } that want looking at first: those whose charts signal, then those of least Ppk. { $count ->
        [one] { $count } further characteristic is
       *[other] { $count } further characteristics are
    } left out here; the statistics as JSON and CSV have all.
line-key-run = a point of a run that breaks a rule (disc in a ring)
line-key-signal = a signal: the point beyond a control limit, or the last of such a run (square with a cross)
line-key-lines = broken lines: control limits, what the process does by itself; thin line: its centre. Across: heads in the order they were measured in. In histograms the heavy uprights are the limits of the profile, an arrow points to one farther off.
line-histogram =
    { $count ->
        [one] { $count } value, { $unit }
       *[other] { $count } values, { $unit }
    }
line-no-histogram = no histogram
line-histogram-words = histogram of { $bins } bins from { $from } to { $to }; the fullest from { $low } to { $high } has { $count }
line-track-means = Means of heads
line-track-values = Single values
line-track-ranges = Ranges
line-track-deviations = Standard deviations
line-track-moving-ranges = Moving ranges
line-track-words = the last of { $count } points: centre { $centre }, control limits { $lower } and { $upper }
line-kind-mean-range = means and ranges
line-kind-mean-deviation = means and standard deviations
line-kind-individuals = single values and moving ranges
line-sigma-mean-range = from the mean range
line-sigma-mean-deviation = from the standard deviations
line-sigma-moving-range = from the mean moving range
line-sigma-reference = given
line-about-chart =
    Chart of { $kind } of { $groups ->
        [one] { $groups } head
       *[other] { $groups } heads
    }, { $drawn } drawn; { $within } { $sigma }, { $estimator }; held against { $rules }.
line-within-heads = σ within heads
line-from-head-to-head = σ from head to head
line-signals-none = No signals.
line-signals =
    { $count ->
        [one] { $count } signal
       *[other] { $count } signals
    }{ $named ->
        [0] .
       *[other] , the newest first: { $heads }{ $more ->
            [0] .
           *[other] {" "}… and { $more } more.
        }
    }
line-rule-one-beyond-three = beyond a control limit
line-rule-two-of-three = 2 of 3 beyond 2 σ on one side
line-rule-four-of-five = 4 of 5 beyond 1 σ on one side
line-rule-eight-on-one-side = 8 in a row on one side of the centre
line-rule-nine-on-one-side = 9 in a row on one side of the centre
line-rule-six-rising = 6 in a row rising or falling
line-rule-fourteen-alternating = 14 in a row up and down in turn
line-rule-fifteen-within = 15 in a row within 1 σ
line-rule-eight-beyond = 8 in a row beyond 1 σ
line-normal = nothing speaks against a normal distribution
line-not-normal = not normally distributed
line-normality-unknown = whether the values are normally distributed is not known
line-trend = Drifts by { $slope } a day ({ $p }).
line-trend-none = No drift beyond chance: { $slope } a day ({ $p }).
line-by-bench = Benches
line-by-cutter = Cutters
line-by-gauge = Gauges
line-by-operator = Operators
line-codes-drift =
    { $by } that drift by themselves: { $codes }{ $more ->
        [0] .
       *[other] {" "}… and { $more } more.
    }
line-code-drift = { $code } by { $slope } a day ({ $p })
line-groups-differ =
    { $by } differ ({ $p }), the farthest off first: { $codes }{ $more ->
        [0] .
       *[other] {" "}… and { $more } more.
    }
