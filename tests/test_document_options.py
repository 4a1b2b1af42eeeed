"""Options of the documents: a wrong one is a fault where it stands, a right one is accepted and works."""

import copy
import json

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import (
    INCH,
    METRIC,
    all_rows,
    at,
    demo_profile,
    demo_set,
    limit,
    put,
    request,
    row,
    small_profile,
    small_set,
    take,
)
from harness.findings import requested as requested_of
from harness.problems import check_problem, pointers

PORT = "/measurement_set/ports/0"
# NIST SP 811 (2008), B.8: 1 lbf = 4.448 221 615 260 5 N, 1 in = 25.4 mm.
POUND, INCHES = 4.4482216152605, 25.4


def refused(shop, document: dict, *expected: str, path: str = "/v1/evaluate") -> dict:
    """The document is refused for just these places."""
    problem = check_problem(shop.post_text(path, json.dumps(document)), 422, "invalid-document")
    assert set(pointers(problem)) == set(expected)
    return problem


def whole() -> dict:
    """A request with every option in it, right."""
    dial = {"direction": "square", "readings": [0, 0.01, 0.02, 0.01], "angles": [0, 95, 180, 270]}
    winding = {"wire_diameter": 3, "outer_diameter": 28, "active_coils": 6}
    winding |= {"shear_modulus_gpa": 80, "density": 7.9}
    loads = [{"height": 39, "load": 200}, {"height": 30, "load": 420}]
    measured = small_set(
        instruments=[
            {
                "id": "dial",
                "description": "an indicator",
                "measures": "length",
                "expanded_uncertainty": 0.004,
                "coverage_factor": 2,
                "correlation": 0.5,
            }
        ],
        intake={
            "seat": {"runout": dial},
            "valve": {
                "face_runout": copy.deepcopy(dial) | {"instrument": "dial"},
                "stem": {"top": 8, "unworn": 8.01},
            },
            "spring_pack": {"springs": [{"loads": loads, "winding": winding}]},
            "leak": {"held": True},
        },
        deck={"feeler": [{"direction": "lengthwise", "span": 100, "gap": 0.02}]},
    )
    profile = small_profile(
        limit("seat-runout", upper=1),
        limit("deck-flatness-local", upper=1, window={"length": 150, "width": 100}),
        also_report=["stem-wear", "spring-rate", "face-eccentricity"],
    )
    return {"measurement_set": measured, "profile": profile, "budgets": True}


ANGLES, WINDING = f"{PORT}/seat/runout/angles", f"{PORT}/spring_pack/springs/0/winding"
WINDOW, SPAN = "/profile/limits/1/window", "/measurement_set/deck/feeler/0/span"
CORRELATION = "/measurement_set/instruments/0/correlation"


def test_every_option_is_accepted_together(shop):
    evaluation = shop.evaluate(whole())
    shown = {one["characteristic"] for _, one in all_rows(evaluation)}
    assert {"stem-wear", "spring-rate", "face-eccentricity", "deck-flatness-local", "leak-held"} <= shown
    assert row(evaluation, "deck-flatness-local")["measured"] == 0.02
    job = shop.done(shop.submit(take(whole(), "/budgets")))
    assert shop.get(job["links"]["measurement_set"]).json()["instruments"][0]["correlation"] == 0.5


