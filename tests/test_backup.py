"""A backup is a store of its own: what was kept is there, and it can be worked with."""

import stat
import threading
import time

from harness.access import KEYS, first_key
from harness.documents import HEADS, request
from harness.program import run, until
from harness.shop import Shop


def backup(program, out):
    settings = {name: value for name, value in program.settings.items() if name.startswith("store_")}
    return run("backup", out, settings=settings)


def test_what_was_kept_is_there_and_goes_on(start, tmp_path):
    program = start(**KEYS)
    key = first_key(program)
    with Shop(program.address, key) as shop:
        jobs = [shop.done(shop.submit(request(head))) for head in HEADS]
        sheets = [shop.fetch(job["links"]["sheet"]) for job in jobs]
        finished = backup(program, tmp_path / "copy")
        assert finished.returncode == 0, finished
        later = shop.submit(request())
    program.kill()
    copy = start(store=tmp_path / "copy", **KEYS)
    with Shop(copy.address, key) as shop:
        for job, sheet in zip(jobs, sheets, strict=True):
            assert shop.get(job["links"]["self"]).json() == job
            assert shop.fetch(job["links"]["sheet"]) == sheet
        assert shop.get(later["links"]["self"]).status_code == 404
        assert shop.sheet(request()).startswith(b"%PDF-")
    assert run("audit", "verify", settings={"store_dir": tmp_path / "copy"}).returncode == 0
    secret = tmp_path / "copy" / "signing-secret"
    assert stat.S_IMODE(secret.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "copy").stat().st_mode) == 0o700


def test_it_is_of_one_moment_while_others_post(start, tmp_path):
    program = start(worker_tasks=2)
    stop = threading.Event()
    accepted = []

    def post() -> None:
        with Shop(program.address) as shop:
            while not stop.is_set():
                accepted.append(shop.submit(request())["id"])
                time.sleep(0.05)

    posting = [threading.Thread(target=post) for _ in range(2)]
    for thread in posting:
        thread.start()
    until(lambda: len(accepted) >= 5, "some heads")
    finished = backup(program, tmp_path / "copy")
    stop.set()
    for thread in posting:
        thread.join()
    assert finished.returncode == 0, finished
    before = set(accepted[:5])
    program.stop()
    copy = start(store=tmp_path / "copy")
    with Shop(copy.address) as shop:
        there = {job["id"] for job in shop.get("/v1/jobs?limit=1000").json()}
        assert before <= there <= set(accepted)
        for id in before:
            shop.done(shop.get(f"/v1/jobs/{id}").json())


def test_it_takes_no_directory_that_is_there_and_no_server(start, tmp_path):
    program = start()
    (tmp_path / "there").mkdir()
    finished = backup(program, tmp_path / "there")
    assert finished.returncode == 2 and b"is there already" in finished.stderr
    finished = run("backup", tmp_path / "copy", settings={"store_database": "postgres://nowhere.invalid/x"})
    assert finished.returncode == 2 and b"their own means" in finished.stderr
    assert not (tmp_path / "copy").exists()
