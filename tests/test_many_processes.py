"""Several programs on one PostgreSQL and one store of objects: any answers for any, and each task is done by one."""

import json
import os
import signal
import time

import pytest

from harness.clients import small_head
from harness.counts import count, reached
from harness.database_troubles import accepted
from harness.fleet import Fleet, frozen, revive
from harness.history_checks import faults
from harness.load import Load
from harness.program import until
from harness.runs import SETTINGS
from harness.settling import OPEN, PostgresStore, come_to_rest
from harness.shop import Shop
from harness.signing import audit

RUNNING = "SELECT owner_id FROM task WHERE state = 'running'"
SHEET = "SELECT attempt FROM task WHERE owner_id = '{}' AND kind = 'sheet'"


@pytest.fixture
def places(database, objects, bucket):
    return database.settings() | objects.settings(bucket)


@pytest.fixture
def store(database, objects, bucket):
    return PostgresStore(database, objects, bucket)


def messages(program) -> list[str]:
    return [entry["fields"].get("message", "") for entry in program.log_entries()]


def test_any_api_answers_for_any_job_and_all_workers_work(start, tmp_path, places, store):
    fleet = Fleet(start, tmp_path / "store", apis=2, workers=2, **SETTINGS, **places)
    shops = [Shop(address) for address in fleet.addresses]
    jobs = [accepted(shops[number % 2], f"ANY-{number}") for number in range(30)]
    for number, job in enumerate(jobs):
        there, here = shops[number % 2], shops[1 - number % 2]
        done = here.done(job)
        assert done["attempts"] == 1 and there.get(job["links"]["self"]).json() == done
        answers = [shop.get(done["links"]["sheet"]) for shop in shops]
        assert answers[0].content == answers[1].content and answers[0].content.startswith(b"%PDF-")
        assert answers[0].headers["etag"] == answers[1].headers["etag"]
        assert here.get(job["links"]["evaluation"]).content == there.get(job["links"]["evaluation"]).content
    for shop in shops:
        shop.http.close()
    fleet.settle()
    done = [messages(worker).count("task done") for worker in fleet.workers]
    assert sum(done) == len(jobs) and all(done), done


def test_two_that_post_with_the_same_key_at_two_apis_get_one_job(start, tmp_path, places, store):
    fleet = Fleet(start, tmp_path / "store", apis=2, workers=1, **SETTINGS, **places)
    load = Load(fleet.addresses, total=count(60, 1000), seed=3, clients=4)
    history = load.start().join()
    come_to_rest(fleet, history, store)
    fleet.settle()
    assert not faults(history), faults(history)
    asked_again = sum(len(jobs) > 1 for jobs in history.accepted.values())
    assert asked_again, "nobody asked again with the same key"
    reached("keys used again at another api", f"{asked_again} of {len(history.accepted)}, one job each")


def test_the_late_result_of_a_frozen_worker_is_refused(start, tmp_path, database, objects, bucket, proxy, store):
    """It is frozen with the sheet made and the file on its way; another takes the task; then it goes on."""
    network = proxy(objects.port)
    places = database.settings() | objects.settings(bucket)
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=0, **SETTINGS, **places)
    slow = fleet.add_worker(**objects.settings(bucket, network.address))
    with Shop(fleet.addresses[0]) as shop:
        shop.done(accepted(shop, "FIRST"))
        network.silence()
        job = accepted(shop, "LATE")
        until(lambda: network.held, "the file to be on its way")
        with frozen(slow):
            quick = fleet.add_worker()
            done = shop.done(job)
            assert done["attempts"] == 2
            sheet = shop.get(done["links"]["sheet"])
            network.heal()
        late = ("the lease was lost, another worker has the task", "the task was taken by another worker")
        until(lambda: any(words in messages(slow) for words in late), "the frozen worker to notice", 30)
        assert shop.get(job["links"]["self"]).json() == done, "nothing has changed"
        again = shop.get(done["links"]["sheet"])
        assert (again.content, again.headers["etag"]) == (sheet.content, sheet.headers["etag"])
        trail = [json.loads(line) for line in audit(shop)]
        rendered = [entry["to"] for entry in trail if entry["what"] == "rendered"]
        assert rendered.count(f"sheet {job['id']}") == 1
        # The worker that was frozen is as good as any other now.
        quick.stop()
        fleet.workers.remove(quick)
        assert shop.done(accepted(shop, "AFTERWARDS"))["attempts"] == 1
    slow.expected_errors.append("")
    fleet.settle()
    assert store.query(SHEET.format(job["id"])) == [("2",)]
    artifacts = store.query(f"SELECT sha256 FROM artifact WHERE owner_id = '{job['id']}'")
    assert [f'"{digest}"' for (digest,) in artifacts] == [sheet.headers["etag"]]


def test_workers_come_and_go_and_no_attempt_is_wasted(start, tmp_path, places, store):
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=1, **SETTINGS, **places)
    changes, jobs, gone = count(6, 30), [], []
    with Shop(fleet.addresses[0]) as shop:
        for number in range(changes):
            lines = [small_head(f"COME-{number}-{line}") for line in range(20)]
            jobs += shop.jobs(shop.submit_batch(lines))
        for _ in range(changes):
            fleet.add_worker()
            until(lambda: store.query(RUNNING), "a task under way", 10, pause=0.001)
            gone.append(fleet.remove_worker())
        finished = [shop.done(job) for job in jobs]
        until(lambda: store.query(OPEN) == [("0",)], "the reports")
    fleet.settle()
    assert {job["attempts"] for job in finished} == {1}
    done = sum(messages(worker).count("task done") for worker in gone + fleet.workers)
    assert done == len(jobs) + changes, "each sheet and each report"
    reached("workers that came and went", f"{len(gone)} over {len(jobs)} jobs, no attempt wasted")


def test_what_was_under_way_when_everything_died_is_done_by_whoever_comes(start, tmp_path, places, store):
    """Leases that ran out while nobody was there."""
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=2, **SETTINGS, **places)
    with Shop(fleet.addresses[0]) as shop:
        jobs = [accepted(shop, f"OLD-{number}") for number in range(40)]
        until(lambda: store.query(RUNNING), "a task under way", pause=0.001)
    for program in fleet.programs:
        os.kill(program.process.pid, signal.SIGSTOP)
    under_way = len(store.query(RUNNING))
    for program in fleet.programs:
        program.kill()
    # The leases are of 3 seconds.
    time.sleep(3.5)
    for program in fleet.programs:
        revive(program)
    with Shop(fleet.addresses[0]) as shop:
        finished = [shop.done(job) for job in jobs]
    attempts = [job["attempts"] for job in finished]
    assert set(attempts) <= {1, 2} and attempts.count(2) <= max(under_way, 2)
    assert len(jobs) == len({job["id"] for job in finished})
