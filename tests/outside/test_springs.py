"""Springs: loads against numpy.interp, rates against numpy.polyfit and a certified fit; what wire and coil
promise against published examples, strain energy and a chain of masses."""

import itertools
from decimal import Decimal

import numpy as np
import pytest
from scipy.linalg import eigvalsh_tridiagonal

from harness.counts import count, reached
from harness.documents import INCH, METRIC, limit, row, small_profile, small_set
from harness.large_heads import MOST_PORTS, judge_all, large_set

LIMITS = [
    limit("seat-load", upper=100000),
    limit("open-load", upper=100000),
    limit("coil-bind-margin", lower=-100),
]
POUND = 4.4482216152605


def loads(shop, installed, lift, points, units=None, **spring) -> dict[str, dict]:
    """The spring rows of a valve with one spring."""
    units = units or small_set()["units"]
    points = [{"height": height, "load": load} for height, load in points]
    pack = {"installed_height": installed, "lift": lift, "springs": [{"loads": points, **spring}]}
    document = small_set(units, intake={"spring_pack": pack})
    profile = small_profile(*LIMITS)
    evaluation = shop.evaluate({"measurement_set": document, "profile": profile})
    return {name: row(evaluation, name, "intake") for name in ("seat-load", "open-load", "coil-bind-margin")}


def test_a_published_spring_has_its_published_loads(shop):
    """US Army TM 9-2815-237-34, tables 2-2 and 2-3: 80 lb at 1.8 in, 230 lb at 1.39 in."""
    found = loads(shop, 1.8, 0.41, [(1.39, 230), (1.8, 80)], INCH)
    assert found["seat-load"]["measured"] == pytest.approx(80 * POUND, abs=1e-7)
    assert found["open-load"]["measured"] == pytest.approx(230 * POUND, abs=1e-7)
    # The manual prints 356 N and 1023 N.
    assert round(found["seat-load"]["measured"]) == 356
    assert round(found["open-load"]["measured"]) == 1023


@pytest.mark.parametrize("installed, lift", [(1.78, 0.3), (1.75, 0.36), (1.7, 0.1), (1.6, 0.2)])
def test_between_the_published_loads_the_line_is_that_of_numpy(shop, installed, lift):
    """The same spring at other heights."""
    found = loads(shop, installed, lift, [(1.39, 230), (1.8, 80)], INCH)
    closed, opened = np.interp([installed, installed - lift], [1.39, 1.8], [230, 80]) * POUND
    assert found["seat-load"]["measured"] == pytest.approx(closed, abs=1e-7)
    assert found["open-load"]["measured"] == pytest.approx(opened, abs=1e-7)


def test_random_springs_agree_with_numpy(shop):
    random = np.random.default_rng(13906)
    tried, worst = count(60, 2000), 0.0
    for _ in range(tried):
        size = int(random.integers(2, 9))
        # No valve lifts by less than 3 mm: that would pass for inches.
        heights = np.sort(np.append(random.choice(np.arange(320, 480), size - 1, replace=False), 280) / 10)
        newtons = np.sort(np.round(random.uniform(100, 1200, size), 1))[::-1]
        installed = round(random.uniform(31.5, heights[-1]), 2)
        lift = min(round(random.uniform(3, installed - 28), 2), round(installed - 28, 2))
        order = random.permutation(size)
        found = loads(shop, installed, lift, list(zip(heights[order].tolist(), newtons[order].tolist())))
        expected = np.interp([installed, installed - lift], heights, newtons)
        for name, load in zip(("seat-load", "open-load"), expected):
            worst = max(worst, abs(found[name]["measured"] - load))
            assert found[name]["measured"] == pytest.approx(load, abs=1e-7), (
                heights,
                newtons,
                installed,
                lift,
            )
    reached("spring loads against numpy.interp", f"{tried}, greatest difference {worst:.1e} N")


