"""Files that are brought as a certificate and are none to sign with, or to vouch with: each refused with a reason."""

import pytest
from test_own_certificates import authority, bring, password_file  # noqa: F401

from harness.certificates import AUTHORITY, PASSWORD, PERSON, ended, made
from harness.signing import Signer

COMMAND = "api"


@pytest.fixture(scope="module")
def person(shop):
    return Signer(shop, "Refused")


def for_person(directory, authority):  # noqa: F811
    """Files that are refused for a person, and a word of why."""
    own = made(directory, "Own", PERSON, authority)
    wrong = directory / "wrong-password"
    wrong.write_text("other")
    (directory / "garbage.p12").write_bytes(b"\x30\x82garbage" * 30)
    (directory / "empty").write_bytes(b"")
    stranger = made(directory, "Stranger", PERSON, authority)
    mixed = directory / "mixed.pem"
    mixed.write_bytes(own.as_pem().read_bytes().split(b"-----BEGIN CERTIFICATE")[0] + stranger.chain)
    only = directory / "only.pem"
    only.write_bytes(own.chain)
    usage = ["basicConstraints=critical,CA:FALSE", "keyUsage=critical,keyEncipherment"]
    return {
        "wrong password": (own.as_pkcs12(), "password", wrong),
        "wrong password of PEM": (made(directory, "Locked", PERSON).as_pem(PASSWORD), "password", wrong),
        "no key": (only, "key", None),
        "key of another": (mixed, "certificate", None),
        "an authority": (made(directory, "CA", AUTHORITY).as_pem(), "vouches for others", None),
        "not for signatures": (made(directory, "Box", usage, authority).as_pem(), "signatures", None),
        "ended": (ended(made(directory, "Ended", PERSON)).as_pem(), "not valid now", None),
        "garbage": (directory / "garbage.p12", "", None),
        "empty": (directory / "empty", "", None),
        "nowhere": (directory / "nowhere.p12", "nowhere.p12", None),
    }


REASONS = ["wrong password", "wrong password of PEM", "no key", "key of another", "an authority"]
REASONS += ["not for signatures", "ended", "garbage", "empty", "nowhere"]


@pytest.fixture(scope="module")
def files(tmp_path_factory, authority):  # noqa: F811
    return for_person(tmp_path_factory.mktemp("files"), authority)


@pytest.mark.parametrize("reason", REASONS)
def test_what_a_person_cannot_sign_with_is_refused_with_a_reason(shop, bring, person, files, reason):  # noqa: F811
    path, word, password = files[reason]
    before = shop.get(f"/v1/people/{person.id}").json()
    refused = bring(path, "--person", person.id, password=password)
    said = refused.stderr.decode()
    assert refused.returncode == 2 and word in said and refused.stdout == b"", said
    assert said.startswith("headproof: ") and PASSWORD not in said and "PRIVATE KEY" not in said
    assert shop.get(f"/v1/people/{person.id}").json() == before


def test_a_leaf_vouches_for_nobody(bring, authority, tmp_path):  # noqa: F811
    refused = bring(made(tmp_path, "Leaf", PERSON, authority).as_pem())
    assert refused.returncode == 2 and b"may not vouch" in refused.stderr


def test_a_certificate_for_nobody_is_refused(bring, authority, tmp_path):  # noqa: F811
    own = made(tmp_path, "Nobody", PERSON, authority).as_pem()
    refused = bring(own, "--person", "01a216c4-957e-772e-8e40-0b649049e1a2")
    assert refused.returncode == 2 and b"nobody of shop open" in refused.stderr


def test_a_certificate_that_is_there_already_is_refused_with_a_reason(shop, bring, authority, tmp_path):  # noqa: F811
    own = made(tmp_path, "Twice", PERSON, authority).as_pem()
    first, second = Signer(shop, "First"), Signer(shop, "Second")
    assert bring(own, "--person", first.id).returncode == 0
    for one in (first, second):
        refused = bring(own, "--person", one.id)
        assert refused.returncode == 2, refused.stdout
        assert b"UNIQUE" not in refused.stderr, "what the database calls it is no reason"
