"""Signed sheets with a timestamp, and what is done while none can be had."""

import re
import socket
from datetime import UTC, datetime, timedelta

import pytest

from harness.certificates import AUTHORITY, PERSON, made
from harness.counts import LONG
from harness.program import run, until
from harness.shop import Shop
from harness.signatures import Poppler, hanko, hanko_accepts, parts
from harness.signing import Signer, judged, posted
from harness.timestamps import TimestampAuthority

QUICK = {"worker_backoff_milliseconds": 1, "store_max_attempts": 2}


@pytest.fixture
def clock(tmp_path):
    with TimestampAuthority(tmp_path / "tsa") as clock:
        yield clock


@pytest.mark.parametrize("kind", ["p-256", "rsa-2048"])
def test_a_sheet_with_a_timestamp_is_good_to_all(start, tmp_path, kind):
    """PAdES B-T (ETSI EN 319 142-1, 6.3) by pyHanko, with time by ETSI EN 319 102-1; by poppler; made by openssl."""
    with TimestampAuthority(tmp_path / "tsa", kind) as clock:
        program = start(**clock.settings)
        with Shop(program.address) as shop:
            before = datetime.now(UTC).replace(microsecond=0)
            job, _ = judged(shop, posted("generator-3cyl-6v", "STAMPED"))
            answer, sheet = Signer(shop).sheet(job, "released")
            trust = shop.fetch("/v1/certificates")
            seen = hanko(sheet, trust, clock.root.pem)
            assert seen.is_whole and seen.trusted and seen.status.bottom_line and seen.ades == "AdESPassed.OK"
            stamp = seen.status.timestamp_validity
            assert stamp.intact and stamp.valid and stamp.trusted
            assert before <= stamp.timestamp <= datetime.now(UTC)
            other = made(tmp_path, "Other Root", AUTHORITY)
            assert not hanko(sheet, trust, other.pem).status.timestamp_validity.trusted
            assert Poppler(tmp_path / "nss", trust).is_valid(sheet)

            said = shop.post_text("/v1/verify", sheet, "application/pdf").json()
            assert said["authenticity"] == "genuine"
            assert datetime.fromisoformat(said["signature"]["timestamp"]) == stamp.timestamp
            assert said["signature"]["timestamp_by"] == "Zeitstempel Süd"
            assert said["signature"]["timestamp_believed"] is True
            (tmp_path / "sheet.pdf").write_bytes(sheet)
            (tmp_path / "ca.pem").write_bytes(trust)
            offline = ["verify", tmp_path / "sheet.pdf", "--authority", tmp_path / "ca.pem"]
            unchecked = " (not checked: give --timestamp-authority)"
            for vouched, note in ((clock.root.certificate, ""), (other.certificate, unchecked)):
                finished = run(*offline, "--timestamp-authority", vouched)
                assert finished.returncode == 0
                line = re.search(r"timestamp +(\S+) by (.+)", finished.stdout.decode())
                assert datetime.fromisoformat(line[1]) == stamp.timestamp and line[2] == f"Zeitstempel Süd{note}"
            signed_at = datetime.fromisoformat(answer["sign_off"]["signed_at"])
            assert timedelta(seconds=-1) < stamp.timestamp - signed_at < timedelta(minutes=2)


def test_a_stamped_sheet_that_was_changed_is_found(start, clock, tmp_path):
    program = start(**clock.settings)
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted("generator-3cyl-6v", "STAMPED"))
        sheet = Signer(shop).sheet(job, "released")[1]
        trust = shop.fetch("/v1/certificates")
        begin, end, _ = parts(sheet)
        digits = sheet[begin:end]
        # The kind of content of a timestamp, id-ct-TSTInfo (RFC 3161, 2.4.2).
        token = digits.upper().index(b"060B2A864886F70D0109100104")
        places = range(begin + token + 60, begin + token + 600, 20 if LONG else 90)
        for place in places:
            digit = b"0" if sheet[place : place + 1] != b"0" else b"1"
            other = sheet[:place] + digit + sheet[place + 1 :]
            said = shop.post_text("/v1/verify", other, "application/pdf").json()
            assert said["authenticity"] == "altered", place
            assert not hanko_accepts(other, trust) or not stamp_is_good(other, trust, clock), place


