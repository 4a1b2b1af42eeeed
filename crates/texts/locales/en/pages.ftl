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
heads-of-disposition = { $count } { $disposition }
heads-without-sheet = { $count } without a sheet

## Names of pages and files, and what stands on every page

sheet-title = Inspection sheet: head { $head }, job { $job }
batch-title = Batch report: { $label }
attached-evaluation = Evaluation of head { $head }, job { $job }
attached-earlier-evaluation = Evaluation of an earlier stage of head { $head }, job { $job }
attached-rework-plan = Rework plan of head { $head }, job { $job }
attached-measurement-set = Measurement set of head { $head }, job { $job }
attached-target-profile = Target profile of head { $head }, job { $job }
bookmark-disposition = Verdict: { $disposition }
bookmark-index = Index
bookmark-head = { $head }, job { $job }: { $disposition }
profile-name = { $id } revision { $revision }
sheet-closing = Not signed: this sheet states measurements and verdicts only.
sheet-closing-with-plan = Not signed: this sheet states measurements, verdicts and a plan worked out from them.
batch-closing = Not signed: this report states measurements and verdicts only.
notice-of-profile = Notice of the profile
notice-goes-on = … the whole notice stands at the end of this sheet.

## What goes on over pages

in-part = { $what } (in part)
continued = { $what } (continued)
in-full-below = … (in full below)
more-reasons =
    … and { $count ->
        [one] { $count } more reason
       *[other] { $count } more reasons
    } on the next page.
more-findings =
    … and { $count ->
        [one] { $count } more finding
       *[other] { $count } more findings
    } on the next page.

## Labels over values

label-batch = Batch
label-bench-cutter-operator = Bench, cutter, operator
label-casting = Casting
label-contents = Contents
label-customer = Customer
label-customer-reference = Customer's reference
label-disposition = Disposition
label-engine-family = Engine family
label-evaluation-digest = SHA-256 of the evaluation
label-head = Head
label-head-serial = Head serial
label-head-temperature = Temperature of the head
label-job = Job
label-job-number = Job number
label-layout = Layout
label-material = Material
label-measured-at = Measured at
label-measured-by = Measured by
label-measurement-set-digest = SHA-256 of the measurement set
label-profile = Profile
label-profile-digest = SHA-256 of the profile
label-record = Record
label-stage = Stage
label-target-profile = Target profile
label-units = Units of this sheet
material-overheated = overheated
material-welded = welded before

## The batch

batch-what = Batch report: inspection of cylinder heads
batch-heads = Heads
batch-heads-without-sheet = Heads without a sheet
batch-sheets-elsewhere = The sheets are not in this report: there are too many for a report that is read. They are in the archive of the batch ({ $archive }), each under the number of its line and the serial of its head.
column-not-proven = not proven
column-not-measured = not measured
column-page = Page
column-line = Line
failures = Failures by characteristic
failures-none = No measured characteristic is outside its limits.
column-failures = Characteristic, and on which heads how often
more-heads = … and { $count } more
column-times = Times

## The plan view

plan-view = Plan view
plan-view-remark = Scheme, not to scale; intake above, exhaust below, wherever they are in the casting.
service-intake-short = int.
service-exhaust-short = exh.

## The judged rows

rows-deck-and-head = Deck and head
rows-cylinders = Cylinders
rows-ports = Ports
rows-of-head-none = No characteristic of the head as a whole.
rows-of-port-none = No characteristic of this port.
key-of-port-drawings = Ports: what the drawings mean
how-to-read-rows = Deviation: how far beyond the nearest limit; − inside, + outside. U: expanded uncertainty of the measured value with the coverage factor k shown. Found at: the worst place. From: where the limit comes from, by its number in the list at the end.
how-to-read-probability = Proven with: the probability, given the readings, that the true value of this one characteristic lies inside its limits; it says nothing of the head as a whole.
outcome-of-port =
    { $verdict }: { $count } of { $limited ->
        [one] { $limited } limited characteristic
       *[other] { $limited } limited characteristics
    }

## What was recorded besides

also-recorded = Also recorded: { $notes }.
noted-state = { $part } { $state }
part-valve-tip = tip
part-keeper-groove = keeper groove
part-valve-neck = neck
part-guide-fit = guide fit
part-dowels = dowels
part-bolt-threads = bolt threads
part-plugs = plugs
noted-valve-tag = valve tag { $tag }
noted-valve-coated = valve: coated
noted-valve-nitrided = valve: nitrided
noted-valve-titanium = valve: titanium
noted-valve-hollow = valve: hollow stem
noted-valve-sodium = valve: SODIUM-FILLED stem
noted-stem-seal = stem seal: { $state }
noted-insert-fit = seat insert { $fit }
noted-insert-material = insert of { $material }
noted-runout-square = runout dial square to the seat, { $count } readings
noted-runout-radial = runout dial square to the axis, { $count } readings
noted-runout-axial = runout dial along the axis, { $count } readings
noted-pit-inside = pit inside the band
noted-pit-outside = pit outside the band
noted-recession-from-deck = recession from the deck
noted-recession-from-chamber = recession from the roof of the chamber
noted-seep = solvent seeped past
noted-no-seep = no solvent seeped past
noted-leak-test =
    leak test by { $means ->
        [vacuum] vacuum
       *[pressure] pressure
    } in the { $side ->
        [port] port
       *[chamber] chamber
    }, { $spring ->
        [fitted] spring fitted
       *[none] no spring
    }, { $guide ->
        [sealed] guide sealed
       *[open] guide open
    }