def test_far_outside_the_readings_no_load_is_made_up(shop):
    found = loads(shop, 41.5, 10, [(30, 900), (40, 400)])
    assert (found["seat-load"]["verdict"], found["seat-load"]["reason"]) == ("not-measured", "not-computable")
    assert found["open-load"]["measured"] == pytest.approx(np.interp(31.5, [30, 40], [900, 400]))


def test_nested_springs_add_their_loads_each_at_its_own_height(shop):
    """US Army TM 9-2815-220-24: outer 85.4 lb at 2.26 in, 134.2 at 1.56; inner 26.2 at 2.07, 43.9 at 1.30."""
    outer = {"loads": [{"height": 2.26, "load": 85.4}, {"height": 1.56, "load": 134.2}], "solid_height": 1.47}
    inner = {"loads": [{"height": 2.07, "load": 26.2}, {"height": 1.30, "load": 43.9}], "solid_height": 1.28}
    pack = {"installed_height": 2.2, "lift": 0.5, "springs": [outer, inner | {"seat_step": 0.19}]}
    document = small_set(INCH, intake={"spring_pack": pack})
    evaluation = shop.evaluate({"measurement_set": document, "profile": small_profile(*LIMITS)})
    closed = np.interp(2.2, [1.56, 2.26], [134.2, 85.4]) + np.interp(2.2 - 0.19, [1.30, 2.07], [43.9, 26.2])
    opened = np.interp(1.7, [1.56, 2.26], [134.2, 85.4]) + np.interp(1.7 - 0.19, [1.30, 2.07], [43.9, 26.2])
    assert row(evaluation, "seat-load", "intake")["measured"] == pytest.approx(closed * POUND, abs=1e-7)
    assert row(evaluation, "open-load", "intake")["measured"] == pytest.approx(opened * POUND, abs=1e-7)
    margin = min(2.2 - 0.5 - 1.47, 2.2 - 0.5 - 0.19 - 1.28) * 25.4
    assert row(evaluation, "coil-bind-margin", "intake")["measured"] == pytest.approx(margin, abs=1e-9)


# Rates are stated on a grid of 1e-8 N/mm, ratios on one of 1e-10.
RATE_GRID, RATIO_GRID = 0.6e-8, 0.6e-10


def rows(shop, packs: list[dict], characteristic: str, units: dict = METRIC, **bounds) -> list[dict]:
    """The row of each spring pack."""
    profile = small_profile(limit(characteristic, **(bounds or {"upper": 999_999})), units=units)
    blocks = [{"spring_pack": pack} for pack in packs]
    return [found[characteristic] for found in judge_all(shop, blocks, profile, units)]


def one(points, **spring) -> dict:
    """A pack of one spring."""
    loads = [{"height": height, "load": load} for height, load in points]
    return {"springs": [{"loads": loads, **spring}]}


def springs(random: np.random.Generator, number: int) -> list[list[tuple[float, float]]]:
    """Readings of springs as a tester gives them, some at one height twice, every fifth pure scatter."""
    found = []
    for kind in range(number):
        size = int(random.integers(2, 13))
        heights = random.choice(np.arange(280, 480), size, replace=kind % 3 == 0) / 10
        heights[-1] = heights[0] + 3.7
        loads = 300 + random.uniform(5, 80) * (48 - heights) + random.normal(0, 2, size)
        if kind % 5 == 0:
            loads = random.uniform(0, 1200, size)
        found.append(list(zip(np.round(heights, 1).tolist(), np.round(loads, 1).tolist())))
    return found


