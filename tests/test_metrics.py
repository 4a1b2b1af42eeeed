"""Figures for whoever watches over the service: they grow by exactly what was done."""

import collections
import json
import re
import threading

import httpx
import pytest

from harness import figures
from harness.documents import HEADS, request
from harness.figures import LISTEN, Figures
from harness.program import refused, until
from harness.shop import Shop, as_it_stands

ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def labelled(**labels: str) -> frozenset:
    return frozenset(labels.items())


@pytest.fixture(scope="module")
def settings():
    return LISTEN


@pytest.fixture
def asked(shop):
    """What the shop has asked for since the test began: method, route and status."""
    seen = collections.Counter()

    def see(response: httpx.Response) -> None:
        route = ID.sub("{id}", response.request.url.path)
        seen[labelled(method=response.request.method, route=route, status=str(response.status_code))] += 1

    shop.http.event_hooks["response"].append(see)
    yield seen
    shop.http.event_hooks["response"].remove(see)


def test_all_that_is_done_is_counted_and_nothing_else(service, shop, asked):
    before = Figures(service)
    jobs = [shop.done(shop.submit(request(head, serial=f"COUNT-{head}"))) for head in HEADS]
    faulty = request()
    faulty["measurement_set"]["ports"][0]["valve"]["head_diameter"] = -1
    lines = [json.dumps(one).encode() for one in (request(serial="COUNT-1"), faulty, request(serial="COUNT-2"))]
    batch = shop.done(shop.submit_batch([*lines, b"nonsense"]))
    assert shop.post_text("/v1/batches", b"nonsense", "application/x-ndjson").status_code == 422
    assert shop.post("/v1/jobs", faulty).status_code == 422
    assert shop.post("/v1/evaluate", request()).status_code == 200
    jobs += [shop.done(job) for job in shop.jobs(batch)]
    evaluations = [shop.get(job["links"]["evaluation"]).json() for job in jobs]

    attempts = labelled(kind="batch-report", outcome="done")
    until(lambda: Figures(service).since(before, "tasks_finished_total").get(attempts), "the last task to be counted")
    after = Figures(service)
    assert after.since(before, "http_requests_total") == asked
    dispositions = collections.Counter(labelled(disposition=job["disposition"]) for job in jobs)
    assert len(dispositions) >= 2
    assert after.since(before, "jobs_accepted_total") == dispositions
    verdicts = collections.Counter()
    for evaluation in evaluations:
        for verdict, rows in evaluation["tally"].items():
            verdicts[labelled(verdict=verdict.replace("_", "-"))] += rows
    assert after.since(before, "verdicts_total") == +verdicts
    assert after.since(before, "lines_refused_total") == {labelled(): 3}
    assert after.since(before, "tasks_finished_total") == {labelled(kind="sheet", outcome="done"): 5, attempts: 1}
    assert after.since(before, "render_duration_seconds_count") == {
        labelled(kind="sheet"): 5,
        labelled(kind="batch-report"): 1,
    }
    timed = collections.Counter()
    for labels, times in asked.items():
        timed[labelled(route=dict(labels)["route"])] += times
    assert after.since(before, "http_request_duration_seconds_count") == timed


def test_what_clients_make_up_is_no_label(service, shop):
    before = Figures(service)
    for path in ("/nowhere/1", "/nowhere/2", "/v1/jobs/%7Bid%7D/nothing", "/v1/jobs//"):
        assert as_it_stands(service.address, path).status_code == 404
    assert shop.http.request("BREW", "/v1/jobs").status_code == 405
    assert shop.http.request("BREW", "/pot").status_code == 404
    assert Figures(service).since(before, "http_requests_total") == {
        labelled(method="GET", route="unmatched", status="404"): 4,
        labelled(method="other", route="/v1/jobs", status="405"): 1,
        labelled(method="other", route="unmatched", status="404"): 1,
    }


