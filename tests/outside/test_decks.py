"""Decks: the least-squares plane against numpy.linalg.lstsq, the worst window against scipy's linear
programming in every placement, and what a cut must take off against the heights themselves.

The local flatness is the minimum zone (ISO 1101, from memory) of what a window of the profile's size covers.
"""

import itertools

import numpy as np
import pytest
from scipy.optimize import linprog

from harness.counts import count, reached
from harness.documents import INCH, METRIC, limit, row, small_profile, small_set

# The service rounds to 1e-10 mm; HiGHS keeps its constraints to 1e-7 of the scaled heights.
GRID, TOLERANCE = 0.6e-10, 1e-7


def judged(shop, points, *limits: dict, units: dict = METRIC, profile_units=None, **deck) -> dict[str, dict]:
    """The rows of a deck with these heights."""
    if points is not None:
        deck["heights"] = {"points": [{"x": x, "y": y, "z": z} for x, y, z in np.asarray(points).tolist()]}
    profile = small_profile(*limits, units=profile_units or units)
    evaluation = shop.evaluate({"measurement_set": small_set(units, deck=deck), "profile": profile})
    return {row["characteristic"]: row for row in evaluation["head"]}


def places(random: np.random.Generator, number: int) -> np.ndarray:
    """Scattered or on a grid, in whole tenths of a millimetre."""
    if number % 2:
        return random.integers([0, 0], [4200, 1600], (int(random.integers(5, 46)), 2))
    columns, rows = int(random.integers(3, 12)), int(random.integers(2, 7))
    return np.array(list(itertools.product(np.arange(columns) * 400, np.arange(rows) * 300)))


def heights(random: np.random.Generator, number: int, at: np.ndarray) -> np.ndarray:
    """Rough, bowed, of few different values, or stepped; in whole 0.1 um or um, as gauges show them."""
    x, y = at.T / 10
    kind = number // 2 % 4
    if kind == 0:
        z = random.normal(0, 0.015, len(at))
    elif kind == 1:
        z = 1.5e-6 * (x - 200) ** 2 + x * random.uniform(-1e-4, 1e-4) + random.normal(0, 0.002, len(at))
    elif kind == 2:
        z = random.integers(0, 4, len(at)) * 0.01
    else:
        z = y * random.uniform(-1e-4, 1e-4) + random.choice([0, 0, 0, 0.03], len(at))
    return np.round(z, 3 if number % 3 else 4)


def deck(random: np.random.Generator, number: int) -> np.ndarray:
    at = places(random, number)
    return np.column_stack([at / 10, heights(random, number, at)])


LEAST_SQUARES = limit("deck-flatness-least-squares", upper=1000)


def by_lstsq(points: np.ndarray) -> float:
    """Greatest less least residual of the plane of least squares, square to it."""
    centred = points - points.mean(axis=0)
    slopes = np.linalg.lstsq(centred[:, :2], centred[:, 2], rcond=None)[0]
    return np.ptp(centred[:, 2] - centred[:, :2] @ slopes) / np.sqrt(1 + slopes @ slopes)


def test_least_squares_planes_agree_with_numpy(shop):
    random = np.random.default_rng(12781)
    tried, worst, worst_relative = count(40, 1000), 0.0, 0.0
    for number in range(tried):
        points, units, factor = deck(random, number), METRIC, 1
        if number % 5 == 4:
            inches = np.column_stack([np.round(points[:, :2] / 25.4, 2), np.round(points[:, 2] / 25.4, 5)])
            points, units, factor = inches, INCH, 25.4
        found = judged(shop, points, LEAST_SQUARES, units=units)
        flatness = found["deck-flatness-least-squares"]["measured"]
        expected = by_lstsq(points * factor)
        difference = abs(flatness - expected)
        assert difference <= 2 * GRID, (number, points.tolist())
        # The zone is never wider, but for the slopes' part in both.
        assert found["deck-flatness"]["measured"] <= flatness * (1 + 1e-5) + GRID
        worst, worst_relative = max(worst, difference), max(worst_relative, difference / max(expected, 1e-3))
    reached(
        "least-squares planes against numpy.linalg.lstsq",
        f"{tried}, greatest difference {worst:.1e} mm, relative {worst_relative:.1e}",
    )