@pytest.mark.parametrize(
    "units, per_length, per_force", [(METRIC, 1, 1), (INCH, 25.4, POUND)], ids=["mm", "in"]
)
def test_random_spring_rates_agree_with_numpy_polyfit(shop, units, per_length, per_force):
    """In inches springs of 1.1 to 1.9 in and as many pounds-force as the others have newtons."""
    random = np.random.default_rng(10270)
    cases = springs(random, count(80, 1000))
    if per_length != 1:
        cases = [[(round(h / 25, 4), load) for h, load in case] for case in cases]
    worst, worst_relative = 0.0, 0.0
    found = rows(shop, [one(case) for case in cases], "spring-rate", units)
    for case, rate in zip(cases, found, strict=True):
        heights, loads = np.array(case).T * [[per_length], [per_force]]
        expected = -np.polyfit(heights - heights.mean(), loads, 1)[0]
        difference = abs(rate["measured"] - expected)
        assert difference <= RATE_GRID + 1e-12 * abs(expected), case
        worst = max(worst, difference)
        worst_relative = max(worst_relative, difference / max(abs(expected), 1))
        assert rate["unit"] == "N/mm"
    reached(
        f"spring rates against numpy.polyfit, {units['length']}",
        f"{len(cases)}, greatest difference {worst:.1e} N/mm, relative {worst_relative:.1e}",
    )


# NIST StRD, linear regression, Norris (calibration of ozone monitors): y and x, and certified values.
NORRIS = """
0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6
557.7 556.0 228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1
888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5
"""
SLOPE, SLOPE_DEVIATION, RESIDUAL_DEVIATION = 1.00211681802045, 0.000429796848199937, 0.884796396144373


def test_the_certified_line_of_nist_is_found_with_its_uncertainty(shop):
    """No spring is 0.2 mm high: x stands as 20 + x / 10, which makes the slope just ten times the certified one.

    A load that errs by the certified residual deviation leaves the slope its certified deviation."""
    numbers = [Decimal(text) for text in NORRIS.split()]
    pairs = list(itertools.zip_longest(*[iter(numbers)] * 2))
    assert len(pairs) == 36
    loads = [
        {
            "height": {"value": float(20 + x / 10), "expanded_uncertainty": 0},
            "load": {"value": float(y), "expanded_uncertainty": RESIDUAL_DEVIATION, "coverage_factor": 1},
        }
        for y, x in pairs
    ]
    document = small_set(intake={"spring_pack": {"springs": [{"loads": loads}]}})
    profile = small_profile(limit("spring-rate", upper=100))
    evaluation = shop.evaluate({"measurement_set": document, "profile": profile})
    found = row(evaluation, "spring-rate", "intake")
    assert found["measured"] == pytest.approx(-10 * SLOPE, abs=RATE_GRID)
    assert found["expanded_uncertainty"] == pytest.approx(2 * 10 * SLOPE_DEVIATION, rel=0.005)
    reached("NIST StRD Norris, slope", f"{-found['measured'] / 10:.10f} against {SLOPE}")


def test_of_nested_springs_the_rate_furthest_out_is_judged_and_named(shop):
    """US Army TM 9-2815-220-24: outer 85.4 lb at 2.26 in, 134.2 at 1.56; inner 26.2 at 2.07, 43.9 at 1.30."""
    pack = {
        "springs": [
            *one([(2.26, 85.4), (1.56, 134.2)])["springs"],
            *one([(2.07, 26.2), (1.30, 43.9)])["springs"],
        ]
    }
    outer, inner = (134.2 - 85.4) / (2.26 - 1.56), (43.9 - 26.2) / (2.07 - 1.30)
    stiffest = rows(shop, [pack], "spring-rate", INCH, upper=60)[0]
    assert stiffest["measured"] == pytest.approx(outer * POUND / 25.4, abs=RATE_GRID)
    assert (stiffest["place"], stiffest["verdict"]) == ("spring 1", "does-not-conform")
    softest = rows(shop, [pack], "spring-rate", INCH, lower=30)[0]
    assert softest["measured"] == pytest.approx(inner * POUND / 25.4, abs=RATE_GRID)
    assert (softest["place"], softest["verdict"]) == ("spring 2", "does-not-conform")


def test_one_height_gives_no_rate(shop):
    for points in ([(40, 300)], [(40, 300), (40, 310)]):
        found = rows(shop, [one(points)], "spring-rate")[0]
        assert (found["verdict"], found["reason"]) == ("not-measured", "not-computable")
    assert rows(shop, [one([])], "spring-rate")[0]["reason"] == "reading-missing"


