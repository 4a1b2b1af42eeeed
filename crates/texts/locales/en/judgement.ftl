## Where on a head

head-named = head
cylinder-named = cylinder { $cylinder }
port-intake = cylinder { $cylinder } intake { $index }
port-exhaust = cylinder { $cylinder } exhaust { $index }
height-top = top
height-middle = middle
height-bottom = bottom
place-around = position { $position } of { $of }
place-along = { $height }, axis { $axis }
place-spring = spring { $number }
place-entry = entry { $number }
place-deck-point = near deck point { $number }
place-towards = towards { $direction }
place-seat-outer = first at seat outer edge
place-seat-inner = first at seat inner edge
place-face-outer = first at face outer edge
place-face-inner = first at face inner edge
place-everywhere = all over at once
list-and = {" "}and{" "}

## The outcome in one sentence

opening-accept = Acceptable at these limits.
opening-rework = Needs rework.
opening-incomplete = Incomplete: not everything required was measured and proven.
opening-reject = Not acceptable at these limits; a repair may exist.
headline =
    { $opening } Conforms to profile { $profile } revision { $revision } on { $conforms } of { $limited } characteristics{ $failing ->
        [0] {""}
       *[other] ; { $failing } do not conform
    }{ $unproven ->
        [0] {""}
       *[other] ; { $unproven } not proven
    }{ $kinds ->
        [0] {""}
       *[other] ; not measured: { $missing }
    }.
several-times = { $what } ({ $count })

## Why a head is not accepted

cause-above-upper = { $title } is above its upper limit
cause-below-lower = { $title } is below its lower limit
cause-not-in-order = { $title }: found not in order
cause-because = { $title }: { $why }
cause-itself = { $title }
cause-nothing-judged = nothing was measured that this profile limits

## Why there is no verdict, or why it is not proven

detail-guard-band = too close to the limit for this gauge to prove; measure better
detail-gauge-too-coarse = this gauge cannot decide this tolerance: no reading of it could prove conformity
detail-uncertainty-unknown = the rule asks for proof, and no uncertainty is known for a reading this depends on
detail-port-absent = nothing was given for this port
detail-blocked = the readings are not usable, see the data finding { $finding }
absent-state = not given: { $title }

## Readings that are missing

absent-air-temperatures = not given: temperature of the air at the start and the end
absent-band-or-outer-diameters = not given: contact band, or valve head and seat outer diameter
absent-band-or-seat-inner-diameter = not given: contact band, or seat inner diameter
absent-band-or-seat-outer-diameter = not given: contact band, or seat outer diameter
absent-bore-and-stem = not given: guide bore and stem at the same height
absent-bore-and-stem-or-rocking = not given: guide bore and stem at the same height, or rocking travel and engaged length
absent-both-angles = not given: measured seat and face angle
absent-cam-bore-diameters = not given: cam bore diameters
absent-cam-bore-straightness = not given: cam bore straightness
absent-cam-journal-clearances = not given: cam journal clearances
absent-chamber-volume = not given: chamber volume
absent-chamber-volume-of-all = not given: chamber volume of every cylinder
absent-contact-gaps = not given: gaps in the contact band, or that there is none
absent-contact-width-everywhere = not given: contact band width at every clock position
absent-counterbore-diameter = not given: counterbore diameter
absent-crosswise-feeler-readings = not given: crosswise feeler readings
absent-cylinder-bore = not given: cylinder bore
absent-decay-test = not given: decay test
absent-deck-heights = not given: deck heights
absent-deck-heights-or-short-gaps = not given: deck heights, or feeler gaps over a short span
absent-deck-removed = not given: metal removed from the deck
absent-deck-roughness = not given: deck roughness
absent-deepest-pit = not given: deepest pit
absent-diagonal-feeler-readings = not given: diagonal feeler readings
absent-diameter-of-the-part = not given: diameter of the part
absent-engaged-length = not given: engaged length of the guide
absent-face-angle = not given: face angle
absent-face-inner-diameter = not given: face inner diameter
absent-face-runout-readings = not given: face runout readings
absent-free-lengths = not given: free length of every spring
absent-gasket-bore = not given: gasket bore
absent-gasket-thickness = not given: gasket thickness
absent-guide-bores = not given: guide bores
absent-guide-bores-at-two-heights = not given: guide bores at two heights
absent-guide-bores-middle-and-end = not given: guide bores in the middle and at an end
absent-guide-bores-on-two-axes = not given: guide bores on two axes
absent-head-thickness = not given: head thickness
absent-injector-protrusion = not given: injector protrusion
absent-injector-sleeve-protrusion = not given: injector sleeve protrusion
absent-insert-diameter = not given: insert diameter
absent-insert-material = not given: material of the insert
absent-insert-wall = not given: wall left behind the insert
absent-installed-height = not given: installed height
absent-lash = not given: lash
absent-lash-shim = not given: lash shim
absent-lengthwise-feeler-readings = not given: lengthwise feeler readings
absent-lift = not given: lift
absent-margin = not given: margin
absent-nominal-installed-height = not given: nominal installed height in the profile
absent-piston-deck-clearance = not given: piston deck clearance
absent-piston-volume = not given: piston volume
absent-pre-chamber-protrusion = not given: pre-chamber protrusion
absent-recession = not given: recession
absent-retainer-to-seal = not given: retainer to seal
absent-seat-angle = not given: seat angle
absent-seat-inner-diameter = not given: seat inner diameter
absent-seat-insert = not given: seat insert
absent-seat-load-of-all = not given: seat load of every valve
absent-seat-outer-diameter = not given: seat outer diameter
absent-seat-runout-readings = not given: seat runout readings
absent-seat-widths = not given: seat widths
absent-seat-widths-or-diameters = not given: seat widths, or inner and outer diameter
absent-several-seat-widths = not given: seat widths at several clock positions
absent-solid-heights = not given: solid height of every spring
absent-spring-loads = not given: spring loads
absent-springs = not given: springs
absent-squareness = not given: squareness of every spring
absent-stem-at-every-bore = not given: stem diameter at every height where the bore was read
absent-stem-diameters = not given: stem diameters
absent-stem-diameters-to-compare = not given: stem diameters at two heights, or unworn and worn
absent-stem-protrusion = not given: stem protrusion
absent-stem-protrusion-of-all = not given: stem protrusion of every valve
absent-stem-protrusion-of-two = not given: stem protrusion of two valves of one service
absent-stroke = not given: stroke
absent-test-volume = not given: test volume
absent-throat-cut-angle = not given: throat cut angle
absent-throat-diameter = not given: throat diameter
absent-tip-to-retainer = not given: tip to retainer
absent-top-cut-angle = not given: top cut angle
absent-valve-head-diameter = not given: valve head diameter
absent-valve-length = not given: overall length of the valve
absent-valve-stretch = not given: stretch of the valve
absent-valve-to-piston = not given: valve to piston
absent-windings = not given: winding of every spring
absent-window-size = not given: size of the window in the profile

