"""Cuts of a seat, the face of the valve, and how the one lies on the other afterwards."""

from collections.abc import Callable
from dataclasses import dataclass

from harness.rework_model.algebra import Linear, linear, variable
from harness.rework_model.case import LEAK, Case
from harness.rework_model.cones import Angles, Line, Seat, cos, rest, tan
from harness.rework_model.course import (
    CONTACT_ROWS,
    FREE,
    MISS_SEAT,
    MISS_THROAT,
    MISS_TOP,
    SEAT_ROWS,
    Course,
    Impossible,
)
from harness.rework_model.zones import Zone

def _cutters(course: Course) -> Angles:
    """The angles that this course cuts; where it does not cut one, that of the cone that stays."""
    case, present = course.case, course.case.seat.angles
    if course.seat.startswith("form"):
        form = case.shop.forms[int(course.seat.split()[1])]
        return Angles(form["seat_angle"], form["top_angle"], form["throat_angle"])

    def cutter(characteristic: str, angle: float, fits: Callable[[float], bool]) -> float:
        found = case.shop.cutter(case.limit(characteristic).get("nominal", angle), fits)
        if found is None:
            raise Impossible
        return found

    seat = cutter("seat-angle", present.seat, lambda _: True)
    top, throat = present.top, present.throat
    if "+top" in course.seat:
        top = cutter("top-cut-angle", top, lambda angle: angle < seat)
    if "+throat" in course.seat:
        throat = cutter("throat-cut-angle", throat, lambda angle: angle > seat)
    return Angles(seat, top, throat)


def _need(case: Case) -> float:
    """What has to come off along the axis to clean the seat: runout and a pit in the band, both square to it."""
    runout = case.rows.get("seat-runout", {}).get("measured") or 0.0
    pit = case.port["seat"].get("pit")
    depth = case.value("seat", "pit", "depth") if pit and pit["inside_band"] else 0.0
    return (runout + depth) / cos(case.seat.angles.seat)


def work_the_seat(course: Course) -> None:
    case, seat = course.case, course.case.seat
    if course.cuts:
        line, outer, inner, angles = _cut(course, seat)
    elif seat is not None:
        line, outer, inner, angles = seat.line, linear(seat.outer), linear(seat.inner), seat.angles
    else:
        line = outer = inner = angles = None
    _lay_the_valve(course, line, outer, inner, angles)


def _cut(course: Course, seat: Seat) -> tuple[Line, Linear, Linear, Angles]:
    """The new seat line and the radii of its edges, with all misses; rules of the cuts themselves."""
    case, program, angles = course.case, course.program, _cutters(course)
    if not angles.in_order:
        raise Impossible
    form, fresh = course.seat.startswith("form"), course.insert is not None
    raised = case.shop.mm(course.insert["raises_seat"]) if fresh else 0.0
    low = -FREE if fresh else 0.0
    feed = program.decide("seat")
    if form:
        blade = case.shop.forms[int(course.seat.split()[1])]
        course.tolerances[MISS_SEAT] = case.shop.mm(blade["tolerance"])
        top_feed = throat_feed = feed
    else:
        for miss in (MISS_SEAT, MISS_TOP, MISS_THROAT):
            course.tolerances[miss] = case.shop.length("cut_tolerance")
        top_feed = program.decide("top", low, FREE) if "+top" in course.seat else None
        throat_feed = program.decide("throat", low, FREE) if "+throat" in course.seat else None
    aimed = seat.first_touch(angles.seat).lowered(feed - raised)
    missed = aimed.lowered(variable(MISS_SEAT))
    if form:
        # Blade and seat are one plunge: only its depth can be missed.
        top = Line.through(seat.outer, 0.0, tan(angles.top)).lowered(feed - raised)
        throat = Line.through(seat.inner, seat.line.at(seat.inner), tan(angles.throat)).lowered(feed - raised)
        outer, inner = aimed.meets(top), aimed.meets(throat)
    else:
        outer = _outer_edge(seat, angles, aimed, missed, top_feed)
        inner = _inner_edge(seat, angles, aimed, missed, throat_feed, outer)
        if not fresh:
            _correct(course, seat, angles, outer, inner, top_feed, throat_feed)
    if not fresh:
        light = 0.0 if form else case.shop.length("light_turns")
        _clean_up(course, seat, angles, missed, (outer, inner), light)
    _keep_edges(course, outer, inner)
    if not fresh and case.port["seat"].get("insert") and case.shop.length("insert_stock") is not None:
        course.keep(feed + variable(MISS_SEAT), Zone(None, case.shop.length("insert_stock")), "insert stock")
    course.after["feeds"] = (top_feed, throat_feed)
    return missed, outer, inner, angles


