"""On SQLite and files: whatever fails while people work, nothing accepted is lost and nothing is there twice."""

import pytest

from harness.counts import count, reached
from harness.database import check_artifacts, check_integrity
from harness.disk import fill_up, mounted
from harness.faults import DiskFaults
from harness.fleet import Fleet
from harness.runs import SETTINGS, run_with_faults
from harness.settling import SqliteStore

SEED = 20261126
MEBI = 1 << 20


@pytest.fixture
def disk(tmp_path):
    """A file system that a run does not fill by itself: a sheet of these heads has some 70 kB."""
    with mounted(tmp_path / "disk", count(256, 2048) * MEBI) as directory:
        yield directory


def test_whatever_fails_nothing_is_lost_and_nothing_is_there_twice(start, disk):
    store = disk / "store"
    fleet = Fleet(start, store, apis=2, workers=2, **SETTINGS)
    rest = disk / "rest"
    faults = DiskFaults(fleet, SEED, fill=lambda: fill_up(rest), free=rest.unlink)
    jobs, strikes = count(150, 2500), count(12, 100)
    _, figures = run_with_faults(fleet, faults, SqliteStore(store), jobs, strikes, SEED)
    check_integrity(store)
    check_artifacts(store)
    reached("faults on SQLite and files", figures)
