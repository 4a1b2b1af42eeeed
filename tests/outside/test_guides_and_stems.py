"""Form of guides and stems against numpy, stems rocked in a guide until they touch, and published clearances.

A difference of readings is a decimal, and must be the very decimal that Python's decimal arithmetic gives.
"""

from decimal import Decimal

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import INCH, limit, row, small_profile, small_set
from harness.large_heads import judge_all

REPORTED = [
    "guide-bore",
    "guide-taper",
    "guide-ovality",
    "guide-bell-mouth",
    "stem-tilt",
    "stem-diameter",
    "stem-wear",
]
PROFILE = small_profile(limit("margin", upper=1000), also_report=REPORTED)
HEIGHTS = ("top", "middle", "bottom")
# Angles are stated to 1e-9 degrees, lengths to 1e-10 mm; doubles lose less than the rest of these on the way.
DEGREES, MILLIMETRES = 1e-9, 1e-10


def random_bores(random: np.random.Generator) -> dict[str, list[float]]:
    """Bores in whole micrometres on up to four axes; at some heights fewer or none."""
    size = random.uniform(6, 14)
    axes = random.integers(0, 5, 3) if random.random() < 0.4 else np.full(3, random.integers(1, 5))
    read = [np.round(size + random.uniform(0, 0.06, number), 3).tolist() for number in axes]
    return dict(zip(HEIGHTS, read, strict=True))


def table(bores: dict[str, list[float]]) -> np.ndarray:
    """Heights down, axes across, in whole micrometres; not a number where nothing was read."""
    whole = np.full((3, 4), np.nan)
    for number, height in enumerate(HEIGHTS):
        whole[number, : len(bores[height])] = np.round(np.array(bores[height]) * 1000)
    return whole


def greatest_range(whole: np.ndarray, over: int) -> float | None:
    """The greatest of the ranges of all lines that have two readings or more."""
    lines = np.moveaxis(whole, over, -1)
    ranges = [np.ptp(line[~np.isnan(line)]) for line in lines if np.count_nonzero(~np.isnan(line)) > 1]
    return max(ranges, default=None)


def greatest_bell_mouth(whole: np.ndarray) -> float | None:
    """The greatest difference of an end from the middle, either way."""
    ends = (whole[[0, 2]] - whole[1]).ravel()
    return None if np.isnan(ends).all() else ends[np.nanargmax(abs(ends))]


def micrometres(rows: dict, name: str) -> float | None:
    """The value of a row in whole micrometres, exactly."""
    if "measured" not in rows[name]:
        assert (rows[name]["verdict"], rows[name]["reason"]) == ("no-limit", "reading-missing"), rows[name]
        return None
    exact = Decimal(repr(rows[name]["measured"])) * 1000
    assert exact == int(exact), rows[name]
    return int(exact)


def bore_at(whole: np.ndarray, found: dict) -> float:
    """The bore that a row names as its place, as `top, axis 1`."""
    height, _, axis = found["place"].partition(", axis ")
    return whole[HEIGHTS.index(height), int(axis) - 1]


def test_random_guides_have_the_form_that_numpy_finds(shop):
    random = np.random.default_rng(9)
    guides = [random_bores(random) for _ in range(count(80, 1600))]
    blocks = [{"guide": {"bores": bores}} for bores in guides]
    seen = {name: 0 for name in ("guide-taper", "guide-ovality", "guide-bell-mouth")}
    for bores, rows in zip(guides, judge_all(shop, blocks, PROFILE), strict=True):
        whole = table(bores)
        greatest = None if np.isnan(whole).all() else np.nanmax(whole)
        assert micrometres(rows, "guide-bore") == greatest, bores
        expected = {
            "guide-taper": greatest_range(whole, over=0),
            "guide-ovality": greatest_range(whole, over=1),
            "guide-bell-mouth": greatest_bell_mouth(whole),
        }
        for name, value in expected.items():
            found = micrometres(rows, name)
            # An end that is as much wider as another is narrower may stand for both.
            assert found == value or (name == "guide-bell-mouth" and found == -value), (name, bores)
            seen[name] += value is not None
        if greatest is not None:
            assert bore_at(whole, rows["guide-bore"]) == greatest
        for name, across in (("guide-taper", 0), ("guide-ovality", 1)):
            if "measured" in rows[name]:
                # The place is that of the wide bore: the narrow one lies as far below it as the row says.
                wide = bore_at(whole, rows[name])
                height, _, axis = rows[name]["place"].partition(", axis ")
                line = whole[:, int(axis) - 1] if across == 0 else whole[HEIGHTS.index(height)]
                assert wide == np.nanmax(line) and wide - np.nanmin(line) == expected[name], bores
    assert min(seen.values()) >= 20, seen
    reached("guides against numpy", f"{len(guides)}, no difference")