def _outer_edge(seat: Seat, angles: Angles, aimed: Line, missed: Line, feed: Linear | None) -> Linear:
    if feed is None:
        return missed.meets(Line.through(seat.outer, 0.0, tan(seat.angles.top)))
    # The top cut stops at the diameter, whatever the seat cut left, with an error of its own feed.
    top = Line.through(seat.outer, 0.0, tan(angles.top)).lowered(feed)
    return aimed.meets(top) + variable(MISS_TOP) / (tan(angles.seat) - tan(angles.top))


def _inner_edge(
    seat: Seat, angles: Angles, aimed: Line, missed: Line, feed: Linear | None, outer: Linear
) -> Linear:
    throat = seat.throat
    if feed is None:
        return missed.meets(throat)
    cut = Line.through(seat.inner, seat.line.at(seat.inner), tan(angles.throat)).lowered(feed)
    # The throat cut stops at the width: the outer edge's error goes along.
    off = outer - outer.aimed()
    return aimed.meets(cut) + off - variable(MISS_THROAT) / (tan(angles.throat) - tan(angles.seat))


def _clean_up(
    course: Course, seat: Seat, angles: Angles, line: Line, edges: tuple[Linear, Linear], light: float
) -> None:
    """Whatever is missed, nothing of the old seat is left at the edges of the new one."""
    outer, inner = edges
    for edge in [outer] if angles.seat == seat.angles.seat else [outer, inner]:
        # Slopes times misses of the same edge cancel but for the difference of the angles.
        below = seat.line.at(edge) - line.at(edge)
        course.keep(below, Zone(_need(course.case) + light, None), "clean-up")


def _correct(
    course: Course,
    seat: Seat,
    angles: Angles,
    outer: Linear,
    inner: Linear,
    top_feed: Linear | None,
    throat_feed: Linear | None,
) -> None:
    """Top and throat cut take off at least what they may be missed by."""
    off = course.tolerances[MISS_SEAT]
    if top_feed is not None:
        new = Line.through(seat.outer, 0.0, tan(angles.top)).lowered(top_feed)
        course.program.at_least(seat.top.at(outer.aimed()) - new.at(outer.aimed()), off, "correction")
    if throat_feed is not None:
        new = Line.through(seat.inner, seat.line.at(seat.inner), tan(angles.throat)).lowered(throat_feed)
        per = outer.missed_by({miss: 1.0 for miss in (MISS_SEAT, MISS_TOP, MISS_THROAT)})
        least = off * (1 + (tan(angles.throat) - tan(angles.seat)) * per)
        course.program.at_least(seat.throat.at(inner.aimed()) - new.at(inner.aimed()), least, "correction")


def _keep_edges(course: Course, outer: Linear, inner: Linear) -> None:
    case = course.case
    course.keep(outer - inner, Zone(0.0, None), "width")
    throat = case.value("seat", "throat_diameter")
    if throat is not None:
        course.keep(inner, Zone(throat / 2, None), "throat")
    across = case.value("seat", "insert", "diameter")
    if course.insert is not None and course.insert.get("diameter") is not None:
        across = case.shop.mm(course.insert["diameter"])
    if across is not None:
        course.keep(outer, Zone(None, across / 2), "insert edge")


@dataclass
class Face:
    """The face of the valve that will sit there."""

    head: float | None
    angle: float | None
    inner: float | None
    # Along the axis, off the margin.
    stock: float = 0.0


def _face(course: Course) -> Face:
    case, shop = course.case, course.case.shop
    if course.valve is not None:
        inner = course.valve.get("face_inner_diameter")
        return Face(
            shop.mm(course.valve["head_diameter"]) / 2,
            course.valve["face_angle"],
            case.face_inner if inner is None else shop.mm(inner) / 2,
        )
    if not course.grind:
        return Face(case.head, case.face_angle, case.face_inner)
    if all(case.is_acceptable(row) for name, row in case.rows.items() if name in CONTACT_ROWS):
        # Nobody grinds a face where contact is sound, to sink its valve.
        raise Impossible
    marks = case.port.get("valve", {})
    if shop.posted.get("face_grinding") is False or any(
        marks.get(mark) for mark in ("coated", "nitrided", "titanium")
    ):
        raise Impossible
    if case.face_angle is None:
        raise Impossible
    angle = case.limit("face-angle").get("nominal", case.face_angle)
    square = case.rows.get("face-runout", {}).get("measured") or 0.0
    steeper = tan(angle) - tan(case.face_angle)
    wedge = 0.0
    if steeper > 0:
        # A flatter face can begin where the old one ends; a steeper one takes a wedge off its outer edge.
        begins = case.face_inner if case.face_inner is not None else case.seat.inner if case.seat else None
        if case.head is None or begins is None:
            raise Impossible
        wedge = (case.head - begins) * steeper
    return Face(case.head, angle, case.face_inner, square / cos(angle) + wedge)


