"""What many heads say together, against numpy and scipy on the same values. They are taken from the evaluations that the
service keeps of each head, so that nothing here knows how it gathers them."""

import csv
import io
import json
import math
import random

import numpy as np
import pytest
from scipy import integrate, stats

from harness.access import first_key
from harness.counts import reached
from harness.documents import request
from harness.pdf import detached
from harness.problems import check_problem
from harness.program import run
from harness.shop import Shop
from harness.signing import Signer, concessions, judged

HEADS = 40
CHARACTERISTIC = "recession"
START = 1_780_000_000


def posted(number: int, draw: random.Random, **job: str) -> dict:
    """A head with drawn recessions, one every six hours, cut at one of two benches with one of three cutters."""
    document = request(serial=f"LINE-{number:03}")
    note = document["measurement_set"]["job"]
    when = np.datetime64(START + number * 6 * 3600, "s")
    note |= {"stage": "after-rework", "measured_at": f"{when}Z"}
    note |= {"bench": f"bench-{number % 2}", "cutter": f"cutter-{number % 3}", "operator": "äü"} | job
    for port in document["measurement_set"]["ports"]:
        aim = 0.55 + 0.01 * (number % 3) + 0.0005 * number
        port["assembly"]["recession"] = round(draw.gauss(aim, 0.03), 4)
    return document


@pytest.fixture(scope="module")
def batch(shop):
    draw = random.Random(20261126)
    lines = [json.dumps(posted(number, draw)).encode() for number in range(HEADS)]
    return shop.submit_batch(lines)


@pytest.fixture(scope="module")
def evaluations(shop, batch):
    return [json.loads(shop.fetch(f"/v1/jobs/{job['id']}/evaluation")) for job in shop.jobs(batch)]


@pytest.fixture(scope="module")
def statistics(shop, batch):
    return ask(shop, batch=batch["id"])


def ask(shop: Shop, **asked: object) -> dict:
    answer = shop.http.get("/v1/statistics", params=asked)
    assert answer.status_code == 200, answer.text
    return answer.json()


def of(statistics: dict, service: str | None, characteristic: str = CHARACTERISTIC) -> dict:
    (found,) = [
        entry
        for entry in statistics["characteristics"]
        if (entry["characteristic"], entry.get("service")) == (characteristic, service)
    ]
    return found


def groups(evaluations: list[dict], service: str, characteristic: str = CHARACTERISTIC) -> list[list[float]]:
    """The values of each head."""
    return [
        [
            row["measured"]
            for port in evaluation["ports"]
            if port["service"] == service
            for row in port["rows"]
            if row["characteristic"] == characteristic
        ]
        for evaluation in evaluations
    ]


def agreement(found: float, expected: float) -> float:
    """Digits in which two numbers agree."""
    if found == expected:
        return 15.0
    return -math.log10(abs(found - expected) / max(abs(expected), 1e-300))


def check_all(what: str, pairs: list[tuple[float, float]], floor: float) -> None:
    digits = min(agreement(found, expected) for found, expected in pairs)
    reached(f"statistics, {what}: digits in which {len(pairs)} numbers agree", f"{digits:.1f}")
    assert digits >= floor, pairs


def spread(values: np.ndarray) -> np.ndarray:
    """Values that repeat, spread evenly over the step about them."""
    distinct, counts = np.unique(values, return_counts=True)
    step = np.diff(distinct).min()
    parts = [(np.arange(count) + 0.5) / count - 0.5 for count in counts]
    return np.concatenate([value + step * part for value, part in zip(distinct, parts, strict=True)])


@pytest.mark.parametrize("side", ["intake", "exhaust"])
def test_moments_and_tests_of_normality_are_those_of_scipy(statistics, evaluations, side):
    found, values = of(statistics, side), np.concatenate(groups(evaluations, side))
    assert found["n"] == len(values) == HEADS * 3
    assert (found["min"], found["max"]) == (values.min(), values.max())
    tests = found["normality"]
    pairs = [
        (found["mean"], values.mean()),
        (found["s"], values.std(ddof=1)),
        (tests["anderson_darling"]["statistic"], stats.anderson(spread(values), method="interpolate").statistic),
        (tests["dagostino_pearson"]["statistic"], stats.normaltest(values).statistic),
        (tests["dagostino_pearson"]["p"], stats.normaltest(values).pvalue),
    ]
    check_all(f"moments and normality, {side}", pairs, 8.5)
    edges, counts = found["histogram"]["edges"], found["histogram"]["counts"]
    # numpy puts what lies on the last edge into the last bin; here every bin lacks its upper edge.
    where = np.searchsorted(edges, values, side="right") - 1
    assert counts == np.bincount(where, minlength=len(counts)).tolist()


