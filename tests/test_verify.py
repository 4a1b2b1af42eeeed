"""What a file turns out to be that somebody shows: asked of the service, and of the command without a service."""

import io
import json
import time

import pikepdf
import pytest

from harness.forgery import put_in
from harness.problems import check_problem
from harness.program import run
from harness.shop import Shop
from harness.signing import Signer, concessions, judged, posted

HEAD = "generator-3cyl-6v"


@pytest.fixture(scope="module")
def frida(shop):
    return Signer(shop, "Frida <Fräser>")


@pytest.fixture(scope="module")
def job(shop):
    return shop.done(shop.submit(posted(HEAD, "VERIFIED")))


@pytest.fixture(scope="module")
def unsigned(shop, job):
    return shop.fetch(job["links"]["sheet"])


@pytest.fixture(scope="module")
def signed(frida, job):
    return frida.sheet(job, "released", note="all in order")


def seen(shop, content: bytes) -> dict:
    answer = shop.post_text("/v1/verify", content, "application/pdf")
    assert answer.status_code == 200, answer.text
    return answer.json()


@pytest.fixture(scope="module")
def offline(shop, tmp_path_factory):
    directory = tmp_path_factory.mktemp("offline")
    authority, path = directory / "ca.pem", directory / "file.pdf"
    authority.write_bytes(shop.fetch("/v1/certificates"))

    def offline(content: bytes, trusting=True) -> tuple[int, str]:
        path.write_bytes(content)
        arguments = ["--authority", authority if trusting is True else trusting] if trusting else []
        finished = run("verify", path, *arguments)
        return finished.returncode, (finished.stdout + finished.stderr).decode()

    return offline


def test_a_signed_sheet_is_genuine(shop, signed, job, frida, offline):
    answer, sheet = signed
    said = seen(shop, sheet)
    assert (said["authenticity"], said["kind"], said["made_of"]) == ("genuine", "signed-sheet", job["id"])
    assert (said["sign_off"], said["code"]) == (answer["sign_off"], answer["code"])
    assert said["signature"] == {"signer": frida.name, "certificate": frida.person["certificate"]}
    assert "superseded_by" not in said and "newest_revision" not in said
    code, words = offline(sheet)
    assert code == 0 and words.startswith("GENUINE: ")
    record = answer["sign_off"]
    wanted = ["VERIFIED", "final, revision 1", "released", f"{frida.name}, {frida.role}", record["signed_at"]]
    wanted += [record["evaluation_digest"], f"{record['checkpoint']['size']}:{record['checkpoint']['head']}"]
    wanted += [record["signer"]["certificate"], record["signer"]["authority"], "only the shop's service knows"]
    for one in wanted:
        assert one in words, one


def test_without_an_authority_the_name_is_not_vouched_for(signed, offline):
    code, words = offline(signed[1], trusting=None)
    assert code == 3 and words.startswith("INTACT: ") and "not checked" in words


def test_the_command_names_every_concession(shop, frida, offline):
    job, evaluation = judged(shop, posted("irrigation-pump-16v", "CONCEDED"))
    conceded = concessions(evaluation, "agreed")
    code, words = offline(frida.sheet(job, "concession", concessions=conceded)[1])
    assert code == 0 and "released by concession" in words
    for one in conceded:
        assert f"{one['subject']}, {one['characteristic']}: {one['reason']}" in words


def test_an_unsigned_sheet_is_ours_and_nothing_more(shop, job, unsigned, offline):
    said = seen(shop, unsigned)
    assert (said["authenticity"], said["kind"], said["made_of"]) == ("unsigned", "sheet", job["id"])
    assert "signature" not in said and "sign_off" not in said
    code, words = offline(unsigned)
    assert code == 1 and words.startswith("NOT SIGNED: ")


def test_a_report_is_ours_and_nothing_more(shop, offline):
    lines = [json.dumps(posted(HEAD, "REPORTED")).encode()]
    batch = shop.done(shop.submit_batch(lines))
    report = shop.fetch(batch["links"]["report"])
    said = seen(shop, report)
    assert (said["authenticity"], said["kind"], said["made_of"]) == ("unsigned", "batch-report", batch["id"])
    assert offline(report)[0] == 1


