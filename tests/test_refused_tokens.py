"""Tokens that are not taken: whoever shows one is told the same as whoever shows nothing."""

import time

import pytest

from harness.access import check_unknown
from harness.provider import AUDIENCE, ISSUER, EllipticKey, Provider, RsaKey, SharedSecret, base64url, claims
from harness.provider import public_forms, token

KEY, SECOND, STRANGE = EllipticKey("first", 1001), EllipticKey("second", 1002), EllipticKey("first", 1003)
RSA = RsaKey("rsa")


@pytest.fixture(scope="module")
def provider():
    provider = Provider(KEY, SECOND, RSA)
    yield provider
    provider.stop()


@pytest.fixture(scope="module")
def settings(provider):
    return provider.settings()


def in_seconds(seconds: int) -> int:
    return int(time.time()) + seconds


BAD_CLAIMS = {
    "expired": lambda: claims(exp=in_seconds(-65)),
    "expired long ago": lambda: claims(exp=1),
    "not yet": lambda: claims(nbf=in_seconds(70)),
    "another audience": lambda: claims(aud="other"),
    "audience in capitals": lambda: claims(aud=AUDIENCE.upper()),
    "other audiences": lambda: claims(aud=["other", AUDIENCE + "2"]),
    "no audiences": lambda: claims(aud=[]),
    "another issuer": lambda: claims(iss="https://identity.example/realms/other"),
    "issuer with a slash": lambda: claims(iss=ISSUER + "/"),
    "without exp": lambda: claims(exp=None),
    "without sub": lambda: claims(sub=None),
    "without aud": lambda: claims(aud=None),
    "without iss": lambda: claims(iss=None),
    "exp as text": lambda: claims(exp="2999-01-01"),
    "exp as a text of digits": lambda: claims(exp=str(in_seconds(60))),
    "nbf as text": lambda: claims(nbf="soon"),
    "sub as number": lambda: claims(sub=17),
    "without shop": lambda: claims(shop=None),
    "empty shop": lambda: claims(shop=""),
    "shop with a slash": lambda: claims(shop="../shop"),
    "shop with a space": lambda: claims(shop="shop "),
    "shop too long": lambda: claims(shop="x" * 65),
    "shop not in ASCII": lambda: claims(shop="ｓhop"),
    "shops": lambda: claims(shop=["shop"]),
    "shop as number": lambda: claims(shop=1),
    "a list": lambda: [claims()],
}


@pytest.mark.parametrize("said", BAD_CLAIMS.values(), ids=BAD_CLAIMS)
def test_a_token_that_says_the_wrong_thing_is_refused(bearer, unknown, said):
    assert check_unknown(bearer(token(KEY, said())).get("/v1/profiles")) == unknown


def put_in(text: str, index: int, part: str) -> str:
    """A token with another part."""
    parts = text.split(".")
    parts[index] = part
    return ".".join(parts)


def none_of(word: str) -> str:
    return put_in(token(KEY, alg=word), 2, "")


def with_claims_of(said: dict) -> str:
    return put_in(token(KEY), 1, token(KEY, said).split(".")[1])


BAD_TOKENS = {
    "no algorithm": lambda: none_of("none"),
    "no algorithm but a signature": lambda: token(KEY, alg="none"),
    "no algorithm in capitals": lambda: none_of("NONE"),
    "without a signature": lambda: put_in(token(KEY), 2, ""),
    "signature of zeros": lambda: put_in(token(KEY), 2, base64url(bytes(64))),
    "no algorithm said": lambda: token(KEY, alg=None),
    "another algorithm said": lambda: token(KEY, alg="ES384"),
    "another key of that name": lambda: token(STRANGE),
    "name of another key": lambda: token(KEY, kid="second"),
    "unknown name": lambda: token(KEY, kid="third"),
    "no name, several keys": lambda: token(KEY, kid=None),
    "name of an RSA key": lambda: token(KEY, kid="rsa"),
    "RSA": lambda: token(RSA),
    "RSA that says it is ES256": lambda: token(RSA, alg="ES256"),
    "key in the header": lambda: token(STRANGE, jwk=STRANGE.described()),
    "address of keys in the header": lambda: token(STRANGE, jku="http://127.0.0.1:1/keys"),
    "changed payload": lambda: with_claims_of(claims(scope="admin")),
    "payload of another shop": lambda: with_claims_of(claims(shop="other")),
    "changed header": lambda: put_in(token(KEY), 0, token(KEY, typ="JWT").split(".")[0]),
    "what must be understood is not": lambda: token(KEY, crit=["rule"], rule="x"),
    "in two parts": lambda: token(KEY).rpartition(".")[0],
    "in four parts": lambda: token(KEY) + ".e30",
    "in five parts": lambda: token(KEY) + ".e30.e30",
    "dots": lambda: "..",
    "no base64": lambda: put_in(token(KEY), 0, "{}"),
    "padded": lambda: token(KEY) + "=",
    "header no object": lambda: put_in(token(KEY), 0, base64url(b"[]")),
    "deep": lambda: put_in(token(KEY), 0, base64url(b"[" * 5000)),
    "100 kB": lambda: token(KEY, claims(more="x" * 75_000)) + "x",
    "garbage": lambda: "garbage",
}


@pytest.mark.parametrize("made", BAD_TOKENS.values(), ids=BAD_TOKENS)
def test_a_token_that_is_not_what_it_says_is_refused(bearer, unknown, made):
    assert check_unknown(bearer(made()).get("/v1/profiles")) == unknown


@pytest.mark.parametrize("form", range(3))
def test_the_public_key_is_no_secret(bearer, unknown, form):
    """HS256 with what everybody knows for a secret."""
    secret = SharedSecret("first", public_forms(KEY)[form])
    for text in (token(secret), token(secret, alg="ES256")):
        assert check_unknown(bearer(text).get("/v1/profiles")) == unknown
