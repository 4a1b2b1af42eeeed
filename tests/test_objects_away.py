"""The store of the sheets is away, the database is not: heads are still taken, and their sheets come later."""

import hashlib

import pytest

from harness.database_troubles import accepted, check_back, check_unavailable, quickly
from harness.fleet import Fleet
from harness.runs import SETTINGS
from harness.shop import Shop


@pytest.mark.parametrize("how", ["away", "silence"])
def test_what_is_accepted_meanwhile_is_done_afterwards(start, tmp_path, database, objects, bucket, proxy, how):
    network = proxy(objects.port)
    places = database.settings() | objects.settings(bucket, network.address)
    # Two attempts: if the store of the sheets used them up, the jobs would fail.
    settings = {**SETTINGS, "store_max_attempts": 2}
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=1, **settings, **places)
    fleet.expect_errors()
    with Shop(fleet.addresses[0]) as shop:
        before = shop.done(accepted(shop, "BEFORE"))
        getattr(network, how)()
        check_unavailable(quickly(lambda: shop.get(before["links"]["sheet"])))
        check_unavailable(quickly(lambda: shop.get("/readyz")))
        assert quickly(lambda: shop.get("/livez"), 1.0).status_code == 200
        jobs = [accepted(shop, f"MEANWHILE-{number}") for number in range(3)]
        evaluation = shop.get(jobs[0]["links"]["evaluation"])
        assert evaluation.status_code == 200, "what was judged is in the database"
        network.heal()
        check_back(shop, before, *jobs)
    assert all(program.is_running for program in fleet.programs)
    fleet.settle()
    fleet.check_logs()
    # What a lost answer left behind may be there as well; a sheet of each has to be.
    there = {hashlib.sha256(objects.get(bucket, key)).hexdigest() for key in objects.keys(bucket)}
    named = [digest for (digest,) in database.query("SELECT sha256 FROM artifact")]
    assert len(named) == 5 and set(named) <= there