def d2(n: int) -> float:
    """The mean range of n standard normal values: the integral of 1 − F(x)ⁿ − (1 − F(x))ⁿ (Tippett 1925)."""
    return integrate.quad(lambda x: 1 - stats.norm.cdf(x) ** n - stats.norm.sf(x) ** n, -12, 12, epsabs=1e-13)[0]


def d3(n: int) -> float:
    """The standard deviation of that range."""
    def inner(y: float) -> float:
        f = stats.norm.cdf(y)
        return integrate.quad(lambda x: 1 - f**n - stats.norm.sf(x) ** n + (f - stats.norm.cdf(x)) ** n, -9, y)[0]

    return math.sqrt(2 * integrate.quad(inner, -9, 9, epsabs=1e-10)[0] - d2(n) ** 2)


@pytest.mark.parametrize("side", ["intake", "exhaust"])
def test_the_chart_is_that_of_means_and_ranges(statistics, evaluations, side):
    """Limits as in ASTM E2587 (from memory): the mean of the means, and three standard errors."""
    chart, heads = of(statistics, side)["chart"], np.array(groups(evaluations, side))
    assert chart["kind"] == "mean-range" and chart["groups"] == HEADS
    n, ranges = heads.shape[1], np.ptp(heads, axis=1)
    sigma, centre = ranges.mean() / d2(n), heads.mean()
    pairs = [(chart["sigma"], sigma), (chart["centre"], centre)]
    for point, head in zip(chart["location"], heads, strict=True):
        pairs.append((point["value"], head.mean()))
        pairs.append((point["lower"], centre - 3 * sigma / math.sqrt(n)))
        pairs.append((point["upper"], centre + 3 * sigma / math.sqrt(n)))
    spread = 3 * d3(n) * sigma
    for point, value in zip(chart["spread"], ranges, strict=True):
        assert point["value"] == pytest.approx(value, abs=1e-9)
        assert point["lower"] == pytest.approx(max(0, ranges.mean() - spread), abs=1e-7)
        pairs.append((point["upper"], ranges.mean() + spread))
    check_all(f"chart, {side}", pairs, 6)
    beyond = {
        number
        for number, head in enumerate(heads, 1)
        if abs(head.mean() - centre) > 3 * sigma / math.sqrt(n)
    }
    signals = [run for run in chart["signals"] if run["rule"] == "one-point-beyond-three-sigma"]
    told = {at for run in signals if run["track"] == "location" for at in range(run["from"], run["to"] + 1)}
    assert told == beyond
    assert [point["head"] for point in chart["location"]] == [f"LINE-{number:03}" for number in range(HEADS)]


@pytest.mark.parametrize("side", ["intake", "exhaust"])
def test_means_can_be_charted_as_single_values(shop, batch, evaluations, side):
    """For heads that differ by more than their ports: limits from the moving ranges of the means, d2 of two is 2/√π."""
    found = of(ask(shop, batch=batch["id"], chart="individuals-moving-range"), side)
    chart, means = found["chart"], np.array(groups(evaluations, side)).mean(axis=1)
    moving = np.abs(np.diff(means))
    sigma = moving.mean() * math.sqrt(math.pi) / 2
    pairs = [(chart["sigma"], sigma), (chart["location"][0]["upper"], means.mean() + 3 * sigma)]
    pairs += list(zip([point["value"] for point in chart["location"]], means, strict=True))
    pairs += [(chart["spread"][0]["centre"], moving.mean())]
    check_all(f"chart of means as single values, {side}", pairs, 7)
    assert [point["place"] for point in chart["spread"]] == list(range(2, HEADS + 1))
    # That scatter is not the scatter of values.
    assert found["capability"]["no_cpk"] == "not-given"


