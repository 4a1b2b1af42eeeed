"""Probabilities of conformity and verdicts against scipy.stats.norm.

The probability that the true value lies inside the limits is Phi((TU-y)/u) - Phi((TL-y)/u)
(JCGM 106:2012, clause 7, from memory).
"""

import numpy as np
import pytest
from scipy.stats import norm

from harness.counts import count, reached
from harness.documents import (
    all_rows,
    demo_profile,
    demo_set,
    limit,
    request,
    row,
    small_profile,
    small_set,
)
from harness.large_heads import MOST_PORTS, judge_all

# What the service states is rounded to 1e-6.
ROUNDING = 0.5e-6 + 1e-9
# Limits are stated on the grid on which they are compared, the coarsest of which is 1e-8.
GRID = 1e-8


def judged(shop, y: float, u: float | None, lower: float | None, upper: float | None, rule: dict) -> dict:
    reading = {"value": y} if u is None else {"value": y, "expanded_uncertainty": u, "coverage_factor": 1}
    document = small_set(intake={"valve": {"margin": reading}})
    bounds = {name: bound for name, bound in (("lower", lower), ("upper", upper)) if bound is not None}
    profile = small_profile(limit("margin", **bounds), rule=rule)
    return row(shop.evaluate({"measurement_set": document, "profile": profile}), "margin", "intake")


def guarded(probability: float) -> dict:
    return {"rule": "guarded", "conformance_probability": probability}


def inside(y: float, u: float, lower: float | None, upper: float | None) -> float:
    above = norm.cdf(upper, y, u) if upper is not None else 1.0
    below = norm.cdf(lower, y, u) if lower is not None else 0.0
    return above - below


def beyond(y: float, u: float, lower: float | None, upper: float | None) -> float:
    """The probability of lying beyond the limit that was passed, which alone proves that it was broken.

    ISO 14253-1:2017 (from memory) asks so much of each limit by itself. It matters only between limits that lie so
    close together that a good part of the distribution lies beyond the other one.
    """
    if upper is not None and y > upper:
        return norm.sf(upper, y, u)
    if lower is not None and y < lower:
        return norm.cdf(lower, y, u)
    return 0.0


CASES = {
    # y, u, lower, upper and the probability: shapes of a head, computed with scipy 1.17.
    "in the middle": (10.02, 0.01, 9.95, 10.05, 0.9986501020),
    "on the limit": (1.52, 0.04, 0.89, 1.52, 0.5),
    "near the limit": (1.50, 0.04, 0.89, 1.52, 0.6914624613),
    "one sided": (0.045, 0.005, None, 0.05, 0.8413447461),
    "just not 95 %": (0.0418, 0.005, None, 0.05, 0.9494974166),
    # JCGM 106:2012, 9.5.4 as read in a public copy, scaled by 1/100: 1500 +- 0.2 ohm, u = 0.04, at A = 0.18.
    "resistor": (15.0018, 0.0004, 14.998, 15.002, 0.6914624613),
}


@pytest.mark.parametrize("y, u, lower, upper, expected", CASES.values(), ids=CASES)
def test_known_probabilities(shop, y, u, lower, upper, expected):
    assert inside(y, u, lower, upper) == pytest.approx(expected, abs=1e-9)
    found = judged(shop, y, u, lower, upper, guarded(0.95))
    assert found["conformance_probability"] == pytest.approx(expected, abs=ROUNDING)


def test_random_cases_agree_with_scipy_in_probability_and_verdict(shop):
    random = np.random.default_rng(106)
    tried, worst, verdicts = count(200, 5000), 0.0, {}
    for _ in range(tried):
        lower = round(random.uniform(0.5, 1.0), 3)
        upper = round(lower + random.uniform(0.001, 0.5), 3)
        u = round(random.uniform(0.001, 0.1), 4)
        y = round(random.uniform(max(lower - 0.2, 0), upper + 0.2), 4)
        lower, upper = [(lower, upper), (lower, None), (None, upper)][random.integers(3)]
        wanted = float(random.choice([0.5, 0.8, 0.95, 0.99]))
        found = judged(shop, y, u, lower, upper, guarded(wanted))
        expected = inside(y, u, lower, upper)
        worst = max(worst, abs(found["conformance_probability"] - expected))
        assert abs(found["conformance_probability"] - expected) <= ROUNDING, (y, u, lower, upper)
        outside = beyond(y, u, lower, upper)
        if abs(expected - wanted) > 1e-9 and abs(outside - wanted) > 1e-9:
            verdict = (
                "conforms"
                if expected >= wanted
                else "does-not-conform"
                if outside >= wanted
                else "not-proven"
            )
            assert found["verdict"] == verdict, (y, u, lower, upper, wanted, expected)
            verdicts[verdict] = verdicts.get(verdict, 0) + 1
    assert set(verdicts) == {"conforms", "does-not-conform", "not-proven"}
    reached("probabilities against scipy.stats.norm", f"{tried}, greatest difference {worst:.1e}")