def grid(xs, ys, rows) -> np.ndarray:
    return np.array([(x, y, z) for y, row in zip(ys, rows) for x, z in zip(xs, row)], dtype=float)


# Constructed sets, heights in um, their least-squares flatness worked in numpy, and their minimum zone by
# exact enumeration in fractions.
CONSTRUCTED = {
    "F1": (
        grid((0, 100, 200), (0, 100, 200), ((0, 3, 1), (2, 12, 4), (1, 2, 0))),
        12.16666667,
        12,
    ),
    "F2": (
        np.array(
            [(0, 0, 10), (200, 0, -8), (0, 100, -6), (200, 100, 12), (100, 50, 1)]
            + [(100, 0, 2), (100, 100, 0), (0, 50, 3), (200, 50, -1)],
            dtype=float,
        ),
        19.33333333,
        18,
    ),
    "F3": (
        grid(range(0, 500, 100), (0, 75, 150), ((0, 6, 11, 9, 2), (4, 15, 23, 17, 5), (-3, 5, 12, 8, 1))),
        24.03333333,
        23.5,
    ),
    "F4": (
        np.array(
            [(10, 10, 5), (140, 8, -5), (280, 12, 14), (410, 10, 22), (5, 80, -13), (120, 75, 8)]
            + [(215, 84, 6), (330, 78, 25), (415, 85, 2), (12, 150, -8), (205, 152, -2), (408, 148, 18)],
            dtype=float,
        ),
        27.34176703,
        52060 / 2013,
    ),
}


@pytest.mark.parametrize("points, least_squares, zone", CONSTRUCTED.values(), ids=CONSTRUCTED)
def test_constructed_decks_have_their_known_flatness(shop, points, least_squares, zone):
    points = np.round(points * [1, 1, 0.001], 6)
    whole = local(1000, 1000)
    found = judged(shop, points, LEAST_SQUARES, whole, limit("deck-stock-free", upper=1000))
    assert found["deck-flatness-least-squares"]["measured"] * 1000 == pytest.approx(least_squares, abs=2e-6)
    assert by_lstsq(points) * 1000 == pytest.approx(least_squares, abs=2e-6)
    # A window as large as the deck sees all of it; a cut that is free to tilt takes the zone off.
    assert found["deck-flatness-local"]["measured"] * 1000 == pytest.approx(zone, abs=2e-6)
    assert found["deck-stock-free"]["measured"] == found["deck-flatness"]["measured"]


def test_a_published_surface_plate_has_its_known_least_squares_flatness(shop):
    """Moody's published surface plate: nine heights in 1e-5 in, rounded from its readings; by numpy."""
    points = grid((0, 32, 64), (0, 20, 40), ((6, 15, 3), (2, 14, 0), (3, 18, 6))) * [1, 1, 1e-5]
    found = judged(shop, np.round(points, 6), LEAST_SQUARES, units=INCH)
    expected = 17.16666667e-5 * 25.4
    assert found["deck-flatness-least-squares"]["measured"] == pytest.approx(expected, abs=1e-9)


def test_places_on_one_line_have_the_straightness_of_numpy_polyfit(shop):
    """Across the line nothing is known; the residuals are those of a straight line."""
    along = np.array([0, 55.9, 111.8, 223.6, 279.5])
    z = np.array([0, 0.021, 0.013, 0.032, 0.004])
    points = np.column_stack([np.round(along * 2 / np.sqrt(5), 0), np.round(along / np.sqrt(5), 0), z])
    line = np.hypot(points[:, 0], points[:, 1])
    assert np.allclose(points[:, 0], 2 * points[:, 1])
    slope, height = np.polyfit(line, z, 1)
    expected = np.ptp(z - slope * line - height) / np.hypot(1, slope)
    found = judged(shop, points, LEAST_SQUARES)["deck-flatness-least-squares"]["measured"]
    assert found == pytest.approx(expected, abs=2 * GRID)