def test_the_worst_bore_is_the_one_furthest_outside_its_limits(shop):
    profile = small_profile(limit("guide-bore", lower=8.01, upper=8.04))
    for bores, worst, place in (
        ({"top": [8.02, 8.045], "middle": [8.0], "bottom": [8.03, 8.041]}, 8.0, "middle, axis 1"),
        ({"top": [8.02, 8.055], "middle": [8.0], "bottom": [8.03, 8.041]}, 8.055, "top, axis 2"),
        ({"top": [8.02], "bottom": [8.012, 8.03]}, 8.012, "bottom, axis 1"),
    ):
        evaluation = shop.evaluate(
            {"measurement_set": small_set(intake={"guide": {"bores": bores}}), "profile": profile}
        )
        found = row(evaluation, "guide-bore", "intake")
        assert (found["measured"], found["place"]) == (worst, place)
        assert found["verdict"] == ("conforms" if 8.01 <= worst <= 8.04 else "does-not-conform")


def test_random_stems_are_worn_by_what_decimal_arithmetic_says(shop):
    random = np.random.default_rng(10)
    stems, blocks = [], []
    for number in range(count(80, 1600)):
        stem = np.round(random.uniform(5, 12) - random.uniform(0, 0.05, 4), 4).tolist()
        places = dict(zip(("unworn", *HEIGHTS), stem, strict=True))
        for missing in ((), ("unworn",), ("middle",), ("unworn", "top"))[number % 4]:
            del places[missing]
        stems.append({name: Decimal(repr(value)) for name, value in places.items()})
        blocks.append({"valve": {"stem": places}})
    for stem, rows in zip(stems, judge_all(shop, blocks, PROFILE), strict=True):
        running = {name: value for name, value in stem.items() if name != "unworn"}
        thinnest, unworn = min(running.values()), stem.get("unworn", max(running.values()))
        for name, expected in (("stem-diameter", thinnest), ("stem-wear", unworn - thinnest)):
            assert Decimal(repr(rows[name]["measured"])) == expected, stem
            assert running[rows[name]["place"]] == thinnest, stem
    reached("stems against decimal arithmetic", f"{len(stems)}, no difference")


def test_a_stem_that_was_measured_once_tells_no_wear(shop):
    profile = small_profile(limit("stem-wear", upper=0.02))
    document = small_set(intake={"valve": {"stem": {"middle": 7.98}}})
    found = row(shop.evaluate({"measurement_set": document, "profile": profile}), "stem-wear", "intake")
    assert (found["verdict"], found["reason"]) == ("not-measured", "reading-missing")


def rocked(bore: np.ndarray, stem: np.ndarray, length: np.ndarray) -> np.ndarray:
    """How far stems lean, in radians, when they touch both mouths of their guides.

    A stem is a strip between two parallel lines about the middle of the guide; it is turned, halving the step
    again and again, as far as both lines stay inside the bore over the whole guide.
    """
    lean, step = np.zeros_like(bore), np.full_like(bore, np.pi / 8)
    for _ in range(60):
        tried = lean + step
        along = np.stack([np.sin(tried), np.cos(tried)])
        square = np.stack([np.cos(tried), -np.sin(tried)])
        # The line on the right of the stem, cut at the height of the upper mouth.
        start = square * stem / 2
        at_mouth = start[0] + along[0] * (length / 2 - start[1]) / along[1]
        lean = np.where(at_mouth <= bore / 2, tried, lean)
        step = step / 2
    return lean


def swung(lean: np.ndarray, stem: np.ndarray, height: np.ndarray) -> np.ndarray:
    """How far a stem's side moves under a dial at a height above the guide's middle, from lean to lean."""
    sides = []
    for turned in (lean, -lean):
        start = np.stack([np.cos(turned), -np.sin(turned)]) * stem / 2
        sides.append(start[0] + np.tan(turned) * (height - start[1]))
    return sides[0] - sides[1]


