"""Where valve and seat touch, against points and lines laid on each other in numpy.

All is drawn in the half plane through the valve axis, radius to the right and the axis up, towards the chamber: a
cone is a line that rises outwards by its angle. Lengths along a face are distances of points on its line; the
valve is let down onto the seat until the first of many points touches.
"""

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import INCH, limit, row, small_profile, small_set
from harness.large_heads import judge_all

REPORTED = ["contact-offset", "inner-edge-clearance", "contact-edge-gap", "contact-width-uniformity"]
PROFILE = small_profile(limit("margin", upper=1000), also_report=REPORTED)
# Both limits are far away, so that the greatest offset of either sign is the worst, and the least clearance.
JUDGED = small_profile(
    limit("contact-offset", lower=-100, upper=100), limit("inner-edge-clearance", lower=-100)
)
# The service rounds lengths to 1e-10 mm; doubles lose less than the rest of this on the way.
TOLERANCE = 1e-10


class Line:
    """The line that a cone is in the half plane: it rises outwards by its angle."""

    def __init__(self, degrees: float):
        self.along = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])

    def at_diameter(self, diameter: float) -> np.ndarray:
        """The point of the line at a diameter, from its point on the axis."""
        return self.along * (diameter / 2 / self.along[0])

    def inwards(self, start: np.ndarray, distance: float) -> np.ndarray:
        return start - distance * self.along

    def from_edge(self, edge: np.ndarray, point: np.ndarray) -> float:
        """How far inwards of an edge a point of the line lies."""
        return float((edge - point) @ self.along)


class Face:
    """A valve face between two diameters."""

    def __init__(self, outer: float, inner: float, degrees: float):
        self.line = Line(degrees)
        self.edge, self.inner_edge = self.line.at_diameter(outer), self.line.at_diameter(inner)

    def offset(self, start: np.ndarray, end: np.ndarray) -> float:
        """How far the middle of a band lies inwards of the middle of the face."""
        return self.line.from_edge((self.edge + self.inner_edge) / 2, (start + end) / 2)

    def left_inside(self, end: np.ndarray) -> float:
        """What is left of the face inwards of a band's end."""
        return self.line.from_edge(end, self.inner_edge)

    def band(self, from_edge: float, width: float) -> tuple[np.ndarray, np.ndarray]:
        start = self.line.inwards(self.edge, from_edge)
        return start, self.line.inwards(start, width)


def random_face(random: np.random.Generator) -> tuple[float, float, float]:
    outer = round(random.uniform(24, 60), 3)
    return outer, round(outer - random.uniform(3, 9), 3), round(random.uniform(15, 70), 2)


class Worst:
    """The greatest differences met."""

    def __init__(self):
        self.difference, self.relative = 0.0, 0.0

    def compare(self, found: dict, expected: float, case: object) -> None:
        difference = abs(found["measured"] - expected)
        assert difference <= TOLERANCE, (found, expected, case)
        self.difference = max(self.difference, difference)
        # A gap of less than a micrometre is next to nothing, and relative to it anything is much.
        if abs(expected) > 1e-3:
            self.relative = max(self.relative, difference / abs(expected))

    def note(self, what: str, tried: object) -> None:
        reached(what, f"{tried}; greatest difference {self.difference:.1e} mm, relative {self.relative:.1e}")


def marked(random: np.random.Generator, number: int) -> tuple[tuple, list[tuple[float, float]]]:
    """A face, and a band on it at several clock positions; every eighth runs off it inwards."""
    face = random_face(random)
    drawn = Face(*face)
    length = drawn.line.from_edge(drawn.edge, drawn.inner_edge)
    size = int(random.integers(2, 13))
    from_edge = random.uniform(0, 0.6, size) * length
    widths = random.uniform(0.05, 0.98, size) * (length - from_edge)
    if number % 8 == 0:
        widths[random.integers(size)] += length
    marks = np.column_stack([from_edge, widths]).round(3)
    return face, [tuple(mark) for mark in marks.tolist()]


