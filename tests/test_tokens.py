"""Tokens of an identity provider: which are taken, and which are not."""

import time

import pytest

from harness.access import check_unknown, enter, first_key, fresh_address
from harness.documents import request
from harness.problems import check_problem
from harness.provider import AUDIENCE, ISSUER, EllipticKey, Provider, RsaKey, SharedSecret, base64url, claims
from harness.provider import public_forms, token
from harness.shop import Shop

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


@pytest.fixture(scope="module")
def bearer(service):
    """A client with a token, at an address of its own."""
    clients = []

    def made(text: str) -> Shop:
        clients.append(Shop(service.address, text, fresh_address()))
        return clients[-1]

    yield made
    for client in clients:
        client.http.close()


@pytest.fixture(scope="module")
def unknown(service) -> bytes:
    with Shop(service.address) as stranger:
        return check_unknown(stranger.get("/v1/jobs"))


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
    unsigned = put_in(token(KEY, alg=word), 2, "")
    return unsigned


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