def test_every_figure_is_described_and_named_as_is_usual(service, shop):
    """OpenMetrics: a total ends in _total, a time is in seconds."""
    shop.done(shop.submit(request(serial="COUNT-DESCRIBED")))
    found = figures.families(service)
    assert len(found) >= 7
    for family in found:
        assert family.name.startswith("headproof_")
        assert family.documentation.endswith("."), family
        assert family.type in ("counter", "gauge", "histogram"), family
        if family.type == "counter":
            assert {sample.name for sample in family.samples} == {f"{family.name}_total"}
        if family.type == "histogram":
            assert family.name.endswith("_seconds")
            check_buckets(family)


def check_buckets(histogram) -> None:
    """Each bucket holds those before it, and the last one all."""
    by_labels = collections.defaultdict(list)
    totals = {}
    for sample in histogram.samples:
        labels = {name: value for name, value in sample.labels.items() if name != "le"}
        if sample.name.endswith("_bucket"):
            by_labels[labelled(**labels)].append((float(sample.labels["le"]), sample.value))
        if sample.name.endswith("_count"):
            totals[labelled(**labels)] = sample.value
    assert by_labels.keys() == totals.keys()
    for labels, buckets in by_labels.items():
        ends, counts = zip(*sorted(buckets))
        assert list(counts) == sorted(counts) and ends[-1] == float("inf")
        assert counts[-1] == totals[labels]


def test_requests_under_way_are_shown_for_as_long_as_they_are(start):
    """Without a worker a client that is ready to wait waits."""
    api = start("api", **LISTEN)
    with Shop(api.address) as shop:
        job = shop.submit(request())
        assert Figures(api).value("requests_in_flight") == 0
        waiting = threading.Thread(target=lambda: shop.get(job["links"]["self"], Prefer="wait=3"))
        waiting.start()
        until(lambda: Figures(api).value("requests_in_flight") == 1, "the request that waits")
        waiting.join()
        until(lambda: Figures(api).value("requests_in_flight") == 0, "its end")


def test_a_worker_alone_counts_what_it_does(start, tmp_path):
    store = tmp_path / "store"
    api = start("api", store=store)
    worker = start("worker", store=store, **LISTEN)
    with Shop(api.address) as shop:
        shop.done(shop.submit(request()))
    done = {"kind": "sheet", "outcome": "done"}
    until(lambda: Figures(worker).value("tasks_finished_total", **done) == 1, "the task to be counted")
    assert Figures(worker).value("render_duration_seconds_count", kind="sheet") == 1
    said = [entry["fields"].get("message") for entry in api.log_entries()]
    assert "metrics listen" not in said


def test_what_fails_for_good_is_counted_as_that(start, tmp_path):
    program = start(worker_sheet_milliseconds=1, **LISTEN)
    program.expected_errors.append("task failed for good")
    with Shop(program.address) as shop:
        assert shop.finished(shop.submit(request()))["state"] == "failed"

    def outcomes() -> dict:
        each = ("put-back", "failed", "done")
        found = Figures(program)
        return {one: found.value("tasks_finished_total", kind="sheet", outcome=one) for one in each}

    until(lambda: outcomes() == {"put-back": 1, "failed": 1, "done": 0}, "both attempts to be counted")


def test_there_is_nothing_but_figures_there(service):
    with httpx.Client(base_url=figures.address(service), trust_env=False) as client:
        for path in ("/", "/v1/jobs", "/livez"):
            assert client.get(path).status_code == 404
        assert client.post("/metrics").status_code == 404


def test_other_machines_are_served_only_if_that_is_wished(tmp_path):
    assert "metrics.listen" in refused(tmp_path, metrics_listen="0.0.0.0:0")
    assert "metrics.listen" in refused(tmp_path, metrics_listen="[::]:0")


def test_an_address_that_is_taken_stops_the_start(service, tmp_path):
    taken = figures.address(service).removeprefix("http://")
    assert "metrics.listen" in refused(tmp_path, metrics_listen=taken)
