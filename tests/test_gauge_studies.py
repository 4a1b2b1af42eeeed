"""Studies of gauges: what they say, held against published figures and other sums, and what is refused."""

import copy
import csv
import json
import re
from decimal import Decimal

import numpy as np
import pytest
from scipy import stats

from harness.documents import demo_set, put, request
from harness.places import OPENAPI, ROOT
from harness.problems import check_problem, pointers
from harness.program import run
from harness.shop import Shop

PUBLISHED = ROOT / "crates" / "line" / "tests" / "data" / "gauge_10x3x3.csv"
EXAMPLES = ("seat-width", "dial-gauge")
# A double, and what is rounded to 15 digits of it.
CLOSE = 1e-11


def example(name: str, ending: str = "gauge-study") -> dict:
    return json.loads((OPENAPI / "examples" / f"{name}.{ending}.json").read_text())


def crossed(rows: list[dict], **more: object) -> dict:
    """A study of these rows; what belongs beside them goes there, the rest into the document."""
    block = {"readings": rows} | {name: more.pop(name) for name in ("pooling_above", "repeats") if name in more}
    return {"format": "headproof/gauge-study/1", "title": "A study", "unit": "mm", "crossed": block} | more


def reference(readings: list[float], value: float, **more: object) -> dict:
    limits = {name: more.pop(name) for name in ("lower", "upper", "confidence", "unit") if name in more}
    block = {"reference_value": value, "readings": readings} | more
    document = {"format": "headproof/gauge-study/1", "title": "A study", "unit": "mm", "reference": block}
    return document | limits


def rows_of(values: np.ndarray) -> list[dict]:
    """Rows of readings by part, operator and trial, operator after operator."""
    return [
        {"part": f"P{part}", "operator": f"O{operator}", "value": float(values[part, operator, trial])}
        for operator in range(values.shape[1])
        for trial in range(values.shape[2])
        for part in range(values.shape[0])
    ]


def published() -> np.ndarray:
    """AIAG, Measurement Systems Analysis, 4th edition, chapter III: 10 parts, 3 operators, 3 trials; the file says more."""
    lines = [line for line in PUBLISHED.read_text().splitlines() if not line.startswith("#")]
    table = list(csv.reader(lines))[1:]
    values = np.array([[float(value) for value in row[2:]] for row in table]).reshape(3, 3, 10)
    return values.transpose(2, 0, 1)


def study(shop: Shop, document: dict) -> dict:
    response = shop.post("/v1/gauge-studies", document)
    assert response.status_code == 200, response.text
    return response.json()


def refused(shop: Shop, document: dict) -> dict:
    return check_problem(shop.post("/v1/gauge-studies", document), 422, "invalid-document")


def agree(found: float, expected: float, within: float = CLOSE) -> None:
    assert found == pytest.approx(expected, rel=within, abs=1e-300), (found, expected)


# Published figures: AIAG MSA, 4th edition (from memory), to the places printed there.


def printed(found: float, figure: str) -> None:
    """As printed, give or take the last place: printed results were made from rounded ones."""
    assert abs(Decimal(found) - Decimal(figure)) <= Decimal(1).scaleb(Decimal(figure).as_tuple().exponent), (found, figure)


