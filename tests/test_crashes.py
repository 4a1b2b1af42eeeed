"""kill -9 at any moment: nothing that was accepted is lost, and nothing is there twice."""

import os
import random
import threading
import time
from functools import partial

import httpx

from harness.counts import count, reached
from harness.database import check_artifacts, check_integrity, query, visible_files
from harness.documents import HEADS, request
from harness.program import until
from harness.shop import TERMINAL, Shop

LEASE = 3


class Poster(threading.Thread):
    """Posts heads until the service is gone, and remembers what was accepted."""

    def __init__(self, address: str, name: str):
        super().__init__(name=name, daemon=True)
        self.address, self.accepted = address, []
        self.unexpected: list[str] = []

    def run(self) -> None:
        with Shop(self.address) as shop:
            for number in range(1000):
                head = list(HEADS)[number % len(HEADS)]
                try:
                    response = shop.post("/v1/jobs", request(head, serial=f"{self.name}-{number % 7}"))
                except httpx.TransportError:
                    return
                if response.status_code == 202:
                    self.accepted.append(response.json()["id"])
                else:
                    self.unexpected.append(response.text)
                time.sleep(0.01)


def any_accepted(posters: list[Poster]) -> bool:
    return any(poster.accepted for poster in posters)


def running(store) -> int:
    return query(store, "SELECT count(*) FROM task WHERE state = 'running'")[0][0]


def test_every_accepted_job_survives_any_number_of_crashes(start, tmp_path):
    chance = random.Random(20260301)
    store, rounds = tmp_path / "store", count(5, 60)
    settings = {"worker_tasks": 2, "worker_lease_seconds": LEASE, "store_max_attempts": 20}
    accepted: list[str] = []
    caught_working = 0
    for number in range(rounds):
        program = start(store=store, **settings)
        posters = [Poster(program.address, f"CRASH-{number}-{letter}") for letter in "AB"]
        for poster in posters:
            poster.start()
        until(partial(any_accepted, posters), "a job to be accepted", pause=0.002)
        time.sleep(chance.uniform(0.0, 1.0))
        if number % 2:
            until(lambda: running(store), "a task under way", pause=0.0005)
            time.sleep(chance.uniform(0.0, 0.03))
        program.kill()
        for poster in posters:
            poster.join(30)
            assert not poster.is_alive() and not poster.unexpected, poster.unexpected
            accepted += poster.accepted
        caught_working += running(store) > 0
        check_integrity(store)
    assert len(set(accepted)) == len(accepted) > 0
    assert caught_working, "no crash fell into a rendering"

    program = start(store=store, **settings)
    with Shop(program.address) as shop:
        states = [shop.finished({"links": {"self": f"/v1/jobs/{job}"}}, patience=300) for job in accepted]
        assert {job["state"] for job in states} <= TERMINAL
        for job in states:
            assert job["state"] == "done", job
            assert shop.fetch(job["links"]["sheet"]).startswith(b"%PDF-")
        until(
            lambda: not query(store, "SELECT 1 FROM task WHERE state IN ('queued', 'running')"),
            "the rest",
            300,
        )
    program.stop()

    check_integrity(store)
    check_artifacts(store)
    jobs = {job for (job,) in query(store, "SELECT id FROM job")}
    assert set(accepted) <= jobs
    tasks = query(store, "SELECT owner_id, state, finished_at FROM task")
    assert sorted(owner for owner, _, _ in tasks) == sorted(jobs)
    assert all(state in TERMINAL and finished for _, state, finished in tasks)
    revisions = query(store, "SELECT count(*), min(revision), max(revision) FROM job GROUP BY head_id, stage")
    assert all((least, greatest) == (1, of) for of, least, greatest in revisions)
    check_leftovers(start, store, settings)
    tried_again = query(store, "SELECT count(*) FROM task WHERE attempt > 1")[0][0]
    crashes = f"{rounds} crashes, {caught_working} of them into a rendering"
    reached("kill -9", f"{crashes}; {len(states)} of {len(accepted)} jobs done, {tried_again} tried again")


def check_leftovers(start, store, settings: dict) -> None:
    """Files that no record names are what crashes left; they go when they are old, and only they."""
    named = {path for (path,) in query(store, "SELECT path FROM artifact")}
    everything = {path.name for path in (store / "artifacts").iterdir()}
    assert named <= visible_files(store)
    two_hours_ago = time.time() - 7200
    for name in everything:
        os.utime(store / "artifacts" / name, (two_hours_ago, two_hours_ago))
    program = start(store=store, **settings)
    until(
        lambda: {path.name for path in (store / "artifacts").iterdir()} == named, "leftovers to be swept away"
    )
    program.stop()


def test_asked_to_stop_it_finishes_what_is_under_way_and_leaves_the_rest_for_later(start, tmp_path):
    store = tmp_path / "store"
    program = start(store=store, worker_tasks=2)
    with Shop(program.address) as shop:
        jobs = [shop.submit(request("irrigation-pump-16v", serial=f"STOP-{number}")) for number in range(12)]
        until(lambda: running(store), "a task under way", pause=0.0005)
    begun = time.monotonic()
    assert program.terminate() == 0
    assert time.monotonic() - begun < 25
    states = dict(query(store, "SELECT state, count(*) FROM task GROUP BY state"))
    assert set(states) <= {"done", "queued"}, states
    assert states.get("done", 0) >= 1 and sum(states.values()) == len(jobs)
    check_artifacts(store)
    again = start(store=store, worker_tasks=2)
    with Shop(again.address) as shop:
        finished = [shop.done(job) for job in jobs]
    assert {job["attempts"] for job in finished} == {1}, "no attempt was wasted"


def test_asked_to_stop_as_soon_as_it_has_said_that_it_listens_it_stops_in_good_order(start):
    for _ in range(count(5, 50)):
        assert start(store=start.directory / "store").terminate() == 0


def test_a_request_under_way_is_answered_before_it_stops(start):
    program = start("api")
    with Shop(program.address) as shop:
        job = shop.submit(request())
        answers = []
        waiting = threading.Thread(
            target=lambda: answers.append(shop.get(job["links"]["self"], Prefer="wait=3").status_code)
        )
        waiting.start()
        time.sleep(0.5)
        assert program.terminate() == 0
        waiting.join(30)
    assert answers == [200]
