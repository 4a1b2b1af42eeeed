"""A full disk while people sign, and a secret that is not the right one: what was signed stays signed."""

import shutil
import time

from test_full_disk import small_disk  # noqa: F401

from harness.database import check_artifacts, check_integrity, query
from harness.disk import fill_up
from harness.problems import check_problem
from harness.program import run, until
from harness.shop import Shop
from harness.signatures import hanko_accepts
from harness.signing import Signer, judged, posted

HEAD = "generator-3cyl-6v"


def test_on_a_full_disk_a_sign_off_is_refused_or_kept(start, small_disk):  # noqa: F811
    store = small_disk / "store"
    program = start(store=store, worker_lease_seconds=3)
    program.expected_errors += ["no space left", "the store cannot take more now", "could not be recorded"]
    with Shop(program.address) as shop:
        signer = Signer(shop)
        jobs = [shop.done(shop.submit(posted(HEAD, f"FULL-{number}"))) for number in range(6)]
        (small_disk / "filler").unlink()
        fill_up(small_disk / "rest")
        accepted, refused = [], 0
        for job in jobs:
            for meaning in ("inspected", "released"):
                answer = signer.ask(job, meaning, note="x" * 500)
                if answer.status_code == 202:
                    accepted.append(answer.json())
                    continue
                check_problem(answer, 503, "unavailable")
                assert int(answer.headers["retry-after"]) >= 1
                refused += 1
        assert refused > 0
        for job in jobs:
            assert shop.get(job["links"]["sheet"]).status_code == 200, "people still see what was measured"
        time.sleep(1)
        (small_disk / "rest").unlink()
        until(lambda: shop.get("/readyz").status_code == 200, "room again")
        accepted.append(signer.sign(judged(shop, posted(HEAD, "AFTERWARDS"))[0], "released"))
        for answer in accepted:
            assert shop.fetch(shop.done(answer)["links"]["signed_sheet"]).startswith(b"%PDF-")
    program.stop()
    check_integrity(store)
    check_artifacts(store)
    kept = {one for (one,) in query(store, "SELECT id FROM sign_off")}
    assert {one["sign_off"]["id"] for one in accepted} == kept
    assert run("audit", "verify", "--shop", "open", settings={"store_dir": store}).returncode == 0


def test_without_the_secret_of_its_keys_nothing_starts_and_with_it_everything_goes_on(start, tmp_path):
    """A secret made anew would open nothing, and what was signed would wait for ever."""
    program = start("api")
    secret, kept = program.store / "signing-secret", tmp_path / "kept"
    with Shop(program.address) as shop:
        frida = Signer(shop)
        job, _ = judged(shop, posted(HEAD, "SECRET"))
        answer = frida.sign(job, "released")
    program.stop()
    assert secret.stat().st_mode & 0o777 == 0o600
    shutil.move(secret, kept)
    refused = {"gone": "is not there", "another": "is not the one", "open to all": "by everybody", "none": ""}
    for kind, reason in refused.items():
        if kind == "another":
            start("api", store=tmp_path / "elsewhere").stop()
            shutil.copy(tmp_path / "elsewhere" / "signing-secret", secret)
        elif kind == "open to all":
            shutil.copy(kept, secret)
            secret.chmod(0o644)
        elif kind == "none":
            secret.chmod(0o600)
            secret.write_text("no secret")
        for command in ("serve", "api", "worker"):
            finished = run(command, settings={"store_dir": program.store, "api_listen": "127.0.0.1:0"})
            said = finished.stderr.decode()
            assert finished.returncode == 2 and "signing.secret_file" in said and reason in said, (kind, said)
        assert kind != "gone" or not secret.exists()
    shutil.copy(kept, secret)
    right = start(store=program.store)
    with Shop(right.address) as shop:
        sheet = shop.fetch(shop.done(answer)["links"]["signed_sheet"])
        assert hanko_accepts(sheet, shop.fetch("/v1/certificates"))


def test_the_secret_is_nowhere_else(start):
    """Neither in the database nor in the log."""
    program = start()
    with Shop(program.address) as shop:
        signer = Signer(shop)
        signer.sheet(judged(shop, posted(HEAD, "NOWHERE"))[0], "released")
    program.stop()
    secret = (program.store / "signing-secret").read_text().strip()
    assert len(secret) > 30
    for path in [program.log, *program.store.rglob("*")]:
        if path.is_file() and path.name != "signing-secret":
            content = path.read_bytes()
            for one in (secret, signer.secret):
                assert one.encode() not in content, path
            assert b"PRIVATE KEY" not in content