noted-deck-removed = deck cut so far { $amount } { $unit }
noted-crack = CRACK FOUND by { $method }
noted-no-crack = no crack found by { $method }
noted-pressure-test =
    pressure test with { $medium }: { $held ->
        [yes] held
       *[no] DID NOT HOLD
    } { $pressure } { $unit }{ $temperature ->
        [none] {""}
       *[other] {" "}at { $temperature } °C
    }{ $seconds ->
        [none] {""}
       *[other] {" "}for { $seconds } s
    }

## Instruments and sources

instruments = Instruments
instruments-none = No instrument was named.
column-instrument = Instrument
column-kind = Kind
column-measures = Measures
column-unit = Unit
column-uncertainty-of-reading = U of one reading
column-shared-error = Shared error
column-resolution = Resolution
column-calibration = Calibration holds until
calibration-not-stated = not stated
measures-lengths = lengths
measures-angles = angles
measures-forces = forces
measures-volumes = volumes
measures-pressures = pressures
measures-roughness = roughness
measures-temperatures = temperatures
measures-durations = durations
sources-of-limits = Sources of the limits

## Cautions

cautions = Cautions for this head
caution-about-limits = These limits
caution-limits = This sheet knows only the limits of the profile named above. The engine maker's manual and the law of the place go before it. Heads of aircraft, of classed ships and of emission-certified engines are work for licensed people with approved data.
caution-about-springs = Valve springs
caution-springs = A compressed spring throws retainer and keepers like shot. Use a compressor that grips, and stay out of its line.
caution-about-eyes = Eyes and hands
caution-eyes = Seats of this head have to be cut or ground. Wear eye protection for cutting, grinding and blowing out. Carbide edges cut skin even when the cutter stands still.
caution-about-lapping = Lapping compound
caution-lapping = Prove the contact with marking compound first. If you lap, wash off every trace afterwards: what is left grinds guides and rings away. Lapping also takes away an interference angle.
caution-about-treated-valves = Treated valves
caution-treated-valves = Coated, nitrided or titanium valves are among these. Do not grind or lap them unless their maker allows it: the hard layer is thinner than one pass.
caution-about-sodium = Sodium in stems
caution-sodium = Valves with sodium in the stem are among these. Never cut, weld, drill or break them; sodium burns and bursts with water. Scrap them through a specialist.
caution-about-beryllium = Beryllium copper
caution-beryllium = Seat inserts of beryllium copper are fitted. Do not grind them dry: the dust is poisonous to breathe. Cut them, keep them wet, and collect the swarf.
caution-about-changing-inserts = Changing inserts
caution-changing-inserts = A loose insert has to be replaced. Dry ice and liquid nitrogen burn by cold and drive out the air of a closed room; a heated head burns and fumes. Gloves, face shield, open doors.
caution-about-air = Compressed air
caution-air = For tests under pressure let the pressure rise slowly, keep clear of plugs and plates, and bleed it off before anything is loosened.
caution-about-held = Leak tests
caution-held = Held means held as stated, on a cold head: it is no proof for a hot engine. Some cracks open only with heat.
caution-about-warmth = Leaks and warmth
caution-warmth = A closed volume of air loses about a third of a kilopascal (0.1 inHg) for each kelvin it cools, more under pressure, and that looks like a leak. Let the air settle; note its temperature.
caution-about-cracks = Cracks
caution-crack = A crack was found by { $method }. Do not machine further before its repair is settled.
caution-no-crack = No crack found by { $method }: that method, on that day, and no more.
caution-about-aluminium = Aluminium
caution-aluminium = This head was overheated or welded. Aluminium goes soft by that and seats come loose: check its hardness and its straightness before money is spent on it.
caution-about-warped-deck = Warped deck
caution-warped-deck = The deck is out of flat on a head that carries its camshaft. Measure the cam bores before any deck cut: a flat deck over a bent cam line seizes.
caution-about-turning-over = Turning over
caution-turning-over = Valves may meet pistons when the timing is wrong. After fitting turn the engine two full turns by hand before the starter touches it.
caution-about-soot = Old gaskets and soot
caution-soot = Old gaskets may hold asbestos, deposits lead or manganese. No wire wheel, no blowing off: soak, scrape wet, wear a mask. No solvent near a hot head.
caution-about-lifting = Lifting
caution-lifting = A head of this kind is heavy. Lift it with help or a hoist, and lay it so that no valve stands on the bench.
