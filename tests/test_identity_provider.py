"""The keys of an identity provider: fetched seldom, kept, and missed without harm."""

import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from harness.access import check_unknown, first_key, fresh_address
from harness.problems import check_problem
from harness.program import refused, until
from harness.provider import EllipticKey, Provider, RsaKey, claims, token
from harness.shop import Shop

KEY, LATER = EllipticKey("first", 2001), EllipticKey("later", 2002)


@pytest.fixture
def provider():
    provider = Provider(KEY)
    yield provider
    provider.stop()


def ask(program, text: str):
    with Shop(program.address, text, fresh_address()) as shop:
        return shop.get("/v1/profiles")


def test_many_tokens_need_one_look_at_the_keys(start, provider):
    program = start(**provider.settings())
    assert provider.asked == []
    with ThreadPoolExecutor(8) as pool:
        texts = [token(KEY, claims(sub=f"person {number}")) for number in range(40)]
        answers = list(pool.map(lambda text: ask(program, text), texts))
    assert {answer.status_code for answer in answers} == {200}
    assert provider.asked == ["/keys"]


def test_names_nobody_knows_do_not_have_the_keys_fetched_each_time(start, provider):
    program = start(**provider.settings())
    assert ask(program, token(KEY)).status_code == 200
    for number in range(10):
        check_unknown(ask(program, token(KEY, kid=f"unknown {number}")))
    provider.keys.append(LATER.described())
    check_unknown(ask(program, token(LATER)))
    assert len(provider.asked) == 1


def test_what_cannot_be_a_token_is_refused_without_a_look_at_the_keys(start, provider):
    program = start(**provider.settings())
    for text in ("garbage", "hp_1_2", token(KEY, alg="none"), token(KEY, alg="RS256"), token(KEY, alg="HS256")):
        check_unknown(ask(program, text))
    assert provider.asked == []


def test_without_the_provider_the_keys_that_are_known_go_on_working(start, provider):
    program = start(**provider.settings())
    assert ask(program, token(KEY)).status_code == 200
    provider.stop()
    assert ask(program, token(KEY, claims(sub="another"))).status_code == 200
    check_unknown(ask(program, token(LATER)))


def test_without_the_provider_from_the_start_tokens_have_to_wait_and_keys_do_not(start, provider):
    program = start(**provider.settings())
    program.expected_errors.append("identity provider")
    provider.stop()
    answer = ask(program, token(KEY))
    problem = check_problem(answer, 503, "unavailable")
    assert set(problem) == {"type", "title", "status"} and int(answer.headers["retry-after"]) >= 1
    assert ask(program, first_key(program)).status_code == 200
    check_unknown(ask(program, "garbage"))


ANSWERS = {
    "an error": (500, b'{"keys":[]}'),
    "no content": (204, b""),
    "another place": (302, b""),
    "nothing": (200, b""),
    "no JSON": (200, b"<html>"),
    "no keys": (200, b"{}"),
    "too much": (200, b'{"keys":[]}' + b" " * (1 << 20)),
}


@pytest.mark.parametrize("answer", ANSWERS.values(), ids=ANSWERS)
def test_what_is_no_key_set_is_as_good_as_none(start, provider, answer):
    program = start(**provider.settings())
    program.expected_errors.append("identity provider")
    provider.answer = answer
    check_problem(ask(program, token(KEY)), 503, "unavailable")
    assert set(provider.asked) == {"/keys"}


def test_a_provider_that_failed_is_asked_again(start, provider):
    program = start(**provider.settings())
    program.expected_errors.append("identity provider")
    provider.answer = (500, b"")
    assert ask(program, token(KEY)).status_code == 503
    provider.answer = None
    until(lambda: ask(program, token(KEY)).status_code == 200, "the provider to be asked again", 35, 0.25)


def test_a_provider_that_fails_is_not_asked_for_each_token(start, provider):
    """Anybody can send what looks like a token: neither the provider nor the log is to be flooded by them."""
    program = start(**provider.settings())
    program.expected_errors.append("identity provider")
    provider.answer = (500, b"")
    for number in range(30):
        assert ask(program, token(KEY, kid=f"unknown {number}")).status_code in (401, 429, 503)
    assert len(provider.asked) <= 10
    assert sum(entry["level"] == "ERROR" for entry in program.log_entries()) <= 10


