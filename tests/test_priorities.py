"""Who is served first: by priority within a shop, in turns between shops."""

import json

import pytest

from harness.access import KEYS, first_key, make_key_here
from harness.batches import small_lines
from harness.clients import small_head
from harness.database import query
from harness.problems import check_problem, pointers
from harness.program import until
from harness.repeating import keyed_lines
from harness.shop import Shop

OPEN = "SELECT count(*) FROM task WHERE state IN ('queued', 'running')"
# In the order in which they were made: the files have names that grow with the time.
MADE = "SELECT owner_id FROM task WHERE state = 'done' AND kind = 'sheet' ORDER BY finished_at, owner_id"


@pytest.fixture
def alone(start, tmp_path):
    """An api that nobody works for yet."""
    return start("api", store=tmp_path / "store", **KEYS)


def head(serial: str, priority: str | None = None) -> dict:
    return json.loads(small_head(serial)) | ({"priority": priority} if priority else {})


def made_by_one_worker(start, store) -> list[str]:
    """The jobs in the order in which one worker makes their sheets."""
    start("worker", store=store, worker_tasks=1, **KEYS)
    until(lambda: query(store, OPEN) == [(0,)], "all to be done")
    return [owner for (owner,) in query(store, MADE)]


def test_urgent_goes_before_normal_and_normal_before_bulk(start, alone, tmp_path):
    with Shop(alone.address, first_key(alone)) as shop:
        wished = ["bulk", None, "urgent", "normal", "bulk", "urgent"]
        jobs = [shop.submit(head(f"FIRST-{at}", priority))["id"] for at, priority in enumerate(wished)]
    made = made_by_one_worker(start, tmp_path / "store")
    assert made == [jobs[at] for at in (2, 5, 1, 3, 0, 4)]


def test_lines_of_a_batch_are_bulk_unless_they_say_otherwise(start, alone, tmp_path):
    lines = small_lines("BULK", 3)
    lines[2] = json.dumps(head("BULK-URGENT", "urgent")).encode()
    with Shop(alone.address, first_key(alone)) as shop:
        batch = keyed_lines(shop, b"\n".join(lines)).json()
        job = shop.submit(head("BULK-ALONE"))["id"]
        of_batch = [one["id"] for one in shop.jobs(batch)]
    made = made_by_one_worker(start, tmp_path / "store")
    assert made == [of_batch[2], job, of_batch[0], of_batch[1]]


def test_a_large_batch_of_one_shop_holds_up_no_other(start, alone, tmp_path):
    store = tmp_path / "store"
    other_key = make_key_here(store, "other", "submit", "read")
    with Shop(alone.address, first_key(alone)) as shop, Shop(alone.address, other_key) as other:
        body = b"\n".join(json.dumps(head(f"LARGE-{at}", "urgent")).encode() for at in range(30))
        batch = keyed_lines(shop, body).json()
        theirs = [other.submit(head(f"SMALL-{at}", "bulk"))["id"] for at in range(2)]
        made = made_by_one_worker(start, store)
        assert shop.get(batch["links"]["self"]).json()["progress"]["done"] == 30
    places = [made.index(job) for job in theirs]
    assert max(places) < 6, "they take turns, whatever either calls urgent"


@pytest.mark.parametrize("priority", ["", "URGENT", "high", 1, ["bulk"]])
def test_there_is_no_other_priority(shop, priority):
    problem = check_problem(shop.post("/v1/jobs", head("NONE") | {"priority": priority}), 422, "invalid-document")
    assert pointers(problem)[0].startswith("/priority")
