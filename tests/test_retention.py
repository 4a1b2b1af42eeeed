"""Heads that nobody heard of for long go, where that is wished, and leave a trace; those that were signed stay.

Nobody waits for days here: the days are put behind a head in the database, which it refuses until its guards are gone."""

import json

from harness.access import KEYS, first_key
from harness.clients import small_head
from harness.database import change, check_artifacts, check_integrity, query
from harness.problems import check_problem
from harness.program import run, until
from harness.shop import Shop
from harness.signing import Signer

DAY = 24 * 3600 * 1000


def put_behind(store, jobs: list[str], days: int) -> None:
    """Makes jobs older than they are."""
    guard = query(store, "SELECT sql FROM sqlite_master WHERE name = 'job_is_immutable'")[0][0]
    change(store, ("DROP TRIGGER job_is_immutable", ()))
    for job in jobs:
        change(
            store,
            ("UPDATE job SET created_at = created_at - ? WHERE id = ?", (days * DAY, job)),
            ("UPDATE task SET finished_at = finished_at - ? WHERE owner_id = ?", (days * DAY, job)),
        )
    change(store, (guard, ()))


def test_what_is_old_and_not_signed_goes_and_all_else_stays(start, tmp_path):
    store = tmp_path / "store"
    first = start(store=store, **KEYS)
    with Shop(first.address, first_key(first)) as shop:
        jobs = {
            serial: [shop.done(shop.submit(json.loads(small_head(serial)))) for _ in range(2)]
            for serial in ("OLD", "SIGNED", "STILL-USED", "NEW")
        }
        shop.done(Signer(shop).sign(jobs["SIGNED"][1]))
    first.stop()
    old = [job["id"] for job in (*jobs["OLD"], *jobs["SIGNED"], jobs["STILL-USED"][0])]
    put_behind(store, old, days=31)

    keeps_all = start(store=store, **KEYS)
    with Shop(keeps_all.address, first_key(keeps_all)) as shop:
        assert len(shop.all_pages("/v1/jobs")) == 8, "nothing goes unless that is wished"
    keeps_all.stop()

    program = start(store=store, store_retention_days=30, **KEYS)
    with Shop(program.address, first_key(program)) as shop:
        until(lambda: len(shop.all_pages("/v1/jobs")) < 8, "the old head to go")
        kept = {job["id"] for job in shop.all_pages("/v1/jobs")}
        assert kept == {job["id"] for serial in ("SIGNED", "STILL-USED", "NEW") for job in jobs[serial]}
        for job in jobs["OLD"]:
            for part in ("", "/evaluation", "/sheet", "/measurement-set", "/profile"):
                check_problem(shop.get(f"/v1/jobs/{job['id']}{part}"), 410, "gone")
        for job in jobs["SIGNED"]:
            assert shop.fetch(job["links"]["sheet"]).startswith(b"%PDF-")
        trail = [json.loads(line) for line in shop.fetch("/v1/audit").splitlines()]
        disposed = {entry["to"]: entry["digest"] for entry in trail if entry["what"] == "disposed"}
        assert disposed == {f"job {job['id']}": job["evaluation_digest"] for job in jobs["OLD"]}
        # Whoever posts the head again begins anew.
        assert shop.submit(json.loads(small_head("OLD")))["revision"] == 1
    program.stop()
    check_integrity(store)
    check_artifacts(store)
    verified = run("audit", "verify", "--shop", trail[0]["shop"], settings={"store_dir": store})
    assert verified.returncode == 0, verified.stderr