def _common(seat: Seat, face: Face) -> tuple[float, float]:
    """Where seat and face lie on each other: an edge of the face that ends inside the seat touches first."""
    inner = seat.inner if face.inner is None else max(seat.inner, face.inner)
    return min(seat.outer, face.head), inner


def _lay_the_valve(
    course: Course, line: Line | None, outer: Linear | None, inner: Linear | None, angles: Angles | None
) -> None:
    """How deep the valve sits afterwards, and the rows of the contact."""
    case, face, after = course.case, _face(course), course.after
    worked = course.cuts or course.valve is not None or course.grind
    after["face"] = face
    if not worked:
        return
    if line is None or case.face_angle is None:
        raise Impossible
    if case.head is None and face.angle != case.face_angle:
        raise Impossible
    # With one angle, it does not matter from where on the face its height is told.
    known = case.head if case.head is not None else case.seat.outer
    seat, old = case.seat, Face(known, case.face_angle, case.face_inner)
    if face.head is None:
        face.head = known
    before = rest(seat.line, *_common(seat, old), old.angle, old.head)
    if not course.cuts:
        outer, inner = (linear(edge) for edge in _common(seat, face))
    sink = before - rest(line, outer, inner, face.angle, face.head) + face.stock
    after["seat sink"] = sink
    if course.cuts:
        if course.valve is not None or case.head is not None:
            course.keep(outer, Zone(None, face.head), "face edge")
        if face.inner is not None:
            course.keep(inner, Zone(face.inner, None), "face edge")
        after["seat-angle"] = linear(angles.seat)
        after["seat-outer-diameter"], after["seat-inner-diameter"] = 2 * outer, 2 * inner
        after["seat-width"] = (outer - inner) / cos(angles.seat)
        if course.seat != "leave":
            form = course.seat.startswith("form")
            if form or "+top" in course.seat:
                after["top-cut-angle"] = linear(angles.top)
            if form or "+throat" in course.seat:
                after["throat-cut-angle"] = linear(angles.throat)
        after |= {row: linear(0.0) for row in SEAT_ROWS} | {"pit-depth": "cured"}
        after["seat-runout"] = linear(case.shop.length("runout_left"))
    gap = (outer - inner) / cos(angles.seat) * abs(tan(angles.seat - face.angle) * cos(angles.seat - face.angle))
    if not course.cuts:
        outer, inner = linear(seat.outer), linear(seat.inner)
    width = (outer - inner) / cos(angles.seat)
    overhang = (face.head - outer) / cos(face.angle)
    if course.cuts or course.valve is not None or not case.has_band:
        after["overhang"] = overhang
        # The band on the face is as long as the face is slanted, not the seat.
        after["contact-width"] = (outer - inner) / cos(face.angle)
        _off_centre(course, face, outer, inner)
    after["contact-edge-gap"] = gap
    after["interference-angle"] = linear(angles.seat - face.angle)
    if course.valve is not None or course.grind:
        after["face-angle"] = linear(face.angle)
        after["face-runout"] = linear(case.shop.length("runout_left"))
    # Only a new test can tell; a port that leaked is not cured by work on its valve alone.
    leaks = any(row["verdict"] == "does-not-conform" for name, row in case.rows.items() if name in LEAK)
    if course.cuts or not leaks:
        after |= dict.fromkeys(LEAK)


def _off_centre(course: Course, face: Face, outer: Linear, inner: Linear) -> None:
    """How far the middle of the band is from that of the face, and its inner edge from that of the face."""
    after = course.after
    if face.inner is None:
        after["contact-offset"] = after["inner-edge-clearance"] = None
        return
    after["contact-offset"] = ((face.head + face.inner) - (outer + inner)) / 2 / cos(face.angle)
    after["inner-edge-clearance"] = (inner - face.inner) / cos(face.angle)