def local(length: float, width: float, **more) -> dict:
    return limit("deck-flatness-local", window={"length": length, "width": width}, **({"upper": 1000} | more))


def zone(points: np.ndarray) -> tuple[float, float]:
    """The least vertical distance of two parallel planes that hold all points, and their slope, by scipy."""
    at, z = points[:, :2] - points[:, :2].mean(axis=0), (points[:, 2] - points[:, 2].mean()) * 1000
    scale = max(abs(at).max(), 1e-9)
    plane = np.column_stack([at / scale, np.ones(len(points))])
    half = -np.ones((len(points), 1))
    solved = linprog(
        [0, 0, 0, 2],
        A_ub=np.vstack([np.hstack([-plane, half]), np.hstack([plane, half])]),
        b_ub=np.concatenate([-z, z]),
        bounds=[(None, None)] * 3 + [(0, None)],
        method="highs",
    )
    assert solved.success, solved.message
    return solved.fun / 1000, float(np.linalg.norm(solved.x[:2])) / scale / 1000


def covered(at: np.ndarray, length: int, width: int, corners: np.ndarray) -> np.ndarray:
    """Which places, in whole steps, windows with these lower left corners cover, edges included."""
    from_corner = at[None, :, :] - corners[:, None, :]
    return np.all((from_corner >= 0) & (from_corner <= [length, width]), axis=2)


def placements(at: np.ndarray, length: int, width: int) -> np.ndarray:
    """What windows cover that stand with any edge at any place: no placement covers anything else or more."""
    xs = np.unique(np.concatenate([at[:, 0], at[:, 0] - length]))
    ys = np.unique(np.concatenate([at[:, 1], at[:, 1] - width]))
    corners = np.array(list(itertools.product(xs, ys)))
    members = np.unique(covered(at, length, width, corners), axis=0)
    sizes = members.sum(axis=1)
    common = members.astype(int) @ members.T.astype(int)
    within_another = (common == sizes[:, None]) & (sizes[None, :] > sizes[:, None])
    return members[~within_another.any(axis=1)]


def says_something(points: np.ndarray) -> bool:
    return len(points) >= 4 and np.ptp(points[:, :2], axis=0).any()


def steepest(points: np.ndarray) -> float:
    """No plane of a zone that is no wider than the range of the heights is steeper."""
    turns = np.linspace(0, np.pi, 720, endpoint=False)
    extents = np.ptp(points[:, :2] @ [np.cos(turns), np.sin(turns)], axis=0)
    # Places on a line leave the slope across it open: it is level there.
    extent = extents.max() if np.linalg.matrix_rank(points[:, :2] - points[0, :2]) < 2 else extents.min() / 2
    return 2 * np.ptp(points[:, 2]) / extent


class Worst:
    """The widest zone along z among windows, those that have it, and how steep its planes are and can be."""

    def __init__(self, points: np.ndarray, windows: np.ndarray):
        zones = [(*zone(points[members]), members) for members in windows if says_something(points[members])]
        self.width = max((width for width, _, _ in zones), default=None)
        self.alike = [one for one in zones if one[0] > self.width - TOLERANCE]
        self.slope = max((slope for _, slope, _ in self.alike), default=0)
        self.steepest = max((steepest(points[members]) for *_, members in self.alike), default=0)

    def holds(self, point: int) -> bool:
        return any(members[point] for *_, members in self.alike)


