"""What the configuration asks of every release, whatever the profile of the head says."""

import time
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from harness.documents import CONFORMING
from harness.problems import check_problem
from harness.program import run
from harness.shop import Shop
from harness.signing import Signer, concessions, judged, posted


def test_two_persons_are_asked_for_whatever_the_profile_says(start):
    program = start("api", signing_two_persons="true")
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted(CONFORMING, "TWO"))
        frida, otto = Signer(shop), Signer(shop, "Otto Öl")
        frida.sign(job, "inspected")
        check_problem(frida.ask(job, "released"), 422, "invalid-document")
        assert otto.ask(job, "released").status_code == 202


def test_no_concession_is_taken_whatever_the_profile_says(start):
    program = start("api", signing_concessions="false")
    with Shop(program.address) as shop:
        job, evaluation = judged(shop, posted("irrigation-pump-16v", "NONE"))
        refused = Signer(shop).ask(job, "concession", concessions=concessions(evaluation))
        check_problem(refused, 422, "invalid-document")


def test_only_what_a_stored_profile_judged_is_released(start):
    program = start("api", signing_stored_profiles="true")
    with Shop(program.address) as shop:
        frida, document = Signer(shop), posted(CONFORMING, "STORED")
        document["profile"]["id"] = "brought-along"
        brought, _ = judged(shop, document)
        check_problem(frida.ask(brought, "released"), 422, "invalid-document")
        profile = document.pop("profile")
        assert shop.post("/v1/profiles", profile).status_code == 201
        document["profile_ref"] = {"id": profile["id"], "revision": profile["revision"]}
        stored, _ = judged(shop, document)
        assert frida.ask(stored, "released").status_code == 202


def ending_soon(path, seconds: int) -> None:
    """A key and a certificate of its own that ends in some seconds, as PEM."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "Ending Soon")])
    now = datetime.now(UTC)
    usage = {one: False for one in ("key_encipherment", "data_encipherment", "key_agreement", "key_cert_sign")}
    usage |= {one: False for one in ("crl_sign", "encipher_only", "decipher_only")}
    made = x509.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key())
    made = made.serial_number(1).not_valid_before(now - timedelta(hours=1))
    made = made.not_valid_after(now + timedelta(seconds=seconds))
    made = made.add_extension(x509.KeyUsage(digital_signature=True, content_commitment=True, **usage), critical=True)
    certificate = made.sign(key, hashes.SHA256())
    form = serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    path.write_bytes(key.private_bytes(*form) + certificate.public_bytes(serialization.Encoding.PEM))


def test_a_certificate_that_ran_out_signs_nothing(start, tmp_path):
    """A record is for good, so none is written whose signature would hold for nobody."""
    program = start("api")
    with Shop(program.address) as shop:
        frida = Signer(shop)
        job, _ = judged(shop, posted(CONFORMING, "RAN-OUT"))
        ending_soon(tmp_path / "soon.pem", 4)
        whose = ("--shop", "open", "--person", frida.id)
        brought = run("certificate", "bring", *whose, tmp_path / "soon.pem", settings={"store_dir": program.store})
        assert brought.returncode == 0, brought.stderr
        time.sleep(4.5)
        check_problem(frida.ask(job, "released"), 409, "certificate-not-valid")
        assert shop.get(f"/v1/jobs/{job['id']}/sign-offs").json() == []
