"""Stated uncertainties against a Monte Carlo propagation (JCGM 101:2008, clause from memory) with numpy."""

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import limit, row, small_profile, small_set

DRAWS = count(400_000, 8_000_000)
# The Monte Carlo's own scatter is 1/sqrt(2 draws), 0.11 % of the value in the short run. Six times that, and the
# rounding of the stated value to three digits (0.5 % at most), and what first order leaves out (0.1 %).
TOLERANCE = 6 / np.sqrt(2 * DRAWS) + 0.005 + 0.001


def uncertain(value: float, expanded: float, k: float = 2) -> dict:
    return {"value": value, "expanded_uncertainty": expanded, "coverage_factor": k}


def drawn(random, value: float, expanded: float, k: float = 2) -> np.ndarray:
    return random.normal(value, expanded / k, DRAWS)


def stated(shop, document: dict, characteristic: str, service: str | None, *limits: dict) -> float:
    profile = small_profile(*(limits or [limit(characteristic, lower=-1000)]))
    found = row(shop.evaluate({"measurement_set": document, "profile": profile}), characteristic, service)
    return found["expanded_uncertainty"]


def compare(name: str, found: float, samples: np.ndarray) -> None:
    expected = 2 * samples.std(ddof=1)
    reached(f"uncertainty by Monte Carlo, {name}", f"{found:.6g} against {expected:.6g}, {DRAWS:.0e} draws")
    assert found == pytest.approx(expected, rel=TOLERANCE)


def test_clearance(shop):
    random = np.random.default_rng(1)
    bore, stem = (8.043, 0.004), (8.003, 0.002, 3)
    blocks = {"guide": {"bores": {"top": [uncertain(*bore)]}}, "valve": {"stem": {"top": uncertain(*stem)}}}
    found = stated(shop, small_set(intake=blocks), "stem-to-guide-clearance", "intake")
    compare("clearance", found, drawn(random, *bore) - drawn(random, *stem))


def test_clearance_from_rocking(shop):
    random = np.random.default_rng(2)
    travel, outside, length = (0.15, 0.01), (20.0, 1.0), (40.0, 0.5)
    guide = {"engaged_length": uncertain(*length)}
    guide["rocking"] = {"travel": uncertain(*travel), "distance_outside": uncertain(*outside)}
    found = stated(shop, small_set(intake={"guide": guide}), "stem-to-guide-clearance", "intake")
    samples = drawn(random, *travel) / (1 + 2 * drawn(random, *outside) / drawn(random, *length))
    compare("clearance from rocking", found, samples)


def test_width_from_diameters(shop):
    random = np.random.default_rng(3)
    outer, inner, angle = (36.0, 0.05), (33.5, 0.05), (45.0, 0.25)
    seat = {
        "outer_diameter": uncertain(*outer),
        "inner_diameter": uncertain(*inner),
        "seat_angle": uncertain(*angle),
    }
    found = stated(shop, small_set(intake={"seat": seat}), "seat-width", "intake")
    cosine = np.cos(np.radians(drawn(random, *angle)))
    compare("seat width", found, (drawn(random, *outer) - drawn(random, *inner)) / 2 / cosine)


def test_width_with_the_angle_of_the_profile_instead_of_a_reading(shop):
    """The angle is spread evenly over its tolerance."""
    random = np.random.default_rng(4)
    outer, inner = (36.0, 0.01), (33.5, 0.01)
    seat = {"outer_diameter": uncertain(*outer), "inner_diameter": uncertain(*inner)}
    angle = limit("seat-angle", lower=43, upper=47, nominal=45)
    found = stated(
        shop, small_set(intake={"seat": seat}), "seat-width", "intake", limit("seat-width", upper=9), angle
    )
    cosine = np.cos(np.radians(random.uniform(43, 47, DRAWS)))
    compare(
        "seat width, angle of the profile",
        found,
        (drawn(random, *outer) - drawn(random, *inner)) / 2 / cosine,
    )


def test_compression_ratio(shop):
    random = np.random.default_rng(5)
    terms = {
        "bore": (100.0, 0.02),
        "stroke": (90.0, 0.04),
        "gasket_bore": (102.0, 0.1),
        "gasket_thickness": (1.0, 0.04),
        "deck_clearance": (0.5, 0.02),
        "piston_volume": (5.0, 0.2),
    }
    chamber = (64.0, 0.5)
    document = small_set(
        layout={"compression": {name: uncertain(*term) for name, term in terms.items()}},
        chambers=[{"cylinder": 1, "volume": uncertain(*chamber)}],
    )
    found = stated(shop, document, "compression-ratio", None)
    bore, stroke, gasket_bore, thickness, clearance, piston = (
        drawn(random, *term) for term in terms.values()
    )
    swept = np.pi / 4 * bore**2 * stroke / 1000
    left = (
        drawn(random, *chamber)
        + np.pi / 4 * (gasket_bore**2 * thickness + bore**2 * clearance) / 1000
        + piston
    )
    compare("compression ratio", found, (swept + left) / left)


def test_leak_rate(shop):
    random = np.random.default_rng(6)
    volume, start, end, seconds = (250.0, 5.0), (60.0, 0.4), (55.0, 0.4), (30.0, 0.5)
    decay = {
        "volume": uncertain(*volume),
        "start": uncertain(*start),
        "end": uncertain(*end),
        "seconds": uncertain(*seconds),
    }
    decay |= {"side": "port", "vacuum": False, "spring_fitted": True, "guide_sealed": True}
    found = stated(shop, small_set(intake={"leak": {"decay": decay}}), "leak-rate", "intake")
    samples = (
        drawn(random, *volume)
        * (drawn(random, *start) - drawn(random, *end))
        / drawn(random, *seconds)
        / 1000
    )
    compare("leak rate", found, samples)


def test_seat_load(shop):
    random = np.random.default_rng(7)
    installed, low, high = (40.0, 0.05), ((46.0, 0.04), (350.0, 4.0)), ((36.0, 0.04), (1000.0, 6.0))
    points = [{"height": uncertain(*height), "load": uncertain(*load)} for height, load in (low, high)]
    pack = {"installed_height": uncertain(*installed), "springs": [{"loads": points}]}
    found = stated(shop, small_set(intake={"spring_pack": pack}), "seat-load", "intake")
    heights = [drawn(random, *point[0]) for point in (low, high)]
    newtons = [drawn(random, *point[1]) for point in (low, high)]
    share = (drawn(random, *installed) - heights[0]) / (heights[1] - heights[0])
    compare("seat load", found, newtons[0] + share * (newtons[1] - newtons[0]))


def test_repeats_narrow_the_scatter_but_not_the_gauge(shop):
    """The gauge's own uncertainty and s/sqrt(n) of the repeats, as JCGM 100:2008, 4.2.3 has it (from memory)."""
    repeats, expanded = [1.083, 1.085, 1.08, 1.084, 1.088], 0.002
    reading = {"repeats": repeats, "expanded_uncertainty": expanded}
    found = stated(shop, small_set(intake={"valve": {"margin": reading}}), "margin", "intake")
    expected = 2 * np.hypot(expanded / 2, np.std(repeats, ddof=1) / np.sqrt(len(repeats)))
    assert found == pytest.approx(expected, rel=0.005)
