"""PostgreSQL is not there, or as good as not: the service says so soon, shows nothing of its inside, and goes on by
itself."""

import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from harness.counts import reached
from harness.database_troubles import BACK, QUICK, accepted, check_away, check_back, post
from harness.fleet import Fleet
from harness.postgres import PASSWORD
from harness.program import Program, refused
from harness.runs import SETTINGS
from harness.shop import Shop

WAITS = "the database is not there yet, trying again"


@pytest.fixture
def network(proxy, database):
    """The way to PostgreSQL."""
    return proxy(database.server.port)


@pytest.fixture
def places(database, objects, bucket, network):
    return database.settings(network.port) | objects.settings(bucket)


@pytest.fixture
def fleet(start, tmp_path, places):
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=1, **SETTINGS, **places)
    fleet.expect_errors()
    yield fleet
    check_end(fleet)


def check_end(fleet: Fleet) -> None:
    """It has gone on by itself; it ends in good order, as long as there still is a database; nothing has panicked."""
    assert all(program.is_running for program in fleet.programs), "it does not end because its database is away"
    fleet.settle()
    fleet.check_logs()


@pytest.fixture
def shop(fleet):
    with Shop(fleet.addresses[0]) as shop:
        yield shop


def test_programs_that_start_before_their_database_wait_for_it(start, tmp_path, places, network):
    network.away()
    # The server comes while the first of them waits for it; none answers before it can keep anything.
    coming = threading.Timer(3.0, network.back)
    coming.start()
    begun = time.monotonic()
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=1, **SETTINGS, **places)
    took = time.monotonic() - begun
    assert 3.0 <= took < BACK, took
    assert WAITS in fleet.apis[0].log.read_text()
    with Shop(fleet.addresses[0]) as shop:
        check_back(shop)
    check_end(fleet)


def test_a_program_whose_database_does_not_come_says_so_and_ends(tmp_path, places, network):
    network.away()
    begun = time.monotonic()
    said = refused(tmp_path, **places, store_start_seconds=2)
    assert time.monotonic() - begun < QUICK
    lines = said.splitlines()
    assert lines[-1] == "headproof: store: the database does not answer"
    assert all(WAITS in line for line in lines[:-1]), said
    assert PASSWORD not in said and str(network.port) not in said


AWAY = {
    "refused": lambda network, _: network.away(),
    "silent": lambda network, _: network.silence(),
    "stopped": lambda _, server: server.stop("fast"),
    "killed": lambda _, server: server.stop("killed"),
}


@pytest.mark.parametrize("how", AWAY)
def test_while_it_is_away_the_answer_is_no_and_afterwards_all_is_there(fleet, shop, network, database, how):
    before = [accepted(shop, f"BEFORE-{how}-{number}") for number in range(3)]
    shop.done(before[0])
    try:
        AWAY[how](network, database.server)
        check_away(shop, before[0])
    finally:
        network.heal()
        if database.server.process.poll() is not None:
            database.server.start()
    reached(f"ready again after PostgreSQL was {how}", f"{check_back(shop, *before):.1f} s")


def test_a_program_ends_although_its_database_gives_no_answer(start, tmp_path, places, network):
    """What was asked just before is waited for as long as the server may take for it, what was given back not at all."""
    fleet = Fleet(start, tmp_path / "store", apis=1, workers=1, **SETTINGS, **places)
    fleet.expect_errors()
    with Shop(fleet.addresses[0]) as shop:
        shop.done(accepted(shop, "BEFORE"))
    network.silence()
    begun = time.monotonic()
    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(Program.terminate, fleet.programs)) == [0, 0]
    reached("ended with a silent PostgreSQL", f"{time.monotonic() - begun:.1f} s")
    fleet.check_logs()


def test_a_slow_database_makes_slow_and_no_wrong_answers(fleet, shop, network):
    shop.done(accepted(shop, "FAST"))
    network.delay, network.slices = 0.05, 512
    jobs = []
    for number in range(5):
        answer = post(shop, f"SLOW-{number}")
        # A no is no loss: it is asked again when the network is well.
        assert answer.status_code in (202, 503), answer.text
        jobs.append(answer)
    network.heal()
    again = [post(shop, f"SLOW-{number}") for number in range(5)]
    for first, second in zip(jobs, again, strict=True):
        assert second.status_code == 202, second.text
        assert first.status_code == 503 or first.json()["id"] == second.json()["id"]
    check_back(shop, *(answer.json() for answer in again))


def test_connections_that_the_server_ends_are_replaced(fleet, shop, database):
    shop.done(accepted(shop, "BEFORE"))
    for number in range(5):
        assert database.server.terminate_backends(database.name) > 0
        answers = [post(shop, f"ENDED-{number}") for _ in range(3)]
        assert {answer.status_code for answer in answers} <= {202, 503}
        assert answers[-1].status_code == 202, "whatever was ended is noticed once"
        ids = {answer.json()["id"] for answer in answers if answer.status_code == 202}
        assert len(ids) == 1
    check_back(shop)