def guides_to_rock(random: np.random.Generator, number: int) -> tuple[np.ndarray, ...]:
    length, outside = random.uniform(25, 80, number).round(2), random.uniform(0, 40, number).round(2)
    return length, outside, random.uniform(0.01, 0.4, number).round(4)


def clearances(shop, length: np.ndarray, outside: np.ndarray, travel: np.ndarray) -> np.ndarray:
    rocking = [
        {"engaged_length": engaged, "rocking": {"travel": t, "distance_outside": x}}
        for engaged, x, t in zip(length.tolist(), outside.tolist(), travel.round(12).tolist())
    ]
    found = judge_all(shop, [{"guide": guide} for guide in rocking], PROFILE)
    return np.array([rows["stem-to-guide-clearance"]["measured"] for rows in found])


def test_the_clearance_from_rocking_is_that_of_a_thin_stem_exactly(shop):
    random = np.random.default_rng(15)
    length, outside, clearance = guides_to_rock(random, count(80, 1600))
    thin = np.zeros_like(clearance)
    travel = swung(rocked(clearance, thin, length), thin, length / 2 + outside)
    differences = abs(clearances(shop, length, outside, travel) - clearance)
    assert differences.max() <= 2 * MILLIMETRES
    worst = f"greatest difference {differences.max():.1e} mm, relative {(differences / clearance).max():.1e}"
    reached("clearances of thin stems rocked in numpy", f"{len(clearance)}; {worst}")


def test_the_clearance_from_rocking_is_that_of_a_thick_stem_but_for_its_own_thickness(shop):
    """A stem of thickness d that leans by c/L fills d (c/L)^2 / 2 more of the bore: that much of c is not seen."""
    random = np.random.default_rng(16)
    length, outside, clearance = guides_to_rock(random, count(80, 1600))
    stem = random.uniform(5, 14, len(clearance)).round(3)
    travel = swung(rocked(stem + clearance, stem, length), stem, length / 2 + outside)
    found = clearances(shop, length, outside, travel)
    unseen = stem * (clearance / length) ** 2 / 2
    differences = abs(found - clearance)
    assert (found <= clearance + MILLIMETRES).all()
    assert (differences <= 1.02 * unseen + MILLIMETRES).all()
    worst = f"greatest difference {differences.max():.1e} mm, relative {(differences / clearance).max():.1e}"
    reached("clearances of thick stems rocked in numpy", f"{len(clearance)}; {worst}")


def test_random_tilts_agree_with_numpy_and_with_a_stem_that_leans_until_it_touches(shop):
    random = np.random.default_rng(17)
    tried = count(80, 1600)
    length = random.uniform(25, 80, tried).round(2)
    stem = random.uniform(5, 14, tried).round(3)
    clearance = random.integers(0, 301, (tried, 3)) / 1000
    blocks = []
    for size, engaged, spare in zip(stem.tolist(), length.tolist(), clearance.tolist()):
        bores = {height: [round(size + more, 3)] for height, more in zip(HEIGHTS, spare)}
        blocks.append(
            {
                "guide": {"bores": bores, "engaged_length": engaged},
                "valve": {"stem": dict.fromkeys(HEIGHTS, size)},
            }
        )
    worst, greatest = 0.0, clearance.max(axis=1)
    leans = np.degrees(rocked(stem + greatest, stem, length))
    for number, rows in enumerate(judge_all(shop, blocks, PROFILE)):
        found, c = rows["stem-tilt"], greatest[number]
        difference = abs(found["measured"] - np.degrees(np.arctan(c / length[number])))
        assert difference <= DEGREES, blocks[number]
        worst = max(worst, difference)
        height, _, _ = found["place"].partition(", axis ")
        assert clearance[number][HEIGHTS.index(height)] == c
        # A stem of some thickness leans less by about d c / 2L² of the tilt.
        unseen = found["measured"] * stem[number] * c / (2 * length[number] ** 2)
        assert -DEGREES <= found["measured"] - leans[number] <= 1.02 * unseen + DEGREES, blocks[number]
    reached("stem tilts against numpy.arctan", f"{tried}, greatest difference {worst:.1e} degrees")


