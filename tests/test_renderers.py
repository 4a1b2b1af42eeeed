"""Pages are made in processes of their own: what takes too much is refused, and the worker goes on."""

import json
import os
import signal
import time
from pathlib import Path

from harness.counts import reached
from harness.database import query
from harness.dense_heads import dense_request
from harness.documents import request
from harness.problems import check_problem
from harness.program import memory, until
from harness.shop import Shop

MEBI = 1 << 20
SETTINGS = {"worker_backoff_milliseconds": 50}
FAILED = "task failed for good"


def is_there(pid: int) -> bool:
    return Path(f"/proc/{pid}").exists()


def running(store) -> list[tuple]:
    return query(store, "SELECT id FROM task WHERE state = 'running'")


def links(pid: int) -> dict[int, str]:
    """What the open files of a process are, by their numbers."""
    return {int(file.name): os.readlink(file) for file in Path(f"/proc/{pid}/fd").iterdir()}


def test_a_renderer_is_started_when_there_is_work_and_used_again(start):
    program = start(**SETTINGS)
    with Shop(program.address) as shop:
        assert program.renderers() == []
        shop.sheet(request())
        (renderer,) = program.renderers()
        for number in range(5):
            shop.sheet(request(serial=f"AGAIN-{number}"))
        assert program.renderers() == [renderer]
    program.stop()
    assert not is_there(renderer)


def test_a_renderer_holds_nothing_open_that_is_the_workers(start, tmp_path):
    program = start(store=tmp_path / "store", worker_tasks=2, **SETTINGS)
    with Shop(program.address) as shop:
        jobs = [shop.submit(request("irrigation-pump-16v", serial=f"OPEN-{n}")) for n in range(8)]
        for job in jobs:
            shop.done(job)
        renderers = program.renderers()
        assert len(renderers) == 2
        of_the_service = set(links(program.process.pid).values())
        assert any(str(tmp_path) in link for link in of_the_service), of_the_service
        pipes = []
        for renderer in renderers:
            held = links(renderer)
            of_its_own = [held[number] for number in range(3)]
            assert all(pipe.startswith("pipe:") for pipe in of_its_own), of_its_own
            pipes += of_its_own
            assert not [link for link in held.values() if str(tmp_path) in link]
            # Its standard streams have their other ends in the worker, but are files of their own there.
            others = set(held.values()) - set(of_its_own)
            assert not {link for link in others if link.startswith(("socket", "pipe"))} & of_the_service
    assert len(set(pipes)) == 6


def test_a_report_over_its_time_is_refused_and_the_next_job_is_done(start):
    program = start(worker_report_milliseconds=1, **SETTINGS)
    program.expected_errors.append(FAILED)
    with Shop(program.address) as shop:
        batch = shop.submit_batch([json.dumps(request(serial=f"LATE-{n}")).encode() for n in range(3)])
        finished = shop.finished(batch)
        words = "the report was not finished within 1 ms"
        assert (finished["state"], finished["reason"]) == ("failed", words)
        assert [job["state"] for job in shop.jobs(finished)] == ["done"] * 3
        attempts = query(program.store, "SELECT attempt FROM task WHERE kind <> 'sheet'")
        assert attempts == [(2,)], "tried once more, and no oftener"
        assert shop.sheet(request(serial="NEXT")).startswith(b"%PDF-")


def test_a_sheet_over_its_time_is_refused_and_its_renderer_is_no_more(start):
    program = start(worker_sheet_milliseconds=1, **SETTINGS)
    program.expected_errors.append(FAILED)
    with Shop(program.address) as shop:
        job = shop.finished(shop.submit(request()))
        words = "the sheet was not finished within 1 ms"
        assert (job["state"], job["attempts"], job["reason"]) == ("failed", 2, words)
        problem = check_problem(shop.get(f"{job['links']['self']}/sheet"), 404, "rendering-failed")
        assert problem["detail"] == words
        until(lambda: not program.renderers(), "the renderers to be gone")


