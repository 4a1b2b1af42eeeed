"""Signatures by somebody else under the very names of the true ones: right in themselves, and found out."""

import pytest
from test_verify import frida, job, offline, seen, signed, unsigned  # noqa: F401

from harness.certificates import AUTHORITY, PERSON, made
from harness.forgery import signed_instead, signed_over
from harness.program import run
from harness.signatures import certificates, hanko
from harness.signing import Signer


@pytest.fixture(scope="module")
def forger(shop, frida, signed, tmp_path_factory):  # noqa: F811
    """Somebody with a certificate and an authority that bear the very names of the true ones."""
    directory = tmp_path_factory.mktemp("forger")
    theirs = certificates(shop.fetch("/v1/certificates"))[0].subject.native
    authority = made(directory / "ca", theirs["common_name"], AUTHORITY, organisation=theirs["organization_name"])
    assert certificates(authority.pem)[0].subject.native.items() <= theirs.items()
    return made(directory, frida.name, PERSON, authority, organisation=theirs["organization_name"])


def is_taken_for_forged(shop, offline, content: bytes, forger, whole=True) -> None:  # noqa: F811
    """Right to whoever trusts the forger, and to nobody else."""
    if whole:
        assert hanko(content, forger.above[0].read_bytes()).is_whole, "the forgery is a good one"
    said = seen(shop, content)
    assert said["authenticity"] == "foreign", said
    assert "no certificate of this shop" in said["detail"]
    assert "sign_off" not in said and "code" not in said and "kind" not in said
    code, words = offline(content)
    assert code == 1 and words.startswith("NOT TRUSTED: "), words


def test_our_unsigned_sheet_signed_by_a_forger_is_foreign(shop, unsigned, forger, offline):  # noqa: F811
    for pades in (True, False):
        forged = signed_over(unsigned, forger, pades)
        said = seen(shop, forged)
        assert said["authenticity"] in ("foreign", "altered") and "kind" not in said
        if pades:
            is_taken_for_forged(shop, offline, forged, forger)
            assert offline(forged, trusting=None)[0] == 3
        else:
            assert offline(forged)[0] == 1


def test_our_signed_sheet_signed_anew_by_a_forger_is_foreign(shop, signed, forger, offline):  # noqa: F811
    """All is as it was, the record in it too; only the signature is another's."""
    forged = signed_instead(signed[1], forger)
    is_taken_for_forged(shop, offline, forged, forger, whole=False)
    for authority in (None, forger.above[0]):
        code, words = offline(forged, trusting=authority)
        assert code == 1 and "names another certificate" in words


def test_our_signed_sheet_signed_a_second_time_by_a_forger_is_foreign(shop, signed, forger, offline):  # noqa: F811
    forged = signed_over(signed[1], forger, field="Signature2")
    assert seen(shop, forged)["authenticity"] in ("foreign", "altered")
    assert offline(forged)[0] == 1


def test_a_true_certificate_of_a_shop_on_a_file_that_was_not_made_here(service, shop, unsigned, tmp_path):  # noqa: F811
    """The person signed it, but no sheet of this shop: it is not called genuine, and no sign-off is shown."""
    own = made(tmp_path, "Own Key", PERSON, made(tmp_path, "Own Root", AUTHORITY))
    signer = Signer(shop, "Own Key")
    settings = {"store_dir": service.store}
    whose = ("--shop", "open", "--person", signer.id)
    brought = run("certificate", "bring", *whose, own.as_pem(), settings=settings)
    assert brought.returncode == 0, brought.stderr
    said = seen(shop, signed_over(unsigned, own))
    assert said["authenticity"] == "unknown"
    assert not {"kind", "made_of", "sign_off", "code"} & set(said)
