"""Deck flatness against scipy's linear programming, exact enumeration, and published readings.

The minimum zone is the least distance of two parallel planes that hold all points (ISO 1101, from memory).
As a linear program: least 2t with |z - (ax + by + c)| <= t, then taken square to the planes.
"""

import itertools
from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import linprog

from harness.counts import count, reached
from harness.documents import INCH, METRIC, limit, row, small_profile, small_set

PROFILE = small_profile(limit("deck-flatness", upper=1000))
# The service rounds to 1e-10 mm; HiGHS keeps its constraints to 1e-7 of the scaled heights.
TOLERANCE = 1e-7


def measured(shop, points: np.ndarray, units: dict = METRIC) -> float:
    """What the service says of these heights, in mm."""
    heights = [{"x": x, "y": y, "z": z} for x, y, z in points.tolist()]
    document = small_set(units, deck={"heights": {"points": heights}})
    found = row(shop.evaluate({"measurement_set": document, "profile": PROFILE}), "deck-flatness")
    assert found["verdict"] == "conforms", found
    return found["measured"]


def by_linear_program(points: np.ndarray) -> float:
    """The zone by scipy, with places scaled to about 1 and heights to micrometres for its tolerances."""
    places, heights = points[:, :2] - points[:, :2].mean(axis=0), (points[:, 2] - points[:, 2].mean()) * 1000
    scale = max(abs(places).max(), 1e-9)
    plane = np.column_stack([places / scale, np.ones(len(points))])
    half = -np.ones((len(points), 1))
    above, below = np.hstack([-plane, half]), np.hstack([plane, half])
    solved = linprog(
        [0, 0, 0, 2],
        A_ub=np.vstack([above, below]),
        b_ub=np.concatenate([-heights, heights]),
        bounds=[(None, None)] * 3 + [(0, None)],
        method="highs",
    )
    assert solved.success, solved.message
    slopes = solved.x[:2] / scale / 1000
    return solved.fun / 1000 / np.sqrt(1 + slopes @ slopes)