# Place, what is posted there, and where the fault is told if not there.
FAULTS = [
    ("/profile/also_report", "seat-runout"),
    ("/profile/also_report", {"seat-runout": True}),
    ("/profile/also_report/1", 7),
    ("/profile/also_report/1", None),
    ("/profile/also_report/1", "seat-colour"),
    ("/profile/also_report/1", "Seat-Runout"),
    ("/profile/also_report/1", ""),
    ("/profile/also_report", ["stem-wear"] * 201),
    (WINDOW, 75),
    (WINDOW, [75, 75]),
    (f"{WINDOW}/length", "75"),
    (f"{WINDOW}/length", 0),
    (f"{WINDOW}/length", -75),
    (f"{WINDOW}/width", 0),
    (f"{WINDOW}/width", {"value": 75}),
    (f"{WINDOW}/height", 75),
    ("/budgets", "yes"),
    ("/budgets", 1),
    ("/budgets", None),
    (ANGLES, 90),
    (ANGLES, {"0": 90}),
    (f"{ANGLES}/2", "180"),
    (f"{ANGLES}/2", {"value": 180}),
    (f"{ANGLES}/2", 360.001),
    (f"{ANGLES}/2", -360.001),
    (ANGLES, [0, 120, 240]),
    (ANGLES, []),
    (ANGLES, [0, 72, 144, 216, 288]),
    (CORRELATION, "much"),
    (CORRELATION, True),
    (CORRELATION, -0.001),
    (CORRELATION, 1.001),
    (WINDING, 3),
    # An array is no object, even with as many elements as that has members.
    (WINDING, [None, 3, 28, 6, 80, 7.9]),
    ("/measurement_set/deck/feeler/0", ["lengthwise", 100, 0.02]),
    (f"{PORT}/leak", [None, True, None]),
    (f"{WINDING}/wire_diameter", 0),
    (f"{WINDING}/wire_diameter", "3"),
    (f"{WINDING}/outer_diameter", -28),
    (f"{WINDING}/active_coils", 0),
    (f"{WINDING}/shear_modulus_gpa", 0.999),
    (f"{WINDING}/shear_modulus_gpa", 500.1),
    (f"{WINDING}/shear_modulus_gpa", {"value": 81.5}),
    (f"{WINDING}/density", 0.999),
    (f"{WINDING}/density", 25.1),
    (f"{WINDING}/density", "7.85"),
    (f"{WINDING}/free_coils", 2),
    (f"{WINDING}/instrument", "nobody"),
    (SPAN, 0),
    (SPAN, -100),
    (SPAN, "100"),
    (SPAN, {"value": 100}),
    (f"{PORT}/leak/held", "yes"),
    (f"{PORT}/valve/stem/unworn", 0),
    (f"{PORT}/valve/stem/unworn", "8"),
]


@pytest.mark.parametrize(
    "place, value", FAULTS, ids=[f"{place} {str(value)[:20]}" for place, value in FAULTS]
)
def test_a_wrong_option_is_a_fault_where_it_stands(shop, place, value):
    problem = refused(shop, put(whole(), place, value), place)
    for fault in problem["errors"]:
        assert fault["detail"]
        assert fault.get("value", value) == value


@pytest.mark.parametrize("member", ["wire_diameter", "outer_diameter", "active_coils"])
def test_a_winding_is_whole_or_left_out(shop, member):
    refused(shop, take(whole(), f"{WINDING}/{member}"), f"{WINDING}/{member}")


def test_all_wrong_options_come_in_one_answer(shop):
    document, places = whole(), []
    for place, value in (
        ("/profile/also_report/0", "seat-colour"),
        (f"{WINDOW}/width", -1),
        (ANGLES, [0, 1, 2, 3, 4]),
        (CORRELATION, 2),
        (f"{WINDING}/density", 0),
        (SPAN, 0),
    ):
        document = put(document, place, value)
        places.append(place)
    refused(shop, document, *places)
    # With one of the wrong type, which is told by another pass; nothing can be said of readings without gauges.
    document, places = put(document, CORRELATION, 0.5), [place for place in places if place != CORRELATION]
    refused(shop, put(document, "/budgets", "yes"), *places, "/budgets")


@pytest.mark.parametrize("path", ["/v1/jobs", "/v1/profiles"])
def test_budgets_are_for_judging_at_once_only(shop, path):
    document = {"/v1/jobs": whole(), "/v1/profiles": whole()["profile"] | {"budgets": True}}[path]
    refused(shop, document, "/budgets", path=path)


@pytest.mark.parametrize(
    "name, place",
    [
        ("angles", f"{PORT}/seat/angles"),
        ("angles", f"{PORT}/contact"),
        ("span", "/measurement_set/deck/span"),
        ("winding", f"{PORT}/spring_pack/winding"),
        ("correlation", f"{PORT}/valve/correlation"),
        ("window", "/profile/window"),
        ("also_report", "/also_report"),
        ("also_report", "/measurement_set/also_report"),
    ],
)
def test_an_option_in_the_wrong_place_is_told(shop, name, place):
    value = {"angles": at(whole(), ANGLES)} if place.endswith("contact") else [1]
    refused(shop, put(whole(), place, value), f"{place}/{name}" if place.endswith("contact") else place)


def test_a_window_belongs_to_one_characteristic_which_needs_it(shop):
    refused(shop, take(whole(), WINDOW), "/profile/limits/1")
    window = {"length": 75, "width": 75}
    for characteristic in ("deck-flatness", "seat-runout", "deck-flatness-least-squares"):
        limits = [limit(characteristic, upper=1, window=window)]
        refused(shop, whole() | {"profile": small_profile(*limits)}, "/profile/limits/0/window")
    # Listed without a limit nobody knows how large a part is meant.
    listed = small_profile(limit("margin", lower=0), also_report=["margin", "deck-flatness-local"])
    refused(shop, whole() | {"profile": listed}, "/profile/also_report/1")


