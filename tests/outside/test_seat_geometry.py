"""Seat width, overhang and runout by plane geometry worked another way: with points on cones, and a Fourier sum."""

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import INCH, limit, row, small_profile, small_set

PROFILE = small_profile(
    limit("seat-width", upper=1000),
    limit("overhang", lower=-1000),
    limit("seat-runout", upper=1000),
    limit("stem-to-guide-clearance", upper=1000),
    limit("interference-angle", lower=-90),
)


def judged(shop, seat: dict, valve: dict | None = None, guide: dict | None = None, units=None) -> dict:
    blocks = {"seat": seat, "valve": valve or {}, "guide": guide or {}}
    document = small_set(units or small_set()["units"], intake=blocks)
    return shop.evaluate({"measurement_set": document, "profile": PROFILE})


def along_cone(wide: float, narrow: float, degrees: float) -> float:
    """The distance of two points of one generating line of a cone, from their places in space."""
    slope = np.tan(np.radians(degrees))
    outer, inner = (np.array([diameter / 2, diameter / 2 * slope]) for diameter in (wide, narrow))
    return float(np.linalg.norm(outer - inner))


def test_widths_and_overhangs_agree_with_points_on_cones(shop):
    random = np.random.default_rng(45)
    tried, worst = count(60, 2000), 0.0
    for _ in range(tried):
        outer = round(random.uniform(20, 60), 3)
        inner = round(outer - random.uniform(0.5, 6), 3)
        head = round(outer + random.uniform(0.0, 4), 3)
        angle, face = round(random.uniform(15, 75), 2), round(random.uniform(15, 75), 2)
        seat = {"outer_diameter": outer, "inner_diameter": inner, "seat_angle": angle}
        evaluation = judged(shop, seat, {"head_diameter": head, "face_angle": face})
        for name, expected in (
            ("seat-width", along_cone(outer, inner, angle)),
            ("overhang", along_cone(head, outer, face)),
        ):
            difference = abs(row(evaluation, name, "intake")["measured"] - expected)
            assert difference <= 2e-10, (name, seat)
            worst = max(worst, difference)
        assert row(evaluation, "interference-angle", "intake")["measured"] == pytest.approx(
            angle - face, abs=1e-9
        )
    reached(
        "seat widths and overhangs against points on cones",
        f"{2 * tried}, greatest difference {worst:.1e} mm",
    )


def test_a_published_seat_keeps_its_width(shop):
    """US Army TM 9-2815-237-34: seat 46 deg, face 45 deg, intake width .035 to .060 in."""
    outer = 1.6
    for width in (0.035, 0.060):
        inner = round(outer - 2 * width * np.cos(np.radians(46)), 8)
        seat = {"outer_diameter": outer, "inner_diameter": inner, "seat_angle": 46}
        evaluation = judged(shop, seat, {"face_angle": 45}, units=INCH)
        assert row(evaluation, "seat-width", "intake")["measured"] == pytest.approx(width * 25.4, abs=1e-6)
        assert row(evaluation, "interference-angle", "intake")["measured"] == 1


def test_published_stems_and_guides_keep_their_clearance(shop):
    """US Army TM 9-4310-397-14: stem .3715 in, guide .374 to .375; the manual prints clearance .002 to .004."""
    for bore, clearance in ((0.374, 0.0025), (0.375, 0.0035)):
        evaluation = judged(shop, {}, {"stem": {"middle": 0.3715}}, {"bores": {"middle": [bore]}}, units=INCH)
        found = row(evaluation, "stem-to-guide-clearance", "intake")["measured"]
        assert found == pytest.approx(clearance * 25.4, abs=1e-10)
        assert 0.002 * 25.4 <= found <= 0.004 * 25.4


def runout(shop, readings, direction="square", angle=45) -> float:
    dial = {"direction": direction, "readings": list(readings)}
    return row(judged(shop, {"runout": dial, "seat_angle": angle}), "seat-runout", "intake")["measured"]


# Twelve readings in um, constructed; eccentricity 6.89531463 and TIR 15 were worked with numpy.
R1 = [10, 13, 14, 12, 8, 4, 0, -1, 1, 3, 5, 8]


def test_a_constructed_seat_has_its_known_runout(shop):
    found = runout(shop, [reading / 1000 for reading in R1])
    assert found == pytest.approx(max(15, 2 * 6.89531463) / 1000, abs=1e-9)


def test_a_seat_that_is_only_off_centre_runs_out_by_twice_its_eccentricity(shop):
    """Between the readings a pure eccentricity reaches further than the readings show."""
    angles = np.radians(np.arange(4) * 90 + 45)
    readings = np.round(0.02 * np.cos(angles), 9)
    assert np.ptp(readings) == pytest.approx(0.0282842712)
    assert runout(shop, readings.tolist()) == pytest.approx(0.04, abs=1e-8)


def test_random_runouts_agree_with_a_fourier_transform(shop):
    random = np.random.default_rng(12181)
    factors = {
        "square": lambda _: 1.0,
        "radial": lambda a: np.sin(np.radians(a)),
        "axial": lambda a: np.cos(np.radians(a)),
    }
    for number in range(count(45, 1500)):
        direction = list(factors)[number % 3]
        angle = round(random.uniform(20, 70), 1)
        readings = np.round(random.normal(0, 0.02, int(random.integers(4, 37))), 4)
        first = 2 * abs(np.fft.fft(readings)[1]) / len(readings)
        expected = max(np.ptp(readings), 2 * first) * factors[direction](angle)
        if len(readings) > 4 or first > 0:
            assert runout(shop, readings.tolist(), direction, angle) == pytest.approx(expected, abs=1e-9)