# lbf/in2 in GPa: 6 894.757 293 168 Pa, NIST SP 811 (2008), B.8 (digits from memory).
GPA_PER_PSI = 6.894757293168e-6
# Published springs: wire, outside diameter, active coils, shear modulus in lbf/in2, two loads in in and lbf; the
# rate that is printed in lbf/in, and how far what is printed may lie from what its own inputs give.
PUBLISHED = {
    # Shigley's Mechanical Engineering Design, 10th edition, example 10-1: 6.46 lbf from 2.06 to .500 in.
    "Shigley": (0.037, 0.437, 10.5, 11.85e6, [(2.06, 0), (0.5, 6.46)], 4.13, 0.003),
    # A handbook of springs as copied in public: 356 lbf over 4 in.
    "handbook": (0.25, 1.94, 13, 11.5e6, [(8, 0), (4, 356)], 89, 0.006),
    # US Army TM 10-4320-344-24, table 4-1: six coils, four of them active; middle of the printed loads.
    "US Army": (0.172, 1.302, 4, 11.5e6, [(1.492, 48), (1.082, 137)], 217.98, 0.005),
}


@pytest.mark.parametrize(
    "wire, outer, coils, modulus, points, printed, scatter", PUBLISHED.values(), ids=PUBLISHED
)
def test_published_springs_have_the_rate_of_their_theory(
    shop, wire, outer, coils, modulus, points, printed, scatter
):
    winding = {"wire_diameter": wire, "outer_diameter": outer, "active_coils": coils}
    winding["shear_modulus_gpa"] = round(modulus * GPA_PER_PSI, 9)
    pack = one(points, winding=winding)
    found = rows(shop, [pack], "spring-rate-to-theory", INCH)[0]
    (high, light), (low, heavy) = points
    measured = (heavy - light) / (high - low)
    theory = modulus * wire**4 / (8 * (outer - wire) ** 3 * coils)
    assert found["measured"] == pytest.approx(measured / theory, rel=1e-9) and found["unit"] == "1"
    assert theory == pytest.approx(printed, rel=scatter)
    assert found["measured"] == pytest.approx(1, abs=2 * scatter)


def by_strain_energy(wire, mean, coils, modulus_gpa) -> float:
    """N/mm: the twist of a long bar under the load at half the mean diameter; its second moment by quadrature."""
    nodes, weights = np.polynomial.legendre.leggauss(8)
    radii = wire / 4 * (nodes + 1)
    moment = np.sum(weights * 2 * np.pi * radii**3) * wire / 4
    length = np.pi * mean * coils
    return modulus_gpa * 1000 * moment / ((mean / 2) ** 2 * length)


def half_of_root(parts: int) -> float:
    """The lowest frequency of a chain of equal masses and springs of mass 1 and stiffness 1, both ends held."""
    least = eigvalsh_tridiagonal(np.full(parts - 1, 2.0), np.full(parts - 2, -1.0), "i", (0, 0))[0]
    return parts * np.sqrt(least) / (2 * np.pi)


def by_chain(wire, mean, coils, modulus_gpa, density, chain) -> float:
    """Hz: the spring cut into many parts, each a mass between two springs."""
    kilograms = density * np.pi**2 / 4 * wire**2 * mean * coils * 1e-6
    newton_per_metre = by_strain_energy(wire, mean, coils, modulus_gpa) * 1000
    return chain * np.sqrt(newton_per_metre / kilograms)


# What is left out counts as spring steel, from memory.
MODULUS, DENSITY = 81.5, 7.85


def windings(random: np.random.Generator, number: int) -> list[dict]:
    found = []
    for kind in range(number):
        wire = round(random.uniform(2, 6), 2)
        winding = {"wire_diameter": wire, "outer_diameter": round(wire * random.uniform(4, 14), 2)}
        winding["active_coils"] = round(random.uniform(2.5, 12), 2)
        if kind % 2:
            winding["shear_modulus_gpa"] = round(random.uniform(40, 85), 1)
            winding["density"] = round(random.uniform(4.4, 8.9), 2)
        found.append(winding)
    return found