def test_tokens_that_are_tried_do_not_flood_the_log(start, provider):
    program = start(**provider.settings())
    forged = EllipticKey("first", 2003)
    with Shop(program.address, comes_from=fresh_address()) as guesser:
        tried = [
            guesser.get("/v1/jobs", Authorization=f"Bearer {token(forged, claims(sub=str(number)))}").status_code
            for number in range(150)
        ]
    assert set(tried) == {401, 429} and tried.count(401) < 40
    assert len(program.log_entries()) < 100


def test_whoever_waits_for_a_silent_provider_does_not_wait_for_the_others_as_well(start, provider):
    program = start(**provider.settings())
    program.expected_errors.append("identity provider")
    provider.held.clear()
    begun = time.monotonic()
    with ThreadPoolExecutor(4) as pool:
        waiting = [pool.submit(ask, program, token(KEY)) for _ in range(3)]
        assert ask(program, first_key(program)).status_code == 200
        assert time.monotonic() - begun < 4
        for answer in waiting:
            check_problem(answer.result(), 503, "unavailable")
    assert time.monotonic() - begun < 9


def test_keys_that_are_not_understood_do_not_stand_in_the_way(start, provider):
    """RFC 7517, 5."""
    strange = [
        {"kty": "AKP", "kid": "new", "alg": "ML-DSA-44", "pub": "AAAA"},
        {"kty": "EC", "crv": "secp256k1", "kid": "curve", "x": "AAAA", "y": "AAAA"},
        {"kty": "OKP", "crv": "X25519", "kid": "exchange", "x": "AAAA", "use": "enc"},
        {"kty": "RSA", "kid": "half", "n": "AQAB"},
        {"kty": "oct", "kid": "secret", "k": "AAAA"},
    ]
    provider.keys = strange + provider.keys
    program = start(**provider.settings())
    assert ask(program, token(KEY)).status_code == 200
    for key in strange:
        check_unknown(ask(program, token(KEY, kid=key["kid"])))


def test_a_key_for_encryption_signs_nothing(start, provider):
    """RFC 7517, 4.2."""
    provider.keys = [KEY.described() | {"use": "enc"}]
    check_unknown(ask(start(**provider.settings()), token(KEY)))


def test_a_single_key_needs_no_name(start, provider):
    assert ask(start(**provider.settings()), token(KEY, kid=None)).status_code == 200


def test_tokens_are_signed_with_the_algorithm_of_the_configuration_alone(start, provider):
    other = RsaKey("rsa")
    provider.keys.append(other.described())
    program = start(**provider.settings(algorithm="RS256"))
    assert ask(program, token(other)).status_code == 200
    check_unknown(ask(program, token(KEY)))


def test_the_claim_that_names_the_shop_can_be_another(start, provider):
    program = start(**provider.settings(shop_claim="tenant"))
    check_unknown(ask(program, token(KEY)))
    assert ask(program, token(KEY, claims(shop=None, tenant="shop"))).json() != []
    assert ask(program, token(KEY, claims(tenant="other"))).json() == []


@pytest.mark.parametrize("missing", ["issuer", "audience", "keys_url", "algorithm"])
def test_half_a_provider_is_refused_by_key(tmp_path, provider, missing):
    assert f"oidc.{missing}" in refused(tmp_path, **provider.settings(**{missing: None}))


def test_a_claim_alone_is_half_a_provider(tmp_path):
    assert "oidc.issuer" in refused(tmp_path, oidc_shop_claim="tenant")


URLS = ["http://identity.example/keys", "http://192.0.2.1/keys", "http://127.0.0.1.example/keys", "https://"]
URLS += ["http://127.0.0.1@identity.example/keys", "http://127.0.0.1:80@identity.example/keys", "nowhere"]
URLS += ["file:///etc/keys"]


@pytest.mark.parametrize("url", URLS)
def test_keys_that_others_could_change_on_the_way_are_refused(tmp_path, provider, url):
    assert "oidc.keys_url" in refused(tmp_path, **provider.settings(keys_url=url))


@pytest.mark.parametrize("algorithm", ["HS256", "none", "es256", "ES512"])
def test_an_algorithm_that_is_not_taken_is_refused(tmp_path, provider, algorithm):
    assert "HEADPROOF_OIDC_ALGORITHM" in refused(tmp_path, **provider.settings(algorithm=algorithm))
