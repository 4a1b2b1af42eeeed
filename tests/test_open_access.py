"""Access that is open: to try it out, on this machine, and to all but sign."""

import pytest

from harness.access import check_unknown, enter, fresh_address, make_key
from harness.documents import request
from harness.problems import check_problem
from harness.program import refused
from harness.provider import EllipticKey, Provider, token
from harness.shop import Shop


def test_no_key_is_needed(shop):
    job = shop.done(shop.submit(request(serial="OPEN-1")))
    assert shop.fetch(job["links"]["sheet"]).startswith(b"%PDF-")
    assert shop.get("/v1/keys").status_code == 200
    assert b'"open"' in shop.fetch("/v1/audit")


def test_nobody_signs_without_being_a_person(shop):
    job = shop.submit(request(serial="OPEN-2"))
    check_problem(shop.sign(job), 403, "forbidden")
    assert shop.get(f"{job['links']['self']}/sign-offs").json() == []


def test_a_key_of_a_person_signs(service, shop):
    job = shop.submit(request(serial="OPEN-3"))
    key = make_key(shop, "read", "sign", person=enter(shop)["id"])["secret"]
    with Shop(service.address, key) as signer:
        assert signer.sign(job).status_code == 202
        check_problem(signer.get("/v1/keys"), 403, "forbidden")


BAD = ["", "Bearer", "Bearer hp_1_2", "Basic aHA6aHA=", f"Bearer hp_{'0' * 32}_{'0' * 64}"]


@pytest.mark.parametrize("shown", BAD)
def test_a_bad_key_opens_less_than_none(stranger, shown):
    check_unknown(stranger.get("/v1/profiles", Authorization=shown))
    assert stranger.get("/v1/profiles").status_code == 200


def test_a_revoked_key_opens_nothing(service, shop):
    made = make_key(shop, "read")
    with Shop(service.address, made["secret"], fresh_address()) as reader:
        assert reader.get("/v1/profiles").status_code == 200
        assert shop.delete(f"/v1/keys/{made['key']['id']}").status_code == 204
        check_unknown(reader.get("/v1/profiles"))


@pytest.mark.parametrize("address", ["0.0.0.0:0", "[::]:0", "192.0.2.1:0"])
def test_it_is_for_this_machine_only(tmp_path, address):
    said = refused(tmp_path, api_access="open", api_listen=address, api_open_network="true")
    assert "api.access" in said
    assert not (tmp_path / "store").exists()


@pytest.mark.parametrize("host", ["rebound.example", "localhost.example", "127.0.0.1.example:80", "192.0.2.1"])
def test_a_page_of_the_web_is_not_let_in_by_a_name_that_leads_here(shop, stranger, host):
    """Unless it shows a key."""
    check_problem(stranger.get("/v1/profiles", Host=host), 403, "forbidden")
    shown = f"Bearer {make_key(shop, 'read')['secret']}"
    assert stranger.get("/v1/profiles", Host=host, Authorization=shown).status_code == 200


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:8080", "127.8.9.1", "[::1]:8080"])
def test_this_machine_may_be_called_by_any_name_of_its_own(stranger, host):
    assert stranger.get("/v1/profiles", Host=host).status_code == 200


@pytest.mark.parametrize("word", ["none", "OPEN", "keys,open", ""])
def test_another_word_for_access_is_refused(tmp_path, word):
    assert "HEADPROOF_API_ACCESS" in refused(tmp_path, api_access=word)


def test_tokens_are_not_taken(start):
    """There is one shop; no provider is asked."""
    key = EllipticKey("first", 3001)
    provider = Provider(key)
    try:
        program = start(**provider.settings() | {"api_access": "open"})
        with Shop(program.address, token(key), fresh_address()) as bearer:
            check_unknown(bearer.get("/v1/profiles"))
        assert provider.asked == []
    finally:
        provider.stop()
