"""Many heads from the command line: posted, watched, fetched."""

import csv
import io
import json
import os
import pty
import signal
import subprocess
import zipfile

import pytest

from harness.documents import put, request
from harness.pdf import Pdf
from harness.places import BINARY
from harness.program import PATIENCE, environment, run, until


@pytest.fixture
def at(service):
    def command(*arguments, **options):
        return run(*arguments, settings={"service": service.address}, **options)

    return command


def requests(name: str, count: int, **more: object) -> list[dict]:
    return [request(serial=f"{name}-{n:03}", client_reference=f"ref {n}", **more) for n in range(1, count + 1)]


def ndjson(documents: list[dict]) -> bytes:
    return b"".join(json.dumps(document).encode() + b"\n" for document in documents)


@pytest.fixture
def file(tmp_path):
    def written(name: str, content: bytes):
        path = tmp_path / name
        path.write_bytes(content)
        return path

    return written


def summary(batch: str, lines: int, refused: int = 0) -> str:
    good = lines - refused
    return f"{batch} done: {lines} lines, {good} accepted, {refused} refused; {good} sheets, 0 failed, 0 cancelled"


def test_a_batch_is_posted_and_can_be_waited_for_later(at, service, shop, file):
    posted = at("batch", file("heads.ndjson", ndjson(requests("LATER", 3))))
    assert (posted.returncode, posted.stderr) == (0, b"")
    batch, address = posted.stdout.decode().split()
    assert address == f"{service.address}/v1/batches/{batch}"
    waited = at("wait", batch, "--no-progress")
    assert (waited.returncode, waited.stderr) == (0, b"")
    assert waited.stdout.decode() == summary(batch, 3) + "\n"
    report = at("fetch", batch).stdout
    assert report == shop.fetch(shop.get(f"/v1/batches/{batch}").json()["links"]["report"])


@pytest.mark.parametrize("compressed", [[], ["--gzip"]], ids=["plain", "gzip"])
@pytest.mark.parametrize("form", ["ndjson", "json"])
def test_lines_and_arrays_give_the_same(at, file, tmp_path, form, compressed):
    heads = requests(f"FORM-{form}-{len(compressed)}", 4)
    content = ndjson(heads) if form == "ndjson" else json.dumps(heads).encode()
    out = tmp_path / "out" / "deeper"
    finished = at("batch", file(f"heads.{form}", content), "--out", out, "--no-progress", *compressed)
    assert (finished.returncode, finished.stderr) == (0, b"")
    batch = finished.stdout.decode().split()[0]
    assert finished.stdout.decode().splitlines()[1] == summary(batch, 4)
    assert sorted(os.listdir(out)) == ["archive.zip", "lines.ndjson", "report.pdf"]
    with zipfile.ZipFile(out / "archive.zip") as archive:
        assert archive.testzip() is None
        sheets = [name for name in archive.namelist() if name.endswith(".pdf")]
        assert len(sheets) == 4
    lines = [json.loads(line) for line in (out / "lines.ndjson").read_bytes().splitlines()]
    assert [line["line"] for line in lines] == [1, 2, 3, 4]
    assert [line["client_reference"] for line in lines] == [f"ref {n}" for n in range(1, 5)]
    assert {(line["outcome"], line["state"], line["disposition"]) for line in lines} == {
        ("accepted", "done", "accept")
    }
    Pdf((out / "report.pdf").read_bytes(), tmp_path / "report.pdf")


def test_refused_lines_are_told_with_their_places(at, file):
    heads = requests("SOME", 3)
    heads[1] = put(heads[1], "/measurement_set/ports/0/valve/head_diameter", -36)
    content = ndjson(heads) + b"{ no JSON\n"
    finished = at("batch", file("heads.jsonl", content), "--wait", "--no-progress")
    assert finished.returncode == 1
    batch = finished.stdout.decode().split()[0]
    assert finished.stdout.decode().splitlines()[1] == summary(batch, 4, refused=2)
    said = finished.stderr.decode().splitlines()
    assert said[0].startswith("line 2 (ref 2) /measurement_set/ports/0/valve/head_diameter: ")
    assert said[0].endswith(" (is -36.0)")
    assert said[1].startswith("line 4: ") and len(said) == 2


