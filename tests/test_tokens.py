"""Tokens of an identity provider that are taken, and what they open."""

import time

import pytest

from harness.access import enter, first_key
from harness.documents import request
from harness.problems import check_problem
from harness.provider import AUDIENCE, EllipticKey, Provider, claims, token
from harness.shop import Shop

KEY, SECOND, STRANGE = EllipticKey("first", 1001), EllipticKey("second", 1002), EllipticKey("first", 1003)


@pytest.fixture(scope="module")
def provider():
    provider = Provider(KEY, SECOND)
    yield provider
    provider.stop()


@pytest.fixture(scope="module")
def settings(provider):
    return provider.settings()


def status(bearer, text: str) -> int:
    return bearer(text).get("/v1/profiles").status_code


@pytest.mark.parametrize("key", [KEY, SECOND], ids=["first key", "second key"])
def test_a_good_token_opens_what_its_scopes_say(bearer, key):
    client = bearer(token(key))
    job = client.submit(request(serial="TOKENS-1"))
    assert client.get(job["links"]["self"]).status_code == 200
    check_problem(client.get("/v1/keys"), 403, "forbidden")
    check_problem(client.sign(job), 403, "forbidden")


def in_seconds(seconds: int) -> int:
    return int(time.time()) + seconds


GOOD = {
    "some seconds past": lambda: claims(exp=in_seconds(-30)),
    "a fraction of a second": lambda: claims(exp=in_seconds(60) + 0.5),
    "from soon on": lambda: claims(nbf=in_seconds(30)),
    "from now on": lambda: claims(nbf=in_seconds(-5)),
    "several audiences": lambda: claims(aud=["other", AUDIENCE]),
    "other claims": lambda: claims(roles=["x"], email=None, nested={"a": [1]}),
    "scopes with a prefix": lambda: claims(scope="openid headproof:read"),
    "no time of issue": lambda: claims(iat=None),
    "another shop": lambda: claims(shop="Other.shop_2-b"),
}


@pytest.mark.parametrize("said", GOOD.values(), ids=GOOD)
def test_a_token_is_taken(bearer, said):
    assert status(bearer, token(KEY, said())) == 200


@pytest.mark.parametrize("scope", [None, "", "openid profile", "READ", "other:read", "headproof:headproof:read"])
def test_a_token_without_our_scopes_opens_nothing(bearer, scope):
    check_problem(bearer(token(KEY, claims(scope=scope))).get("/v1/profiles"), 403, "forbidden")


def test_a_person_signs_with_a_token_of_theirs_and_nobody_else(shop, bearer):
    """Only in the shop that the token names, and until they leave."""
    person = enter(shop, name="Þórdís Dæmisdóttir", subject="demo|17")
    job = shop.submit(request(serial="TOKENS-2"))
    said = {"sub": "demo|17", "scope": "submit read sign"}
    check_problem(bearer(token(KEY, claims(**said, shop="other"))).sign(job), 403, "forbidden")
    for other in ("demo|18", "DEMO|17", "", "demo|17 "):
        check_problem(bearer(token(KEY, claims(**said | {"sub": other}))).sign(job), 403, "forbidden")
    check_problem(bearer(token(KEY, claims(**said | {"scope": "read"}))).sign(job), 403, "forbidden")
    signer = bearer(token(KEY, claims(**said)))
    signed = signer.sign(job)
    assert signed.status_code == 202 and "Þórdís Dæmisdóttir" in signed.text
    assert b'"token"' in shop.fetch("/v1/audit").splitlines()[-1]
    assert shop.delete(f"/v1/people/{person['id']}").status_code == 204
    check_problem(signer.sign(shop.submit(request(serial="TOKENS-3"))), 403, "forbidden")


def test_a_key_goes_on_working_beside_tokens(service):
    with Shop(service.address, first_key(service)) as shop:
        assert shop.get("/v1/keys").status_code == 200


def test_a_token_is_nowhere_in_the_log(service, bearer):
    good, bad = token(KEY), token(STRANGE)
    assert (status(bearer, good), status(bearer, bad)) == (200, 401)
    logged = service.log.read_text()
    for text in (good, bad):
        for part in text.split("."):
            assert part not in logged
