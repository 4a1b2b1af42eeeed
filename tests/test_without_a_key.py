"""Whoever shows no key, or none that is good, is told the same by everything."""

import re
from datetime import datetime, timedelta, timezone

import pytest

from harness.access import KEYS, UNKNOWN, check_unknown, filled, fresh_address, make_key, operations
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop, as_it_stands


@pytest.fixture(scope="module")
def settings():
    return KEYS


@pytest.fixture(scope="module")
def refused(service) -> bytes:
    with Shop(service.address) as shop:
        return check_unknown(shop.get("/v1/jobs"))


def test_every_operation_asks_for_a_key_unless_it_is_said_to_be_for_all(stranger, refused):
    asked = 0
    for method, path, operation in operations(stranger.get("/openapi.json").json()):
        response = stranger.http.request(method, filled(path))
        if operation.get("security") == []:
            assert response.status_code in (200, 404), (path, response.text)
        else:
            assert check_unknown(response) == refused, (method, path)
            asked += 1
    assert asked >= 25


def test_what_is_for_all_is_said_to_be(shop):
    description = shop.get("/openapi.json").json()
    assert description["security"] == [{"key": []}]
    open_paths = {path for _, path, operation in operations(description) if operation.get("security") == []}
    assert open_paths == {
        "/livez",
        "/readyz",
        "/openapi.json",
        "/problems/{name}",
        "/v1/schemas",
        "/v1/schemas/{name}",
        "/v1/characteristics",
    }
    for method, path, operation in operations(description):
        if path not in open_paths:
            assert {"401", "403", "429"} <= set(operation["responses"]), (method, path)


@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND", "X"])
@pytest.mark.parametrize("path", ["/v1/jobs", "/v1/keys", f"/v1/jobs/{UNKNOWN}", "/nowhere"])
def test_no_method_goes_round_the_door(stranger, refused, method, path):
    assert check_unknown(stranger.http.request(method, path)) == refused


def test_a_head_request_is_answered_like_a_get_without_its_body(stranger, refused):
    response = stranger.http.head("/v1/profiles")
    assert (response.status_code, response.content) == (401, b"")
    assert response.headers["www-authenticate"] == "Bearer"
    assert response.headers["content-type"] == "application/problem+json"


PATHS = ["/", "/v1", "/v2/jobs", "//v1/keys", "/v1//keys", "/v1/keys/", "/%76%31/keys", "/v1/keys?a=/docs/"]
PATHS += ["/livez/", "/LIVEZ", "/livez;/v1/keys", "/v1/keys;/livez", "/docsx", "/v1/schemasx", "/%00", "*"]
PATHS += ["/v1/schemas%2f..%2fkeys", "/v1/./keys", "/x/../v1/keys", "http://127.0.0.1/v1/keys", "/v1/keys#/docs/"]


@pytest.mark.parametrize("path", PATHS)
def test_no_address_goes_round_the_door(service, refused, path):
    assert check_unknown(as_it_stands(service.address, path)) == refused


@pytest.mark.parametrize("open_part", ["/docs", "/problems", "/v1/schemas"])
@pytest.mark.parametrize("way", ["/../{}keys", "/%2e%2e/{}keys", "/..%2f{}keys", "/x/../../{}keys", "//{}keys"])
def test_what_is_for_all_leads_to_nothing_else(service, open_part, way):
    response = as_it_stands(service.address, open_part + way.format("" if "v1" in open_part else "v1/"))
    check_problem(response, 404, "not-found")


@pytest.fixture(scope="module")
def good(shop):
    return make_key(shop, "read")["secret"]


@pytest.fixture(scope="module")
def over(shop):
    """A revoked key and an expired one."""
    revoked = make_key(shop, "read")
    assert shop.delete(f"/v1/keys/{revoked['key']['id']}").status_code == 204
    end = datetime.now(timezone.utc) + timedelta(seconds=2)
    expired = make_key(shop, "read", expires_at=end.isoformat())
    with Shop(str(shop.http.base_url), expired["secret"], fresh_address()) as reader:
        assert reader.get("/v1/profiles").status_code == 200
        until(lambda: reader.get("/v1/profiles").status_code == 401, "the end of a key", 10, 0.2)
    return {"revoked": revoked["secret"], "expired": expired["secret"]}