def test_the_worst_window_of_random_decks_is_that_of_scipy_in_every_placement(shop):
    random = np.random.default_rng(1101)
    tried, worst, worst_relative, said, windows_tried = count(42, 1050), 0.0, 0.0, 0, 0
    for number in range(tried):
        at = places(random, number)
        points = np.column_stack([at / 10, heights(random, number, at)])
        length, width = (int(side) for side in random.integers([600, 400], [2400, 1200]))
        if number % 4 == 0:
            # Both edges meet places.
            length, width = length // 400 * 400 + 400, width // 300 * 300 + 300
        windows = placements(at, length, width)
        # Any placement whatever covers no more than one of those.
        corners = random.uniform([-length, -width], [4300, 1700], (50, 2))
        for members in np.unique(covered(at, length, width, corners), axis=0):
            assert (windows >= members).all(axis=1).any()
        found = judged(shop, points, local(length / 10, width / 10))["deck-flatness-local"]
        expected = Worst(points, windows)
        if expected.width is None:
            assert (found["verdict"], found["reason"]) == ("not-measured", "not-computable"), points.tolist()
            continue
        said, windows_tried = said + 1, windows_tried + len(windows)
        # Where several planes are equally good, each makes another square out of the zone along z.
        narrowest = expected.width / np.hypot(1, expected.steepest)
        case = (number, length, width, points.tolist())
        assert narrowest - 1e-9 <= found["measured"] <= expected.width + 1e-9, case
        assert expected.holds(int(found["place"].removeprefix("near deck point ")) - 1), case
        difference = abs(expected.width / np.hypot(1, expected.slope) - found["measured"])
        worst = max(worst, difference)
        worst_relative = max(worst_relative, difference / max(expected.width, 1e-3))
    assert said > 0.8 * tried
    reached(
        "worst windows against scipy.optimize.linprog in every placement",
        f"{said} decks, {windows_tried} windows, greatest difference {worst:.1e} mm, "
        f"relative {worst_relative:.1e}",
    )


def test_a_window_lies_along_the_head(shop):
    """A step of 0.04 mm across the head: a long window sees it, a wide one does not."""
    at = np.array(list(itertools.product(range(0, 401, 50), (0, 60, 120))))
    points = np.column_stack([at, np.where(at[:, 0] > 210, 0.04, 0.0)])
    for length, width in ((100, 120), (120, 100), (200, 60), (60, 200)):
        expected = Worst(points, placements(at, length, width))
        found = judged(shop, points, local(length, width))["deck-flatness-local"]
        assert found["measured"] == pytest.approx(expected.width, abs=TOLERANCE), (length, width)
    assert judged(shop, points, local(200, 60))["deck-flatness-local"]["measured"] > 0.015
    assert judged(shop, points, local(60, 200))["deck-flatness-local"]["measured"] < 0.001