# T/u and the guard factor g at which Phi(g) - Phi(g - T/u) = 0.95, computed with scipy.optimize.brentq;
# the one-sided 1.6449 is norm.ppf(0.95).
@pytest.mark.parametrize(
    "ratio, g",
    [(4, 1.7962127), (4.25, 1.6993848), (4.5, 1.6676823), (5, 1.6487665), (6, 1.6449181), (8, 1.6448536)],
)
def test_the_guard_band_begins_where_it_must(shop, ratio, g):
    u = 0.01
    lower, upper = 1.0, 1.0 + ratio * u
    just_inside, just_outside = round(upper - g * u - 2e-7, 7), round(upper - g * u + 2e-7, 7)
    assert judged(shop, just_inside, u, lower, upper, guarded(0.95))["verdict"] == "conforms"
    assert judged(shop, just_outside, u, lower, upper, guarded(0.95))["verdict"] == "not-proven"


def test_a_gauge_that_is_too_coarse_for_its_tolerance_proves_nothing_anywhere(shop):
    """Below T/u = 3.9199280 = 2 norm.ppf(0.975) no value can be accepted at 95 %."""
    for y in np.linspace(1.0, 1.0391, 9).round(4):
        assert judged(shop, y, 0.01, 1.0, 1.0391, guarded(0.95))["verdict"] == "not-proven"
    assert judged(shop, 1.01965, 0.01, 1.0, 1.0393, guarded(0.95))["verdict"] == "conforms"


def margins(shop, readings: list[tuple[float, float]], probability: float, **bounds: float) -> list[dict]:
    """The margin rows of valves with these readings and standard uncertainties."""
    blocks = [
        {"valve": {"margin": {"value": y, "expanded_uncertainty": u, "coverage_factor": 1}}}
        for y, u in readings
    ]
    profile = small_profile(limit("margin", **bounds), rule=guarded(probability))
    return [rows["margin"] for rows in judge_all(shop, blocks, profile)]


def least_tolerance(probability: float) -> float:
    """Over u: centred on the middle of a narrower one, less than the probability lies inside (JCGM 106, clause 7)."""
    return 2 * norm.ppf((1 + probability) / 2)


@pytest.mark.parametrize(
    "probability, ratio", [(0.95, 3.9199279690), (0.9, 3.2897072539), (0.99, 5.1516586071)]
)
def test_a_gauge_is_too_coarse_just_below_the_least_tolerance_and_not_above(shop, probability, ratio):
    """From scipy.stats.norm: no reading at all is proven to conform below it, and just the middle one above."""
    assert least_tolerance(probability) == pytest.approx(ratio, abs=1e-10)
    lower = 2.0
    for off, coarse in ((-1e-3, True), (-1e-8, True), (1e-8, False), (1e-3, False)):
        upper = round(lower + ratio + off, 10)
        readings = [(round(lower + share * (upper - lower), 10), 1.0) for share in (0, 0.25, 0.5, 0.75, 1)]
        found = margins(shop, readings, probability, lower=lower, upper=upper)
        outcomes = [(one["verdict"], one["reason"]) for one in found]
        undecided = ("not-proven", "gauge-too-coarse" if coarse else "inside-guard-band")
        middle = undecided if coarse else ("conforms", "inside-limits")
        assert outcomes == [undecided, undecided, middle, undecided, undecided], off


