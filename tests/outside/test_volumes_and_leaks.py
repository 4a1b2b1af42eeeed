"""Compression ratio and leak rate against worked examples and plain formulas."""

import math

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import limit, row, small_profile, small_set

RATIO = small_profile(limit("compression-ratio", upper=100))
LEAK = small_profile(limit("leak-rate", upper=100))
# Leak rates are stated on a grid of 1e-10 Pa m3/s.
GRID = 1e-10


def ratio(shop, chamber, **terms) -> dict:
    document = small_set(layout={"compression": terms}, chambers=[{"cylinder": 1, "volume": chamber}])
    return row(shop.evaluate({"measurement_set": document, "profile": RATIO}), "compression-ratio")


def by_geometry(chamber, bore, stroke, gasket_bore, gasket_thickness, deck_clearance, piston_volume):
    """Cylinders in mm, volumes in mL: solid geometry and the definition of the ratio."""
    swept = math.pi / 4 * bore**2 * stroke / 1000
    gasket = math.pi / 4 * gasket_bore**2 * gasket_thickness / 1000
    deck = math.pi / 4 * bore**2 * deck_clearance / 1000
    clearance = chamber + gasket + deck + piston_volume
    return (swept + clearance) / clearance


TERMS = {
    "bore": 100,
    "stroke": 90,
    "gasket_bore": 102,
    "gasket_thickness": 1,
    "deck_clearance": 0.5,
    "piston_volume": 5,
}


@pytest.mark.parametrize("chamber, expected", [(64.0, 9.716071480), (63.5, 9.770142561), (64.5, 9.662663049)])
def test_a_worked_compression_ratio(shop, chamber, expected):
    """Worked by hand from the definition, to nine decimals."""
    assert ratio(shop, chamber, **TERMS)["measured"] == pytest.approx(expected, abs=1e-9)
    assert by_geometry(chamber, **TERMS) == pytest.approx(expected, abs=1e-9)


def test_the_uncertainty_of_a_worked_compression_ratio(shop):
    """u(B, S, chamber, gasket, deck, dish) = .01, .02, .25, .02, .01, .1 give u(CR) = 0.03498147, worked in numpy."""
    uncertain = {
        "bore": 0.01,
        "stroke": 0.02,
        "gasket_bore": 0,
        "gasket_thickness": 0.02,
        "deck_clearance": 0.01,
        "piston_volume": 0.1,
    }

    def reading(value, u):
        return {"value": value, "expanded_uncertainty": u, "coverage_factor": 1}

    terms = {name: reading(value, uncertain[name]) for name, value in TERMS.items()}
    found = ratio(shop, reading(64.0, 0.25), **terms)
    # Stated with coverage factor 2 and three digits.
    assert found["expanded_uncertainty"] == pytest.approx(2 * 0.03498147, abs=0.5e-4)


def test_random_compression_ratios_agree_with_geometry(shop):
    random = np.random.default_rng(1065)
    tried, worst = count(40, 1000), 0.0
    for _ in range(tried):
        terms = {
            "bore": round(random.uniform(60, 160), 3),
            "stroke": round(random.uniform(60, 180), 3),
            "gasket_bore": round(random.uniform(62, 165), 2),
            "gasket_thickness": round(random.uniform(0.2, 3), 3),
            "deck_clearance": round(random.uniform(-0.1, 1), 3),
            "piston_volume": round(random.uniform(-5, 60), 1),
        }
        chamber = round(random.uniform(20, 120), 1)
        difference = abs(ratio(shop, chamber, **terms)["measured"] - by_geometry(chamber, **terms))
        assert difference <= 1e-9, terms
        worst = max(worst, difference)
    reached("compression ratios against geometry", f"{tried}, greatest difference {worst:.1e}")


def test_without_one_of_its_terms_there_is_no_ratio(shop):
    for name in TERMS:
        found = ratio(shop, 64.0, **{other: value for other, value in TERMS.items() if other != name})
        assert found["verdict"] == "not-measured" and "measured" not in found, name


def leak(shop, volume, start, end, seconds, vacuum=False) -> dict:
    decay = {"start": start, "end": end, "seconds": seconds, "volume": volume, "side": "port"}
    decay |= {"vacuum": vacuum, "spring_fitted": True, "guide_sealed": True}
    document = small_set(intake={"leak": {"decay": decay}})
    return row(shop.evaluate({"measurement_set": document, "profile": LEAK}), "leak-rate", "intake")


def test_the_worked_leak_of_a_federal_rule(shop):
    """40 CFR 1065.644: 2 L from 25 300 to 50 600 Pa in 70 s at 293.15 K leak 2.96570468e-4 mol/s (R = 8.314472)."""
    found = leak(shop, 2000, 50.6, 25.3, 70, vacuum=True)
    assert found["measured"] / (8.314472 * 293.15) == pytest.approx(2.96570468e-4, abs=1e-12)
    assert found["unit"] == "Pa.m3/s"


def test_a_decay_over_half_a_minute(shop):
    """Q = V dp/dt: 250 cm3 losing 350 Pa in 30 s, 2.91666667e-3 Pa m3/s or 1.72711572 cm3/min at 101 325 Pa."""
    found = leak(shop, 250, 50.35, 50.0, 30)
    assert found["measured"] == pytest.approx(2.91666667e-3, abs=GRID)
    assert found["measured"] / 101325 * 1e6 * 60 == pytest.approx(1.72711572, abs=GRID / 101325 * 6e7 + 1e-8)


def test_random_leaks_agree_with_the_formula(shop):
    random = np.random.default_rng(644)
    for _ in range(count(30, 1000)):
        volume, seconds = round(random.uniform(20, 2000), 1), round(random.uniform(5, 120), 1)
        start = round(random.uniform(20, 90), 2)
        end = round(random.uniform(0, start), 2)
        expected = volume * 1e-6 * (start - end) * 1e3 / seconds
        assert leak(shop, volume, start, end, seconds)["measured"] == pytest.approx(expected, abs=GRID)