def test_windows_in_inches_cover_what_they_reach_exactly(shop):
    """3 in is 76.2 mm: a place 76.2 mm away is just inside, one a hundredth further is not."""
    z = [0, 0.03, 0, 0, 0, 0.03]
    for reach, sees_the_end in ((76.2, True), (76.21, False)):
        x = [0, 38.1, reach]
        points = np.array([(x[k % 3], k // 3 * 10, z[k]) for k in range(6)])
        found = judged(shop, points, local(3, 3), profile_units=INCH)["deck-flatness-local"]
        # Without the far end there are only four places: two crossing lines.
        expected = Worst(points, placements(np.round(points[:, :2] * 100).astype(int), 7620, 7620))
        assert found["measured"] == pytest.approx(expected.width, abs=1e-6)
        assert all(expected.alike[0][2]) == sees_the_end


def test_decks_that_no_window_can_hold_are_not_judged(shop):
    points = np.array([(0, 0, 0), (100, 0, 0.1), (0, 100, 0.1), (100, 100, 0)], dtype=float)
    found = judged(shop, points, local(99, 200))["deck-flatness-local"]
    assert (found["verdict"], found["reason"]) == ("not-measured", "not-computable")
    assert "no window" in found["detail"]
    assert judged(shop, points, local(100, 100))["deck-flatness-local"]["measured"] == pytest.approx(
        0.1, abs=1e-6
    )


def line(gap: float, span: float | None = None, direction: str = "lengthwise") -> dict:
    return {"direction": direction, "gap": gap} | ({} if span is None else {"span": span})


def test_feeler_gaps_over_a_short_span_count_as_local_flatness(shop):
    """0.025 mm in 75 mm is common practice, no source: a gap over what fits the window in its own direction."""
    lines = [line(0.09), line(0.07, 150.1), line(0.03, 75, "crosswise"), line(0.02, 150), line(0.04, 20)]
    found = judged(shop, None, local(150, 75, upper=0.025), feeler=lines)["deck-flatness-local"]
    assert (found["measured"], found["place"], found["verdict"]) == (0.04, "entry 5", "does-not-conform")
    found = judged(shop, None, local(75, 150, upper=0.025), feeler=lines[:4])["deck-flatness-local"]
    assert (found["measured"], found["place"]) == (0.03, "entry 3")
    found = judged(shop, None, local(150, 75, upper=0.025), feeler=lines[:2])["deck-flatness-local"]
    assert (found["verdict"], found["reason"]) == ("not-measured", "reading-missing")
    # A gap of nothing is a reading.
    found = judged(shop, None, local(150, 75, upper=0.025), feeler=[line(0, 100)])["deck-flatness-local"]
    assert (found["measured"], found["verdict"]) == (0, "conforms")


@pytest.mark.parametrize(
    "direction, longest",
    [("lengthwise", 120), ("crosswise", 50), ("diagonal", np.hypot(120, 50))],
)
def test_a_span_must_fit_the_window_in_its_own_direction(shop, direction, longest):
    for span, fits in ((longest - 0.001, True), (longest + 0.001, False)):
        gaps = [line(0.03, round(span, 6), direction)]
        found = judged(shop, None, local(120, 50), feeler=gaps)["deck-flatness-local"]
        assert ("measured" in found) == fits, span
        assert fits or (found["verdict"], found["reason"]) == ("not-measured", "reading-missing")


def test_a_span_of_as_much_as_the_window_counts_in_any_unit(shop):
    for span, units, profile_units in ((76.2, METRIC, INCH), (3, INCH, INCH), (3, INCH, METRIC)):
        side = 3 if profile_units is INCH else 76.2
        for within, length in ((True, side), (False, round(side - 1e-9, 9))):
            found = judged(
                shop,
                None,
                local(length, 0.5),
                units=units,
                profile_units=profile_units,
                feeler=[line(0.001, span)],
            )["deck-flatness-local"]
            assert ("measured" in found) == within, (span, units, length)


def test_of_heights_and_gaps_the_worse_is_judged(shop):
    random = np.random.default_rng(75)
    for number in range(count(12, 200)):
        points = deck(random, 2 * number)
        alone = judged(shop, points, local(200, 100))["deck-flatness-local"]
        gap = round(random.uniform(0, 2) * alone["measured"] + 1e-4, 4)
        both = judged(shop, points, local(200, 100), feeler=[line(9.9), line(gap, 200)])[
            "deck-flatness-local"
        ]
        assert both["measured"] == max(alone["measured"], gap)
        assert both["place"] == ("entry 2" if gap > alone["measured"] else alone["place"])
        # The gaps of a whole deck, with or without a span, stay in the rows of their direction.
        lengthwise = judged(shop, points, local(200, 100), feeler=[line(0.01), line(gap, 200)])
        assert lengthwise["deck-feeler-lengthwise"]["measured"] == max(gap, 0.01)


CUTS = (
    limit("deck-stock-parallel", upper=1000),
    limit("deck-stock-free", upper=1000),
    limit("head-thickness-cleaned", lower=0),
)


def least_cut(points: np.ndarray) -> float:
    """The least greatest depth of a plane below all points, by scipy, square to the plane."""
    at, z = points[:, :2] - points[:, :2].mean(axis=0), (points[:, 2] - points[:, 2].mean()) * 1000
    scale = max(abs(at).max(), 1e-9)
    plane = np.column_stack([at / scale, np.ones(len(points))])
    zero, one = np.zeros((len(points), 1)), np.ones((len(points), 1))
    solved = linprog(
        [0, 0, 0, 1],
        A_ub=np.vstack([np.hstack([plane, zero]), np.hstack([-plane, -one])]),
        b_ub=np.concatenate([z, -z]),
        bounds=[(None, None)] * 4,
        method="highs",
    )
    assert solved.success, solved.message
    return solved.fun / 1000 / np.hypot(1, np.linalg.norm(solved.x[:2] / scale / 1000))


def test_the_cuts_that_clean_random_decks_are_those_of_numpy_and_scipy(shop):
    random = np.random.default_rng(256)
    tried, worst = count(40, 1000), 0.0
    for number in range(tried):
        points = deck(random, number)
        thickness = np.round(random.normal(106.5, 0.05, int(random.integers(1, 5))), 3).tolist()
        named = [{"place": f"place {place}", "reading": reading} for place, reading in enumerate(thickness)]
        found = judged(shop, points, *CUTS, thickness=named)
        cut = np.ptp(points[:, 2])
        assert found["deck-stock-parallel"]["measured"] == pytest.approx(cut, abs=GRID)
        left = min(thickness) - cut
        assert found["head-thickness-cleaned"]["measured"] == pytest.approx(left, abs=GRID)
        assert found["head-thickness-cleaned"]["place"] == f"entry {thickness.index(min(thickness)) + 1}"
        difference = abs(found["deck-stock-free"]["measured"] - least_cut(points))
        assert difference <= TOLERANCE, (number, points.tolist())
        worst = max(worst, difference)
    reached("least cuts against scipy.optimize.linprog", f"{tried}, greatest difference {worst:.1e} mm")


def test_a_published_least_thickness_is_kept_or_not_by_the_cut_that_would_be_needed(shop):
    """US Army TM 5-3820-256-24-5: at least 106.38 mm deck to deck, at most .25 mm cut."""
    points = np.array([(0, 0, 0), (300, 0, 0.12), (0, 150, 0.2), (300, 150, 0.25)])
    limits = [limit("deck-stock-parallel", upper=0.25), limit("head-thickness-cleaned", lower=106.38)]
    # More may be left where the thickness was read at a low spot: the least that is left breaks no limit.
    for thickness, least in ((106.63, 106.38), (106.62, None)):
        named = [{"place": "front", "reading": 106.9}, {"place": "rear", "reading": thickness}]
        found = judged(shop, points, *limits, thickness=named)
        assert found["deck-stock-parallel"]["verdict"] == "conforms"
        cleaned = found["head-thickness-cleaned"]
        if least is None:
            assert (cleaned["verdict"], cleaned["reason"]) == ("not-measured", "not-computable")
            assert "measured" not in cleaned
        else:
            assert (cleaned["verdict"], cleaned["place"]) == ("conforms", "entry 2")
            assert cleaned["measured"] == pytest.approx(least, abs=GRID)
    deeper = judged(shop, points + [0, 0, 0.001] * (points > 0.24), *limits)
    assert deeper["deck-stock-parallel"]["verdict"] == "does-not-conform"


def test_where_only_reported_the_thinnest_place_is_told(shop):
    points = np.array([(0, 0, 0), (300, 0, 0.12), (0, 150, 0.2), (300, 150, 0.25)])
    named = [{"place": place, "reading": 106.5 + step} for place, step in (("a", 0.2), ("b", 0), ("c", 0.1))]
    profile = small_profile(limit("deck-flatness", upper=1), also_report=["head-thickness-cleaned"])
    deck = {
        "heights": {"points": [{"x": x, "y": y, "z": z} for x, y, z in points.tolist()]},
        "thickness": named,
    }
    evaluation = shop.evaluate({"measurement_set": small_set(deck=deck), "profile": profile})
    found = row(evaluation, "head-thickness-cleaned")
    assert (found["measured"], found["place"]) == (106.25, "entry 2")


def test_without_heights_or_thickness_no_cut_is_made_up(shop):
    found = judged(shop, None, *CUTS, LEAST_SQUARES, thickness=[{"place": "front", "reading": 100}])
    for characteristic in ("deck-stock-parallel", "deck-stock-free", "head-thickness-cleaned"):
        assert found[characteristic]["reason"] == "reading-missing", characteristic
    assert found["deck-flatness-least-squares"]["reason"] == "reading-missing"
    flat = np.array([(0, 0, 1), (100, 0, 1), (0, 100, 1), (100, 100, 1)])
    found = judged(shop, flat, *CUTS)
    assert found["head-thickness-cleaned"]["reason"] == "reading-missing"
    assert found["deck-stock-parallel"]["measured"] == found["deck-stock-free"]["measured"] == 0