RIGHT = [
    ("/profile/also_report", []),
    ("/profile/also_report", ["seat-runout", "seat-runout", "crack-test", "margin"]),
    (f"{WINDOW}/length", 0.001),
    ("/budgets", False),
    (f"{ANGLES}/2", 360),
    (f"{ANGLES}/0", -360),
    (ANGLES, [10, 100, 190, 280.5]),
    (ANGLES, [280, 190, 100, 10]),
    (CORRELATION, 0),
    (CORRELATION, 1),
    (f"{WINDING}/shear_modulus_gpa", 1),
    (f"{WINDING}/shear_modulus_gpa", 500),
    (f"{WINDING}/density", 1),
    (f"{WINDING}/density", 25),
    (f"{WINDING}/active_coils", {"repeats": [5.9, 6.1]}),
    (f"{WINDING}/wire_diameter", {"value": 3, "expanded_uncertainty": 0.01, "instrument": "dial"}),
    (SPAN, 0.001),
    (SPAN, 5000),
]


@pytest.mark.parametrize("place, value", RIGHT, ids=[f"{place} {str(value)[:20]}" for place, value in RIGHT])
def test_a_right_option_is_accepted(shop, place, value):
    evaluation = shop.evaluate(put(whole(), place, value))
    assert evaluation["tally"]["conforms"] >= 1


@pytest.mark.parametrize("place", ["/budgets", ANGLES, CORRELATION, WINDING, SPAN, "/profile/also_report"])
def test_every_option_may_be_left_out(shop, place):
    shop.evaluate(take(whole(), place))


def test_what_is_listed_is_shown_without_a_limit_and_changes_nothing_else(shop):
    requested = requested_of(shop)
    assert len(requested) > 20
    limited = {one["characteristic"] for one in demo_profile()["limits"]}
    requested = [name for name in requested if name not in limited]
    before = shop.evaluate(put(request(), "/profile/also_report", []))
    assert not {one["characteristic"] for _, one in all_rows(before)} & set(requested)
    after = shop.evaluate(put(request(), "/profile/also_report", requested))
    added = [one for _, one in all_rows(after) if one["characteristic"] in requested]
    assert len(added) > 100
    # What cannot be shown says what it is that was not given.
    assert all("measured" in one or one["detail"] for one in added)
    for one in added:
        assert one["verdict"] == "no-limit" and not {"limit", "lower", "upper", "deviation"} & set(one), one
    for name in ("disposition", "headline", "reasons", "findings"):
        assert before[name] == after[name]
    kept = [(subject, one) for subject, one in all_rows(after) if one["characteristic"] not in requested]
    assert kept == all_rows(before)
    tallies = before["tally"], after["tally"]
    assert tallies[1]["no_limit"] == tallies[0]["no_limit"] + len(added)
    assert all(tallies[0][name] == tallies[1][name] for name in tallies[0] if name != "no_limit")


def test_a_profile_is_kept_with_what_it_lists_and_its_windows(shop):
    profile = whole()["profile"] | {"id": "with-options"}
    assert shop.post("/v1/profiles", profile).status_code == 201
    kept = json.loads(shop.fetch("/v1/profiles/with-options/1"))
    assert kept["also_report"] == profile["also_report"]
    assert kept["limits"][1]["window"] == profile["limits"][1]["window"]
    named = {
        "measurement_set": whole()["measurement_set"],
        "profile_ref": {"id": "with-options", "revision": "1"},
    }
    inline = {"measurement_set": whole()["measurement_set"], "profile": profile}
    assert shop.evaluate(named) == shop.evaluate(inline)
    # Without the list it is another profile.
    assert shop.post("/v1/profiles", take(profile, "/also_report")).status_code == 409


def test_budgets_change_nothing_but_themselves(shop):
    without = shop.evaluate(request())
    with_budgets = shop.evaluate(request(budgets=True))
    lines = 0
    for _, one in all_rows(with_budgets):
        lines += len(one.pop("budget", []))
    assert with_budgets == without
    assert lines > 400
    assert not any("budget" in one for _, one in all_rows(shop.evaluate(request(budgets=False))))


