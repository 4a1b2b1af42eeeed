"""Certificates that a shop brings along: for a person, or to vouch for its people."""

import hashlib

import pytest

from harness.certificates import AUTHORITY, KINDS, PASSWORD, PERSON, made
from harness.counts import LONG
from harness.program import run
from harness.shop import Shop
from harness.signatures import Poppler, certificates, hanko, hanko_accepts
from harness.signing import Signer, judged, posted


@pytest.fixture(scope="module")
def authority(tmp_path_factory):
    return made(tmp_path_factory.mktemp("authority"), "Root of 検査", AUTHORITY)


@pytest.fixture(scope="module")
def password_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("password") / "password"
    path.write_text(PASSWORD + "\n")
    return path


@pytest.fixture(scope="module")
def bring(service, password_file):
    def bring(path, *arguments: object, password=None):
        with_password = ["--password-file", password or password_file]
        settings = {"store_dir": service.store}
        return run("certificate", "bring", "--shop", "open", *with_password, *arguments, path, settings=settings)

    return bring


def fingerprint(content: bytes) -> str:
    return hashlib.sha256(certificates(content)[0].dump()).hexdigest()


FORMS = {
    "pkcs12": lambda one: one.as_pkcs12(),
    "old pkcs12": lambda one: one.as_pkcs12(PASSWORD, "-legacy"),
    "pkcs12 on 3des": lambda one: one.as_pkcs12(PASSWORD, "-keypbe", "PBE-SHA1-3DES", "-macalg", "sha1"),
    "pem": lambda one: one.as_pem(),
    "locked pem": lambda one: one.as_pem(PASSWORD),
}


EACH = [("pkcs12", "p-256"), ("pkcs12", "rsa-2048"), ("old pkcs12", "rsa-2048"), ("pkcs12 on 3des", "p-256")]
EACH += [("pem", "rsa-2048"), ("locked pem", "p-256")]


@pytest.mark.parametrize(("form", "kind"), [(form, kind) for form in FORMS for kind in KINDS] if LONG else EACH)
def test_a_person_signs_with_the_certificate_they_brought(shop, bring, authority, tmp_path, kind, form):
    signer = Signer(shop, f"{form} {kind}")
    own = made(tmp_path, f"Frida {form}", PERSON, authority, kind)
    brought = bring(FORMS[form](own), "--person", signer.id)
    assert brought.returncode == 0, brought.stderr
    assert fingerprint(own.pem) in brought.stdout.decode()
    assert shop.get(f"/v1/people/{signer.id}").json()["certificate"] == fingerprint(own.pem)
    job, _ = judged(shop, posted("generator-3cyl-6v", f"BROUGHT-{kind}"))
    answer, sheet = signer.sheet(job, "inspected")
    record = answer["sign_off"]["signer"]
    assert (record["certificate"], record["authority"]) == (fingerprint(own.pem), fingerprint(authority.pem))
    assert record["name"] == signer.name, "the name is that of the person here"
    seen = hanko(sheet, authority.pem)
    assert seen.is_whole and seen.trusted and seen.ades == "AdESPassed.OK"
    assert Poppler(tmp_path / "nss", authority.pem).is_valid(sheet)
    assert not hanko_accepts(sheet, shop.fetch("/v1/certificates"))
    said = shop.post_text("/v1/verify", sheet, "application/pdf").json()
    assert (said["authenticity"], said["signature"]["signer"]) == ("genuine", f"Frida {form}")


def test_one_under_an_intermediate_brings_that_along(shop, bring, authority, tmp_path):
    between = made(tmp_path, "Between", [*AUTHORITY[1:], "basicConstraints=critical,CA:TRUE,pathlen:0"], authority)
    own = made(tmp_path, "Below", PERSON, between)
    signer = Signer(shop, "Below")
    assert bring(own.as_pkcs12(), "--person", signer.id).returncode == 0
    job, _ = judged(shop, posted("generator-3cyl-6v", "INTERMEDIATE"))
    sheet = signer.sheet(job)[1]
    assert hanko_accepts(sheet, authority.pem)
    assert Poppler(tmp_path / "nss", authority.pem).is_valid(sheet)
    for name, content, code in (("root", authority.pem, 0), ("between", between.pem, 0), ("other", None, 1)):
        pem = tmp_path / f"{name}.pem"
        pem.write_bytes(content or shop.fetch("/v1/certificates"))
        (tmp_path / "sheet.pdf").write_bytes(sheet)
        assert run("verify", tmp_path / "sheet.pdf", "--authority", pem).returncode == code, name


def test_a_shop_authority_brought_along_vouches_for_who_comes_later(start, password_file, tmp_path):
    """Older signatures stay genuine, and people entered before stay under the old one."""
    program = start()
    settings = {"store_dir": program.store}
    with Shop(program.address) as shop:
        before = Signer(shop, "Before")
        job, _ = judged(shop, posted("generator-3cyl-6v", "AUTHORITY"))
        old, sheet = before.sheet(job, "inspected")
        old_trust = shop.fetch("/v1/certificates")
        assert len(certificates(old_trust)) == 1
        own = made(tmp_path / "ca", "Shop Root", AUTHORITY, kind="rsa-2048")
        brought = run("certificate", "bring", "--shop", "open", "--password-file", password_file, own.as_pkcs12(), settings=settings)
        assert brought.returncode == 0, brought.stderr
        after = Signer(shop, "After")
        new, new_sheet = after.sheet(job, "inspected")
        again, again_sheet = before.sheet(job, "released")
        assert new["sign_off"]["signer"]["authority"] == fingerprint(own.pem)
        assert again["sign_off"]["signer"]["authority"] == fingerprint(old_trust)
        assert hanko_accepts(new_sheet, own.pem) and not hanko_accepts(new_sheet, old_trust)
        assert Poppler(tmp_path / "new", own.pem).is_valid(new_sheet)
        for one in (sheet, again_sheet):
            assert hanko_accepts(one, old_trust) and not hanko_accepts(one, own.pem)
        for one in (sheet, new_sheet, again_sheet):
            assert shop.post_text("/v1/verify", one, "application/pdf").json()["authenticity"] == "genuine"
        trust = shop.fetch("/v1/certificates")
        assert [one.dump() for one in certificates(trust)] == [
            one.dump() for one in certificates(own.pem) + certificates(old_trust)
        ], "the newest first"
        shown = run("certificate", "show", "--shop", "open", settings=settings)
        assert (shown.returncode, shown.stdout.strip()) == (0, trust.strip())
        assert all(hanko_accepts(one, trust) for one in (sheet, new_sheet, again_sheet))