def is_blocked(found: dict, is_limited: bool) -> bool:
    """No gauge can have read a contact beyond the face: nothing is told of such a band."""
    if found["reason"] != "blocked-by-finding":
        return False
    assert found["verdict"] == ("not-measured" if is_limited else "no-limit")
    return "measured" not in found and "place" not in found


def with_marks(face: tuple, marks: list[tuple[float, float]]) -> dict:
    outer, inner, degrees = face
    return {
        "valve": {"head_diameter": outer, "face_inner_diameter": inner, "face_angle": degrees},
        "contact": {"marks": [{"from_edge": edge, "width": width} for edge, width in marks]},
    }


def position(found: dict, marks: list) -> int:
    """The place of the mark that a row names, from 0."""
    named, _, number = found["place"].removeprefix("position ").partition(" of ")
    assert int(number) == len(marks), found
    return int(named) - 1


@pytest.mark.parametrize("profile", [JUDGED, PROFILE], ids=["judged", "only shown"])
def test_random_bands_lie_where_points_on_the_face_lie(shop, profile):
    random = np.random.default_rng(9)
    cases = [marked(random, number) for number in range(count(80, 1600))]
    blocks = [with_marks(*case) for case in cases]
    worst, over = Worst(), 0
    for (face, marks), rows in zip(cases, judge_all(shop, blocks, profile), strict=True):
        drawn = Face(*face)
        bands = [drawn.band(*mark) for mark in marks]
        offsets = np.array([drawn.offset(*band) for band in bands])
        clearances = np.array([drawn.left_inside(end) for _, end in bands])
        if clearances.min() < 0:
            for name in ("contact-offset", "inner-edge-clearance"):
                assert is_blocked(rows[name], is_limited=profile is JUDGED), (rows[name], face, marks)
            over += 1
            continue
        for name, values, telling in (
            ("contact-offset", offsets, offsets[np.argmax(abs(offsets))]),
            ("inner-edge-clearance", clearances, clearances.min()),
        ):
            worst.compare(rows[name], telling, (face, marks))
            assert values[position(rows[name], marks)] == pytest.approx(telling, abs=TOLERANCE), (face, marks)
    assert over == len(cases) // 8
    worst.note("contact bands against points on a face", 2 * (len(cases) - over))


def test_a_band_beyond_the_face_is_told_where_the_gauges_may_have_erred_as_far(shop):
    """Up to three standard uncertainties may be chance (common practice, no source); that of the sum by JCGM 100."""
    random = np.random.default_rng(90)
    cases, blocks, expected = [], [], []
    for number in range(count(80, 1600)):
        outer, inner, degrees = face = random_face(random)
        drawn = Face(*face)
        length, cos = drawn.line.from_edge(drawn.edge, drawn.inner_edge), np.cos(np.radians(degrees))
        us = random.uniform(0.005, 0.05, 4).round(4)
        # The angle is known; half a diameter's error lies along the face over the cosine.
        u = np.linalg.norm(us * [1 / (2 * cos), 1 / (2 * cos), 1, 1])
        from_edge = round(0.4 * length, 3)
        beyond = random.uniform(0.1, 2.9) if number % 2 else random.uniform(3.1, 6)
        width = round(length - from_edge + beyond * u, 3)
        if abs((width + from_edge - length) / u - 3) < 0.05:
            continue
        block = with_marks(face, [(from_edge, width)])
        stated = [
            {"value": value, "expanded_uncertainty": float(2 * u), "coverage_factor": 2}
            for value, u in zip((outer, inner, from_edge, width), us)
        ]
        block["valve"] |= {"head_diameter": stated[0], "face_inner_diameter": stated[1]}
        block["valve"]["face_angle"] = {"value": degrees, "expanded_uncertainty": 0, "coverage_factor": 2}
        block["contact"]["marks"] = [{"from_edge": stated[2], "width": stated[3]}]
        cases.append((face, from_edge, width))
        blocks.append(block)
        expected.append((width + from_edge - length) / u)
    worst, blocked = Worst(), 0
    for (face, *mark), sigmas, rows in zip(cases, expected, judge_all(shop, blocks, PROFILE), strict=True):
        found = rows["inner-edge-clearance"]
        if sigmas > 3:
            assert is_blocked(found, is_limited=False), (found, face, mark)
            blocked += 1
            continue
        drawn = Face(*face)
        worst.compare(found, drawn.left_inside(drawn.band(*mark)[1]), (face, mark))
    assert 0.3 * len(cases) < blocked < 0.7 * len(cases)
    worst.note("bands a little beyond the face against points on it", len(cases) - blocked)