def spring(points, units: dict) -> dict:
    loads = [{"height": height, "load": load} for height, load in points]
    return small_set(units, intake={"spring_pack": {"springs": [{"loads": loads}]}})


def judged_rate(shop, document: dict, units: dict, **bounds) -> dict:
    profile = small_profile(limit("spring-rate", **bounds), units=units)
    return row(shop.evaluate({"measurement_set": document, "profile": profile}), "spring-rate", "intake")


def test_a_spring_rate_is_limited_in_pounds_per_inch_where_both_are_the_units(shop):
    """350 lbf/in is 61.29439... N/mm; a spring of 80 lbf at 1.8 in and 220 at 1.4 has just that."""
    document = spring([(1.8, 80), (1.4, 220)], INCH)
    exact = 350 * POUND / INCHES
    assert exact == pytest.approx(61.29439, abs=5e-6)
    for bounds, verdict in (
        ({"upper": 350}, "conforms"),
        ({"lower": 350}, "conforms"),
        ({"lower": 350, "upper": 350}, "conforms"),
        ({"upper": 349.9999}, "does-not-conform"),
        ({"lower": 350.0001}, "does-not-conform"),
    ):
        found = judged_rate(shop, document, INCH, **bounds)
        assert found["verdict"] == verdict, bounds
        assert found["unit"] == "N/mm"
        assert found["measured"] == pytest.approx(exact, abs=0.6e-8)
        for name, value in bounds.items():
            assert found[name] == pytest.approx(value * POUND / INCHES, abs=0.6e-8)


def test_a_limit_in_pounds_per_inch_holds_a_spring_measured_in_millimetres_and_the_other_way_round(shop):
    metric = spring([(45, 300), (35, 912.9439)], METRIC)
    assert judged_rate(shop, metric, INCH, upper=350)["verdict"] == "conforms"
    assert judged_rate(shop, metric, INCH, upper=349.99)["verdict"] == "does-not-conform"
    inches = spring([(1.8, 80), (1.4, 220)], INCH)
    assert judged_rate(shop, inches, METRIC, upper=61.2944)["verdict"] == "conforms"
    assert judged_rate(shop, inches, METRIC, upper=61.2943)["verdict"] == "does-not-conform"


@pytest.mark.parametrize("changed", [{"force": "N"}, {"length": "mm"}, {"force": "N", "length": "mm"}])
def test_a_spring_rate_is_limited_in_newtons_per_millimetre_where_one_of_them_is_not(shop, changed):
    document = spring([(1.8, 80), (1.4, 220)], INCH)
    found = judged_rate(shop, document, INCH | changed, upper=61.3)
    assert (found["upper"], found["verdict"]) == (61.3, "conforms")


def test_every_whole_rate_in_pounds_per_inch_conforms_to_a_limit_of_itself(shop):
    """Unit conversion must not flip a verdict at a limit: lower and upper limit are the rate itself."""
    random = np.random.default_rng(350)
    # At these a factor cut short after 13 decimals crosses the middle between two steps of 1e-8 N/mm.
    rates = [142, 426, 710, 994, *random.permutation(np.arange(1, 1001))[: count(60, 1000)].tolist()]
    for rate in rates:
        high = int(random.integers(140, 200)) / 100
        span = int(random.integers(1, 10)) / 20
        light = int(random.integers(0, 1000)) / 10
        points = [(high, light), (round(high - span, 2), round(light + rate * span, 2))]
        found = judged_rate(shop, spring(points, INCH), INCH, lower=rate, upper=rate)
        assert (found["verdict"], found["deviation"]) == ("conforms", 0), (rate, points)
    reached("rates in lbf/in at their own limit", len(rates))


def test_a_demo_profile_may_limit_rates_in_its_own_unit(shop):
    """The demo head in inches: 81 lbf over .38 in at its first intake."""
    profile = demo_profile("cold-store-8v")
    profile["limits"].append(limit("spring-rate", service="intake", lower=200, upper=250))
    evaluation = shop.evaluate({"measurement_set": demo_set("cold-store-8v"), "profile": profile})
    found = row(evaluation, "spring-rate", "intake")
    assert found["measured"] == pytest.approx((142.9 - 61.9) / 0.38 * POUND / INCHES, abs=1e-8)
    assert found["limit"] == len(profile["limits"]) - 1 and found["verdict"] == "conforms"
    assert found["lower"] == pytest.approx(200 * POUND / INCHES, abs=1e-8)