@pytest.mark.parametrize("name, broken", [("stem-to-guide-clearance", 0.05), ("stem-tilt", 0.1)])
def test_a_height_without_its_stem_leaves_a_row_that_can_only_prove_a_limit_broken(shop, name, broken):
    """Clearances of 0.06 at the top and 0.05 mm at the bottom, the middle not known; 0.06 in 30 mm are 0.115 deg."""
    bores = {"top": [8.06], "middle": [8.03], "bottom": [8.05]}
    blocks = {
        "guide": {"bores": bores, "engaged_length": 30},
        "valve": {"stem": {"top": 8.0, "bottom": 8.0}},
    }
    for upper, verdict, reason in (
        (broken, "does-not-conform", "above-upper-limit"),
        (1, "not-measured", "reading-missing"),
    ):
        document = small_set(intake=blocks)
        profile = small_profile(limit(name, upper=upper))
        found = row(shop.evaluate({"measurement_set": document, "profile": profile}), name, "intake")
        assert (found["verdict"], found["reason"]) == (verdict, reason)
        if verdict == "does-not-conform":
            assert found["place"] == "top, axis 1"
        else:
            assert "measured" not in found
            assert "stem diameter at every height where the bore was read" in found["detail"]


# Published clearances. Where the limit is that of a worn part it is given as such.
PUBLISHED = {
    # US Army TM 9-2815-237-34, tables 2-2 and 2-3: .001 to .003 in.
    "TM 9-2815-237-34, least": (INCH, 0.001, 0.003, 0.3715, 0.3725, "conforms"),
    "TM 9-2815-237-34, greatest": (INCH, 0.001, 0.003, 0.3715, 0.3745, "conforms"),
    "TM 9-2815-237-34, too little": (INCH, 0.001, 0.003, 0.3715, 0.3724, "does-not-conform"),
    "TM 9-2815-237-34, too much": (INCH, 0.001, 0.003, 0.3715, 0.3746, "does-not-conform"),
    # US Army TM 9-4310-397-14: stem .3715 in, guide .374 to .375 in, at most .006 in. The manual prints 0.015 mm for
    # it, a misprint of 0.15.
    "TM 9-4310-397-14, at the limit": (INCH, None, 0.006, 0.3715, 0.3775, "conforms"),
    "TM 9-4310-397-14, beyond it": (INCH, None, 0.006, 0.3715, 0.3776, "does-not-conform"),
    # US Army TM 10-3930-653-14&P, in mm: intake .028 to .030 (limit .10), exhaust .058 to .060 (limit .15).
    "TM 10-3930-653-14&P, intake": (None, 0.028, 0.030, 7.97, 8.0, "conforms"),
    "TM 10-3930-653-14&P, intake worn": (None, None, 0.10, 7.93, 8.03, "conforms"),
    "TM 10-3930-653-14&P, exhaust worn out": (None, None, 0.15, 7.93, 8.081, "does-not-conform"),
}


@pytest.mark.parametrize("units, lower, upper, stem, bore, verdict", PUBLISHED.values(), ids=PUBLISHED)
def test_published_clearances_are_kept_and_broken_at_their_numbers(
    shop, units, lower, upper, stem, bore, verdict
):
    units = units or small_set()["units"]
    bounds = {name: bound for name, bound in (("lower", lower), ("upper", upper)) if bound is not None}
    profile = small_profile(limit("stem-to-guide-clearance", **bounds), units=units)
    blocks = {"valve": {"stem": {"middle": stem}}, "guide": {"bores": {"middle": [bore]}}}
    evaluation = shop.evaluate({"measurement_set": small_set(units, intake=blocks), "profile": profile})
    found = row(evaluation, "stem-to-guide-clearance", "intake")
    scale = Decimal("25.4") if units == INCH else 1
    assert Decimal(repr(found["measured"])) == (Decimal(repr(bore)) - Decimal(repr(stem))) * scale
    assert found["verdict"] == verdict


def test_a_published_least_stem_is_kept_by_the_thinnest_place(shop):
    """US Army TM 9-6115-604-34: stem at least .4935 in."""
    profile = small_profile(limit("stem-diameter", lower=0.4935), units=INCH)
    for thinnest, verdict in ((0.4935, "conforms"), (0.4934, "does-not-conform")):
        document = small_set(
            INCH, intake={"valve": {"stem": {"top": 0.4941, "middle": 0.4938, "bottom": thinnest}}}
        )
        found = row(
            shop.evaluate({"measurement_set": document, "profile": profile}), "stem-diameter", "intake"
        )
        assert (found["verdict"], found["place"]) == (verdict, "bottom")
