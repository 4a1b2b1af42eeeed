"""The disk is full: the service says so, keeps what it has accepted, and goes on when there is room."""

import itertools
import time

import pytest

from harness.counts import reached
from harness.database import check_artifacts, check_integrity, query
from harness.disk import fill_up, mounted
from harness.documents import request
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop

MEBI = 1 << 20
SIZE = 24 * MEBI
ROOM = 18 * MEBI


@pytest.fixture
def small_disk(tmp_path):
    """A file system of a few megabytes, most of it taken by a file that can be removed."""
    with mounted(tmp_path / "disk", SIZE) as directory:
        (directory / "filler").write_bytes(bytes(ROOM))
        yield directory


def test_a_full_disk_refuses_new_work_and_loses_none(start, small_disk):
    store = small_disk / "store"
    program = start(store=store, worker_lease_seconds=3)
    program.expected_errors += ["no space left", "the store cannot take more now", "could not be recorded"]
    with Shop(program.address) as shop:
        accepted = []

        def post() -> bool:
            """Posts one job; whether it was refused. Either is fine, anything else is not."""
            response = shop.post("/v1/jobs", request("irrigation-pump-16v", serial=f"FULL-{len(accepted)}"))
            if response.status_code == 202:
                accepted.append(response.json())
                return False
            problem = check_problem(response, 503, "unavailable")
            assert int(response.headers["retry-after"]) >= 1 and "errors" not in problem
            return True

        until(post, "the disk to be full", pause=0)
        # Whatever is left goes too, so that no rendering finds room.
        fill_up(small_disk / "rest")
        refused = sum(post() for _ in range(20))
        assert refused > 0
        profile = request()["profile"] | {"id": "no-room"}
        revisions = itertools.count(1)
        until(lambda: refuses_profiles(shop, profile, next(revisions)), "profiles to be refused", pause=0)
        check_problem(shop.get("/readyz"), 503, "unavailable")
        assert shop.get("/livez").status_code == 200
        for job in accepted:
            assert shop.get(job["links"]["self"]).status_code == 200
            assert shop.get(job["links"]["evaluation"]).status_code == 200
        # Long enough for several leases to run out and tasks to be tried again in vain.
        time.sleep(12)

        (small_disk / "filler").unlink()
        (small_disk / "rest").unlink()
        until(lambda: shop.get("/readyz").status_code == 200, "room again")
        accepted.append(shop.submit(request(serial="AFTERWARDS")))
        finished = [shop.finished(job) for job in accepted]
        assert [job["state"] for job in finished] == ["done"] * len(accepted), finished
        for job in finished:
            assert shop.fetch(job["links"]["sheet"]).startswith(b"%PDF-")
    program.stop()
    check_integrity(store)
    check_artifacts(store)
    assert {job["id"] for job in accepted} == {job for (job,) in query(store, "SELECT id FROM job")}
    reached("jobs accepted on a disk that became full, all done", len(accepted))


def refuses_profiles(shop: Shop, profile: dict, revision: int) -> bool:
    """Whether a new profile is refused for want of room; small ones may fit for a while."""
    response = shop.post("/v1/profiles", profile | {"revision": str(revision)})
    if response.status_code == 201:
        return False
    check_problem(response, 503, "unavailable")
    return True
