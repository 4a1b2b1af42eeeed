## The headline of a plan

plan-target = profile { $profile } revision { $revision }
plan-headline-nothing-to-do = Nothing to do: as measured, no port needs work to conform to { $target }.
plan-headline-planned = Planned: { $work }, predicted to bring { $what } inside { $target } if each cut stops where it should. Predicted, not measured.
plan-headline-measure-again = Planned: measure again.
plan-headline-staged = In stages: { $work }, predicted to bring { $what } inside { $target } if each cut stops where it should; { $waiting }. Predicted, not measured.
plan-headline-nothing-yet = In stages: nothing can be cut yet; { $waiting }.
plan-headline-search-ended = No plan found: the search was ended by its limit before it found work that brings the head inside { $target }; there may be some.
plan-headline-not-together = No plan: each port by itself could be brought inside { $target }, but not all of them together by work that this shop can do. What would free that is named.
plan-headline-no-plan =
    { $count ->
        [one] No plan: { $count } port cannot be brought inside { $target } by work that this shop can do, because limits fight each other. What would free them is named.
       *[other] No plan: { $count } ports cannot be brought inside { $target } by work that this shop can do, because limits fight each other. What would free them is named.
    }
plan-headline-beyond = { $headline } In the way of acceptance and beyond any work of this kind: { $beyond }.

## What is done: `work` of the headlines

plan-work-on-deck = a cut of the deck
plan-work-on-ports =
    { $count ->
        [one] work on { $count } port
       *[other] work on { $count } ports
    }
plan-work-on-deck-and-ports =
    { $count ->
        [one] a cut of the deck and work on { $count } port
       *[other] a cut of the deck and work on { $count } ports
    }

## What that is for: `what` of the headlines

plan-the-deck = the deck
plan-every-port = every port
plan-these-ports = these ports
plan-the-deck-and-every-port = the deck and every port
plan-the-deck-and-these-ports = the deck and these ports

## What comes before the rest: `waiting` of the headlines

plan-guide-first-on =
    { $count ->
        [one] the guide comes first on { $count } port
       *[other] the guide comes first on { $count } ports
    }
plan-measure-first-on =
    { $count ->
        [one] something has to be measured first on { $count } port
       *[other] something has to be measured first on { $count } ports
    }
plan-waiting-for-both = { $guides }, and { $readings }
plan-measure-something-first = something else has to be measured first

## After the work

plan-predicted-headline = Predicted, not measured: if each cut stops where it should, { $opening }. It would conform to { $target } on { $conforms } of { $limited } characteristics{ $outside }{ $unproven }{ $missed }{ $unasked }.
plan-would-be-acceptable = the head would be acceptable at these limits
plan-would-need-rework = the head would still need rework
plan-would-be-incomplete = something required would still not be measured or proven
plan-would-not-be-acceptable = the head would not be acceptable at these limits
plan-would-not-conform = ; { $count } would not conform
plan-would-not-be-proven = ; { $count } could not be proven
plan-would-miss = ; not measured: { $what }
plan-measuring-only = ; to be found by measuring only: { $what }
plan-predicted-notice = Predicted, not measured: these readings are what the plan works out for the head when every cut stops where it should. Nobody read them on a gauge; measuring again shows what the head is.

## Taken for granted

plan-assumes-cutters-at-nominal-angles = No cutters were named: one for each nominal angle of the profile is assumed.
plan-assumes-nominal-angles = Where an angle was not measured, the nominal of the profile is taken for it.
plan-assumes-usual-angles = Top or throat angles were neither measured nor in the profile: they count as the shop cuts them, else as 15° flatter and steeper than the seat.
plan-assumes-diameters-from-contact = Where the diameters of a seat were not measured, they are taken from its contact band.
plan-assumes-same-length = A new valve is taken to be as long from face to tip as the old one, because a length is missing.

## Steps: cuts of a seat