def test_ports_of_one_head_that_are_alike_make_no_difference_of_codes(shop):
    """Heads scatter as much as ports, and no cutter differs from another: of 20 comparisons few are below 5 % by chance (more
    than 4 come once in 380 times). With each value by itself every third would be."""
    draw = random.Random(20261127)
    rejected = []
    for line in range(10):
        lines = []
        for number in range(18):
            document = posted(number, draw, bench=f"alike-{line}", cutter=f"K-{draw.randrange(2)}", operator=f"{number % 3}")
            document["measurement_set"]["head"]["serial"] = f"ALIKE-{line}-{number:02}"
            off = draw.gauss(0, 0.03)
            for port in document["measurement_set"]["ports"]:
                port["assembly"]["recession"] = round(draw.gauss(0.55 + off, 0.03), 4)
            lines.append(json.dumps(document).encode())
        shop.submit_batch(lines)
        statistics = ask(shop, bench=f"alike-{line}", characteristic=CHARACTERISTIC)
        # The other ports would say the same: they are of the same heads.
        compared = [group for group in of(statistics, "intake")["groups"] if group["by"] in ("cutter", "operator")]
        rejected += [group["analysis_of_variance"]["p"] < 0.05 for group in compared]
    assert len(rejected) == 20 and sum(rejected) <= 4
    reached("differences of codes where there are none, of 20", sum(rejected))


def test_a_head_has_the_same_place_on_both_charts(shop):
    """Also where the chart of spread has fewer points: a single value has no standard deviation."""
    draw = random.Random(2)
    lines = []
    for number in range(12):
        document = posted(number, draw, bench="uneven")
        document["measurement_set"]["head"]["serial"] = f"UNEVEN-{number:02}"
        if number in (0, 5):
            for port in document["measurement_set"]["ports"][1:]:
                del port["assembly"]["recession"]
        lines.append(json.dumps(document).encode())
    shop.submit_batch(lines)
    chart = of(ask(shop, bench="uneven"), "intake")["chart"]
    assert chart["kind"] == "mean-deviation"
    places = [{point["head"]: point["place"] for point in chart[track]} for track in ("location", "spread")]
    assert places[0] == {f"UNEVEN-{number:02}": number + 1 for number in range(12)}
    assert places[1] == {head: place for head, place in places[0].items() if place not in (1, 6)}


@pytest.mark.parametrize("side", ["intake", "exhaust"])
def test_capability_has_the_limits_of_its_profile_and_those_of_confidence(statistics, evaluations, side):
    found, heads = of(statistics, side), np.array(groups(evaluations, side))
    capability, values = found["capability"], heads.ravel()
    assert found["normality"]["outcome"] == "normal" and capability["method"] == "normal"
    lower, upper, n = found["lower"], found["upper"], len(values)
    mean, s = values.mean(), values.std(ddof=1)
    pp, ppk = (upper - lower) / (6 * s), min(upper - mean, mean - lower) / (3 * s)
    sigma = np.ptp(heads, axis=1).mean() / d2(heads.shape[1])
    pairs = [
        (capability["pp"]["value"], pp),
        (capability["ppk"]["value"], ppk),
        (capability["cp"]["value"], (upper - lower) / (6 * sigma)),
        (capability["cpk"]["value"], min(upper - mean, mean - lower) / (3 * sigma)),
        (capability["pp"]["lower"], pp * math.sqrt(stats.chi2.ppf(0.025, n - 1) / (n - 1))),
        (capability["pp"]["upper"], pp * math.sqrt(stats.chi2.ppf(0.975, n - 1) / (n - 1))),
    ]
    assert capability["pp"]["interval"] == "chi-square" and capability["ppk"]["interval"] == "bissell"
    # A. F. Bissell 1990, as SAS/QC documents it; the same formula as in the worked example of the Rust tests.
    half = stats.norm.ppf(0.975) * math.sqrt(1 / (9 * n) + ppk**2 / (2 * (n - 1)))
    pairs += [(capability["ppk"]["lower"], ppk - half), (capability["ppk"]["upper"], ppk + half)]
    check_all(f"capability, {side}", pairs, 8.5)