def test_an_unsigned_sheet_with_a_byte_changed_is_not_ours(shop, unsigned):
    said = seen(shop, unsigned[:-1] + b" ")
    assert said["authenticity"] == "foreign" and "kind" not in said and "made_of" not in said


def test_a_file_of_somebody_else_is_foreign(shop, offline):
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        out = io.BytesIO()
        pdf.save(out)
    assert seen(shop, out.getvalue())["authenticity"] == "foreign"
    assert offline(out.getvalue())[0] == 1


GARBAGE = {
    "nothing": b"",
    "text": b"this is no PDF",
    "only a header": b"%PDF-1.7\n%%EOF\n",
    "a range alone": b"%PDF-1.7\n/ByteRange[0 1 2 3]",
    "a range that is none": b"%PDF-1.7\n/ByteRange[0 99999999999999999999 -1 3]/Contents<00>",
    "a range over itself": b"%PDF-1.7\n/ByteRange[0 20 20 3]/Contents<30800000>",
    "no end": b"%PDF-1.7\n/ByteRange[0 9 9 9]/Contents<" + b"30" * 5000,
    "ranges without end": b"/ByteRange[0 1 2 3]/Contents<3082>" * 20000,
    "deep": b"%PDF-1.7\n1 0 obj\n" + b"[" * 100000 + b"]" * 100000,
}


@pytest.mark.parametrize("kind", GARBAGE)
def test_garbage_is_told_apart_at_once(shop, offline, kind):
    begun = time.monotonic()
    said = seen(shop, GARBAGE[kind])
    assert said["authenticity"] in ("foreign", "altered") and "signature" not in said
    code, words = offline(GARBAGE[kind])
    assert code == 1 and words.startswith(("NOT SIGNED: ", "ALTERED: ")), words
    assert time.monotonic() - begun < 10


NO_SIGNATURES = [b"\x30\x80" * 200, b"\x30\x84\xff\xff\xff\xff", b"\x30\x03\x02\x01\x00", b"\x30\x00", b"\x04\x02ab"]


@pytest.mark.parametrize("der", NO_SIGNATURES)
def test_a_signature_that_is_none_is_told_apart(shop, signed, offline, der):
    other = put_in(signed[1], der)
    assert seen(shop, other)["authenticity"] in ("foreign", "altered")
    assert offline(other)[0] == 1


def test_only_a_pdf_is_looked_at(shop, signed):
    for media_type in ("application/json", "application/octet-stream", "text/plain", ""):
        check_problem(shop.post_text("/v1/verify", signed[1], media_type), 415, "unsupported-media-type")
    assert shop.get("/v1/verify").status_code == 405


def test_a_file_that_is_too_large_is_refused(start):
    program = start(api_file_bytes=50_000)
    with Shop(program.address) as shop:
        assert seen(shop, b"%PDF" + bytes(49_000))["authenticity"] == "foreign"
        check_problem(shop.post_text("/v1/verify", bytes(50_001), "application/pdf"), 413, "too-large")


def test_what_the_command_cannot_read_it_says(tmp_path, signed):
    path, pem = tmp_path / "sheet.pdf", tmp_path / "no.pem"
    path.write_bytes(signed[1])
    pem.write_text("no certificate")
    wrong = [[tmp_path / "nowhere.pdf"], [path, "--authority", tmp_path / "nowhere.pem"], [path, "--authority", pem]]
    for arguments in wrong:
        finished = run("verify", *arguments)
        assert finished.returncode == 2 and finished.stdout == b"", arguments
        assert arguments[-1].name in finished.stderr.decode()


def test_nothing_of_what_was_shown_is_kept(service, shop, signed):
    before = {path.name: path.stat().st_size for path in (service.store / "artifacts").iterdir()}
    seen(shop, signed[1] + b" ")
    assert {path.name: path.stat().st_size for path in (service.store / "artifacts").iterdir()} == before
