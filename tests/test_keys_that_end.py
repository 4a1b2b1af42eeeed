"""Keys end: by themselves, or because they were revoked."""

from concurrent.futures import ThreadPoolExecutor, wait
from datetime import datetime, timedelta, timezone

import pytest

from harness.access import KEYS, UNKNOWN, check_unknown, enter, fresh_address, make_key, make_key_here
from harness.counts import LONG, count, reached
from harness.problems import check_problem
from harness.program import run, until
from harness.shop import Shop


@pytest.fixture(scope="module")
def settings():
    return KEYS


def listed(shop, identifier: str) -> dict:
    return next(key for key in shop.get("/v1/keys").json() if key["id"] == identifier)


def test_a_key_ends_by_itself(bearer, shop):
    made = make_key(shop, "read", expires_at=(datetime.now(timezone.utc) + timedelta(seconds=3)).isoformat())
    end = datetime.fromisoformat(made["key"]["expires_at"])
    with bearer(made["secret"]) as reader:
        assert reader.get("/v1/profiles").status_code == 200
        refused = until(
            lambda: (response := reader.get("/v1/profiles")).status_code != 200 and response, "its end", 10, 0.2
        )
        check_unknown(refused)
    assert datetime.now(timezone.utc) >= end, "not before its time"
    assert listed(shop, made["key"]["id"]) == made["key"]


def test_a_revoked_key_opens_nothing_at_once(bearer, shop):
    made = make_key(shop, "read")
    path = f"/v1/keys/{made['key']['id']}"
    with bearer(made["secret"]) as reader, bearer(made["secret"]) as another:
        for _ in range(3):
            assert reader.get("/v1/profiles").status_code == another.get("/v1/profiles").status_code == 200
        assert shop.delete(path).status_code == 204
        check_unknown(reader.get("/v1/profiles"))
        check_unknown(another.get("/v1/profiles"))
    revoked = listed(shop, made["key"]["id"])
    assert revoked["revoked_at"]
    assert shop.delete(path).status_code == 204
    assert listed(shop, made["key"]["id"]) == revoked
    assert b"key-revoked" in shop.fetch("/v1/audit")


def test_a_key_that_is_in_use_while_it_is_revoked_opens_nothing_afterwards(service, shop):
    """Whoever looked it up just before must not remember it as good."""
    rounds, together, person = count(60, 2000), 6, enter(shop)["id"]
    clients = [Shop(service.address, comes_from=fresh_address()) for _ in range(together)]
    opened = 0
    with ThreadPoolExecutor(together) as pool:
        for _ in range(rounds):
            made = make_key(shop, "read", person=person)
            shown = f"Bearer {made['secret']}"
            asked = [pool.submit(client.get, "/v1/people", Authorization=shown) for client in clients]
            assert shop.delete(f"/v1/keys/{made['key']['id']}").status_code == 204
            wait(asked)
            opened += clients[0].get("/v1/people", Authorization=shown).status_code == 200
    for client in clients:
        client.http.close()
    assert opened == 0, f"{opened} of {rounds} still opened"
    reached("keys revoked while in use", rounds)


def test_a_key_can_revoke_itself(bearer, shop):
    made = make_key(shop, "admin")
    with bearer(made["secret"]) as admin:
        assert admin.delete(f"/v1/keys/{made['key']['id']}").status_code == 204
        check_unknown(admin.get("/v1/keys"))


def test_a_key_that_is_not_there_cannot_be_revoked(shop):
    answers = [shop.delete(f"/v1/keys/{name}") for name in (UNKNOWN, "abc", "..%2fpeople", "%00")]
    assert len({answer.content for answer in answers}) == 1
    for answer in answers:
        check_problem(answer, 404, "not-found")


def test_a_key_revoked_at_the_machine_opens_nothing_within_half_a_minute(service, bearer):
    secret = make_key_here(service.store, "shop", "read")
    identifier = secret.split("_")[1]
    with bearer(secret) as reader:
        if LONG:
            assert reader.get("/v1/profiles").status_code == 200
        revoked = run("key", "revoke", identifier, settings={"store_dir": service.store})
        assert (revoked.returncode, revoked.stdout) == (0, b"")
        until(lambda: reader.get("/v1/profiles").status_code == 401, "the end of the key", 35 if LONG else 1, 0.5)
    shown = run("key", "list", settings={"store_dir": service.store}).stdout.decode()
    (line,) = [line for line in shown.splitlines() if line.replace("-", "").startswith(identifier)]
    assert line.endswith("(revoked)")