def test_a_method_asked_for_is_taken(shop, batch, evaluations):
    """Percentiles instead of mean and s: ISO 22514-2 (from memory), with numpy's fit of the logarithms and its quantiles."""
    lower, upper = (of(ask(shop, batch=batch["id"]), "intake")[side] for side in ("lower", "upper"))
    values = np.concatenate(groups(evaluations, "intake"))
    logs = np.log(values)
    pairs = []
    for method, (low, middle, high) in {
        "log-normal-percentiles": np.exp(logs.mean() + np.array([-3, 0, 3]) * logs.std(ddof=1)),
        "empirical-percentiles": np.quantile(values, [0.00135, 0.5, 0.99865], method="median_unbiased"),
    }.items():
        asked = ask(shop, batch=batch["id"], method=method)
        found = of(asked, "intake")["capability"]
        assert asked["method"] == found["method"] == method
        assert found["no_cpk"] == "by-percentiles" and "cpk" not in found
        assert of(asked, "intake")["normality"]["outcome"] == "normal"
        pairs += [
            (found["pp"]["value"], (upper - lower) / (high - low)),
            (found["ppl"]["value"], (middle - lower) / (middle - low)),
            (found["ppu"]["value"], (upper - middle) / (high - middle)),
        ]
    check_all("capability from percentiles asked for", pairs, 8.5)


def test_codes_that_differ_are_told_as_an_analysis_of_variance_tells(statistics, evaluations):
    found, heads = of(statistics, "intake"), np.array(groups(evaluations, "intake"))
    pairs = []
    for by, parts in (("bench", 2), ("cutter", 3)):
        (compared,) = [group for group in found["groups"] if group["by"] == by]
        of_codes = [heads[part::parts].ravel() for part in range(parts)]
        # Values of one head are alike, so that each head counts once.
        expected = stats.f_oneway(*(heads[part::parts].mean(axis=1) for part in range(parts)))
        variance = compared["analysis_of_variance"]
        pairs += [(variance["f"], expected.statistic), (variance["p"], expected.pvalue)]
        assert [code["code"] for code in compared["codes"]] == [f"{by}-{part}" for part in range(parts)]
        for code, values in zip(compared["codes"], of_codes, strict=True):
            assert code["n"] == len(values) == code["heads"] * heads.shape[1]
            pairs += [(code["mean"], values.mean()), (code["s"], values.std(ddof=1))]
    check_all("analysis of variance", pairs, 8.5)
    gauges = [group for group in found["groups"] if group["by"] == "gauge"]
    assert [code["n"] for code in gauges[0]["codes"]] == [HEADS * 3], "each value has one gauge"


def test_a_drift_is_the_slope_of_least_squares(statistics, evaluations):
    heads = np.array(groups(evaluations, "exhaust"))
    line, trend = stats.linregress(np.arange(HEADS) * 0.25, heads.mean(axis=1)), of(statistics, "exhaust")["trend"]
    pairs = [
        (trend["slope_per_day"], line.slope),
        (trend["standard_error"], line.stderr),
        (trend["p"], line.pvalue),
        (trend["r_squared"], line.rvalue**2),
    ]
    check_all("trend", pairs, 8)


def test_each_code_has_a_drift_of_its_own(statistics, evaluations):
    heads = np.array(groups(evaluations, "exhaust"))
    pairs = []
    for by, parts in (("bench", 2), ("cutter", 3)):
        (compared,) = [group for group in of(statistics, "exhaust")["groups"] if group["by"] == by]
        for part, code in enumerate(compared["codes"]):
            line = stats.linregress(np.arange(part, HEADS, parts) * 0.25, heads[part::parts].mean(axis=1))
            pairs += [(code["trend"]["slope_per_day"], line.slope), (code["trend"]["p"], line.pvalue)]
    check_all("trend of each code", pairs, 8)