plan-named-cutter = { $angle } ({ $name })
plan-seat-cut = Ink the seat. Seat cutter { $cutter }: turn until { $until }.
plan-form-cut = Ink the seat. Form cutter { $cutter }: one plunge, until { $until }.
plan-until-unbroken = the bright ring is unbroken, about { $feed } past first touch{ $touch }{ $ring }
plan-until-sizes = the ring on the new insert is { $outer } outside and { $inner } inside{ $touch }{ $ring }
plan-ring-shows = ; the ring shows first at { $side } from the first dial reading and the last ink goes opposite
plan-touches-outer-edge = ; it touches the outer edge first
plan-touches-inner-edge = ; it touches the inner edge first
plan-ring-check = No ink is left on the ring: about { $width } wide, { $outer } outside and { $inner } inside.
plan-ring-check-feed = No ink is left on the ring: about { $width } wide, { $outer } outside and { $inner } inside. The stem of a reference valve tells the feed: it has risen by about as much.
plan-top-cut = Top cutter { $cutter }: bring the seat's outer diameter in to { $outer }{ $feed }{ $touch }.
plan-top-cut-check = Measure the outer diameter, { $outer }, at several places: stop early rather than late.
plan-throat-cut = Throat cutter { $cutter }: until the band is { $width }, its inner diameter then { $inner }{ $feed }{ $touch }.
plan-throat-cut-check = Measure the width of the band, { $width }, at several places: it is even all round.
plan-wide = { $size } wide
plan-wide-within = { $size } wide (±{ $tolerance })
plan-about-feed = , about { $feed } of feed
plan-light-turns = Two light turns of the seat cutter { $cutter } against the burr.
plan-light-turns-at-most = Two light turns of the seat cutter { $cutter } against the burr: no more than { $most }.
plan-light-turns-check = No burr is left on either edge; the band is { $width } wide, { $outer } outside and { $inner } inside.

## Steps: other work

plan-measure-first = Measure first: { $what }.
plan-measure-first-check = Post the set again with these readings and ask for a new plan; before that nothing is cut here.
plan-everything-limited = everything this profile limits
plan-renew-guide = Repair or replace the guide: it comes before any work on this seat.
plan-renew-guide-check = Measure guide, stem, seat and runout on the new axis and ask for a new plan: what was read on the old guide tells nothing about it.
plan-fit-insert = Take the old insert out, clean its counterbore, and fit insert { $insert }.
plan-fit-insert-check = It sits on the floor of its counterbore all round and does not move.
plan-cut-deck = Cut the deck: { $depth } off at its highest place ({ $needed } is what cleans it).
plan-cut-deck-check = The deck is bright all over. Measure its flatness and roughness, the thickness of the head, and the chambers.
plan-grind-face = Grind the face of the valve: { $stock } square to it.
plan-grind-face-check = The face is bright all round; the margin left is about { $margin }, with no sharp edge anywhere.
plan-grind-face-check-margin = The face is bright all round; measure the margin left, with no sharp edge anywhere.
plan-grind-tip = Grind the tip of the valve: { $stock } square to the stem, with coolant.
plan-grind-tip-check = The tip is flat and square, and clear of the retainer.
plan-grind-tip-check-stem = The tip is flat and square, and clear of the retainer. The stem stands { $protrusion } above its spring seat.
plan-valve-back = Valve { $valve } goes back to { $port }.
plan-old-valve-back = The valve that came from it goes back to { $port }.
plan-new-valve = New valve { $new } goes to { $port } in place of valve { $valve }; mark it for this seat.
plan-new-valve-for-old = New valve { $new } goes to { $port } in place of the old one; mark it for this seat.
plan-fit-valve-check = It slides and turns freely in its guide, and its mark is that of its seat.
plan-check-marking = Put marking compound thinly on the face, set the valve on its seat, turn it a little, and lift it out.
plan-check-marking-check = The band is { $width } wide, unbroken and even all round; if not, measure before more is cut.
plan-check-marking-check-edge = The band begins { $edge } from the outer edge of the face and is { $width } wide, unbroken and even all round; if not, measure before more is cut.
plan-leak-test = Test this port for leaks with its valve closed.
plan-leak-test-check = It holds. Held cold is no proof of a hot engine.
plan-springs-back = Fit the springs that came from this port{ $then }.
plan-fit-shims = Fit shims: { $shims }{ $then }.
plan-new-springs = Fit new springs { $springs }{ $then }.
plan-new-springs-and-shims = Fit new springs { $springs } and shims: { $shims }{ $then }.
plan-and = { $first } and { $next }
plan-then-installed-height = ; installed height then { $size }
plan-fit-springs-check = Measure the installed height from spring seat to retainer; the keepers sit in their groove all round.
plan-fit-lash-shim = Fit a lash shim of { $thickness }{ $then }.
plan-then-lash = ; lash then { $size }
plan-fit-lash-shim-check = Measure the lash with the heel of its cam on the follower.
plan-set-lash = Set the lash by its screw to what the engine maker says, with the heel of its cam on the follower.
plan-set-lash-check = Measure it again after two full turns by hand.
plan-measure-again = Measure again: { $what }.
plan-measure-again-check = Post these readings: only they show whether it conforms. The numbers of this plan are predicted.

## What can hurt or spoil