def test_random_gauges_are_called_too_coarse_exactly_where_no_reading_could_prove_anything(shop):
    random = np.random.default_rng(392)
    heads, seen = count(8, 60), {}
    for number in range(heads):
        probability = float(random.choice([0.8, 0.95, 0.99]))
        lower = round(random.uniform(0.5, 1.0), 3)
        upper = round(lower + random.uniform(0.05, 0.5), 3)
        both = {"lower": lower, "upper": upper}
        bounds = [both, both, both, {"lower": lower}, {"upper": upper}][number % 5]
        # About as many gauges that are too coarse as others.
        middling = (upper - lower) / least_tolerance(probability)
        spreads = np.round(middling * np.exp(random.uniform(-1, 1, MOST_PORTS)), 6)
        values = np.round(random.uniform(lower - 4 * spreads, upper + 4 * spreads).clip(0), 4)
        readings = list(zip(values.tolist(), spreads.tolist()))
        found = margins(shop, readings, probability, **bounds)
        for (y, u), one in zip(readings, found, strict=True):
            if one["verdict"] != "not-proven":
                continue
            ratio = (upper - lower) / u - least_tolerance(probability)
            assert abs(ratio) > 1e-9 or len(bounds) == 1, "choose another seed"
            coarse = len(bounds) == 2 and ratio < 0
            reason = "gauge-too-coarse" if coarse else "inside-guard-band"
            assert one["reason"] == reason, (y, u, bounds, probability)
            seen[reason] = seen.get(reason, 0) + 1
    assert min(seen.values()) > 20 and len(seen) == 2, seen
    reached(
        "gauges called too coarse", f"{seen['gauge-too-coarse']} of {sum(seen.values())} that proved nothing"
    )


def test_a_gauge_that_is_too_coarse_still_proves_what_lies_far_outside(shop):
    """95 % of the normal distribution lie below 1.6448536 standard deviations (norm.ppf)."""
    readings = [(1.0 + ratio * 0.1, 0.1) for ratio in (1.64, 1.65)]
    found = margins(shop, readings, 0.95, lower=0.9, upper=1.0)
    outcomes = [(one["verdict"], one["reason"]) for one in found]
    assert outcomes == [("not-proven", "gauge-too-coarse"), ("does-not-conform", "above-upper-limit")]


def test_the_simple_rule_takes_the_limits_themselves_as_inside(shop):
    simple = {"rule": "simple"}
    for y in (1.0, 1.5, 1.25):
        assert judged(shop, y, 0.1, 1.0, 1.5, simple)["verdict"] == "conforms"
    for y in (0.9999999, 1.5000001):
        assert judged(shop, y, 0.1, 1.0, 1.5, simple)["verdict"] == "does-not-conform"


def test_without_a_known_uncertainty_the_guarded_rule_proves_nothing(shop):
    found = judged(shop, 1.25, None, 1.0, 1.5, guarded(0.95))
    assert (found["verdict"], found["reason"]) == ("not-proven", "uncertainty-unknown")
    assert "conformance_probability" not in found and "expanded_uncertainty" not in found
    assert judged(shop, 1.25, None, 1.0, 1.5, {"rule": "simple"})["verdict"] == "conforms"


@pytest.mark.parametrize("head", ["irrigation-pump-16v", "cold-store-8v", "generator-3cyl-6v"])
def test_every_probability_of_the_demo_heads_follows_from_its_row(shop, head):
    """From the stated uncertainty, which has three digits, so to a few thousandths only."""
    evaluation = shop.evaluate(request(head))
    checked = 0
    for _, found in all_rows(evaluation):
        if "conformance_probability" not in found:
            continue
        u = found["expanded_uncertainty"] / evaluation["coverage_factor"]
        if u > 0:
            expected = inside(found["measured"], u, found.get("lower"), found.get("upper"))
            assert found["conformance_probability"] == pytest.approx(expected, abs=5e-3), found
            checked += 1
    assert checked > 50


def test_every_limit_of_the_demo_heads_is_the_profiles_in_base_units(shop):
    """1 in = 25.4 mm and 1 lbf = 4.448 221 615 260 5 N exactly, NIST SP 811 (2008), B.8; inHg from memory."""
    factors = {"in": 25.4, "lbf": 4.4482216152605, "inHg": 3.386388640341, "uin": 0.0254}
    units = {"mm": "length", "N": "force", "kPa": "pressure", "um": "roughness"}
    for head in ("cold-store-8v", "irrigation-pump-16v"):
        profile = demo_profile(head)
        assert demo_set(head)["units"] == profile["units"]
        for _, found in all_rows(shop.evaluate(request(head))):
            if "limit" not in found:
                continue
            posted = profile["limits"][found["limit"]]
            assert posted["characteristic"] == found["characteristic"]
            factor = factors.get(profile["units"].get(units.get(found.get("unit")), ""), 1)
            for name in ("lower", "upper"):
                assert (name in posted) == (name in found), found
                if name in posted:
                    assert found[name] == pytest.approx(posted[name] * factor, abs=GRID)
