"""Keys: made and listed."""

import re

import pytest

from harness.access import KEYS, UNKNOWN, enter, first_key, make_key
from harness.problems import check_problem, pointers
from harness.shop import Shop


@pytest.fixture(scope="module")
def settings():
    return KEYS


def wish(**more: object) -> dict:
    return {"label": "a test", "scopes": ["read"], **more}


def listed(shop, identifier: str) -> dict:
    return next(key for key in shop.get("/v1/keys").json() if key["id"] == identifier)


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
    with Shop(program.address, first_key(program)) as shop:
        response = shop.post("/v1/keys", wish(expires_at=end))
        if response.status_code != 201:
            check_problem(response, 422, "invalid-document")
        assert len(shop.get("/v1/keys").json()) == (2 if response.status_code == 201 else 1)