def test_what_fails_is_counted_as_it_was_judged(statistics, evaluations):
    rows = [
        (row["characteristic"], of_port["service"])
        for evaluation in evaluations
        for of_port in evaluation["ports"]
        for row in of_port["rows"]
        if row["verdict"] == "does-not-conform"
    ]
    assert {one["stage"] for one in statistics["failures"] + statistics["failing_ports"]} == {"after-rework"}
    told = {(one["characteristic"], one.get("service")): one["count"] for one in statistics["failures"]}
    assert told == {key: rows.count(key) for key in set(rows)}
    heads = statistics["heads"]
    assert heads["counted"] == HEADS
    assert heads["accept"] == sum(evaluation["disposition"] == "accept" for evaluation in evaluations)
    assert heads["accept"] + heads["rework"] + heads["incomplete"] + heads["reject"] == HEADS
    [of_stage] = heads["by_stage"]
    assert of_stage["stage"] == "after-rework" and of_stage["accept"] == heads["accept"]
    assert heads["first_pass_yield"]["count"] == heads["accept"]


def test_a_table_says_the_same(shop, batch, statistics):
    answer = shop.http.get("/v1/statistics", params={"batch": batch["id"]}, headers={"Accept": "text/csv"})
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    rows = list(csv.DictReader(io.StringIO(answer.text)))
    assert len(rows) == len(statistics["characteristics"])
    for row, entry in zip(rows, statistics["characteristics"], strict=True):
        assert row["characteristic"] == entry["characteristic"] and int(row["n"]) == entry["n"]
        assert float(row["mean"]) == entry["mean"]
        if "capability" in entry:
            assert float(row["ppk"]) == entry["capability"]["ppk"]["value"]
            assert row["method"] == entry["capability"]["method"]


def test_a_report_says_the_same_on_paper(shop, batch, pdf, tmp_path):
    query = {"batch": batch["id"], "title": "Pumpenköpfe, Woche 14", "language": "de", "paper": "letter"}
    answer = shop.http.get("/v1/statistics", params=query, headers={"Accept": "application/pdf"})
    assert answer.headers["content-type"] == "application/pdf"
    report = pdf(answer.content)
    report.check()
    assert report.size() == (612, 792)
    text = report.text()
    assert "Pumpenköpfe, Woche 14" in text and "Was der Prozess kann" not in text and "Prozessfähigkeit" in text
    assert f"Batch {batch['id']}" not in text and "Western Electric" in text
    attached = detached(answer.content, tmp_path / "out")["statistics.json"]
    assert json.loads(attached) == ask(shop, batch=batch["id"])
    untitled = shop.http.get("/v1/statistics", params={"bench": "bench-1"}, headers={"Accept": "application/pdf"})
    assert "Bench bench-1" in pdf(untitled.content).text(1)


def test_a_report_from_the_command_line(shop, service, batch, tmp_path, pdf):
    out = tmp_path / "line.pdf"
    command = ("statistics", "--batch", batch["id"], "--pdf", "--language", "de", "--title", "Woche 14")
    finished = run(*command, "--out", out, settings={"service": service.address})
    assert (finished.returncode, finished.stdout, finished.stderr) == (0, b"", b"")
    assert "Woche 14" in pdf(out.read_bytes()).text(1)
    untold = run(*command, settings={"service": service.address})
    assert untold.returncode == 2 and b"--out" in untold.stderr
    asked = ("--method", "empirical-percentiles", "--json")
    said = run("statistics", "--batch", batch["id"], *asked, settings={"service": service.address})
    assert json.loads(said.stdout)["method"] == "empirical-percentiles"


def test_filters_leave_the_others_out(shop, batch):
    half = ask(shop, batch=batch["id"], bench="bench-1")
    assert half["heads"]["counted"] == HEADS // 2 and half["selection"]["bench"] == "bench-1"
    middle = f"{np.datetime64(START + HEADS // 4 * 6 * 3600, 's')}Z"
    assert ask(shop, batch=batch["id"], to=middle)["heads"]["counted"] == HEADS // 4
    later = ask(shop, batch=batch["id"], **{"from": middle})
    assert later["heads"]["counted"] == HEADS * 3 // 4 and later["heads"]["measured_from"] == middle
    assert ask(shop, batch=batch["id"], stage="final")["heads"]["counted"] == 0
    one = ask(shop, batch=batch["id"], characteristic="recession", points=0)
    assert {entry["characteristic"] for entry in one["characteristics"]} == {"recession"}
    assert all(entry["chart"]["location"] == [] for entry in one["characteristics"])
    assert {failure["characteristic"] for failure in one["failures"]} <= {"recession"}
    assert one["heads"]["counted"] == HEADS
    assert ask(shop, profile="nobody's")["heads"]["counted"] == 0