plan-caution-sodium-stem = Sodium in the stem: never grind, cut, weld, drill or break it. Scrap it through a specialist.
plan-caution-beryllium-copper = Beryllium copper: never grind it dry, its dust is toxic. Keep it wet and collect what comes off.
plan-caution-thin-insert = Look at what is left of the insert: one that is cut too thin is replaced, not used.
plan-caution-treated-face = Coated, nitrided or titanium face: grind or lap it only where the engine maker allows it.
plan-caution-stored-energy = Springs store energy: use a spring compressor, stand aside, and wear eye protection.
plan-caution-eyes-and-skin = Wear eye protection. Carbide edges and chips cut skin, also when the cutter stands still.
plan-caution-hot-and-cold = A warmed head burns and fumes; dry ice and liquid nitrogen burn by cold and drive out the air: gloves, face shield, open doors.
plan-caution-axis-moves = Guide and seat share one axis: whatever moves the guide makes the readings of its seat void.
plan-caution-cam-timing = A cut deck moves the cam timing of an overhead-cam head. Where valves can meet pistons, turn the engine two full turns by hand before it is started.
plan-caution-tight-lash = Lash that is too tight holds a valve off its seat and burns it.

## What a plan runs up against

plan-bound-lower-limit = The lower limit of { $what }: what the gauge and the cuts may be out is kept clear of it.
plan-bound-upper-limit = The upper limit of { $what }: what the gauge and the cuts may be out is kept clear of it.
plan-bound-gauge-too-coarse = { $what }: no value of it could be proved to conform with this gauge.
plan-bound-as-it-is = { $what }: this work leaves it as it is.
plan-bound-clean-up = The seat cutter has to go deep enough to cut runout and pits away.
plan-bound-correction = A cut has to be deep enough to put right what the cut before it may have missed.
plan-bound-throat = The seat has to stay outside the throat.
plan-bound-face-edge = The contact band has to stay on the face of the valve.
plan-bound-insert-edge = The seat has to stay on its insert.
plan-bound-insert-stock = No more may be fed into the insert, or too little of it is left.
plan-bound-tip-limit = No more may be ground off the hardened tip.
plan-bound-spring-readings = The loads of the springs are known between certain heights only.
plan-bound-shim-stock = No other shims are on the shelf, or no more may lie under one spring.
plan-bound-lash-shim-stock = No other lash shims are on the shelf.
plan-bound-spare-stock = No other parts are on the shelf.
plan-bound-deck-most = No more may come off the deck.
plan-bound-deck-clean-up = So much has to come off the deck until it is clean all over.
plan-beyond = { $what }: keeps the head from being accepted, and no work of this kind cures it.

## What would free it

plan-way-concession = A concession on { $what }, of at least { $amount }: for whoever answers for this engine to decide.
plan-way-new-insert = With a new seat insert there is a plan.
plan-way-other-valve = With another valve there is a plan.
plan-way-other-springs = With other springs there is a plan.
plan-way-more-shims = With more shims, or shims of other thicknesses, there is a plan.
plan-way-better-gauge = With a better gauge for { $what } there is a plan.
plan-concession-lower-limit = the lower limit of { $what }
plan-concession-upper-limit = the upper limit of { $what }
plan-concession-tolerance = the tolerance of { $what }
plan-concession-as-it-is = { $what } as it is
plan-concession-clean-up = the depth that runout and pits need
plan-concession-correction = the depth that puts right what a cut may have missed
plan-concession-throat = the distance of the seat from the throat
plan-concession-face-edge = the distance of the contact band from the edge of the face
plan-concession-insert-edge = the distance of the seat from the edge of its insert
plan-concession-insert-stock = what may be fed into the insert
plan-concession-tip-limit = what may be ground off the tip
plan-concession-spring-readings = the heights at which the loads of the springs are known
plan-concession-shim-stock = the height that shims have to make up
plan-concession-lash-shim-stock = the thickness of the lash shim
plan-concession-spare-stock = the parts on the shelf
plan-concession-deck-most = what may come off the deck
plan-concession-deck-clean-up = what has to come off the deck

## The pages of a plan

plan-strip = REWORK PLAN: what it says of after the work is worked out, not measured
plan-title = Rework plan
plan-worked-out = Everything in this part that speaks of after the work is worked out from the readings on this sheet. Nobody measured it, and it holds only as far as every cut stops where it should: only measuring again shows what the head is.
plan-head-as-a-whole = The head as a whole
plan-subject-continued = { $subject } (continued)

## What it comes to