## Sums that cannot be formed

sum-not-enough = cannot be worked out: needs at least { $needed } readings, { $given } given
sum-all-same-place = cannot be worked out: all readings were taken at the same place
sum-not-positive = cannot be worked out: { $what } must be more than zero, is { $given }
sum-negative = cannot be worked out: { $what } must not be less than zero, is { $given }
sum-angle-out-of-range = cannot be worked out: { $what } must be at least 0° and less than 90°, is { $given }
sum-not-steeper = cannot be worked out: the inner cone of { $steeper } must be steeper than the outer one of { $flatter }
sum-no-material = cannot be worked out: { $given } can be no { $what }
sum-out-of-reach = cannot be worked out: { $height } lies too far outside the measured heights { $least } to { $greatest }
sum-counts-differ = cannot be worked out: { $readings } readings, but { $angles } angles
sum-angles-too-close = cannot be worked out: the readings stand too close together to tell an eccentricity
sum-no-window = cannot be worked out: no window of { $length } by { $width } holds four points at different places
sum-too-many = cannot be worked out: the worst window among { $points } points was not found in { $steps } steps
sum-off-grid = cannot be worked out: the result is not a number of this world
sum-only-a-lower-bound = cannot be worked out: the readings tell only the least that it can be, and that is below the limit
sum-no-load = cannot be worked out: the strongest spring has no load
sum-no-table = cannot be worked out: no table of this service has the constants of this material

## Sizes that a sum refuses

size-poisson = Poisson's ratio
size-youngs-modulus = Young's modulus
size-density = density
size-expansion = expansion
size-absolute-pressure = the absolute pressure
size-absolute-pressure-end = the absolute pressure at the end
size-absolute-pressure-start = the absolute pressure at the start
size-bore = the bore
size-clearance = the clearance
size-clearance-volume = the clearance volume
size-diameter = the diameter
size-interface = the diameter of the interface
size-distance-outside = the distance outside the guide
size-duration = the duration
size-engaged-length = the engaged length
size-face-angle = the face angle
size-flatter-angle = the flatter angle
size-coil-inner = the inner diameter of the coil
size-insert-inner = the inner diameter of the insert
size-ring-wall = the interface less the inner diameter
size-interference = the interference
size-window-length = the length of the window
size-mean-coil = the mean coil diameter
size-active-coils = the number of active coils
size-coils = the number of coils
size-surrounding-wall = the outer diameter less the interface
size-shared-ring = the ring that seat and face share
size-rocking-travel = the rocking travel
size-seat-angle = the seat angle
size-shear-modulus = the shear modulus
size-steeper-angle = the steeper angle
size-stroke = the stroke
size-kelvin-end = the temperature at the end, in kelvin,
size-kelvin-start = the temperature at the start, in kelvin,
size-test-volume = the test volume
size-window-width = the width of the window
size-wire = the wire diameter

## What is wrong or doubtful with the data