def test_the_published_study_by_analysis_of_variance(shop):
    found = study(shop, crossed(rows_of(published())))
    assert (found["kind"], found["crossed"]["parts"], found["crossed"]["trials"]) == ("crossed", 10, 3)
    analysis = found["crossed"]["analysis_of_variance"]
    table = analysis["with_interaction"]
    for row, ss, df in [
        ("operator", "3.1673", 2),
        ("part", "88.3619", 9),
        ("interaction", "0.3590", 18),
        ("error", "2.7589", 60),
    ]:
        printed(table[row]["ss"], ss)
        assert table[row]["df"] == df
    printed(table["total_ss"], "94.6471")
    assert analysis["used"] == "without-interaction" and "interaction" not in analysis["components"]
    deviations = analysis["deviations"]
    for name, deviation, percent in [
        ("repeatability", "0.199933", "18.4"),
        ("reproducibility", "0.226838", "20.9"),
        # 0.302373 in print, from rounded components.
        ("grr", "0.30237", "27.9"),
        ("part", "1.042327", "96.0"),
    ]:
        printed(deviations[name]["standard_deviation"], deviation)
        printed(deviations[name]["percent_of_total"], percent)
    assert analysis["distinct_categories"]["ndc"] == 4
    assert analysis["distinct_categories"]["unrounded"] == pytest.approx(4.86, abs=0.005)
    assert found["outcome"] == "limited" and "27.9 % of the total variation" in found["headline"]


def test_the_published_study_by_averages_and_ranges(shop):
    ranges = study(shop, crossed(rows_of(published())))["crossed"]["average_range"]
    for name, constant in [("k1", "0.5908"), ("k2", "0.5231"), ("k3", "0.3146")]:
        printed(ranges["constants"][name], constant)
    for name, figure in [("mean_range", "0.3417"), ("operator_difference", "0.4447"), ("part_range", "3.511")]:
        printed(ranges[name], figure)
    for name, deviation, percent in [
        ("repeatability", "0.2019", "17.6"),
        ("reproducibility", "0.2297", "20.0"),
        ("grr", "0.3058", "26.7"),
        ("part", "1.1046", "96.4"),
        ("total", "1.1461", "100.0"),
    ]:
        # K3 is printed to four places, which a range of 3.511 turns into some 2e-4.
        assert ranges["deviations"][name]["standard_deviation"] == pytest.approx(float(deviation), abs=2.5e-4)
        printed(ranges["deviations"][name]["percent_of_total"], percent)
    assert ranges["distinct_categories"]["ndc"] == 5


# By hand with numpy, and scipy for the distributions.


def table_by_hand(values: np.ndarray) -> dict[str, tuple[float, int]]:
    n, k, r = values.shape
    part, operator, cell = values.mean((1, 2)), values.mean((0, 2)), values.mean(2)
    mean = values.mean()
    between = cell - part[:, None] - operator[None, :] + mean
    return {
        "part": (k * r * ((part - mean) ** 2).sum(), n - 1),
        "operator": (n * r * ((operator - mean) ** 2).sum(), k - 1),
        "interaction": (r * (between**2).sum(), (n - 1) * (k - 1)),
        "error": (((values - cell[:, :, None]) ** 2).sum(), n * k * (r - 1)),
    }


def components_by_hand(values: np.ndarray, pooled: bool) -> dict[str, float]:
    n, k, r = values.shape
    table = table_by_hand(values)
    ms = {name: ss / df for name, (ss, df) in table.items()}
    (ss, df), (more, further) = table["error"], table["interaction"]
    error = (ss + more) / (df + further) if pooled else ms["error"]
    below = error if pooled else ms["interaction"]
    return {
        "repeatability": error,
        "operator": (ms["operator"] - below) / (n * r),
        "interaction": 0.0 if pooled else (ms["interaction"] - error) / r,
        "part": (ms["part"] - below) / (k * r),
    }