def test_widths_of_a_band_are_as_uniform_as_numpy_says(shop):
    random = np.random.default_rng(10)
    cases = [marked(random, number) for number in range(count(80, 1600))]
    blocks = [with_marks(*case) for case in cases]
    over = 0
    for (face, marks), rows in zip(cases, judge_all(shop, blocks, PROFILE), strict=True):
        widths, drawn = np.array(marks)[:, 1], Face(*face)
        if min(drawn.left_inside(drawn.band(*mark)[1]) for mark in marks) < 0:
            assert is_blocked(rows["contact-width-uniformity"], is_limited=False), (face, marks)
            over += 1
            continue
        # Widths are whole micrometres, and so is their difference.
        assert rows["contact-width-uniformity"]["measured"] == round(np.ptp(widths), 3), marks
    assert over == len(cases) // 8
    reached("contact band uniformities against numpy.ptp", len(cases) - over)


def test_random_bands_from_diameters_lie_where_points_on_the_face_lie(shop):
    random = np.random.default_rng(11)
    cases, blocks = [], []
    for _ in range(count(80, 1600)):
        face = random_face(random)
        outer = round(face[0] - random.uniform(-0.5, 2), 3)
        inner = round(outer - random.uniform(1, 5), 3)
        cases.append((face, outer, inner))
        valve = {"head_diameter": face[0], "face_inner_diameter": face[1], "face_angle": face[2]}
        blocks.append({"valve": valve, "seat": {"outer_diameter": outer, "inner_diameter": inner}})
    worst = Worst()
    for (face, outer, inner), rows in zip(cases, judge_all(shop, blocks, PROFILE), strict=True):
        drawn = Face(*face)
        start, end = drawn.line.at_diameter(outer), drawn.line.at_diameter(inner)
        worst.compare(rows["contact-offset"], drawn.offset(start, end), (face, outer, inner))
        worst.compare(rows["inner-edge-clearance"], drawn.left_inside(end), (face, outer, inner))
    worst.note("bands from diameters against points on a face", 2 * len(cases))


TOUCHES = {
    ("seat", "outer"): "first at seat outer edge",
    ("seat", "inner"): "first at seat inner edge",
    ("face", "outer"): "first at face outer edge",
    ("face", "inner"): "first at face inner edge",
}


def let_down(seat_degrees: float, face_degrees: float, seat: tuple, face: tuple) -> tuple[str, float]:
    """Where a valve that is let down first touches its seat, and how far the seat is then from the face at the
    other end of what they share, square to the face.
    """
    # Of two edges at one diameter it is the seat's that is named.
    outer, whose_outer = (face[0], "face") if face[0] < seat[0] else (seat[0], "seat")
    inner, whose_inner = (face[1], "face") if face[1] > seat[1] else (seat[1], "seat")
    radii = np.linspace(inner, outer, 101) / 2
    heights_of_seat = radii * np.tan(np.radians(seat_degrees))
    heights_of_face = radii * np.tan(np.radians(face_degrees))
    touching = int(np.argmax(heights_of_seat - heights_of_face))
    down = heights_of_seat[touching] - heights_of_face[touching]
    assert touching in (0, 100), "straight lines first touch at an end"
    end = -1 if touching == 0 else 0
    # From a point to a line through two points: twice the triangle's area over its base.
    base = np.array([radii[-1] - radii[0], heights_of_face[-1] - heights_of_face[0]])
    to_seat = np.array([radii[end] - radii[0], heights_of_seat[end] - heights_of_face[0] - down])
    gap = abs(base[0] * to_seat[1] - base[1] * to_seat[0]) / np.linalg.norm(base)
    place = (whose_inner, "inner") if touching == 0 else (whose_outer, "outer")
    return TOUCHES[place], float(gap)


