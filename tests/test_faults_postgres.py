"""On PostgreSQL and S3, with several programs: whatever fails while people work, nothing accepted is lost and nothing
is there twice."""

from harness.counts import count, reached
from harness.faults import ServerFaults
from harness.fleet import Fleet
from harness.runs import SETTINGS, run_with_faults
from harness.settling import PostgresStore

SEED = 20261127


def test_whatever_fails_nothing_is_lost_and_nothing_is_there_twice(start, tmp_path, database, objects, bucket, proxy):
    to_postgres, to_objects = proxy(database.server.port), proxy(objects.port)
    places = database.settings(to_postgres.port) | objects.settings(bucket, to_objects.address)
    fleet = Fleet(start, tmp_path / "store", apis=2, workers=2, **SETTINGS, **places)
    faults = ServerFaults(fleet, SEED, database, to_postgres, to_objects)
    jobs, strikes = count(150, 3000), count(14, 120)
    store = PostgresStore(database, objects, bucket)
    _, figures = run_with_faults(fleet, faults, store, jobs, strikes, SEED)
    assert to_postgres.connections > 0 and to_objects.connections > 0, "nothing went through the network that fails"
    reached("faults on PostgreSQL and S3", figures)