def generated(seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    n, k, r = rng.integers(2, 15), rng.integers(2, 6), rng.integers(2, 5)
    parts, operators = rng.normal(0, 1, (n, 1, 1)), rng.normal(0, 0.2, (1, k, 1))
    both, error = rng.normal(0, 0.1 * (seed % 4), (n, k, 1)), rng.normal(0, 0.15, (n, k, r))
    return np.round(25.0 + parts + operators + both + error, 3)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("above", [None, 0, 1])
def test_generated_studies_agree_with_sums_by_hand(shop, seed, above):
    values = generated(seed)
    n, k, r = values.shape
    asked = {} if above is None else {"pooling_above": above}
    document = crossed(rows_of(values), lower=20.0, upper=30.5, confidence=0.9, repeats=3, **asked)
    found = study(shop, document)["crossed"]
    analysis = found["analysis_of_variance"]
    table = table_by_hand(values)
    below = {"part": "interaction", "operator": "interaction", "interaction": "error"}
    for name, (ss, df) in table.items():
        row = analysis["with_interaction"][name]
        agree(row["ss"], ss, 1e-9)
        assert row["df"] == df
        if name in below:
            other, freedom = table[below[name]]
            ratio = (ss / df) / (other / freedom)
            agree(row["f"], ratio, 1e-9)
            agree(row["p"], stats.f.sf(ratio, df, freedom), 1e-7)
        else:
            assert "f" not in row and "p" not in row
    p = analysis["with_interaction"]["interaction"]["p"]
    pooled = {None: p > 0.25, 0: True, 1: False}[above]
    assert analysis["used"] == ("without-interaction" if pooled else "with-interaction")
    components = components_by_hand(values, pooled)
    for name, estimate in components.items():
        if pooled and name == "interaction":
            assert name not in analysis["components"]
            continue
        one = analysis["components"][name]
        assert one["estimate"] == pytest.approx(estimate, rel=1e-8, abs=1e-12)
        assert one["set_to_zero"] == (one["estimate"] < 0) and one["variance"] == max(one["estimate"], 0)
    counted = {name: max(variance, 0.0) for name, variance in components.items()}
    grr = counted["repeatability"] + counted["operator"] + counted["interaction"]
    total = grr + counted["part"]
    for name, variance in [
        ("repeatability", counted["repeatability"]),
        ("reproducibility", counted["operator"]),
        ("interaction", counted["interaction"]),
        ("grr", grr),
        ("part", counted["part"]),
        ("total", total),
    ]:
        one = analysis["deviations"][name]
        agree(one["standard_deviation"], variance**0.5, 1e-7)
        agree(one["percent_of_total"], 100 * (variance / total) ** 0.5, 1e-7)
        agree(one["percent_of_tolerance"], 600 * variance**0.5 / 10.5, 1e-7)
    categories = analysis["distinct_categories"]
    agree(categories["unrounded"], 1.41 * (counted["part"] / grr) ** 0.5, 1e-7)
    assert categories["ndc"] == int(categories["unrounded"])
    freedom = table["error"][1] + (table["interaction"][1] if pooled else 0)
    for end, chance in [("lower", 0.95), ("upper", 0.05)]:
        square = components["repeatability"] * freedom / stats.chi2.ppf(chance, freedom)
        agree(analysis["repeatability_interval"][end], square**0.5, 1e-8)
    # Graybill and Wang (1980): the modified large sample method, from memory.
    weighed = [(1 / (n * r), "operator"), ((n - 1) / (n * r), "interaction"), ((r - 1) / r, "error")]
    squares = {name: (ss / df, df) for name, (ss, df) in table.items()}
    if pooled:
        weighed = [(1 / (n * r), "operator"), (1 - 1 / (n * r), "error")]
        squares["error"] = components["repeatability"], freedom
    terms = [(weight * squares[name][0], squares[name][1]) for weight, name in weighed]
    for end, chance in [("lower", 0.95), ("upper", 0.05)]:
        off = [((1 - df / stats.chi2.ppf(chance, df)) * term) ** 2 for term, df in terms]
        square = sum(term for term, _ in terms) - sum(off) ** 0.5 * (1 if end == "lower" else -1)
        agree(analysis["grr_interval"][end], max(square, 0) ** 0.5, 1e-8)
    one = counted["repeatability"] / 3 + counted["operator"] + counted["interaction"]
    agree(found["judging"]["standard_uncertainty"], one**0.5, 1e-7)
    agree(found["judging"]["guard_band"], stats.norm.ppf(0.95) * one**0.5, 1e-7)
    agree(found["judging"]["tolerance_for_10_percent"], 60 * one**0.5, 1e-7)
    agree(found["judging"]["tolerance_for_30_percent"], 20 * one**0.5, 1e-7)
    ranges = found["average_range"]
    agree(ranges["mean_range"], np.ptp(values, 2).mean(), 1e-9)
    agree(ranges["operator_difference"], np.ptp(values.mean((0, 2))), 1e-9)
    agree(ranges["part_range"], np.ptp(values.mean((1, 2))), 1e-9)
    agree(found["mean"], values.mean())


def test_one_limit_is_held_against_the_mean(shop):
    values = published()
    document = crossed(rows_of(values), upper=5.0)
    deviations = study(shop, document)["crossed"]["analysis_of_variance"]["deviations"]
    assert deviations["tolerance_share"] == "one-sided"
    grr = deviations["grr"]
    agree(grr["percent_of_tolerance"], 300 * grr["standard_deviation"] / (5.0 - values.mean()), 1e-9)
    beyond = study(shop, crossed(rows_of(values), upper=-1.0))
    assert "total variation" in beyond["headline"]
    deviations = beyond["crossed"]["analysis_of_variance"]["deviations"]
    assert "tolerance_share" not in deviations and "percent_of_tolerance" not in deviations["grr"]


def test_rows_may_come_in_any_order_when_they_state_their_trials(shop):
    values = published()
    rows = rows_of(values)
    seen: dict[tuple, int] = {}
    for row in rows:
        cell = row["part"], row["operator"]
        seen[cell] = row["trial"] = seen.get(cell, 0) + 1
    expected = study(shop, crossed(rows_of(values)))
    assert study(shop, crossed(rows)) == expected
    shuffled = np.random.default_rng(1).permutation(len(rows))
    found = study(shop, crossed([rows[index] for index in shuffled]))
    agree(
        found["crossed"]["analysis_of_variance"]["with_interaction"]["error"]["ss"],
        expected["crossed"]["analysis_of_variance"]["with_interaction"]["error"]["ss"],
    )
    assert found["crossed"]["average_range"]["mean_range"] == pytest.approx(0.3416666666, abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_a_study_on_a_reference_agrees_with_scipy(shop, seed):
    rng = np.random.default_rng(seed)
    readings = np.round(rng.normal(20.004, 0.0008, int(rng.integers(10, 60))), 4)
    more = {"reference_uncertainty": 0.0004, "resolution": 0.0005, "share": 0.15, "multiple": 4, "wanted": 1.5}
    document = reference(readings.tolist(), 20.0035, lower=19.99, upper=20.01, confidence=0.99, **more)
    found = study(shop, document)
    result = found["reference"]
    assert found["kind"] == "reference" and result["n"] == len(readings)
    assert result["few"] == (len(readings) < 25)
    test = stats.ttest_1samp(readings, 20.0035)
    agree(result["bias"], readings.mean() - 20.0035, 1e-7)
    agree(result["bias_test"]["t"], test.statistic, 1e-7)
    agree(result["bias_test"]["p"], test.pvalue, 1e-6)
    assert result["bias_test"]["outcome"] == ("significant" if test.pvalue < 0.01 else "not-significant")
    interval = test.confidence_interval(0.99)
    for end, expected in [("lower", interval.low - 20.0035), ("upper", interval.high - 20.0035)]:
        assert result["bias_interval"][end] == pytest.approx(expected, abs=1e-12)
    s = readings.std(ddof=1)
    agree(result["s"], s, 1e-8)
    freedom = len(readings) - 1
    for end, chance in [("lower", 0.995), ("upper", 0.005)]:
        agree(result["s_interval"][end], s * (freedom / stats.chi2.ppf(chance, freedom)) ** 0.5, 1e-8)
    bias = abs(readings.mean() - 20.0035)
    indices = result["capability"]
    agree(result["tolerance"], 0.02)
    agree(indices["cg"], 0.15 * 0.02 / (4 * s), 1e-7)
    agree(indices["cgk"], (0.075 * 0.02 - bias) / (2 * s), 1e-6)
    assert indices["cg_sufficient"] == (indices["cg"] >= 1.5)
    assert indices["cgk_sufficient"] == (indices["cgk"] >= 1.5)
    agree(indices["resolution_percent"], 2.5)
    is_good = indices["cg_sufficient"] and indices["cgk_sufficient"] and indices["resolution_sufficient"]
    assert found["outcome"] == ("good" if is_good else "unfit")
    resolution = 0.0005 / 12**0.5
    combined = (max(s, resolution) ** 2 + bias**2 / 3 + 0.0004**2) ** 0.5
    agree(result["uncertainty"]["combined"], combined, 1e-6)
    entry = found["for_the_instrument"]
    assert entry["expanded_uncertainty"] == pytest.approx(2 * combined, rel=5e-3)
    assert entry["resolution"] == 0.0005


def test_what_it_says_of_the_instrument_can_be_stated_in_a_set(shop):
    entry = study(shop, example("seat-width"))["for_the_instrument"]
    assert (entry["measures"], entry["unit"], entry["coverage_factor"]) == ("length", "mm", 2)
    assert entry["expanded_uncertainty"] == pytest.approx(2 * entry["standard_uncertainty"], rel=1e-2)
    measured = demo_set()
    (at, *_) = [n for n, gauge in enumerate(measured["instruments"]) if gauge["measures"] == "length"]
    assert measured["units"]["length"] == entry["unit"]
    for name in ("expanded_uncertainty", "coverage_factor"):
        measured = put(measured, f"/instruments/{at}/{name}", entry[name])
    assert shop.evaluate(request() | {"measurement_set": measured})["format"] == "headproof/evaluation/1"


def test_of_several_readings_only_the_judging_gets_better(shop):
    once, often = (study(shop, put(example("seat-width"), "/crossed/repeats", repeats)) for repeats in (1, 4))
    assert often["crossed"]["judging"]["standard_uncertainty"] < once["crossed"]["judging"]["standard_uncertainty"]
    assert often["for_the_instrument"] == once["for_the_instrument"]


def numbers(value: object) -> list[float]:
    if isinstance(value, dict):
        return [number for one in value.values() for number in numbers(one)]
    return [value] if isinstance(value, float) else []


@pytest.mark.parametrize("name", EXAMPLES)
def test_numbers_have_at_most_15_digits(shop, name):
    found = numbers(study(shop, example(name)))
    assert len(found) > 15
    for number in found:
        assert len(Decimal(repr(number)).normalize().as_tuple().digits) <= 15, number


def test_without_any_scatter_nothing_is_made_up(shop):
    found = study(shop, crossed(rows_of(np.full((3, 2, 2), 1.1))))
    assert found["outcome"] == "undecided" and "for_the_instrument" not in found
    analysis = found["crossed"]["analysis_of_variance"]
    assert "f" not in analysis["with_interaction"]["part"] and "distinct_categories" not in analysis
    assert "percent_of_total" not in analysis["deviations"]["grr"]
    found = study(shop, reference([5.0] * 30, 5.0, lower=4.9, upper=5.1))
    assert found["reference"]["bias_test"] == {"outcome": "no-bias"}
    assert "cg" not in found["reference"]["capability"] and found["reference"]["capability"]["cg_sufficient"]
    assert "for_the_instrument" not in found and "without bound" in found["headline"]
    found = study(shop, reference([5.0] * 30, 5.001))
    assert found["reference"]["bias_test"] == {"outcome": "no-scatter"} and found["outcome"] == "undecided"
    assert found["for_the_instrument"]["standard_uncertainty"] > 0


def test_the_greatest_and_the_least_numbers_make_no_gaps(shop):
    for size in (10**14, 1e-300):
        readings = [size * n for n in (1, 2, 3, 5, 7, 8, 9, 10)]
        rows = [{"part": f"{n & 1}", "operator": f"{n >> 1 & 1}", "value": value} for n, value in enumerate(readings)]
        text = json.dumps(study(shop, crossed(rows, lower=0, upper=5 * size)))
        assert "null" not in text and "NaN" not in text
        text = json.dumps(study(shop, reference(readings * 2, size, lower=0, upper=5 * size)))
        assert "null" not in text and "NaN" not in text


# Faults.


def seat(pointer: str, value: object) -> dict:
    return put(example("seat-width"), pointer, value)


def dial(pointer: str, value: object) -> dict:
    return put(example("dial-gauge"), pointer, value)


def with_trials(leaving_out: int | None = None) -> list[dict]:
    rows = example("seat-width")["crossed"]["readings"]
    return [row if n == leaving_out else row | {"trial": n // 30 + 1} for n, row in enumerate(rows)]


def without(document: dict, name: str) -> dict:
    return {key: value for key, value in document.items() if key != name}


@pytest.mark.parametrize(
    "document, expected",
    [
        (seat("/format", "headproof/gauge-study/2"), ["/format"]),
        (seat("/title", " "), ["/title"]),
        (seat("/title", "x" * 201), ["/title"]),
        (seat("/instrument", ""), ["/instrument"]),
        (seat("/unit", "furlong"), ["/unit"]),
        (seat("/unit", "N"), ["/unit"]),
        (seat("/characteristic", "colour"), ["/characteristic"]),
        (seat("/characteristic", "compression-ratio"), ["/characteristic"]),
        (seat("/upper", 1.0), ["/upper"]),
        (put(seat("/upper", 6 * 10**14), "/lower", -6 * 10**14), ["/lower", "/upper"]),
        (seat("/lower", -6 * 10**14), ["/lower"]),
        (seat("/confidence", 1), ["/confidence"]),
        (dial("/confidence", 0), ["/confidence"]),
        (seat("/crossed/pooling_above", 1.1), ["/crossed/pooling_above"]),
        (seat("/crossed/repeats", 0), ["/crossed/repeats"]),
        (seat("/crossed/repeats", 2.5), ["/crossed/repeats"]),
        (seat("/crossed/readings/7/value", "1.3"), ["/crossed/readings/7/value"]),
        (seat("/crossed/readings/7/value", None), ["/crossed/readings/7/value"]),
        (seat("/crossed/readings/7/value", 2 * 10**15), ["/crossed/readings/7/value"]),
        (seat("/crossed/readings/7/part", ""), ["/crossed/readings/7/part"]),
        (seat("/crossed/readings/7/colour", "red"), ["/crossed/readings/7/colour"]),
        (seat("/crossed/readings/7/trial", 1), ["/crossed/readings/7/trial"]),
        (seat("/crossed/readings", with_trials(leaving_out=7)), ["/crossed/readings/7/trial"]),
        (seat("/crossed/readings/7/trial", 21), ["/crossed/readings/7/trial"]),
        (seat("/reference", example("dial-gauge")["reference"]), [""]),
        (without(example("seat-width"), "crossed"), [""]),
        (without(example("seat-width"), "unit"), ["/unit"]),
        (dial("/reference/readings", [1.0] * 9), ["/reference/readings"]),
        (dial("/reference/readings/3", 10**16), ["/reference/readings/3"]),
        (dial("/reference/reference_value", -(10**16)), ["/reference/reference_value"]),
        (dial("/reference/reference_uncertainty", -0.1), ["/reference/reference_uncertainty"]),
        (dial("/reference/resolution", 0), ["/reference/resolution"]),
        (dial("/reference/share", 0), ["/reference/share"]),
        (dial("/reference/multiple", 0.5), ["/reference/multiple"]),
        (dial("/reference/wanted", 0), ["/reference/wanted"]),
    ],
)
def test_a_fault_is_told_where_it_is(shop, document, expected):
    assert pointers(refused(shop, document)) == sorted(expected)


def test_all_faults_come_at_once(shop):
    document = seat("/crossed/readings/3/value", 2 * 10**15)
    for pointer, value in [("/title", ""), ("/upper", 0.5), ("/confidence", 2), ("/colour", 1)]:
        document = put(document, pointer, value)
    expected = ["/colour", "/confidence", "/crossed/readings/3/value", "/title", "/upper"]
    assert pointers(refused(shop, document)) == expected
    document = dial("/reference/share", 2)
    for pointer, value in [("/reference/readings/1", 2 * 10**15), ("/confidence", 2), ("/reference/resolution", -1)]:
        document = put(document, pointer, value)
    expected = ["/confidence", "/reference/readings/1", "/reference/resolution", "/reference/share"]
    assert pointers(refused(shop, document)) == expected


def test_a_study_that_is_not_balanced_names_the_row(shop):
    document = example("seat-width")
    rows = document["crossed"]["readings"]
    last = copy.deepcopy(rows[-1])
    # One too few: told at the last row of the same part and operator.
    problem = refused(shop, seat("/crossed/readings", rows[:-1]))
    assert pointers(problem) == ["/crossed/readings/59"] and last["part"] in problem["errors"][0]["detail"]
    # One too many: told at itself.
    problem = refused(shop, seat("/crossed/readings", [*rows, last]))
    assert pointers(problem) == ["/crossed/readings/90"] and last["operator"] in problem["errors"][0]["detail"]
    # None at all: there is no row to name.
    rest = [row for row in rows if (row["part"], row["operator"]) != (last["part"], last["operator"])]
    problem = refused(shop, seat("/crossed/readings", rest))
    assert pointers(problem) == ["/crossed/readings"] and last["part"] in problem["errors"][0]["detail"]
    # With trials that are stated, the same trial twice and another not at all.
    stated = with_trials()
    stated[-1]["trial"] = 2
    problem = refused(shop, seat("/crossed/readings", stated))
    assert pointers(problem) == ["/crossed/readings/89", "/crossed/readings/89/trial"]


def test_a_study_of_too_few_or_too_many_is_refused(shop):
    for shape, words in [
        ((1, 4, 4), "2 to 200 parts, has 1"),
        ((4, 1, 4), "2 to 20 operators, has 1"),
        ((4, 4, 1), "2 to 20 readings of a part by an operator, has 1"),
        ((2, 2, 21), "2 to 20 readings of a part by an operator, has 21"),
        ((201, 2, 2), "2 to 200 parts, has 201"),
        ((2, 21, 2), "2 to 20 operators, has 21"),
    ]:
        problem = refused(shop, crossed(rows_of(np.ones(shape))))
        assert pointers(problem) == ["/crossed/readings"] and words in problem["errors"][0]["detail"]
    assert "/crossed/readings" in pointers(refused(shop, crossed([])))


def test_codes_are_any_text_and_are_told_apart_as_they_are(shop):
    """Composed and decomposed letters are different texts, and nobody is asked to guess."""
    parts = ["座 1", "座 2", "مقعد", "é", "e\u0301", "🔧", "a/b~c", '"', "  x ", "x", "ẞ", "ss"]
    values = np.random.default_rng(3).normal(1, 0.1, (len(parts), 2, 2)).round(3)
    rows = rows_of(values)
    for row in rows:
        row["part"] = parts[int(row["part"][1:])]
        row["operator"] = {"O0": "Ǵ. \u200d", "O1": "Ω"}[row["operator"]]
    found = study(shop, crossed(rows, title="Ξ 研究 🔧", instrument="جهاز"))
    assert (found["crossed"]["parts"], found["title"], found["instrument"]) == (12, "Ξ 研究 🔧", "جهاز")
    assert found["crossed"] == study(shop, crossed(rows_of(values)))["crossed"]
    turned = put(crossed(rows), "/crossed/readings/0/part", "座\u202e 1")
    assert "/crossed/readings/0/part" in pointers(refused(shop, turned))
    longest = copy.deepcopy(rows)
    for row in longest:
        row["part"] += "長" * (200 - len(row["part"]))
    assert study(shop, crossed(longest))["crossed"] == found["crossed"]
    longest[0]["part"] += "長"
    assert "/crossed/readings/0/part" in pointers(refused(shop, crossed(longest)))


def test_the_largest_study_is_taken_and_a_larger_one_is_not(shop):
    values = np.random.default_rng(4).integers(0, 9, (200, 20, 20)).astype(float)
    rows = [
        {"part": f"{part}", "operator": f"{operator}", "value": int(values[part, operator, trial])}
        for part in range(200)
        for operator in range(20)
        for trial in range(20)
    ]
    text = json.dumps(crossed(rows), separators=(",", ":"))
    response = shop.post_text("/v1/gauge-studies", text)
    assert response.status_code == 200, response.text[:500]
    table = response.json()["crossed"]["analysis_of_variance"]["with_interaction"]
    for name, (ss, _) in table_by_hand(values).items():
        agree(table[name]["ss"], ss, 1e-9)
    text = json.dumps(crossed([*rows, rows[0]]), separators=(",", ":"))
    problem = check_problem(shop.post_text("/v1/gauge-studies", text), 422, "invalid-document")
    assert "/crossed/readings" in pointers(problem)
    problem = refused(shop, reference([1.0] * 10_001, 1.0))
    assert pointers(problem) == ["/reference/readings"]
    # Every row a part and an operator of its own: quickly told, and not cell by cell.
    apart = [{"part": f"{n}", "operator": f"{n}", "value": 1} for n in range(60_000)]
    problem = refused(shop, crossed(apart))
    assert set(pointers(problem)) == {"/crossed/readings"} and len(problem["errors"]) == 3


def test_a_huge_body_is_refused(shop):
    check_problem(shop.post_text("/v1/gauge-studies", b" " * (5 << 20)), 413, "too-large")


# Without a service.


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_command_says_the_same_as_the_service(shop, name):
    path = OPENAPI / "examples" / f"{name}.gauge-study.json"
    finished = run("gauge-study", path, "--json")
    found = study(shop, example(name))
    assert (finished.returncode, finished.stderr) == (0, b"")
    assert json.loads(finished.stdout) == found == example(name, "gauge-study-result")
    finished = run("gauge-study", "-", input=path.read_bytes())
    assert finished.returncode == 0 and finished.stdout == run("gauge-study", path).stdout


def test_the_tables_show_the_published_numbers(tmp_path):
    path = tmp_path / "study.json"
    path.write_text(json.dumps(crossed(rows_of(published()))))
    finished = run("gauge-study", path)
    said = finished.stdout.decode()
    assert (finished.returncode, finished.stderr) == (0, b"")
    for shown in ("LIMITED", "88.3619", "3.16726", "0.358982", "2.75893", "0.302372", "27.9", "0.305783"):
        assert shown in said, said
    assert re.search(r"distinct categories +4 ", said) and re.search(r"distinct categories +5 ", said)


def test_exit_codes_tell_an_unfit_gauge_and_faults(tmp_path):
    path = tmp_path / "study.json"
    path.write_text(json.dumps(crossed(rows_of(published()), lower=-0.5, upper=0.5)))
    finished = run("gauge-study", path)
    assert finished.returncode == 1 and b"UNFIT" in finished.stdout
    path.write_text(json.dumps(put(seat("/title", ""), "/crossed/readings/4/value", 2 * 10**15)))
    finished = run("gauge-study", path)
    said = finished.stderr.decode()
    assert (finished.returncode, finished.stdout) == (2, b"")
    assert "/title" in said and "/crossed/readings/4/value" in said
    path.write_text("{")
    finished = run("gauge-study", path)
    assert (finished.returncode, finished.stdout) == (2, b"") and str(path) in finished.stderr.decode()
