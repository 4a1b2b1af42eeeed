"""Keys: made, listed, expired, revoked."""

import re
from datetime import datetime, timedelta, timezone

import pytest

from harness.access import KEYS, UNKNOWN, check_unknown, enter, fresh_address, make_key, make_key_here
from harness.counts import LONG
from harness.problems import check_problem, pointers
from harness.program import run, until
from harness.shop import Shop


@pytest.fixture(scope="module")
def settings():
    return KEYS


def wish(**more: object) -> dict:
    return {"label": "a test", "scopes": ["read"], **more}


def holder(service, key: str) -> Shop:
    return Shop(service.address, key, fresh_address())


def listed(shop, identifier: str) -> dict:
    return next(key for key in shop.get("/v1/keys").json() if key["id"] == identifier)


def ahead(**much: float) -> str:
    return (datetime.now(timezone.utc) + timedelta(**much)).isoformat()


def test_a_key_is_shown_once(shop):
    response = shop.post("/v1/keys", wish(label="front desk"))
    assert response.status_code == 201
    made = response.json()
    assert re.fullmatch(r"hp_[0-9a-f]{32}_[0-9a-f]{64}", made["secret"])
    assert response.headers["location"] == f"/v1/keys/{made['key']['id']}"
    assert response.headers["cache-control"] == "no-store"
    assert listed(shop, made["key"]["id"]) == made["key"]
    assert set(made["key"]) == {"id", "label", "scopes", "created_at"}
    assert made["secret"].rpartition("_")[2] not in shop.get("/v1/keys").text + shop.get("/v1/audit").text


def test_no_two_keys_are_the_same(shop):
    made = [make_key(shop, "read")["secret"].split("_") for _ in range(20)]
    assert len({parts[1] for parts in made}) == len({parts[2] for parts in made}) == 20


def test_one_that_signs_has_to_speak_for_a_person(shop):
    problem = check_problem(shop.post("/v1/keys", wish(scopes=["read", "sign"])), 422, "invalid-document")
    assert pointers(problem) == ["/person"]


def test_it_speaks_for_nobody_who_is_not_there(shop):
    gone = enter(shop)["id"]
    assert shop.delete(f"/v1/people/{gone}").status_code == 204
    for person in (UNKNOWN, gone):
        problem = check_problem(shop.post("/v1/keys", wish(person=person)), 422, "invalid-document")
        assert pointers(problem) == ["/person"]


@pytest.mark.parametrize(
    "pointer, value",
    [
        ("/label", ""),
        ("/label", " "),
        ("/label", "x" * 201),
        ("/label", "a\u0000b"),
        ("/label", "a\u202eb"),
        ("/label", 3),
        ("/person", "nobody"),
        ("/expires_at", "2020-01-01T00:00:00Z"),
        ("/expires_at", "tomorrow"),
        ("/expires_at", "2999-01-01"),
        ("/expires_at", "2999-02-30T00:00:00Z"),
        ("/expires_at", ""),
        ("/expires_at", 32503680000),
    ],
)
def test_a_faulty_wish_is_refused_with_its_place(shop, pointer, value):
    before = shop.fetch("/v1/keys")
    problem = check_problem(shop.post("/v1/keys", wish(**{pointer[1:]: value})), 422, "invalid-document")
    assert pointers(problem) == [pointer]
    assert shop.fetch("/v1/keys") == before


def test_an_unknown_member_is_refused(shop):
    for member in ("secret", "id", "shop"):
        check_problem(shop.post("/v1/keys", wish(**{member: "x"})), 422, "invalid-document")


@pytest.mark.parametrize("end", ["9999-12-31T23:59:59Z", "9999-12-31T23:59:59-12:00", "9999-12-31T23:59:60Z"])
def test_the_end_of_time_is_kept_or_refused(start, end):
    """And does no harm to the other keys."""
    program = start(**KEYS)
    key = (program.store / "first-key").read_text().strip()
    with Shop(program.address, key) as shop:
        response = shop.post("/v1/keys", wish(expires_at=end))
        if response.status_code != 201:
            check_problem(response, 422, "invalid-document")
        assert len(shop.get("/v1/keys").json()) == (2 if response.status_code == 201 else 1)


def test_a_key_ends_by_itself(service, shop):
    made = make_key(shop, "read", expires_at=ahead(seconds=2))
    end = datetime.fromisoformat(made["key"]["expires_at"])
    with holder(service, made["secret"]) as reader:
        assert reader.get("/v1/profiles").status_code == 200
        refused = until(
            lambda: (response := reader.get("/v1/profiles")).status_code != 200 and response, "its end", 10, 0.2
        )
        check_unknown(refused)
    assert timedelta(0) <= datetime.now(timezone.utc) - end < timedelta(seconds=2)
    assert listed(shop, made["key"]["id"]) == made["key"]


def test_a_revoked_key_opens_nothing_at_once(service, shop):
    made = make_key(shop, "read")
    path = f"/v1/keys/{made['key']['id']}"
    with holder(service, made["secret"]) as reader, holder(service, made["secret"]) as another:
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


def test_a_key_can_revoke_itself(service, shop):
    made = make_key(shop, "admin")
    with holder(service, made["secret"]) as admin:
        assert admin.delete(f"/v1/keys/{made['key']['id']}").status_code == 204
        check_unknown(admin.get("/v1/keys"))


def test_a_key_that_is_not_there_cannot_be_revoked(shop):
    answers = [shop.delete(f"/v1/keys/{name}") for name in (UNKNOWN, "abc", "..%2fpeople", "%00")]
    assert len({answer.content for answer in answers}) == 1
    for answer in answers:
        check_problem(answer, 404, "not-found")


def test_a_key_revoked_at_the_machine_opens_nothing_within_half_a_minute(service, shop):
    secret = make_key_here(service.store, "shop", "read")
    identifier = secret.split("_")[1]
    with holder(service, secret) as reader:
        if LONG:
            assert reader.get("/v1/profiles").status_code == 200
        revoked = run("key", "revoke", identifier, settings={"store_dir": service.store})
        assert (revoked.returncode, revoked.stdout) == (0, b"")
        until(lambda: reader.get("/v1/profiles").status_code == 401, "the end of the key", 35 if LONG else 1, 0.5)
    shown = run("key", "list", settings={"store_dir": service.store}).stdout.decode()
    assert [line for line in shown.splitlines() if line.replace("-", "").startswith(identifier)][0].endswith("(revoked)")