found-port-missing = { $port } belongs to the layout but was not measured
found-chamber-missing = other chambers were measured, that of cylinder { $cylinder } was not
found-valve-tag-repeated = valve tag { $tag } stands at { $ports }: a valve belongs to one seat
found-widths-contradict = { $port }: the seat widths and the width that the seat's diameters give contradict
found-clearances-contradict = { $port }: the stem rocks less than the measured bores would let it
found-bore-and-stem-swapped = { $port }: every guide bore is smaller than the stem in it: they would make sense the other way round
found-negative-clearance = { $port }: the stem is thicker than the guide bore at the { $height }, axis { $axis }
found-seat-diameters-crossed = { $port }: the seat's inner diameter is not smaller than its outer
found-band-over-outer-edge = { $port }: the contact band reaches over the outer edge of the valve face
found-band-over-inner-edge = { $port }: the contact band reaches over the inner edge of the valve face
found-seat-larger-than-valve = { $port }: the seat's outer diameter is larger than the valve head
found-pressure-rose = { $port }: the pressure of the decay test was greater at the end than at the start; both are sizes relative to the atmosphere
found-vacuum-rose = { $port }: the vacuum of the decay test was greater at the end than at the start; both are sizes relative to the atmosphere
found-vacuum-too-deep = { $port }: a vacuum is posted as its depth below the atmosphere, and this one is deeper than the atmosphere; an absolute pressure may have been posted
found-calibration-overdue = calibration of { $instrument } ran out on { $due }, before the measurement on { $measured }
found-uncertainty-below-resolution = { $instrument } states less uncertainty than the steps of its own scale leave
found-readings-pasted = the { $series } are the same, reading by reading, at { $ports }
series-guide-bores = guide bores
series-seat-widths = seat widths
series-seat-dial = dial readings of the seat
series-face-dial = dial readings of the face
series-contact-bands = contact bands
found-at-port = { $port }: { $what }
found-inches-as-millimetres = sizes that would make sense as inches were posted as millimetres
found-millimetres-as-inches = sizes that would make sense as millimetres were posted as inches
found-temperature-off = measured at { $celsius }: sizes of { $material } read by a gauge at 20 °C need a correction of { $cold } to hold at 20 °C, those read by a steel gauge as warm as the head one of { $warm }
found-temperature-drift = { $port }: the air of the leak test changed its temperature enough to fake or hide a good part of what was lost; the leak rate allows for it, the pressure lost does not

## Titles of findings, by their codes

finding-port-missing = Port missing
finding-chamber-missing = Chamber missing
finding-negative-clearance = Negative clearance
finding-contact-outside-face = Contact outside face
finding-seat-diameters-crossed = Seat diameters crossed
finding-decay-rose = Decay rose
finding-vacuum-too-deep = Vacuum too deep
finding-valve-tag-repeated = Valve tag repeated
finding-calibration-overdue = Calibration overdue
finding-uncertainty-below-resolution = Uncertainty below resolution
finding-unit-doubtful = Unit doubtful
finding-bore-and-stem-swapped = Bore and stem swapped
finding-readings-pasted = Readings pasted
finding-readings-contradict = Readings contradict
finding-temperature-off = Temperature off
finding-temperature-drift = Temperature drift

## Titles of reasons, by their codes

reason-inside-limits = Inside limits
reason-above-upper-limit = Above upper limit
reason-below-lower-limit = Below lower limit
reason-in-order = In order
reason-not-in-order = Not in order
reason-inside-guard-band = Inside guard band
reason-gauge-too-coarse = Gauge too coarse
reason-uncertainty-unknown = Uncertainty unknown
reason-no-limit = No limit
reason-reading-missing = Reading missing
reason-port-missing = Port missing
reason-not-computable = Not computable
reason-blocked-by-finding = Blocked by finding

## The top of the first page

sheet-of-a-head = Inspection sheet of a cylinder head
tally-conforms = conform
tally-does-not-conform = do not conform
tally-not-proven = not proven
tally-not-measured = not measured
tally-no-limit = without a limit

## Table of reasons

reasons-caption = Reasons
reasons-disposition = Calls for
reasons-subject = Where
reasons-why = Why
reasons-amounts = Measured, and limits
reasons-between = { $lower } to { $upper }
reasons-at-least = at least { $lower }
reasons-at-most = at most { $upper }

## Table of data findings

findings-caption = Data findings
findings-severity = Weight
findings-title = What
findings-why = Why, and where in the measurement set (what a blocking finding touches counts as not measured)
severity-blocking = blocking
severity-warning = warning

## Tables of judged rows

rows-verdict = Verdict
rows-characteristic = Characteristic, unit
rows-measured = Measured
rows-lower = Lower limit
rows-upper = Upper limit
rows-deviation = Deviation
rows-uncertainty = U (k = { $k })
rows-probability = Proven with
rows-place = Found at
rows-source = From
rows-in-order = in order
rows-not-in-order = not in order