def deck(random: np.random.Generator, number: int) -> np.ndarray:
    """A deck of one of several kinds; heights in whole 0.1 um or um, as gauges show them."""
    size = int(random.integers(4, 61))
    kind = number % 6
    if kind < 3:
        places = np.round(random.uniform([0, 0], [420, 160], (size, 2)), 1)
    else:
        columns = int(random.integers(2, 11))
        rows = max(2, min(size // columns, 6))
        grid = itertools.product(range(columns), range(rows))
        places = np.array([(40.0 * column, 30.0 * row) for column, row in grid])
    size = len(places)
    if kind in (0, 3):
        heights = random.normal(0, 0.02, size)
    elif kind == 1:
        # A bow along the head and a tilt, as a warped head on three jacks shows.
        heights = 3e-7 * (places[:, 0] - 200) ** 2 + places @ random.uniform(-2e-4, 2e-4, 2)
    elif kind == 2:
        heights = places @ random.uniform(-1e-4, 1e-4, 2) + random.choice([0, 0, 0, 0.05], size)
    elif kind == 4:
        # Few different heights: many planes are equally good.
        heights = random.integers(0, 4, size) * 0.01
    else:
        heights = np.zeros(size)
        heights[random.integers(size)] = random.choice([-0.03, 0.0, 0.03])
    decimals = 3 if number % 2 else 4
    return np.column_stack([places, np.round(heights, decimals)])


def test_random_decks_agree_with_scipy(shop):
    random = np.random.default_rng(1101)
    tried, worst = count(40, 2000), 0.0
    for number in range(tried):
        points = deck(random, number)
        difference = abs(measured(shop, points) - by_linear_program(points))
        assert difference <= TOLERANCE, (number, points.tolist())
        worst = max(worst, difference)
    reached("decks against scipy.optimize.linprog", f"{tried}, greatest difference {worst:.1e} mm")


def test_decks_measured_in_inches_agree_with_scipy(shop):
    random = np.random.default_rng(254)
    for number in range(count(6, 100)):
        points = deck(random, number)
        inches = np.column_stack([np.round(points[:, :2] / 25.4, 2), np.round(points[:, 2] / 25.4, 5)])
        expected = by_linear_program(inches * 25.4)
        assert measured(shop, inches, INCH) == pytest.approx(expected, abs=TOLERANCE)


def exact_zone(points: list[tuple]) -> Fraction:
    """The least vertical zone in whole fractions: every plane through three points or along two lines."""
    exact = [tuple(Fraction(str(value)) for value in point) for point in points]
    best = None
    for slope in itertools.chain(_through_three(exact), _along_two(exact)):
        rest = [z - slope[0] * x - slope[1] * y for x, y, z in exact]
        width = max(rest) - min(rest)
        best = width if best is None else min(best, width)
    return best


def _slope(u, v):
    """Slopes of the plane that holds two directions; nothing when they stand one above the other."""
    below = u[0] * v[1] - u[1] * v[0]
    if below == 0:
        return None
    return (u[2] * v[1] - u[1] * v[2]) / below, (u[0] * v[2] - u[2] * v[0]) / below


def _minus(p, q):
    return tuple(a - b for a, b in zip(p, q))


def _through_three(points):
    for p, q, r in itertools.combinations(points, 3):
        if slope := _slope(_minus(q, p), _minus(r, p)):
            yield slope


def _along_two(points):
    for p, q, r, s in itertools.combinations(points, 4):
        for (a, b), (c, d) in (((p, q), (r, s)), ((p, r), (q, s)), ((p, s), (q, r))):
            if slope := _slope(_minus(b, a), _minus(d, c)):
                yield slope


def test_small_decks_agree_with_an_exact_search_through_all_planes(shop):
    random = np.random.default_rng(12781)
    tried, worst = count(10, 150), 0.0
    for number in range(tried):
        size = int(random.integers(4, 10))
        places = random.integers(0, 5, (size, 2)) * 10.0
        points = np.column_stack([places, random.integers(-3, 4, size) * 0.001])
        if np.linalg.matrix_rank(places - places[0]) < 2:
            continue
        expected = float(exact_zone(points.tolist()))
        found = measured(shop, points)
        # Square to the planes it is smaller by less than half the square of their slopes.
        assert found <= expected + 1e-10 and found >= expected * (1 - 1e-6) - 1e-10, points.tolist()
        worst = max(worst, abs(found - expected))
    reached("decks against an exact search", f"{tried}, greatest difference {worst:.1e} mm")


def grid(xs, ys, rows) -> np.ndarray:
    return np.array([(x, y, z) for y, row in zip(ys, rows) for x, z in zip(xs, row)], dtype=float)


# Constructed sets, heights in um; their answers were found by exact enumeration in fractions.
F1 = grid((0, 100, 200), (0, 100, 200), ((0, 3, 1), (2, 12, 4), (1, 2, 0)))
F2 = np.array(
    [(0, 0, 10), (200, 0, -8), (0, 100, -6), (200, 100, 12), (100, 50, 1)]
    + [(100, 0, 2), (100, 100, 0), (0, 50, 3), (200, 50, -1)],
    dtype=float,
)
F3 = grid(range(0, 500, 100), (0, 75, 150), ((0, 6, 11, 9, 2), (4, 15, 23, 17, 5), (-3, 5, 12, 8, 1)))
F4 = np.array(
    [(10, 10, 5), (140, 8, -5), (280, 12, 14), (410, 10, 22), (5, 80, -13), (120, 75, 8)]
    + [(215, 84, 6), (330, 78, 25), (415, 85, 2), (12, 150, -8), (205, 152, -2), (408, 148, 18)],
    dtype=float,
)
CONSTRUCTED = {"F1": (F1, 12), "F2": (F2, 18), "F3": (F3, 23.5), "F4": (F4, 52060 / 2013)}


@pytest.mark.parametrize("points, micrometres", CONSTRUCTED.values(), ids=CONSTRUCTED)
def test_constructed_decks_have_their_known_flatness(shop, points, micrometres):
    points = np.round(points * [1, 1, 0.001], 6)
    assert measured(shop, points) == pytest.approx(micrometres / 1000, abs=2e-9)
    assert by_linear_program(points) == pytest.approx(micrometres / 1000, abs=TOLERANCE)


def test_a_published_surface_plate_has_its_known_flatness(shop):
    """Moody's published surface plate: nine of its heights in 1e-5 in, rounded from the readings, places in inches."""
    points = grid((0, 32, 64), (0, 20, 40), ((6, 15, 3), (2, 14, 0), (3, 18, 6))) * [1, 1, 1e-5]
    points = np.round(points, 6)
    assert measured(shop, points, INCH) == pytest.approx(15.75e-5 * 25.4, abs=1e-9)


def test_a_deck_whose_places_lie_on_one_line_is_judged_as_a_line(shop):
    points = np.array([(0, 0, 0), (100, 50, 0.02), (200, 100, 0.01), (300, 150, 0.03)], dtype=float)
    along = np.column_stack([points[:, 0], np.zeros(4), points[:, 2]])
    # The best line leaves half the height of the second point over the chord of its neighbours.
    assert measured(shop, points) == pytest.approx(by_linear_program(along), abs=TOLERANCE)