def test_standard_input_needs_to_be_told_its_format(at):
    content = ndjson(requests("STDIN", 2))
    finished = at("batch", "-", "--format", "ndjson", "--wait", "--no-progress", input=content)
    assert (finished.returncode, finished.stderr) == (0, b"")
    untold = at("batch", "-", input=content)
    assert (untold.returncode, untold.stdout) == (2, b"") and b"--format" in untold.stderr


def test_a_file_of_no_known_kind_and_one_that_is_not_there_are_told(at, file, tmp_path):
    for path, words in ((file("heads.txt", b""), "--format"), (tmp_path / "none.csv", "none.csv: ")):
        finished = at("batch", path)
        assert (finished.returncode, finished.stdout) == (2, b"")
        assert words in finished.stderr.decode()


def test_a_table_is_posted_as_such(at, file):
    """What a table has to hold is another matter: one without a known column is refused as a whole or line by line."""
    table = io.StringIO()
    csv.writer(table).writerows([["no such column"], ["x"]])
    finished = at("batch", file("heads.csv", table.getvalue().encode()), "--wait", "--no-progress")
    assert finished.returncode == 1
    assert b"no such column" in finished.stderr


def test_the_same_key_with_the_same_file_gives_the_same_batch(at, file):
    path = file("heads.ndjson", ndjson(requests("SAME", 2)))
    first = at("batch", path, "--idempotency-key", "monday")
    assert first.returncode == 0
    assert at("batch", path, "--idempotency-key", "monday").stdout == first.stdout
    other = at("batch", file("other.ndjson", ndjson(requests("OTHER", 2))), "--idempotency-key", "monday")
    assert (other.returncode, other.stdout) == (1, b"")


def test_it_is_told_how_far_a_batch_is(at, file):
    finished = at("batch", file("heads.ndjson", ndjson(requests("TOLD", 6))), "--wait")
    assert finished.returncode == 0
    said = finished.stderr.decode().splitlines()
    assert said and said[-1] == "6 of 6 lines: 6 done, 0 running"
    # Never the same twice.
    assert len(set(said)) == len(said)


def test_a_terminal_shows_a_bar(service, file):
    ours, theirs = pty.openpty()
    command = [str(BINARY), "batch", str(file("heads.ndjson", ndjson(requests("BAR", 4)))), "--wait"]
    settings = environment({"service": service.address}) | {"TERM": "xterm"}
    finished = subprocess.run(command, env=settings, stdout=subprocess.PIPE, stderr=theirs, timeout=PATIENCE)
    os.close(theirs)
    shown = b""
    try:
        while piece := os.read(ours, 65536):
            shown += piece
    except OSError:
        pass  # The other end is closed, see pty(7).
    os.close(ours)
    assert finished.returncode == 0
    assert b"4/4" in shown and b"[" in shown


def test_who_stops_watching_does_not_stop_the_batch(service, shop, file):
    # More than can be done before the interrupt is there.
    command = [str(BINARY), "batch", str(file("heads.ndjson", ndjson(requests("GO-ON", 200)))), "--wait"]
    process = subprocess.Popen(
        command, env=environment({"service": service.address}), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    batch = process.stdout.readline().decode().split()[0]
    process.stderr.readline()
    process.send_signal(signal.SIGINT)
    said = process.communicate(timeout=PATIENCE)[1].decode()
    assert process.returncode == 130
    assert f"headproof wait {batch}" in said
    found = until(lambda: finished(shop, batch), "the end of the batch")
    assert (found["state"], found["progress"]["done"]) == ("done", 200)


def finished(shop, batch: str) -> dict | None:
    found = shop.get(f"/v1/batches/{batch}", Prefer="wait=2").json()
    return found if found["state"] == "done" else None
