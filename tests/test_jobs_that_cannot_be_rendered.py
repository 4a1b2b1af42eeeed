"""A job whose record was damaged fails with its reason, after all attempts, and holds nobody up."""

import json

from harness.database import check_artifacts, query, spoil_evaluation
from harness.documents import request
from harness.problems import check_problem
from harness.shop import Shop

ATTEMPTS = 3
SETTINGS = {"store_max_attempts": ATTEMPTS, "worker_backoff_milliseconds": 50}
WORDS = "the stored evaluation does not match its digest"


def test_a_damaged_job_fails_for_good_and_later_jobs_are_done(start, tmp_path):
    store = tmp_path / "store"
    api = start("api", store=store, **SETTINGS)
    with Shop(api.address) as shop:
        bad = shop.submit(request(serial="DAMAGED"))
    api.stop()
    spoil_evaluation(store, bad["id"])

    program = start(store=store, **SETTINGS)
    program.expected_errors.append("task failed for good")
    with Shop(program.address) as shop:
        later = [shop.submit(request(serial=f"LATER-{number}")) for number in range(5)]
        assert all(shop.done(job)["attempts"] == 1 for job in later)
        failed = shop.finished(bad)
        assert (failed["state"], failed["attempts"], failed["reason"]) == ("failed", ATTEMPTS, WORDS)
        assert "sheet" not in failed["links"]
        problem = check_problem(shop.get(f"{bad['links']['self']}/sheet"), 404, "rendering-failed")
        assert problem["detail"] == WORDS
    program.stop()
    said = [entry for entry in program.log_entries() if WORDS in json.dumps(entry)]
    assert [entry["level"] for entry in said] == ["WARN"] * (ATTEMPTS - 1) + ["ERROR"]
    assert query(store, "SELECT state, attempt FROM task WHERE owner_id = ?", bad["id"]) == [
        ("failed", ATTEMPTS)
    ]
    check_artifacts(store)


def test_a_batch_with_a_damaged_job_is_reported_with_what_is_left(start, tmp_path, pdf):
    store = tmp_path / "store"
    api = start("api", store=store, **SETTINGS)
    serials = ["WHOLE-1", "DAMAGED-2", "WHOLE-3"]
    with Shop(api.address) as shop:
        batch = shop.submit_batch([json.dumps(request(serial=serial)).encode() for serial in serials])
        damaged = shop.jobs(batch)[1]["id"]
    api.stop()
    spoil_evaluation(store, damaged)

    program = start(store=store, **SETTINGS)
    program.expected_errors.append("task failed for good")
    with Shop(program.address) as shop:
        finished = shop.done(batch)
        assert [job["state"] for job in shop.jobs(finished)] == ["done", "failed", "done"]
        report = pdf(shop.fetch(finished["links"]["report"]))
    report.check()
    index = " ".join(report.text().split())
    assert "Heads without a sheet" in index and f"DAMAGED-2 {WORDS}" in index
    assert list(report.outline()) == ["Index", "WHOLE-1", "WHOLE-3"]


def test_a_sheet_that_was_changed_on_disk_is_not_handed_out(start, tmp_path):
    store = tmp_path / "store"
    program = start(store=store)
    with Shop(program.address) as shop:
        job = shop.done(shop.submit(request()))
        (path,) = query(store, "SELECT path FROM artifact")[0]
        file = store / "artifacts" / path
        program.expected_errors.append("stored data is damaged")
        whole = file.read_bytes()
        file.write_bytes(whole.replace(b"%PDF-1.7", b"%PDF-1.8"))
        check_problem(shop.get(job["links"]["sheet"]), 500, "internal")
        file.unlink()
        check_problem(shop.get(job["links"]["sheet"]), 500, "internal")
        file.write_bytes(whole)
        assert shop.fetch(job["links"]["sheet"]) == whole
