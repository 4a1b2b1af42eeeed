## Bars between the limits

bars-title = Between the limits
bars-key = Bars, drawn without figures: the uprights are the limits, what conforms lies between them or on the side that has a line above. Disc: conforms; square: does not; lozenge: not proven; each with its U to both sides. An arrow head: beyond the end of the bar.
bars-key-guarded = Bars, drawn without figures: the uprights are the limits, what conforms lies between them or on the side that has a line above. Grey: guard band, too close to the limit to be proved. Disc: conforms; square: does not; lozenge: not proven; each with its U to both sides. An arrow head: beyond the end of the bar.

## Words under drawings

limits-from-to = { $lower }{"\u00A0"}to{"\u00A0"}{ $upper }
figure-overhang = overhang
figure-band-width = band width
figure-gaps = gaps
figure-no-gaps = no gaps
figure-interference = interference
figure-seat-width = seat width

## The deck

deck-map-title = Deck, heights where they were read
deck-discs = Discs and figures ({ $unit }): height over the lowest point; the area of a disc goes with it. x to the right, y upwards, as posted.
deck-high-and-low = High point (ringed): { $high }, { $range } over the low point. Low point (cross): { $low }.
deck-cut-parallel = Cut to clean: a plane through the low point, parallel to the datum, takes { $parallel } off the high point.
deck-cut-parallel-or-free = Cut to clean: a plane through the low point, parallel to the datum, takes { $parallel } off the high point; free to tilt, { $free }.
deck-high = high { $height }
deck-low = low { $height }

## Runout

runout-title = Runout, { $unit }
runout-of-seat = seat
runout-of-face = face
runout-of-face-alone = of the valve face alone
runout-off-centre = off centre { $amount } towards { $towards }°
runout-rings = rings { $apart } apart
key-seat-as-read = seat, as read
key-best-circle = circle that fits it best; in the middle, the way it is off
key-zone = zone its limit allows
key-face-as-read = valve face, as read
key-runout = Square to the cone, about the mean; degrees drawn clockwise.

## The contact band

contact-title = Contact on the face, { $unit }
contact-stretched = { $times } : 1 across the face
key-band = band of contact
key-least-overhang = least overhang
key-gaps = gaps in it, wherever they lie
key-contact = Circles: the edges of the face. Numbers: clock positions, drawn clockwise.

## The seat in section

section-title = Seat, in section, { $unit }
section-band-by-diameters = band on the face by diameters: it was not marked
section-edges-by-contact = edges of the seat from the contact band: no diameter was measured
section-valve = valve ⌀ { $diameter }
section-margin = margin { $margin }
cone-seat = seat
cone-top = top
cone-throat = throat
cone-face = valve face
key-touch = where valve and seat touch
key-angle-measured = angle as measured
key-angle-supposed = angle aimed at, or usual: not measured
key-section = Below it the valve face unrolled to the same scale, outer edge at the right. Black: contact all round; grey: in places. Arrow: least overhang. Bracket: widths that conform.

## Springs

spring-title = Spring load, { $force } over { $length }
spring-at = { $valve } at { $height }
valve-closed = closed
valve-open = open
key-springs = as read, each spring
key-heights = upright: valve closed, valve open
key-loads = upright: loads that conform there
key-spring = Height falls to the right.