def test_a_correction_takes_the_place_of_what_it_corrects(shop):
    draw = random.Random(1)
    job = {"bench": "corrected"}
    first = posted(41, draw, **job)
    first["measurement_set"]["ports"][0]["assembly"]["recession"] = 5.0
    shop.submit(first)
    before = ask(shop, bench="corrected")
    assert before["heads"]["counted"] == 1 and of(before, "intake")["max"] == 5.0
    assert before["heads"]["first_pass_yield"]["count"] == 0
    first["measurement_set"]["ports"][0]["assembly"]["recession"] = 0.5
    shop.submit(first)
    after = ask(shop, bench="corrected")
    assert (after["heads"]["counted"], after["heads"]["superseded"]) == (1, 1)
    assert of(after, "intake")["max"] < 1.0
    # It did not pass at once, whatever was said afterwards.
    assert after["heads"]["first_pass_yield"] | {"lower": 0, "upper": 1} == {
        "count": 0, "of": 1, "share": 0.0, "lower": 0, "upper": 1,
    }


def test_concessions_are_counted_among_what_is_signed(shop):
    """Of four heads one is not signed, and one of the others with a concession: 1 of 3."""
    signer = Signer(shop)
    for number in range(4):
        document = request(serial=f"SIGNED-{number}")
        document["measurement_set"]["job"]["bench"] = "signed"
        if number == 0:
            document["measurement_set"]["ports"][0]["assembly"]["recession"] = 1.5
        job, evaluation = judged(shop, document)
        assert (evaluation["disposition"] == "accept") == (number > 0)
        if number == 0:
            signer.sign(job, "concession", concessions=concessions(evaluation))
        elif number < 3:
            signer.sign(job)
    rate = ask(shop, bench="signed")["heads"]["concession_rate"]
    interval = stats.binomtest(1, 3).proportion_ci(0.95, method="wilson")
    assert (rate["count"], rate["of"]) == (1, 3)
    check_all("concession rate", [(rate["lower"], interval.low), (rate["upper"], interval.high)], 9)


@pytest.mark.parametrize(
    "asked",
    [
        {"points": 10001},
        {"confidence": 0.4},
        {"confidence": "nan"},
        {"from": "yesterday"},
        {"batch": "x"},
        {"stage": "unknown"},
        {"rules": "mine"},
        {"characteristic": "beauty"},
        {"method": "by eye"},
        {"language": "xx"},
        {"title": "x" * 121},
        {"beauty": "1"},
    ],
)
def test_a_parameter_that_makes_no_sense_is_refused(shop, asked):
    refused = check_problem(shop.http.get("/v1/statistics", params=asked), 400, "bad-request")
    assert next(iter(asked)) in refused["detail"]


def test_a_time_may_have_an_offset_and_is_told_how_to_be_written(shop, batch):
    middle = np.datetime64(START + HEADS // 4 * 6 * 3600, "s")
    moved = f"{middle + np.timedelta64(2, 'h')}+02:00"
    assert ask(shop, batch=batch["id"], to=moved)["heads"]["counted"] == HEADS // 4
    # Nobody has made %2B of its +.
    refused = check_problem(shop.http.get(f"/v1/statistics?to={moved}"), 400, "bad-request")
    assert refused["detail"].startswith("to must be a time") and "%2B" in refused["detail"]


def test_an_unknown_batch_and_other_media_types_are_refused(shop):
    unknown = {"batch": "0190a5c8-0000-7000-8000-000000000000"}
    check_problem(shop.http.get("/v1/statistics", params=unknown), 404, "not-found")
    check_problem(shop.http.get("/v1/statistics", headers={"Accept": "image/png"}), 406, "not-acceptable")


def test_a_shop_without_heads_has_empty_statistics(start, tmp_path):
    service = start(store=tmp_path / "empty")
    with Shop(service.address, first_key(service)) as shop:
        empty = ask(shop)
    assert empty["heads"]["counted"] == 0 and empty["characteristics"] == [] and empty["failures"] == []
    assert "first_pass_yield" not in empty["heads"]