def test_random_windings_agree_with_strain_energy_and_with_a_chain_of_masses(shop):
    random = np.random.default_rng(13906)
    cases = list(zip(windings(random, count(80, 1000)), springs(random, count(80, 1000))))
    # A chain of n parts is too low by the part (pi / 2n)^2 / 6, which two chains show.
    chain = (4 * half_of_root(4000) - half_of_root(2000)) / 3
    worst = {"spring-rate-to-theory": 0.0, "spring-natural-frequency": 0.0}
    packs = [one(points, winding=winding) for winding, points in cases]
    ratios, frequencies = (rows(shop, packs, name) for name in worst)
    for (winding, points), ratio, frequency in zip(cases, ratios, frequencies, strict=True):
        wire, coils = winding["wire_diameter"], winding["active_coils"]
        mean = winding["outer_diameter"] - wire
        modulus, density = winding.get("shear_modulus_gpa", MODULUS), winding.get("density", DENSITY)
        heights, loads = np.array(points).T
        measured = -np.polyfit(heights - heights.mean(), loads, 1)[0]
        expected = measured / by_strain_energy(wire, mean, coils, modulus)
        assert ratio["measured"] == pytest.approx(expected, rel=1e-11, abs=RATIO_GRID), winding
        surge = by_chain(wire, mean, coils, modulus, density, chain)
        assert frequency["measured"] == pytest.approx(surge, rel=1e-8, abs=0.6e-6), winding
        assert frequency["unit"] == "Hz"
        # EN 13906-1 prints 3560 d / (n D^2) sqrt(G / rho) with mm, N/mm2 and kg/dm3 (from memory).
        standard = 3560 * wire / (coils * mean**2) * np.sqrt(modulus * 1000 / density)
        assert frequency["measured"] == pytest.approx(standard, rel=5e-4)
        for name, found, value in zip(worst, (ratio, frequency), (expected, surge)):
            worst[name] = max(worst[name], abs(found["measured"] / value - 1))
    for name, difference in worst.items():
        reached(
            f"{name} against energy and masses",
            f"{len(cases)}, greatest relative difference {difference:.1e}",
        )


def test_worked_windings(shop):
    """Worked in numpy: 32.97425783 N/mm, 476.8149804 Hz; and 314.714 Hz with .284 lbf/in3 and 386.4 in/s2."""
    winding = {"wire_diameter": 4, "outer_diameter": 30, "active_coils": 4.5}
    pack = one([(50, 0), (40, 329.7425783)], winding=winding)
    assert rows(shop, [pack], "spring-rate-to-theory")[0]["measured"] == pytest.approx(1, abs=1e-9)
    surge = rows(shop, [pack], "spring-natural-frequency")[0]
    assert surge["measured"] == pytest.approx(476.8149804, abs=1e-6)
    inches = {"wire_diameter": 0.037, "outer_diameter": 0.437, "active_coils": 10.5}
    inches["shear_modulus_gpa"] = round(11.85e6 * GPA_PER_PSI, 9)
    inches["density"] = round(0.284 * POUND / (25.4e-3**3) / (386.4 * 0.0254) / 1000, 9)
    surge = rows(shop, [one([(2.06, 0), (0.5, 6.46)], winding=inches)], "spring-natural-frequency", INCH)[0]
    assert surge["measured"] == pytest.approx(314.714, abs=5e-4)


def test_without_its_winding_or_with_an_impossible_one_there_is_no_theory(shop):
    for name in ("spring-rate-to-theory", "spring-natural-frequency"):
        assert rows(shop, [one([(50, 0), (40, 300)])], name)[0]["reason"] == "reading-missing"
        thick = {"wire_diameter": 4, "outer_diameter": 4, "active_coils": 5}
        found = rows(shop, [one([(50, 0), (40, 300)], winding=thick)], name)[0]
        assert (found["verdict"], found["reason"]) == ("not-measured", "not-computable")


