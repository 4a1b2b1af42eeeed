"""Steady work for a while: no process takes more and more memory, and nothing is lost or there twice."""

import time

from harness.counts import count, reached
from harness.fleet import Fleet
from harness.history_checks import faults
from harness.load import Load
from harness.settling import PostgresStore, SqliteStore, come_to_rest
from harness.soaking import MEBI, Memory

SECONDS = count(8, 1200)
WARM_UP = count(2, 30)


def soak(fleet: Fleet, store, what: str) -> None:
    load = Load(fleet.addresses, total=10**9, seed=7, clients=2, pause=0.1).start()
    time.sleep(WARM_UP)
    memory = Memory(fleet)
    memory.start()
    time.sleep(SECONDS)
    memory.stop()
    load.stopped.set()
    history = load.join()
    come_to_rest(fleet, history, store)
    fleet.settle()
    wrong = faults(history)
    assert not wrong, "\n".join(wrong[:20])
    assert len(history.jobs) >= SECONDS and history.given_up == set()
    names = {f"{program.command} {number}" for number, program in enumerate(fleet.programs, 1)}
    halves = memory.halves()
    assert names <= halves.keys() and min(len(samples) for samples in memory.samples.values()) >= 4
    assert not memory.grown(), memory.grown()
    most = max((second - first, name) for name, (first, second) in halves.items())
    held = ", ".join(f"{name} {second / MEBI:.0f}" for name, (_, second) in sorted(halves.items()))
    grown = f"{most[1]} {most[0] / MEBI:+.1f}"
    reached(what, f"{SECONDS} s, {len(history.jobs)} jobs; MiB held: {held}; most grown: {grown}")


def test_on_sqlite_and_files_memory_stays_flat(start, tmp_path):
    store = tmp_path / "store"
    soak(Fleet(start, store, apis=1, workers=1), SqliteStore(store), "steady work on SQLite and files")


def test_on_postgres_and_s3_memory_stays_flat(start, tmp_path, database, objects, bucket):
    places = database.settings() | objects.settings(bucket)
    fleet = Fleet(start, tmp_path / "store", apis=2, workers=2, **places)
    soak(fleet, PostgresStore(database, objects, bucket), "steady work on PostgreSQL and S3")