def test_random_valves_first_touch_where_lines_laid_on_each_other_do(shop):
    random = np.random.default_rng(46)
    cases, blocks = [], []
    for number in range(count(80, 1600)):
        outer = round(random.uniform(24, 60), 3)
        inner = round(outer - random.uniform(2, 6), 3)
        seat_degrees = round(random.uniform(20, 65), 2)
        # Mostly the small differences of a workshop, sometimes great ones.
        difference = random.uniform(0.05, 1.5 if number % 4 else 15) * random.choice([-1, 1])
        face_degrees = round(seat_degrees + difference, 2)
        face_outer, face_inner = (
            round(outer + random.uniform(-0.6, 2), 3),
            round(inner + random.uniform(-2, 0.6), 3),
        )
        if number % 10 == 0:
            face_outer, face_inner = outer, inner
        cases.append((seat_degrees, face_degrees, (outer, inner), (face_outer, face_inner)))
        blocks.append(
            {
                "seat": {"seat_angle": seat_degrees, "outer_diameter": outer, "inner_diameter": inner},
                "valve": {
                    "face_angle": face_degrees,
                    "head_diameter": face_outer,
                    "face_inner_diameter": face_inner,
                },
            }
        )
    worst, touched = Worst(), dict.fromkeys(TOUCHES.values(), 0)
    for case, rows in zip(cases, judge_all(shop, blocks, PROFILE), strict=True):
        place, gap = let_down(*case)
        found = rows["contact-edge-gap"]
        assert found["place"] == place, (found, case)
        worst.compare(found, gap, case)
        touched[place] += 1
    assert min(touched.values()) >= 3, touched
    worst.note("first contacts against lines laid on each other", len(cases))


def test_a_face_of_unknown_diameters_reaches_beyond_the_seat(shop):
    cases = [(46, 45, (34, 31)), (44.5, 45, (34, 31)), (30.75, 30, (40, 36))]
    blocks = [
        {
            "seat": {"seat_angle": seat, "outer_diameter": outer, "inner_diameter": inner},
            "valve": {"face_angle": face},
        }
        for seat, face, (outer, inner) in cases
    ]
    for (seat, face, diameters), rows in zip(cases, judge_all(shop, blocks, PROFILE), strict=True):
        place, gap = let_down(seat, face, diameters, (diameters[0] + 5, diameters[1] - 5))
        assert rows["contact-edge-gap"]["place"] == place
        assert rows["contact-edge-gap"]["measured"] == pytest.approx(gap, abs=TOLERANCE)


def test_equal_angles_touch_all_over(shop):
    seat = {"seat_angle": 45, "outer_diameter": 34, "inner_diameter": 31}
    (rows,) = judge_all(shop, [{"seat": seat, "valve": {"face_angle": 45}}], PROFILE)
    assert (rows["contact-edge-gap"]["measured"], rows["contact-edge-gap"]["place"]) == (
        0,
        "all over at once",
    )


def test_a_valve_and_a_seat_that_do_not_meet_have_no_first_contact(shop):
    seat = {"seat_angle": 46, "outer_diameter": 34, "inner_diameter": 32.5}
    # A seat that is more than 2 mm larger than its valve is not believed (common practice, no source).
    for diameters, reason in (
        ({"head_diameter": 32.4}, "not-computable"),
        ({"face_inner_diameter": 34}, "not-computable"),
        ({"head_diameter": 31.9}, "blocked-by-finding"),
    ):
        (rows,) = judge_all(shop, [{"seat": seat, "valve": {"face_angle": 45} | diameters}], PROFILE)
        found = rows["contact-edge-gap"]
        assert (found["verdict"], found["reason"]) == ("no-limit", reason), diameters
        assert "measured" not in found


