## Every page

page-of-pages = page { $page } of { $pages }

## Verdicts

verdict-conforms = conforms
verdict-does-not-conform = does not conform
verdict-not-proven = not proven
verdict-not-measured = not measured
verdict-no-limit = no limit

## What follows for a head

disposition-accept = accept
disposition-rework = rework
disposition-incomplete = incomplete
disposition-reject = reject

decision-simple = Simple acceptance: a value inside its limits, the limits themselves included, conforms; its uncertainty is shown and does not move the verdict.
decision-guarded = Guarded acceptance: a value conforms only when the readings prove it with a probability of at least { $percent } %; too close to a limit for that, it is not proven.

## Words for parts, states and materials

subject-head = Head
cylinder-name = Cylinder { $cylinder }
port-name = Cylinder { $cylinder }, { $service } { $index }
service-intake = intake
service-exhaust = exhaust
stage-as-received = as received
stage-after-rework = after rework
stage-final = final
material-cast-iron = cast iron
material-aluminium = aluminium
state-good = in order
state-worn = worn
state-bad = damaged or missing
stem-seal-new = new
stem-seal-reused = the old one
stem-seal-absent = none
insert-fit-tight = tight
insert-fit-loose = LOOSE
insert-material-iron = iron
insert-material-steel = steel
insert-material-hard-alloy = hard alloy
insert-material-beryllium-copper = beryllium copper
camshaft-pushrod = pushrods
camshaft-overhead = overhead camshaft
lifter-adjustable = adjustable lash
lifter-hydraulic = hydraulic lifters
lifter-bucket-with-shim = buckets with shims
layout =
    { $cylinders ->
        [one] { $cylinders } cylinder
       *[other] { $cylinders } cylinders
    }, each with { $intake } intake and { $exhaust } exhaust; { $camshaft }, { $lifter }

## Counts

heads =
    { $count ->
        [one] { $count } head
       *[other] { $count } heads
    }
heads-judged =
    { $count ->
        [one] { $count } head judged
       *[other] { $count } heads judged
    }
limited-characteristics =
    { $count ->
        [one] { $count } limited characteristic
       *[other] { $count } limited characteristics
    }
