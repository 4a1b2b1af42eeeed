"""One api and two workers as processes of their own, on one store."""

from harness.counts import reached
from harness.database import check_artifacts, check_integrity, query
from harness.documents import request
from harness.program import until
from harness.shop import Shop

SETTINGS = {"worker_lease_seconds": 3, "worker_tasks": 1}


def running(store) -> list[tuple]:
    return query(store, "SELECT id FROM task WHERE state = 'running'")


def test_when_one_worker_dies_the_other_does_its_work(start, tmp_path):
    store = tmp_path / "store"
    api = start("api", store=store)
    with Shop(api.address) as shop:
        jobs = [shop.submit(request("irrigation-pump-16v", serial=f"SEP-{number}")) for number in range(40)]
        first = start("worker", store=store, **SETTINGS)
        second = start("worker", store=store, **SETTINGS)
        until(lambda: len(running(store)) == 2, "both workers to have a task", pause=0.0005)
        first.kill()
        finished = [shop.done(job) for job in jobs]
        assert second.is_running
    check_integrity(store)
    check_artifacts(store)
    attempts = [job["attempts"] for job in finished]
    assert set(attempts) <= {1, 2}
    reached(
        "jobs done after one of two workers was killed",
        f"{len(jobs)}, {attempts.count(2)} of them begun again",
    )


def test_workers_share_the_work_and_no_task_is_done_twice(start, tmp_path):
    store = tmp_path / "store"
    api = start("api", store=store)
    workers = [start("worker", store=store, **SETTINGS) for _ in range(2)]
    with Shop(api.address) as shop:
        jobs = [shop.submit(request(serial=f"SHARE-{number}")) for number in range(30)]
        finished = [shop.done(job) for job in jobs]
    for worker in workers:
        worker.stop()
    check_artifacts(store)
    assert {job["attempts"] for job in finished} == {1}
    done = [
        sum(entry["fields"].get("message") == "task done" for entry in worker.log_entries())
        for worker in workers
    ]
    assert sum(done) == len(jobs) and all(done), done


def test_the_api_dies_and_comes_back_while_workers_go_on(start, tmp_path):
    store = tmp_path / "store"
    api = start("api", store=store)
    worker = start("worker", store=store, **SETTINGS)
    with Shop(api.address) as shop:
        jobs = [shop.submit(request(serial=f"BACK-{number}")) for number in range(10)]
    api.kill()
    again = start("api", store=store)
    with Shop(again.address) as shop:
        assert all(shop.done(job)["state"] == "done" for job in jobs)
    assert worker.is_running
