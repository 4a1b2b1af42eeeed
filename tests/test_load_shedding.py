"""Whoever posts when there is no room is sent away at once, and told when to come again."""

import socket
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import pytest

from harness.access import KEYS, check_unknown, first_key
from harness.documents import request
from harness.figures import LISTEN, Figures
from harness.problems import check_problem
from harness.program import refused, until
from harness.shop import Shop

ROOM = 2


@contextmanager
def slow(address: str, key: str | None = None):
    """A client that has sent half of its body, and sends the rest when it is told to; then gives the answer."""
    host, port = address.removeprefix("http://").split(":")
    body = b'{"measurement_set": 1}'
    shown = f"Authorization: Bearer {key}\r\n" if key else ""
    head = f"POST /v1/jobs HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\n{shown}"
    with socket.create_connection((host, int(port)), timeout=30) as connection:
        connection.sendall(f"{head}Content-Length: {len(body)}\r\n\r\n".encode() + body[:5])

        def rest() -> bytes:
            connection.sendall(body[5:])
            return connection.recv(65536)

        yield rest


def until_held(program, clients: int) -> None:
    """Waits until so many are being read; whoever posts before could take the room of one of them."""
    until(lambda: Figures(program).value("requests_in_flight") == clients, "the slow clients")
    time.sleep(0.2)


def is_full(shop: Shop) -> bool:
    return shop.post("/v1/evaluate", {}).status_code == 503


def check_sent_away(response) -> None:
    problem = check_problem(response, 503, "unavailable")
    assert response.headers["retry-after"] == "1"
    assert "at once" in problem["detail"]


def test_bodies_beyond_the_room_are_not_read_and_all_else_is_answered(start):
    program = start("api", api_in_flight=ROOM, **LISTEN)
    with Shop(program.address) as shop, slow(program.address) as first, slow(program.address) as second:
        until_held(program, ROOM)
        for path in ("/v1/evaluate", "/v1/jobs", "/v1/batches", "/v1/profiles", "/v1/verify"):
            check_sent_away(shop.post(path, request()))
        # Of this one nothing is read but its head: it says that it is far too large.
        with slow(program.address) as third:
            assert third().startswith(b"HTTP/1.1 503 ")
        for path in ("/livez", "/readyz", "/v1/profiles", "/v1/schemas"):
            assert shop.get(path).status_code == 200
        assert first().startswith(b"HTTP/1.1 422 ")
        until(lambda: not is_full(shop), "room")
        assert shop.post("/v1/evaluate", request()).status_code == 200
        assert second().startswith(b"HTTP/1.1 422 ")


def test_a_client_that_goes_away_leaves_its_room(start):
    program = start("api", api_in_flight=1, **LISTEN)
    with Shop(program.address) as shop:
        with slow(program.address):
            until_held(program, 1)
            assert is_full(shop)
        until(lambda: not is_full(shop), "room")


def test_who_is_not_known_takes_no_room(start):
    program = start("api", api_in_flight=1, **KEYS, **LISTEN)
    key = first_key(program)
    with Shop(program.address, key) as shop, Shop(program.address) as stranger:
        with slow(program.address) as unknown:
            assert not is_full(shop)
            assert unknown().startswith(b"HTTP/1.1 401 ")
        with slow(program.address, key):
            until_held(program, 1)
            assert is_full(shop)
            check_unknown(stranger.post("/v1/jobs", {}))


def test_many_at_once_are_judged_or_sent_away_and_nothing_else(start):
    program = start("api", api_in_flight=ROOM, api_threads=4)
    with Shop(program.address) as shop, ThreadPoolExecutor(16) as pool:
        head = request("irrigation-pump-16v")
        answers = list(pool.map(lambda _: shop.post("/v1/evaluate", head), range(60)))
        for answer in answers:
            if answer.status_code != 200:
                check_sent_away(answer)
        assert any(answer.status_code == 200 for answer in answers)
        assert shop.post("/v1/evaluate", head).status_code == 200


@pytest.mark.parametrize("room", ["0", "-1", "many"])
def test_room_for_nobody_stops_the_start(tmp_path, room):
    said = refused(tmp_path, api_in_flight=room)
    assert "api.in_flight" in said or "HEADPROOF_API_IN_FLIGHT" in said