# The valves of a head with as many springs as there can be.
PLACES = [
    (port["cylinder"], port["service"], port["index"]) for port in large_set([{}] * MOST_PORTS)["ports"]
]


def matched(shop, packs: list[dict], also_report: bool = False) -> dict:
    profile = small_profile(limit("margin", lower=0), also_report=["spring-match"])
    if not also_report:
        profile = small_profile(limit("spring-match", lower=0.9))
    document = large_set([{"spring_pack": pack} for pack in packs])
    return row(shop.evaluate({"measurement_set": document, "profile": profile}), "spring-match")


def test_random_sets_of_springs_match_as_numpy_says(shop):
    random = np.random.default_rng(90)
    tried, worst = count(12, 1000), 0.0
    for _ in range(tried):
        packs, seat_loads = [], {"intake": [], "exhaust": []}
        strength = {"intake": random.uniform(0.7, 1.3), "exhaust": random.uniform(0.7, 1.3)}
        scatter = {service: random.uniform(0.001, 0.1) for service in strength}
        for cylinder, service, index in PLACES:
            own = strength[service] * random.normal(1, scatter[service])
            heights = np.array([30.0, 35.0, 41.0])
            newtons = np.round(np.array([900.0, 600.0, 250.0]) * own, 1)
            installed = round(random.normal(38, 0.2), 2)
            packs.append(one(zip(heights.tolist(), newtons.tolist())) | {"installed_height": installed})
            seat_load = np.interp(installed, heights, newtons)
            seat_loads[service].append((seat_load, f"cylinder {cylinder} {service} {index}"))
        shares = {service: min(loads)[0] / max(loads)[0] for service, loads in seat_loads.items()}
        worse = min(shares, key=shares.get)
        found = matched(shop, packs)
        assert found["measured"] == pytest.approx(shares[worse], abs=RATIO_GRID)
        assert found["place"] == min(seat_loads[worse])[1]
        assert found["verdict"] == ("conforms" if shares[worse] >= 0.9 else "does-not-conform")
        worst = max(worst, abs(found["measured"] / shares[worse] - 1))
    reached("matches of a set against numpy.interp", f"{tried}, greatest relative difference {worst:.1e}")


def uneven(intake: float, exhaust: float) -> list[dict]:
    """Springs of equal load but for the first of each service."""
    packs = []
    for cylinder, service, index in PLACES:
        share = {"intake": intake, "exhaust": exhaust}[service] if (cylinder, index) == (1, 1) else 1
        packs.append(one([(40, 200 * share), (30, 600 * share)]) | {"installed_height": 40})
    return packs


def test_the_match_is_that_of_the_worse_service_whether_limited_or_only_reported(shop):
    for also_report in (False, True):
        for intake, exhaust, service in ((0.8, 0.95, "intake"), (0.95, 0.85, "exhaust")):
            found = matched(shop, uneven(intake, exhaust), also_report)
            assert found["measured"] == pytest.approx(min(intake, exhaust), abs=RATIO_GRID), also_report
            assert found["place"] == f"cylinder 1 {service} 1"


@pytest.mark.parametrize(
    "share, verdict, reason",
    [(0.99, "not-measured", "reading-missing"), (0.8, "does-not-conform", "below-lower-limit")],
)
def test_a_service_of_which_one_spring_was_not_measured_hides_nothing_of_the_other(
    shop, share, verdict, reason
):
    missing, complete = PLACES[7][1], {"intake": "exhaust", "exhaust": "intake"}[PLACES[7][1]]
    packs = uneven(**{missing: 0.99, complete: share})
    del packs[7]["springs"]
    found = matched(shop, packs)
    assert (found["verdict"], found["reason"]) == (verdict, reason)
    if verdict == "does-not-conform":
        assert found["measured"] == pytest.approx(share, abs=RATIO_GRID)
        assert found["place"] == f"cylinder 1 {complete} 1"
    # A weak spring of the service that was not all measured is not found out: its strongest is not known.
    packs = uneven(**{missing: 0.8, complete: 0.99})
    del packs[7]["springs"]
    assert matched(shop, packs)["reason"] == "reading-missing"


