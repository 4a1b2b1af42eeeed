"""Whoever shows a key that is not good is told the same as whoever shows none."""

import re
from datetime import datetime, timedelta, timezone

import pytest

from harness.access import KEYS, check_unknown, make_key
from harness.program import until


@pytest.fixture(scope="module")
def settings():
    return KEYS


@pytest.fixture(scope="module")
def good(shop):
    return make_key(shop, "read")["secret"]


@pytest.fixture(scope="module")
def over(shop, bearer):
    """A revoked key and an expired one."""
    revoked = make_key(shop, "read")
    assert shop.delete(f"/v1/keys/{revoked['key']['id']}").status_code == 204
    end = datetime.now(timezone.utc) + timedelta(seconds=3)
    expired = make_key(shop, "read", expires_at=end.isoformat())
    reader = bearer(expired["secret"])
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
    "id with hyphens": lambda key: b"Bearer " + re.sub(rb"_(.{8})(.{4})(.{4})(.{4})", rb"_\1-\2-\3-\4-", key, count=1),
    "cut short": lambda key: b"Bearer " + key[:-1],
    "one digit more": lambda key: b"Bearer " + key + b"0",
    "without its secret": lambda key: b"Bearer " + key[:36],
    "wrong secret": lambda key: b"Bearer " + flipped(key.decode(), -1).encode(),
    "unknown id": lambda key: b"Bearer " + flipped(key.decode(), 20).encode(),
}


@pytest.mark.parametrize("written", ODD.values(), ids=ODD)
def test_what_is_no_good_key_is_refused_in_the_same_words(stranger, unknown, good, written):
    value = written(good.encode())
    assert good[3:35].upper() != good[3:35]
    response = stranger.http.get("/v1/profiles", headers=[(b"Authorization", value)])
    assert check_unknown(response) == unknown


@pytest.mark.parametrize("which", ["revoked", "expired"])
def test_a_key_that_is_over_is_refused_in_the_same_words(stranger, unknown, over, which):
    response = stranger.get("/v1/profiles", Authorization=f"Bearer {over[which]}")
    assert check_unknown(response) == unknown


@pytest.mark.parametrize("good_first", [True, False])
def test_two_headers_are_one_too_many(stranger, unknown, good, good_first):
    """Authorization is a single field (RFC 9110, 5.3 and 11.6.2): which one a proxy before it has read is open."""
    both = [f"Bearer {good}", f"Bearer {flipped(good, -1)}"]
    headers = [("Authorization", value) for value in (both if good_first else reversed(both))]
    assert check_unknown(stranger.http.get("/v1/profiles", headers=headers)) == unknown


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