plan-outcome-nothing-to-do = nothing to do
plan-outcome-planned = planned
plan-outcome-staged = in stages
plan-outcome-no-plan = no plan
plan-status-guide-first = guide comes first
plan-status-measure-first = to be measured first
plan-total-outcome = comes to
plan-total-ports = ports with work
plan-total-sink = sum of all sinks
plan-total-new-parts = new parts
plan-total-shims = shims
plan-total-minutes = minutes at the bench
plan-total-cost = cost, shop's money
plan-best-in = Best in
plan-objective-least-sink = Least sink: as few new parts as there must be, then valves that sink as little as they can.
plan-objective-least-cost = Least cost: as little money for parts and minutes as there can be.
plan-objective-fewest-parts = Fewest parts: as few new parts and shims as there must be, then as little sink.
plan-how-good = How good it is
plan-proof-best = Proved best: with the means stated no other plan does better in what it is best in.
plan-proof-none = Every course of work open to this shop was ruled out.
plan-no-proof-of-none = It is not proved that there is none.
plan-no-proof-of-best = Not proved best: another plan could be better in it by { $percent } % at the most.
plan-no-proof-and-no-gap = Not proved best: how much better another plan could be is not known.
plan-search-ended = { $proof } The search was ended by its limit.
plan-deck = Deck
plan-deck-comes-off = { $depth } comes off at the highest place; { $needed } has to come off until it is clean.
plan-taken-for-granted = Taken for granted
plan-starts-from = Starts from
plan-from-readings = The readings on this sheet; stage: { $stage }.
plan-digest = SHA-256 of the plan
plan-ports-at-a-glance = Ports at a glance
plan-column-port = Port
plan-column-comes-to = Comes to
plan-column-sinks-by-in = Valve sinks by, { $unit }
plan-column-what-for = What for
plan-see-where-no-plan = see “Where there is no plan”
plan-no-cut-before-guide = nothing is cut before it is done and measured
plan-no-cut-before-that = nothing is cut before that
plan-nothing-to-do-on = Nothing to do: { $ports }.
plan-what-is-beyond = What no work of this kind cures
plan-after-the-work = After the work: predicted, not measured

## Steps on the page

plan-steps = Steps, in the order of the bench
plan-steps-how = Tick a step when its check is passed, and write down what was read. Feeds count from first touch; the sizes are those of the seat when that cut is done.
plan-check = Check: { $check }
plan-caution = Caution
plan-read-after = Read after it
plan-column-cutter = Cutter
plan-column-angle = Angle
plan-column-feed = Feed, { $unit }
plan-column-outer-in = Outer diameter, { $unit }
plan-column-inner-in = Inner diameter, { $unit }
plan-column-width-left = Width left, { $unit }
plan-any-cutter = any of this angle
plan-feed-at-most = at most { $feed }
plan-feed-by-sizes = by its sizes

## Ports on the page

plan-ports-with-work = Ports with work: before and after
plan-ports-how = Now: as measured, the worst place. Aimed at: worked out, not measured. May be off by: when every cut misses its stop as far as it may. Aim between: the limits, drawn in by what the gauge, the decision rule and the cuts take of them.
plan-what-binds = What keeps the work from being less
plan-valve-as-high = valve sits as high as before
plan-valve-higher = valve sits higher by { $amount }
plan-valve-sinks = valve sinks by { $amount }
plan-column-now = Now, measured
plan-column-aim = Aimed at, worked out
plan-column-off-by = May be off by
plan-column-aim-least = Aim between: least
plan-column-aim-greatest = and greatest
plan-column-more-feed = { $step } more feed of
plan-column-outer = Outer diameter
plan-column-inner = Inner diameter
plan-column-width = Width
plan-column-sinks-by = Valve sinks by
plan-new-insert = new insert { $name }
plan-new-valve-named = new valve { $name }
plan-new-springs-named = new springs { $name }
plan-cuts = cuts: { $cuts }
plan-cut-form = form blade
plan-cut-light-turns = light turns
plan-face-ground = face ground by { $stock }
plan-tip-ground = tip ground by { $stock }
plan-shims =
    { $count ->
        [one] { $count } shim of { $thickness }
       *[other] { $count } shims of { $thickness }
    }
plan-lash-shim = lash shim of { $thickness }
plan-to-be-measured = to be measured: { $what }
plan-drawn-width = width { $width }
plan-drawn-chamber = chamber
plan-drawn-axis = axis
plan-key-before = before
plan-key-nothing-before = no seat before to compare
plan-key-after = after, worked out
plan-key-not-cut = not cut, or angle not stated

## Where there is no plan

plan-where-no-plan = Where there is no plan
plan-conflict-between = These cannot all be met; without any one of them the others can:
plan-conflict-first = These cannot all be met; one of them at least has to give way:
plan-conflict-apart = Apart from that, neither can all of these; of them, too, one has to give way:
plan-conflict-freed = Each of these would free it; each was tried and leads to a plan:
plan-conflict-not-freed = Nothing that was tried frees it.
plan-conflict-unknown = No plan was found; which bounds fight each other is not known.
