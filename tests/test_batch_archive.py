"""The sheets of a batch in one ZIP archive, read by Python's own zipfile."""

import io
import json
import zipfile

import pytest

from harness.access import UNKNOWN
from harness.batches import small_lines
from harness.clients import small_head
from harness.problems import check_problem
from harness.repeating import keyed_lines
from harness.shop import Shop


def opened(shop: Shop, batch: dict) -> zipfile.ZipFile:
    answer = shop.get(batch["links"]["archive"])
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/zip"
    assert answer.headers["content-disposition"] == f'attachment; filename="sheets-{batch["id"]}.zip"'
    archive = zipfile.ZipFile(io.BytesIO(answer.content))
    assert archive.testzip() is None
    return archive


@pytest.fixture(scope="module")
def batch(shop):
    """Two refused lines among the others, two heads of one serial, and a serial that is no name of a file."""
    lines = small_lines("ZIP", 4)
    lines += [b"nonsense", small_head("ZIP-00001"), small_head("../ÄÖ: \\x/con"), b"{}"]
    return shop.done(keyed_lines(shop, b"\n".join(lines)).json())


def test_there_is_a_file_for_each_sheet_and_what_came_of_each_line(shop, batch):
    archive, jobs = opened(shop, batch), shop.jobs(batch)
    assert len(jobs) == 6
    names = archive.namelist()
    assert len(set(names)) == len(names) == 7 and names[-1] == "lines.ndjson"
    for name, job, line in zip(names, jobs, (1, 2, 3, 4, 6, 7), strict=False):
        assert name.startswith(f"{line:05}-") and name.endswith(".pdf")
        assert archive.read(name) == shop.fetch(job["links"]["sheet"])
    assert [json.loads(line) for line in archive.read("lines.ndjson").splitlines()] == shop.lines(batch)


def test_the_names_lead_nowhere_else(shop, batch):
    for entry in opened(shop, batch).infolist():
        assert entry.filename.isascii() and not set(entry.filename) & set('/\\:*?"<>| ')
        assert not entry.is_dir() and ".." not in entry.filename.removesuffix(".pdf").strip(".")[:2]


def test_it_is_written_in_the_trail(shop, batch):
    answer = shop.get(batch["links"]["archive"])
    [entry] = [
        entry
        for entry in map(json.loads, shop.fetch("/v1/audit").splitlines())
        if entry.get("request") == answer.headers["x-request-id"]
    ]
    assert (entry["what"], entry["to"]) == ("downloaded", f"sheets of batch {batch['id']}")


def test_to_ask_for_its_head_alone_is_no_download(shop, batch):
    answer = shop.http.head(batch["links"]["archive"])
    assert (answer.status_code, answer.content) == (200, b"")
    assert answer.headers["x-request-id"] not in shop.fetch("/v1/audit").decode()


def test_an_unknown_batch_has_none(shop):
    check_problem(shop.get(f"/v1/batches/{UNKNOWN}/sheets"), 404, "not-found")


def test_sheets_that_are_missing_are_not_in_it_yet(start, tmp_path):
    api = start("api", store=tmp_path / "store")
    with Shop(api.address) as shop:
        batch = keyed_lines(shop, b"\n".join(small_lines("EARLY", 3))).json()
        early = opened(shop, batch)
        assert early.namelist() == ["lines.ndjson"]
        said = [json.loads(line)["state"] for line in early.read("lines.ndjson").splitlines()]
        assert said == ["queued"] * 3
        start("worker", store=tmp_path / "store")
        shop.done(batch)
        assert len(opened(shop, batch).namelist()) == 4
