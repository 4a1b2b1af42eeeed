"""Jobs and batches are called off: what is not made yet is not made any more."""

import json

import pytest

from harness.access import UNKNOWN
from harness.batches import small_lines
from harness.clients import small_head
from harness.database import query
from harness.dense_heads import dense_request
from harness.problems import check_problem
from harness.program import until
from harness.repeating import keyed_lines
from harness.shop import Shop


@pytest.fixture(scope="module")
def settings():
    # A third of its lease is how long a worker may be at what was called off.
    return {"worker_tasks": 1, "worker_lease_seconds": 3}


def cancel(shop: Shop, resource: dict):
    return shop.post(f"{resource['links']['self']}/cancel", None)


def trail_of(shop: Shop, to: str) -> list[str]:
    entries = map(json.loads, shop.fetch("/v1/audit").splitlines())
    return [entry["what"] for entry in entries if entry["to"] == to]


@pytest.fixture
def alone(start, tmp_path):
    """An api that nobody works for."""
    with Shop(start("api", store=tmp_path / "store").address) as shop:
        yield shop


def test_a_job_that_waits_is_called_off_once(alone):
    job = alone.submit(json.loads(small_head("OFF-1")))
    called_off = cancel(alone, job)
    assert called_off.status_code == 200
    assert called_off.json()["state"] == "cancelled"
    assert alone.get(job["links"]["self"]).json() == called_off.json()
    check_problem(cancel(alone, job), 409, "already-over")
    assert trail_of(alone, f"job {job['id']}").count("cancelled") == 1
    # The evaluation stays, and there is no sheet that could be waited for.
    assert alone.get(job["links"]["evaluation"]).status_code == 200
    assert "sheet" not in called_off.json()["links"]
    check_problem(alone.get(f"/v1/jobs/{job['id']}/sheet"), 404, "not-ready")


def test_a_worker_does_not_make_what_was_called_off(start, alone, tmp_path):
    jobs = [alone.submit(json.loads(small_head(f"OFF-2-{number}"))) for number in range(3)]
    assert cancel(alone, jobs[1]).status_code == 200
    start("worker", store=tmp_path / "store")
    states = [alone.finished(job)["state"] for job in jobs]
    assert states == ["done", "cancelled", "done"]
    assert query(tmp_path / "store", "SELECT attempt FROM task WHERE state = 'cancelled'") == [(0,)]


def test_a_sheet_that_is_being_made_is_dropped_and_the_next_is_made(service, shop):
    job, following = shop.submit(dense_request()), shop.submit(json.loads(small_head("OFF-3")))
    running = lambda: shop.get(job["links"]["self"]).json()["state"] == "running" and service.renderers()  # noqa: E731
    until(running, "the sheet to be under way", pause=0.005)
    assert cancel(shop, job).json()["state"] == "cancelled"
    assert shop.done(following)
    assert shop.get(job["links"]["self"]).json()["state"] == "cancelled"
    check_problem(shop.get(f"/v1/jobs/{job['id']}/sheet"), 404, "not-ready")
    assert query(service.store, "SELECT count(*) FROM artifact WHERE owner_id = ?", job["id"]) == [(0,)]


def test_what_is_over_cannot_be_called_off(shop):
    job = shop.done(shop.submit(json.loads(small_head("OFF-4"))))
    check_problem(cancel(shop, job), 409, "already-over")
    assert shop.get(job["links"]["self"]).json() == job
    batch = shop.done(keyed_lines(shop, small_head("OFF-5")).json())
    check_problem(cancel(shop, batch), 409, "already-over")
    assert shop.get(batch["links"]["self"]).json() == batch


@pytest.mark.parametrize("identifier", [UNKNOWN, "abc"])
@pytest.mark.parametrize("kind", ["jobs", "batches"])
def test_what_is_not_there_cannot_either(shop, kind, identifier):
    check_problem(shop.post(f"/v1/{kind}/{identifier}/cancel", None), 404, "not-found")


def test_a_batch_is_called_off_with_its_sheets_and_its_report(start, alone, tmp_path):
    first = alone.submit(json.loads(small_head("OFF-6")))
    batch = keyed_lines(alone, b"\n".join(small_lines("OFF-7", 5))).json()
    called_off = cancel(alone, batch).json()
    assert called_off["state"] == "cancelled"
    assert (called_off["progress"]["cancelled"], called_off["progress"]["queued"]) == (5, 0)
    check_problem(cancel(alone, batch), 409, "already-over")
    assert {line["state"] for line in alone.lines(batch)} == {"cancelled"}
    for job in alone.jobs(batch):
        assert "cancelled" in trail_of(alone, f"job {job['id']}")
        check_problem(cancel(alone, job), 409, "already-over")
    assert trail_of(alone, f"batch {batch['id']}") == ["cancelled"]
    start("worker", store=tmp_path / "store")
    alone.done(first)
    assert alone.get(batch["links"]["self"]).json() == called_off
    check_problem(alone.get(f"{batch['links']['self']}/report"), 404, "not-ready")
    # Posted again it is the same batch, and stays called off.
    assert keyed_lines(alone, b"\n".join(small_lines("OFF-7", 5))).json()["id"] == batch["id"]


def test_the_report_of_a_batch_tells_of_heads_that_were_called_off(start, alone, tmp_path, pdf):
    batch = keyed_lines(alone, b"\n".join(small_lines("OFF-8", 3))).json()
    cancel(alone, alone.jobs(batch)[1])
    start("worker", store=tmp_path / "store")
    finished = alone.done(batch)
    assert (finished["progress"]["done"], finished["progress"]["cancelled"]) == (2, 1)
    report = pdf(alone.fetch(finished["links"]["report"]))
    report.check()
    assert list(report.outline()) == ["Index", "OFF-8-00001", "OFF-8-00003"]
    words = " ".join(report.text().split())
    assert words.index("Heads without a sheet") < words.index("OFF-8-00002 ")


def test_half_a_batch_that_is_done_stays_done(service, shop):
    """The worker is slow for the last of its heads."""
    lines = [*small_lines("OFF-9", 2), json.dumps(dense_request()).encode()]
    batch = keyed_lines(shop, b"\n".join(lines)).json()
    until(lambda: shop.get(batch["links"]["self"]).json()["progress"]["done"] == 2, "the first two", pause=0.01)
    progress = cancel(shop, batch).json()["progress"]
    assert (progress["done"], progress["cancelled"]) == (2, 1)
    assert shop.get(shop.jobs(batch)[0]["links"]["sheet"]).status_code == 200