@pytest.mark.parametrize("width", [0.035, 0.060, 0.062, 0.093])
def test_a_published_pair_of_angles_touches_at_the_outer_edge(shop, width):
    """US Army TM 9-2815-237-34, tables 2-2 and 2-3: face 45 deg, seat 46 deg; seat .035 to .060 and .062 to .093 in
    wide.
    """
    outer = 1.6
    inner = round(outer - 2 * width * np.cos(np.radians(46)), 8)
    seat = {"seat_angle": 46, "outer_diameter": outer, "inner_diameter": inner}
    valve = {"face_angle": 45, "head_diameter": 1.7, "face_inner_diameter": 1.3}
    (rows,) = judge_all(shop, [{"seat": seat, "valve": valve}], PROFILE, INCH)
    found = rows["contact-edge-gap"]
    assert found["place"] == "first at seat outer edge"
    place, gap = let_down(46, 45, (outer * 25.4, inner * 25.4), (1.7 * 25.4, 1.3 * 25.4))
    assert found["measured"] == pytest.approx(gap, abs=TOLERANCE)
    # One degree over the width: 1.75 % of it, a hundredth to a twenty-fifth of a millimetre.
    assert 0.0174 < found["measured"] / (width * 25.4) < 0.0175


@pytest.mark.parametrize("spare, verdict", [(0.001, "conforms"), (-0.001, "does-not-conform")])
@pytest.mark.parametrize("width", [1 / 16, 3 / 32])
def test_a_published_band_is_clear_of_both_edges_of_the_face(shop, width, spare, verdict):
    """US Army TM 10-3930-671-24: contact 1/16 to 3/32 in wide, at least 1/64 in clear on each side."""
    clear, degrees = 1 / 64, 45
    length = clear + width + clear + spare
    outer = 1.6
    inner = round(outer - 2 * length * np.cos(np.radians(degrees)), 10)
    blocks = with_marks((outer, inner, degrees), [(clear, width)] * 4)
    limits = [limit("inner-edge-clearance", lower=clear), limit("overhang", lower=clear)]
    profile = small_profile(*limits, limit("contact-width", lower=1 / 16, upper=3 / 32), units=INCH)
    evaluation = shop.evaluate({"measurement_set": small_set(INCH, intake=blocks), "profile": profile})
    found = row(evaluation, "inner-edge-clearance", "intake")
    assert found["measured"] == pytest.approx((clear + spare) * 25.4, abs=1e-7)
    assert found["verdict"] == verdict
    for name in ("overhang", "contact-width"):
        assert row(evaluation, name, "intake")["verdict"] == "conforms", name


def test_a_published_band_at_the_centre_of_its_face_has_no_offset(shop):
    """US Army TM 9-6115-604-34: contact at the centre of the face; seat .060 to .100 in wide."""
    for width in (0.060, 0.080, 0.100):
        length = 0.150
        inner = round(1.6 - 2 * length * np.cos(np.radians(45)), 10)
        blocks = with_marks((1.6, inner, 45), [(round((length - width) / 2, 6), width)] * 4)
        (rows,) = judge_all(shop, [blocks], PROFILE, INCH)
        assert rows["contact-offset"]["measured"] == pytest.approx(0, abs=1e-8)


def test_a_band_whose_width_is_not_known_everywhere_can_only_prove_that_it_is_too_near_the_edge(shop):
    for widths, verdict, reason in (
        ((1.0, None, 1.0), "not-measured", "reading-missing"),
        ((1.0, None, 2.2), "does-not-conform", "below-lower-limit"),
        # The face is 2.83 mm long.
        ((1.0, None, 2.5), "not-measured", "blocked-by-finding"),
    ):
        blocks = with_marks((40, 36, 45), [(0.5, width) for width in widths])
        for mark in blocks["contact"]["marks"]:
            if mark["width"] is None:
                del mark["width"]
        profile = small_profile(limit("inner-edge-clearance", lower=0.4))
        evaluation = shop.evaluate({"measurement_set": small_set(intake=blocks), "profile": profile})
        found = row(evaluation, "inner-edge-clearance", "intake")
        assert (found["verdict"], found["reason"]) == (verdict, reason)
