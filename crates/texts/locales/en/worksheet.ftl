# worksheet

cylinders-of-valves =
    { $cylinders ->
        [one] { $cylinders } cylinder
       *[other] { $cylinders } cylinders
    }, { $valves } valves each

## What the worksheet is and what it belongs to

blank-document = Bench worksheet: profile { $id } revision { $revision }
blank-title = Bench worksheet
blank-for-readings = Blank, for readings by hand
blank-closing = Bench worksheet: the limits of the profile and room for readings; nothing on it is judged.
blank-profile-digest = Digest of the profile
blank-profile-named = { $title } – { $id } revision { $revision }
blank-units = Units of this worksheet
blank-how-to-fill-in = One box, one reading, as the gauge shows it, in the unit beside its name. What is printed bold has to be measured. An empty box says: not measured. Strike a wrong reading through once, write the right one beside it and sign. Positions round a seat or face go clockwise, seen from the chamber; mark where 12:00 is.
blank-code-profile = Profile { $id }
blank-code-revision = Revision { $revision }
blank-code-job = Job { $number }
blank-code-head = Head { $serial }

## Who, when and which

blank-date-and-time = Date and time
blank-head-temperature = Temperature of the head, °C
blank-welded = welded
blank-name-date = Name, date
blank-valve-tag = Valve tag

## Instruments

blank-instrument-id = Instrument (its id)
blank-instrument-measures = Measures, unit
blank-instrument-coverage = k
blank-note-uncertainty = U: expanded uncertainty with its coverage factor k, in the units above ({ $length } for lengths). Name the instrument in the band over what it read.

## Order of the bench

blank-order = Order of the bench
blank-order-clean = Clean. Tag each valve: it stays with its seat.
blank-order-tests = Crack test, then pressure test: before any other work is paid for.
blank-order-cam-bores = Cam bores: a warped deck is not cut before they are known.
blank-order-deck = Deck: heights or straightedge, roughness, thickness.
blank-order-guides = Guides and stems. After work on a guide its seat is read anew.
blank-order-valves = Valves: face, margin, tip, groove, neck.
blank-order-seats = Seats: on a pilot that fits the guide.
blank-order-contact = Contact band: marking compound, light pressure, no turning.
blank-order-heights = Heights: valve closed on its own seat.
blank-order-chambers = Chambers.
blank-order-springs = Springs: each in its place, outer and inner apart.
blank-order-leak-test = Leak test, last: washed and assembled.

## Cautions, as long as nothing is measured

blank-caution-eyes = Wear eye protection for cutting, grinding and blowing out. Carbide edges cut skin even when the cutter stands still.
blank-caution-treated = Coated, nitrided or titanium valves are not ground or lapped unless their maker allows it: the hard layer is thinner than one pass. Look before you prove the contact.
blank-caution-sodium = Stems of exhaust valves may hold sodium. Until it is known that they do not, never cut, weld, drill or break them; sodium burns and bursts with water.
blank-caution-warped = Should the deck be out of flat: measure the cam bores before any deck cut. A flat deck over a bent cam line seizes.

## Limits and boxes

blank-nominal = nominal
blank-nominal-amount = nominal { $amount }
blank-as-received = as received:
blank-in-any-window = in any { $length } × { $width } { $unit }
blank-in-order = in order
blank-not-in-order = not in order

## Head

blank-deck-heights = Heights of the deck over a datum, { $unit }
blank-deck-across = across, y
blank-deck-along = along, x
blank-deck-one-side = one side
blank-deck-middle = middle
blank-deck-other-side = other side
blank-before-first = before 1
blank-beside-first = beside 1
blank-behind = behind { $cylinder }
blank-between = between { $before }, { $behind }
blank-part-tests = Tests of the casting
blank-crack-method = Crack test, by what method
blank-pressure-test = Pressure test
blank-test-medium = medium
blank-test-pressure = pressure
blank-test-temperature = temperature
blank-test-seconds = seconds
blank-part-deck = Deck
blank-note-feeler = thickest feeler; 0 where the thinnest does not go under
blank-place = place { $number }
blank-corner = corner { $number }
blank-part-cam-bores = Cam bores
blank-part-further-head = Further, of the head as a whole

## Cylinders

blank-each-cylinder = Each cylinder
blank-all-cylinders = All cylinders
blank-compression-terms = Terms of the compression ratio
blank-note-compression = deck: piston + below, − proud; piston: + dish, − dome
blank-term-bore = bore
blank-term-stroke = stroke
blank-term-gasket-bore = gasket bore
blank-term-gasket-thickness = gasket, pressed
blank-term-deck-clearance = deck clearance
blank-term-piston-volume = piston volume
blank-term-prechamber = pre-chamber
blank-term-crevice = crevice

## Ports: guide, stem and valve

blank-part-guide = Guide and stem
blank-bore-top-1 = top, axis 1
blank-bore-top-2 = top, axis 2
blank-bore-middle-1 = middle, 1
blank-bore-middle-2 = middle, 2
blank-bore-bottom-1 = bottom, 1
blank-bore-bottom-2 = bottom, 2
blank-stem-unworn = unworn
blank-stem-rocking = Or stem rocking, without a bore gauge
blank-rocking-travel = travel, side to side
blank-rocking-outside = dial outside guide
blank-rocking-engaged = engaged length
blank-part-valve = Valve
blank-face-dial = Dial once round the face
blank-note-plunger = ring how the plunger stood: square to the face, square to the axis, along the axis
blank-face-begins = Diameter at which the face begins

## Ports: seat, contact and heights

blank-part-seat = Seat
blank-seat-dial = Dial once round the seat
blank-insert-diameter = Insert diameter
blank-counterbore-diameter = Counterbore diameter
blank-part-contact = Contact band on the valve face
blank-note-overhang = from the outer edge of the face to the band
blank-note-contact-gap = all arcs without contact; 0: none
blank-note-interference = seat less face
blank-part-heights = Heights
blank-note-recession = + below, − proud; ring: of the deck, of the chamber

## Ports: springs

blank-part-springs = Springs
blank-spring-outer = outer
blank-spring-inner = inner
blank-spring-loads = Loads at two heights
blank-outer-height = outer, height
blank-outer-load = outer, load
blank-inner-height = inner, height
blank-inner-load = inner, load
blank-spring-winding = Winding of the outer spring
blank-winding-wire = wire
blank-winding-diameter = outer diameter
blank-winding-coils = active coils
blank-valve-lift = Greatest lift at the valve
blank-retainer-to-seal = Retainer to seal, closed
blank-coil-bind-height = Height at coil bind
blank-spring-step = Step of its own seat

## Ports: leak test and the rest

blank-part-leak = Leak test
blank-leak-decay = Decay
blank-decay-start = start
blank-decay-end = end
blank-note-decay = ring: vacuum, pressure; in the port, in the chamber; spring fitted; guide sealed
blank-leak-volume = Volume and air
blank-volume-closed = closed volume
blank-air-at-start = air at start
blank-air-at-end = air at end
blank-air-pressure = atmosphere
blank-part-further = Further