def flipped(text: str, index: int) -> str:
    """A key with another digit in one place."""
    return text[:index] + ("0" if text[index] != "0" else "1") + text[index + 1 :]


ODD = {
    "empty": lambda key: b"",
    "the word alone": lambda key: b"Bearer",
    "Basic": lambda key: b"Basic aHA6aHA=",
    "the key as password": lambda key: b"Basic " + key,
    "no word": lambda key: key,
    "another word": lambda key: b"Bearers " + key,
    "no space": lambda key: b"Bearer" + key,
    "a comma between": lambda key: b"Bearer," + key,
    "two keys": lambda key: b"Bearer " + key + b" " + key,
    "two keys with a comma": lambda key: b"Bearer " + key + b"," + key,
    "two words": lambda key: b"Bearer Bearer " + key,
    "quoted": lambda key: b'Bearer "' + key + b'"',
    "no UTF-8": lambda key: b"Bearer " + key + b"\xff",
    "UTF-8": lambda key: b"Bearer " + key + "é".encode(),
    "as wide letters": lambda key: b"Bearer " + key.replace(b"hp_", "ｈｐ_".encode()),
    "100 kB": lambda key: b"Bearer " + key + b"0" * 100_000,
    "capitals": lambda key: b"Bearer " + key.upper(),
    "secret in capitals": lambda key: b"Bearer " + key[:36] + key[36:].upper(),
    "id in capitals": lambda key: b"Bearer hp_" + key[3:35].upper() + key[35:],
    "id with hyphens": lambda key: b"Bearer hp_" + re.sub(rb"^(.{8})(.{4})(.{4})(.{4})", rb"\1-\2-\3-\4-", key[3:]),
    "cut short": lambda key: b"Bearer " + key[:-1],
    "one digit more": lambda key: b"Bearer " + key + b"0",
    "without its secret": lambda key: b"Bearer " + key[:36],
    "wrong secret": lambda key: b"Bearer " + flipped(key.decode(), -1).encode(),
    "unknown id": lambda key: b"Bearer " + flipped(key.decode(), 20).encode(),
}


@pytest.mark.parametrize("written", ODD.values(), ids=ODD)
def test_what_is_no_good_key_is_refused_in_the_same_words(stranger, refused, good, written):
    value = written(good.encode())
    assert good[3:35].upper() != good[3:35]
    response = stranger.http.get("/v1/profiles", headers=[(b"Authorization", value)])
    assert check_unknown(response) == refused


@pytest.mark.parametrize("which", ["revoked", "expired"])
def test_a_key_that_is_over_is_refused_in_the_same_words(stranger, refused, over, which):
    response = stranger.get("/v1/profiles", Authorization=f"Bearer {over[which]}")
    assert check_unknown(response) == refused


@pytest.mark.parametrize("good_first", [True, False])
def test_two_headers_are_one_too_many(stranger, refused, good, good_first):
    """Authorization is a single field (RFC 9110, 5.3 and 11.6.2): which one a proxy before it has read is open."""
    both = [f"Bearer {good}", f"Bearer {flipped(good, -1)}"]
    headers = [("Authorization", value) for value in (both if good_first else reversed(both))]
    assert check_unknown(stranger.http.get("/v1/profiles", headers=headers)) == refused


@pytest.mark.parametrize("word", ["Bearer ", "bearer ", "BEARER   "])
def test_the_word_may_be_in_any_case(stranger, good, word):
    """RFC 9110, 11.1."""
    assert stranger.get("/v1/profiles", Authorization=word + good).status_code == 200


def test_a_refused_key_is_logged_and_a_missing_one_is_not(service, stranger, good):
    def warnings() -> int:
        return sum(entry["level"] == "WARN" for entry in service.log_entries())

    before = warnings()
    assert stranger.get("/v1/profiles").status_code == 401
    assert stranger.get("/v1/profiles", Authorization=f"Bearer {flipped(good, -1)}").status_code == 401
    until(lambda: warnings() > before, "the line in the log", 5)
    assert warnings() == before + 1
