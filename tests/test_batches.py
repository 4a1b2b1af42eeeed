"""Many heads at once: each line stands for itself, and one report holds them all."""

import json
import re

import pytest

from harness.documents import HEADS, request, take
from harness.pdf import Pdf
from harness.problems import check_problem, pointers
from harness.shop import Shop


def line(document: dict) -> bytes:
    return json.dumps(document, ensure_ascii=False).encode()


def serials(count: int) -> list[str]:
    return [f"BATCH-{number:03}" for number in range(1, count + 1)]


def test_each_line_is_accepted_or_refused_for_itself(shop):
    good = [line(request(serial=serial, client_reference=f"ref {serial}")) for serial in serials(3)]
    faulty = request(client_reference="the faulty one")
    faulty["measurement_set"]["ports"][0]["valve"]["head_diameter"] = -1
    faulty["measurement_set"]["ports"][1]["seat"]["seat_angle"] = 90
    follower = request(follows="0190a5c8-0000-7000-8000-000000000000")
    unknown = take(request(), "/profile") | {"profile_ref": {"id": "nobody", "revision": "9"}}
    lines = [good[0], b"{ this is no JSON", b"", line(faulty), good[1], b'{"measurement_set":"\xff"}']
    lines += [b"  \t ", line(follower), line(unknown), good[2], b""]
    batch = shop.submit_batch(lines)

    assert (batch["progress"]["lines"], batch["progress"]["accepted"], batch["progress"]["refused"]) == (8, 3, 5)
    entries, jobs = shop.lines(batch), shop.jobs(batch)
    assert [entry["line"] for entry in entries] == [1, 2, 4, 5, 6, 8, 9, 10]
    outcome = {entry["line"]: entry for entry in entries}
    accepted = [number for number, entry in outcome.items() if entry["outcome"] == "accepted"]
    assert accepted == [1, 5, 10]
    assert [outcome[number]["job"] for number in accepted] == [job["id"] for job in jobs]
    assert [outcome[number]["client_reference"] for number in accepted] == [
        f"ref {name}" for name in serials(3)
    ]
    assert [job["head_serial"] for job in jobs] == serials(3)
    assert [outcome[number]["head_serial"] for number in accepted] == serials(3)

    problems = {
        number: entry["problem"] for number, entry in outcome.items() if entry["outcome"] == "refused"
    }
    assert {number: problem["status"] for number, problem in problems.items()} == {
        2: 400,
        4: 422,
        6: 400,
        8: 422,
        9: 422,
    }
    assert outcome[4]["client_reference"] == "the faulty one"
    assert pointers(problems[4]) == [
        "/measurement_set/ports/0/valve/head_diameter",
        "/measurement_set/ports/1/seat/seat_angle",
    ]
    assert (pointers(problems[8]), pointers(problems[9])) == (["/follows"], ["/profile_ref"])
    assert "job" not in outcome[2] and "job" not in outcome[4]

    finished = shop.done(batch)
    still = {"queued": 0, "running": 0, "failed": 0, "cancelled": 0}
    assert finished["progress"] == {"lines": 8, "accepted": 3, "refused": 5, "done": 3, **still}
    assert [entry.get("state") for entry in shop.lines(batch) if "job" in entry] == ["done"] * 3
    for job in shop.jobs(finished):
        assert job["state"] == "done"
        assert job["batch"] == batch["id"]
        assert shop.fetch(job["links"]["sheet"]).startswith(b"%PDF-")


def test_a_batch_in_which_every_line_is_wrong_is_refused_with_all_their_faults(shop):
    wrong = request()
    wrong["measurement_set"]["ports"][0]["valve"]["head_diameter"] = -1
    response = shop.post_text("/v1/batches", b"{\n\n" + line(wrong), "application/x-ndjson")
    problem = check_problem(response, 422, "invalid-document")
    details = [fault["detail"] for fault in problem["errors"]]
    assert details[0].startswith("line 1: ") and details[1].startswith("line 3: ")
    assert problem["errors"][1]["pointer"] == "/measurement_set/ports/0/valve/head_diameter"


@pytest.mark.parametrize("body", [b"", b"\n \n\t\n"], ids=["empty", "blank lines"])
def test_a_batch_without_a_line_is_refused(shop, body):
    check_problem(shop.post_text("/v1/batches", body, "application/x-ndjson"), 400, "bad-request")


def test_a_batch_is_of_one_of_three_kinds(shop):
    check_problem(shop.post_text("/v1/batches", b"[]", "text/plain"), 415, "unsupported-media-type")


def test_a_batch_has_a_longest_length_in_lines_and_bytes(start):
    program = start(api_batch_lines=2, api_batch_bytes=200_000)
    with Shop(program.address) as shop:
        two = [line(request(serial=serial)) for serial in serials(2)]
        shop.done(shop.submit_batch(two))
        three = b"\n".join([*two, two[0]])
        check_problem(shop.post_text("/v1/batches", three, "application/x-ndjson"), 413, "too-large")
        long = line(request() | {"client_reference": "x" * 200_000})
        check_problem(shop.post_text("/v1/batches", long, "application/x-ndjson"), 413, "too-large")


@pytest.fixture(scope="module")
def report(shop, tmp_path_factory):
    """A batch of all demo heads, some of them twice, and its report."""
    names = [*HEADS, *HEADS, *HEADS]
    requests = [request(name, serial) for name, serial in zip(names, serials(len(names)), strict=True)]
    batch = shop.done(shop.submit_batch([line(document) for document in requests]))
    content = shop.fetch(batch["links"]["report"])
    return shop.jobs(batch), Pdf(content, tmp_path_factory.mktemp("report") / "report.pdf")


def test_the_report_is_a_clean_file_numbered_through(report):
    _, pdf = report
    pdf.check()
    count = pdf.pages()
    for page in range(1, count + 1):
        assert f"page {page} of {count}" in pdf.text(page)
    assert all(font["embedded"] == font["subset"] == "yes" for font in pdf.fonts())


def test_the_index_names_every_head_with_its_disposition_and_the_page_it_begins_on(report):
    jobs, pdf = report
    # It follows what the heads say together, and ends before the first sheet.
    sheets_from = pdf.outline()[jobs[0]["head_serial"]]
    index = "\n".join(pdf.text(page) for page in range(1, sheets_from))
    for job in jobs:
        entry = re.search(
            rf"^ *{job['head_serial']} .*\b{job['disposition']}\b.* (\d+)$", index, re.MULTILINE
        )
        assert entry, job["head_serial"]
        first = int(entry[1])
        assert job["head_serial"] in pdf.text(first)
        assert "Inspection sheet of a cylinder head" in pdf.text(first)
        assert job["head_serial"] not in pdf.text(first - 1) or first == sheets_from


def test_the_outline_names_every_head_with_its_page(report):
    jobs, pdf = report
    outline = pdf.outline()
    assert list(outline) == ["Index", *(job["head_serial"] for job in jobs)]
    for job in jobs:
        assert job["head_serial"] in pdf.text(outline[job["head_serial"]])


def test_the_report_holds_every_sheet_page_for_page(report, shop, pdf):
    jobs, whole = report
    outline = whole.outline()
    for job in jobs[:3]:
        single = pdf(shop.fetch(job["links"]["sheet"]))
        first = outline[job["head_serial"]]
        for page in range(1, single.pages() + 1):
            alone = single.text(page).replace(f"page {page} of {single.pages()}", "")
            within = whole.text(first + page - 1).replace(f"page {first + page - 1} of {whole.pages()}", "")
            assert within.split() == alone.split(), (job["head_serial"], page)