def test_a_renderer_that_hangs_is_replaced_and_the_job_is_done(start):
    program = start(worker_sheet_milliseconds=5000, **SETTINGS)
    with Shop(program.address) as shop:
        shop.sheet(request())
        (hanging,) = program.renderers()
        os.kill(hanging, signal.SIGSTOP)
        assert shop.done(shop.submit(request(serial="HANGS")))["attempts"] == 2
        assert hanging not in program.renderers()


def test_a_sheet_that_needs_too_much_memory_is_refused_and_the_next_job_is_done(start, tmp_path):
    store = tmp_path / "store"
    program = start(store=store, **SETTINGS)
    with Shop(program.address) as shop:
        shop.sheet(request())
        (renderer,) = program.renderers()
        enough = memory(renderer, "VmData") // MEBI + 16
    program.stop()

    program = start(store=store, worker_sheet_mebibytes=enough, **SETTINGS)
    program.expected_errors.append(FAILED)
    with Shop(program.address) as shop:
        shop.sheet(request(serial="BEFORE"))
        job = shop.finished(shop.submit(dense_request()))
        words = f"the sheet needs more than {enough} MiB of memory"
        assert (job["state"], job["attempts"], job["reason"]) == ("failed", 1, words)
        assert shop.sheet(request(serial="AFTER")).startswith(b"%PDF-")
    program.stop()
    said = [entry for entry in program.log_entries() if entry["fields"]["message"] == "a renderer spoke"]
    assert any("memory allocation of" in entry["fields"]["said"] for entry in said), said


def test_the_demo_head_is_done_with_the_least_memory_that_can_be_set(start):
    program = start(worker_sheet_mebibytes=80, **SETTINGS)
    with Shop(program.address) as shop:
        assert shop.done(shop.submit(request("irrigation-pump-16v")))["attempts"] == 1


def test_a_job_whose_renderer_is_killed_is_tried_again_and_done(start):
    program = start(**SETTINGS)
    with Shop(program.address) as shop:
        shop.sheet(request())
        (renderer,) = program.renderers()
        # So that it is surely killed in the midst of its work.
        os.kill(renderer, signal.SIGSTOP)
        job = shop.submit(request(serial="KILLED"))
        until(lambda: running(program.store), "the task to be under way", pause=0.002)
        time.sleep(0.5)
        os.kill(renderer, signal.SIGKILL)
        assert shop.done(job)["attempts"] == 2
    warned = [entry["fields"].get("error", "") for entry in program.log_entries()]
    assert any("the renderer stopped unexpectedly: signal: 9" in words for words in warned), warned


def test_a_signal_to_all_processes_of_a_group_ends_no_renderer(start):
    program = start(**SETTINGS)
    with Shop(program.address) as shop:
        shop.sheet(request())
        (renderer,) = program.renderers()
        for number in (signal.SIGTERM, signal.SIGINT):
            os.kill(renderer, number)
        assert shop.done(shop.submit(request(serial="SIGNALS")))["attempts"] == 1
        assert program.renderers() == [renderer]


def test_a_worker_that_is_killed_leaves_no_renderer(start):
    program = start(worker_tasks=2, **SETTINGS)
    with Shop(program.address) as shop:
        jobs = [shop.submit(request("irrigation-pump-16v", serial=f"LEFT-{n}")) for n in range(8)]
        for job in jobs:
            shop.done(job)
        renderers = program.renderers()
        assert len(renderers) == 2
        # One of them works, the other waits.
        shop.submit(dense_request())
        until(lambda: running(program.store), "the task to be under way", pause=0.002)
    program.kill()
    until(lambda: not any(map(is_there, renderers)), "the renderers to be gone")


def test_the_densest_head_there_is_stays_far_within_the_bounds(start, pdf):
    program = start(**SETTINGS)
    with Shop(program.address) as shop:
        posted = dense_request()
        sheet = pdf(shop.sheet(posted))
        (renderer,) = program.renderers()
        peak = memory(renderer, "VmHWM") // MEBI
    sheet.check()
    assert peak < 256
    reached("the densest head", f"{len(json.dumps(posted)) // 1024} KiB posted, {peak} MiB held by its renderer")