def stamp_is_good(content: bytes, trust: bytes, clock: TimestampAuthority) -> bool:
    try:
        stamp = hanko(content, trust, clock.root.pem).status.timestamp_validity
    except Exception:
        return False
    return stamp.intact and stamp.valid and stamp.trusted


def test_without_an_authority_there_is_no_timestamp(start):
    program = start()
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted("generator-3cyl-6v", "UNSTAMPED"))
        sheet = Signer(shop).sheet(job, "released")[1]
        assert hanko(sheet, shop.fetch("/v1/certificates")).status.timestamp_validity is None
        said = shop.post_text("/v1/verify", sheet, "application/pdf").json()
        assert "timestamp" not in said["signature"] and "timestamp_by" not in said["signature"]


def waits(shop: Shop, answer: dict, reason: str = "no timestamp could be had") -> None:
    """The sign-off stands; its sheet is still to come, for this reason."""
    standing = until(
        lambda: (now := shop.get(answer["links"]["self"]).json()).get("reason") and now, "a reason to wait"
    )
    assert standing["state"] in ("queued", "running") and standing["reason"] == reason
    assert standing["sign_off"] == answer["sign_off"]


def test_a_sheet_waits_for_its_timestamp(start, clock):
    """Longer than a task may be tried; then the authority comes to its senses."""
    program = start(**clock.settings, **QUICK)
    with Shop(program.address) as shop:
        signer = Signer(shop)
        job = shop.done(shop.submit(posted("generator-3cyl-6v", "WAITS")))
        clock.mode = "garbage"
        answer = signer.sign(job, "released")
        until(lambda: clock.asked > QUICK["store_max_attempts"] + 1, "more tries than are counted")
        for mode in ("garbage", "refused", "another", "broken", "nothing"):
            clock.mode, before = mode, clock.asked
            until(lambda: clock.asked > before, "another try")  # noqa: B023
            waits(shop, answer)
        assert shop.get(f"{answer['links']['self']}/sheet").status_code == 404
        clock.mode = "good"
        sheet = shop.fetch(shop.done(answer)["links"]["signed_sheet"])
        assert "reason" not in shop.get(answer["links"]["self"]).json()
        assert hanko(sheet, shop.fetch("/v1/certificates"), clock.root.pem).status.timestamp_validity.valid


def test_a_sheet_waits_while_nobody_listens(start, clock):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    program = start(**clock.settings | {"signing_timestamp_url": f"http://127.0.0.1:{port}/"}, **QUICK)
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted("generator-3cyl-6v", "NOBODY"))
        shop.done(job)
        answer = Signer(shop).sign(job, "released")
        waits(shop, answer)
        assert shop.done(shop.submit(posted("generator-3cyl-6v", "NOBODY-2"))), "other work goes on"
    program.stop()
    again = start(store=program.store, **clock.settings)
    with Shop(again.address) as shop:
        assert shop.fetch(shop.done(answer)["links"]["signed_sheet"]).startswith(b"%PDF-")


def test_a_timestamp_of_an_authority_of_another_kind_is_none(start, clock):
    """RFC 3161, 2.3: its certificate is for timestamps and nothing else. Without that the sheet waits."""
    clock.signer = made(clock.directory, "No Clock", [*PERSON, "extendedKeyUsage=timeStamping"], clock.root)
    settings = clock.directory / "tsa.cnf"
    text = re.sub(r"signer_cert = .*", f"signer_cert = {clock.signer.certificate}", settings.read_text())
    settings.write_text(re.sub(r"signer_key = .*", f"signer_key = {clock.signer.key}", text))
    program = start(**clock.settings, **QUICK)
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted("generator-3cyl-6v", "NO-CLOCK"))
        shop.done(job)
        waits(shop, Signer(shop).sign(job, "released"))


def test_a_timestamp_that_nobody_vouches_for_is_none(start, clock, tmp_path):
    """Whoever stands between could set the time: the sheet waits, and other work goes on."""
    other = made(tmp_path, "Other Root", AUTHORITY)
    program = start(**clock.settings | {"signing_timestamp_authority": other.certificate}, **QUICK)
    with Shop(program.address) as shop:
        job = shop.done(shop.submit(posted("generator-3cyl-6v", "UNKNOWN-CLOCK")))
        waits(shop, Signer(shop).sign(job, "released"))
        assert shop.done(shop.submit(posted("generator-3cyl-6v", "UNKNOWN-CLOCK-2")))