def test_of_nested_springs_the_weakest_to_its_theory_is_told(shop):
    winding = {"wire_diameter": 4, "outer_diameter": 30, "active_coils": 4.5}
    # 32.97425783 N/mm is what this winding promises.
    springs = [
        one([(50, 0), (40, share * 329.7425783)], winding=winding)["springs"][0] for share in (1.02, 0.9, 1)
    ]
    document = small_set(intake={"spring_pack": {"springs": springs}})
    name = "spring-rate-to-theory"
    for profile in (
        small_profile(limit(name, lower=0.5)),
        small_profile(limit("margin", lower=0), also_report=[name]),
    ):
        found = row(shop.evaluate({"measurement_set": document, "profile": profile}), name, "intake")
        assert found["measured"] == pytest.approx(0.9, abs=1e-9)
        assert found["place"] == "spring 2"


def test_the_margin_of_nested_springs_is_the_least_even_if_only_reported(shop):
    """The service says of its formula: least of a nested set."""
    outer, inner = {"solid_height": 37.5}, {"solid_height": 32.6, "seat_step": 5}
    pack = {"installed_height": 55.9, "lift": 12.7, "springs": [outer, inner]}
    for springs_in_order in ([outer, inner], [inner, outer]):
        document = small_set(intake={"spring_pack": pack | {"springs": springs_in_order}})
        for characteristic in ("coil-bind-margin", "margin"):
            profile = small_profile(limit(characteristic, lower=0))
            found = row(
                shop.evaluate({"measurement_set": document, "profile": profile}), "coil-bind-margin", "intake"
            )
            assert found["measured"] == pytest.approx(5.6, abs=1e-9), characteristic


def shims(shop, installed: float, *limits: dict, units: dict = METRIC, stage: str = "final") -> dict:
    document = small_set(units, intake={"spring_pack": {"installed_height": installed}})
    document["job"]["stage"] = stage
    profile = small_profile(*limits, limit("shims-needed", lower=-100, upper=100), units=units)
    return row(shop.evaluate({"measurement_set": document, "profile": profile}), "shims-needed", "intake")


def test_shims_bring_the_height_back_to_its_nominal(shop):
    """Exact decimals: what is too high is shimmed, what stands too low already is said to."""
    random = np.random.default_rng(3905)
    for number in range(count(40, 1000)):
        units, factor = ((METRIC, Decimal(1)), (INCH, Decimal("25.4")))[number % 2]
        nominal = Decimal(int(random.integers(30000, 45000))) / (1000 if number % 2 == 0 else 20000)
        installed = nominal + Decimal(int(random.integers(-1500, 1500))) / 1000 / factor.to_integral_value()
        height = limit("installed-height", lower=0, upper=99, nominal=float(nominal))
        found = shims(shop, float(installed), height, units=units)
        assert found["measured"] == float(round((installed - nominal) * factor, 10)), (installed, nominal)
        assert found["verdict"] == "conforms"


def test_where_the_wear_limit_names_no_nominal_that_of_the_finished_head_counts(shop):
    build = limit("installed-height", lower=38, upper=40, nominal=39)
    wear = limit("installed-height", lower=37, upper=41) | {"use": "wear"}
    assert shims(shop, 39.4, build, wear, stage="as-received")["measured"] == 0.4
    assert shims(shop, 39.4, build, wear | {"nominal": 38.9}, stage="as-received")["measured"] == 0.5
    assert shims(shop, 39.4, build, wear | {"nominal": 38.9}, stage="final")["measured"] == 0.4
    found = shims(shop, 39.4, limit("installed-height", lower=38, upper=40))
    assert (found["verdict"], found["reason"]) == ("not-measured", "reading-missing")
