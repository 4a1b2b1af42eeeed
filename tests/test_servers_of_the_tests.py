"""The servers that other tests rely on do what those tests believe of them."""

import random
import socket
import subprocess
import threading
import time
from collections import Counter

import httpx
import pytest

from harness.faults import schedule
from harness.objects import Objects
from harness.postgres import STOPS
from harness.program import until
from harness.soaking import MEBI, Memory


def test_postgres_keeps_what_it_has_committed_however_it_is_stopped(postgres, database):
    assert database.query("SHOW fsync") == [("on",)]
    assert database.query("SELECT rolsuper FROM pg_roles WHERE rolname = 'headproof'") == [("f",)]
    database.query("CREATE TABLE kept (how text)")
    for how in STOPS:
        database.query(f"INSERT INTO kept VALUES ('{how}')")
        postgres.restart(how)
    assert database.query("SELECT how FROM kept ORDER BY how") == [(how,) for how in sorted(STOPS)]


def test_postgres_ends_connections_when_asked_to(postgres, database):
    assert postgres.terminate_backends(database.name) == 0
    said = []

    def long() -> None:
        try:
            database.query("SELECT pg_sleep(60)")
        except AssertionError as ended:
            said.append(str(ended))

    asking = threading.Thread(target=long)
    asking.start()
    until(lambda: postgres.terminate_backends(database.name) == 1, "the connection")
    asking.join(30)
    assert "terminating connection due to administrator command" in said[0]


def test_a_database_is_fresh(database):
    assert database.query("SELECT count(*) FROM pg_tables WHERE schemaname = 'public'") == [("0",)]


def test_a_database_is_reached_by_its_address_through_a_network_too(postgres, database, proxy):
    network = proxy(postgres.port)
    for port in (None, network.port):
        words = [postgres.bin / "psql", database.url(port), "--tuples-only", "--command", "SELECT current_user"]
        finished = subprocess.run(words, capture_output=True, text=True, timeout=30)
        assert finished.stdout.strip() == "headproof", finished.stderr
    assert network.connections == 1


def test_a_schedule_has_every_kind_of_fault_and_is_the_same_again():
    kinds = dict.fromkeys("abcde")
    struck = [schedule(kinds, 12, random.Random(seed)) for seed in (1, 1, 2)]
    assert struck[0] == struck[1] != struck[2]
    assert {Counter(names)[kind] for names in struck for kind in kinds} == {2, 3}


def test_an_object_is_created_once(objects: Objects, bucket):
    assert objects.put(bucket, "sheets/a", b"first", If_None_Match="*").status_code == 200
    assert objects.put(bucket, "sheets/a", b"second", If_None_Match="*").status_code == 412
    assert objects.get(bucket, "sheets/a") == b"first"


def test_all_keys_are_listed(objects: Objects, bucket):
    names = {f"sheets/{number}" for number in range(25)}
    for name in names:
        objects.put(bucket, name, b"")
    assert set(objects.keys(bucket, "sheets/", page=10)) == names and objects.keys(bucket, "others/") == []


@pytest.fixture
def echo(objects, proxy):
    """A proxy to something that answers."""
    return proxy(objects.port)


def ask(proxy, patience: float = 1.0) -> httpx.Response:
    transport = httpx.HTTPTransport(verify=False, trust_env=False)
    with httpx.Client(transport=transport, timeout=patience) as client:
        return client.get(proxy.address)


def test_a_proxy_passes_on(echo):
    assert ask(echo).status_code in (200, 403)
    assert echo.connections == 1


def test_a_proxy_is_silent_and_then_passes_on_what_waited(echo):
    echo.silence()
    with pytest.raises(httpx.ReadTimeout):
        ask(echo, 0.3)
    with socket.create_connection(("127.0.0.1", echo.port)) as waiting:
        waiting.sendall(b"GET / HTTP/1.0\r\n\r\n")
        waiting.settimeout(0.2)
        with pytest.raises(TimeoutError):
            waiting.recv(1)
        echo.flow()
        waiting.settimeout(10)
        assert waiting.recv(4) == b"HTTP"


def test_a_proxy_resets_connections(echo):
    with socket.create_connection(("127.0.0.1", echo.port)) as connection:
        until(lambda: echo.cut() == 1, "the connection to be there")
        connection.settimeout(10)
        with pytest.raises(ConnectionResetError):
            connection.recv(1)
    assert ask(echo).status_code in (200, 403)


def test_a_proxy_goes_away_and_comes_back(echo):
    echo.away()
    with pytest.raises(httpx.ConnectError):
        ask(echo)
    echo.heal()
    assert ask(echo).status_code in (200, 403)


def test_a_proxy_takes_its_time(echo):
    whole = len(ask(echo).content)
    echo.delay = 0.2
    begun = time.monotonic()
    ask(echo, 10)
    assert time.monotonic() - begun > 0.4
    echo.delay, echo.slices = 0.0, 7
    assert len(ask(echo, 10).content) == whole
    echo.slices, echo.rate = 0, 500
    begun = time.monotonic()
    ask(echo, 10)
    assert time.monotonic() - begun > 0.2


def test_memory_that_grows_is_found():
    looked = Memory(fleet=None)
    for number in range(100):
        looked.samples["flat"].append(50 * MEBI + number % 7 * MEBI)
        looked.samples["once much"].append((50 if number != 80 else 500) * MEBI)
        looked.samples["leaks"].append(50 * MEBI + number * MEBI // 2)
    assert looked.grown() == ["leaks: 62.2 MiB, then 87.2 MiB"]
