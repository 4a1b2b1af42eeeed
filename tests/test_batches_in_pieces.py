"""Batches come in piece by piece: in three forms, compressed or not, and sent again after anything went wrong."""

import csv
import io
import json
import socket
import threading
import time
from functools import partial

import httpx
import pytest

from harness.batches import as_array, packed, serials, small_lines, stored_lines
from harness.clients import small_head
from harness.counts import LONG, count, reached
from harness.database import change, query
from harness.documents import HEADS, demo_profile, request, take
from harness.places import OPENAPI
from harness.problems import check_problem
from harness.program import until
from harness.repeating import fresh_key, keyed_lines
from harness.shop import Shop

LINES, ARRAY, ROWS = "application/x-ndjson", "application/json", "text/csv"


def batches(shop: Shop) -> list[str]:
    return [batch["id"] for batch in shop.all_pages("/v1/batches")]


def digests(shop: Shop, batch: dict) -> list[tuple[str, str]]:
    return [(job["head_serial"], job["evaluation_digest"]) for job in shop.jobs(batch)]


@pytest.fixture(scope="module")
def stored_profiles(shop):
    for head in HEADS:
        assert shop.post("/v1/profiles", demo_profile(head)).status_code in (200, 201)


def by_name(head: str) -> dict:
    """A request that names a stored profile, as its row of a table does."""
    profile = demo_profile(head)
    return take(request(head), "/profile") | {
        "profile_ref": {"id": profile["id"], "revision": profile["revision"]}
    }


def table(head: str) -> bytes:
    """The published table of a head, with the name of its profile in every row."""
    profile = demo_profile(head)
    rows = list(csv.DictReader(io.StringIO((OPENAPI / "examples" / f"{head}.csv").read_text())))
    named = [row | {"profile_id": profile["id"], "profile_revision": profile["revision"]} for row in rows]
    written = io.StringIO()
    writer = csv.DictWriter(written, list(named[0]))
    writer.writeheader()
    writer.writerows(named)
    return written.getvalue().encode()


@pytest.mark.parametrize("head", HEADS)
def test_the_three_forms_give_the_same_jobs(shop, stored_profiles, head):
    line = json.dumps(by_name(head)).encode()
    found = []
    for body, kind in ((line, LINES), (as_array([line]), ARRAY), (table(head), ROWS)):
        for content, more in ((body, {}), (packed(body), {"Content_Encoding": "gzip"})):
            answer = keyed_lines(shop, content, fresh_key(), kind, **more)
            assert answer.status_code == 202, answer.text
            [job] = shop.jobs(answer.json())
            found.append(shop.get(job["links"]["evaluation"]).json())
    assert [one["tally"] for one in found] == [found[0]["tally"]] * 6
    assert all(one == found[0] for one in found[:4]), "lines and arrays are the same documents"
    rows = [{name: part for name, part in one.items() if "digest" not in name} for one in found]
    assert rows[4] == rows[5] and rows[4]["ports"] == rows[0]["ports"] and rows[4]["head"] == rows[0]["head"]


def test_the_same_bytes_in_another_form_or_compressed(shop):
    """Compressed it is the same batch: what is said counts, not how it travels."""
    lines = small_lines("FORMS", 3)
    body = b"\n".join(lines)
    first = keyed_lines(shop, body).json()
    assert keyed_lines(shop, packed(body), Content_Encoding="gzip").json()["id"] == first["id"]
    assert keyed_lines(shop, as_array(lines), None, ARRAY).json()["id"] != first["id"]
    assert digests(shop, first) == digests(shop, keyed_lines(shop, as_array(lines), None, ARRAY).json())


def test_lines_have_their_numbers_and_stay_in_order(shop):
    """More of them than are stored at once, or listed at once."""
    many = count(150, 1200)
    lines = small_lines("ORDER", many)
    for at in range(9, many, 10):
        lines[at] = b'{"client_reference":"no head"}'
    batch = keyed_lines(shop, as_array(lines), None, ARRAY).json()
    said = shop.lines(batch)
    assert [line["line"] for line in said] == list(range(1, many + 1))
    refused = [line for line in said if line["outcome"] == "refused"]
    assert [line["line"] for line in refused] == list(range(10, many + 1, 10))
    assert all(line["problem"]["type"] == "/problems/invalid-document" for line in refused)
    expected = [name for at, name in enumerate(serials("ORDER", many), 1) if at % 10]
    assert [line["head_serial"] for line in said if line["outcome"] == "accepted"] == expected
    progress = batch["progress"]
    assert (progress["lines"], progress["accepted"], progress["refused"]) == (many, len(expected), len(refused))


def test_when_none_is_accepted_nothing_is_left_and_the_key_is_free(shop):
    key, before = fresh_key(), batches(shop)
    problem = check_problem(keyed_lines(shop, b"{}\nnonsense", key), 422, "invalid-document")
    assert {fault["detail"].partition(":")[0] for fault in problem["errors"]} == {"line 1", "line 2"}
    assert batches(shop) == before
    assert keyed_lines(shop, small_head("FREE-KEY"), key).status_code == 202
    assert len(batches(shop)) == len(before) + 1


def test_sent_again_without_a_key_it_is_the_same_batch(shop):
    body = b"\n".join(small_lines("AGAIN", 5))
    batches = [keyed_lines(shop, body).json() for _ in range(3)]
    assert len({batch["id"] for batch in batches}) == 1
    assert [len(shop.all_pages(f"/v1/jobs?head={serial}")) for serial in serials("AGAIN", 5)] == [1] * 5


@pytest.mark.parametrize(
    "body",
    [b"", b"{}", b"[", b"[1", b"[1,", b"[{}", b"[{}]]", b"[{}] []", b'["a]', b"1", b"{}\n{}", b"]"],
    ids=repr,
)
def test_what_should_be_an_array_and_is_none_is_refused(shop, body):
    before = batches(shop)
    refused = keyed_lines(shop, body, None, ARRAY)
    check_problem(refused, 400, refused.json()["type"].removeprefix("/problems/"))
    assert batches(shop) == before


def test_an_array_that_breaks_off_after_good_heads_leaves_none_of_them(shop):
    lines = small_lines("BROKEN", 100)
    check_problem(keyed_lines(shop, as_array(lines)[:-1], None, ARRAY), 400, "not-json")
    check_problem(keyed_lines(shop, as_array(lines) + b"x", None, ARRAY), 400, "not-json")
    assert shop.all_pages("/v1/jobs?head=BROKEN-00001") == []


def test_an_array_without_elements_has_no_line(shop):
    check_problem(keyed_lines(shop, b" [ ] ", None, ARRAY), 400, "bad-request")


def test_more_lines_than_may_come_are_refused_in_every_form_before_any_is_stored(start):
    program = start("api", api_batch_lines=3)
    lines = small_lines("MANY", 4)
    with Shop(program.address) as shop:
        for body, kind in ((b"\n".join(lines), LINES), (as_array(lines), ARRAY)):
            check_problem(keyed_lines(shop, body, None, kind), 413, "too-large")
            check_problem(keyed_lines(shop, packed(body), None, kind, Content_Encoding="gzip"), 413, "too-large")
        assert shop.get("/v1/jobs").json() == shop.get("/v1/batches").json() == []
        assert keyed_lines(shop, as_array(lines[:3]), None, ARRAY).json()["progress"]["accepted"] == 3


def test_a_line_that_is_too_long_is_refused_and_the_others_are_not(start):
    program = start("api", api_document_bytes=20_000)
    long = json.dumps(json.loads(small_head("LONG")) | {"client_reference": "x" * 20_000}).encode()
    lines = [small_head("SHORT-1"), long, small_head("SHORT-2")]
    with Shop(program.address) as shop:
        for body, kind in ((b"\n".join(lines), LINES), (as_array(lines), ARRAY)):
            batch = keyed_lines(shop, body, None, kind).json()
            said = shop.lines(batch)
            assert [line["outcome"] for line in said] == ["accepted", "refused", "accepted"]
            assert said[1]["problem"]["type"] == "/problems/too-large"


def raw(address: str, head: str, body: bytes) -> socket.socket:
    """Sends the beginning of a request."""
    host, port = address.removeprefix("http://").split(":")
    connection = socket.create_connection((host, int(port)), timeout=30)
    connection.sendall(f"POST /v1/batches HTTP/1.1\r\nHost: {host}:{port}\r\n{head}\r\n\r\n".encode() + body)
    return connection


def test_a_body_that_breaks_off_leaves_nothing(service, shop):
    body = b"\n".join(small_lines("CUT", 50))
    for head, part in (
        (f"Content-Type: {LINES}\r\nContent-Length: {len(body)}", body[: len(body) // 2]),
        (f"Content-Type: {LINES}\r\nTransfer-Encoding: chunked", b"%x\r\n%b\r\n" % (len(body), body)),
    ):
        with raw(service.address, head, part):
            time.sleep(0.2)
    time.sleep(0.5)
    compressed = packed(body)
    broken = keyed_lines(shop, compressed[: len(compressed) // 2], Content_Encoding="gzip")
    check_problem(broken, 400, "bad-request")
    assert shop.all_pages("/v1/jobs?head=CUT-00001") == []
    assert shop.get("/livez").status_code == 200


def test_a_batch_goes_on_when_its_client_is_gone(service, shop):
    many = 80
    body = b"\n".join(small_lines("GONE", many))
    with raw(service.address, f"Content-Type: {LINES}\r\nContent-Length: {len(body)}", body):
        # All of the body is there by then, and not all of it is judged.
        until(lambda: shop.get("/v1/jobs?head=GONE-00001").json(), "the first line", pause=0.01)
    until(lambda: shop.get(f"/v1/jobs?head=GONE-{many:05}").json(), "the last line")
    # The last line is there a moment before the batch is ended.
    batch = until(partial(retried, shop, body), "the batch")
    assert batch.json()["progress"]["accepted"] == many
    shop.done(batch.json())


def test_after_a_crash_in_the_middle_it_goes_on_where_it_was(start, tmp_path):
    """Each line is there once, whether it was stored before the crash or after it."""
    store, many = tmp_path / "store", count(300, 3000)
    body = b"\n".join([*small_lines("CRASH", many - 1), b"nonsense"])
    first = start("api", store=store)

    def post() -> None:
        with pytest.raises(httpx.TransportError), Shop(first.address) as shop:
            keyed_lines(shop, body)

    posting = threading.Thread(target=post)
    posting.start()
    until(lambda: stored_lines(store), "the first lines", pause=0.005)
    first.kill()
    posting.join(30)
    before = stored_lines(store)
    assert before == list(range(1, len(before) + 1)) and 0 < len(before) < many - 1
    second = start("api", store=store)
    begun = time.monotonic()
    with Shop(second.address) as shop:
        refused = keyed_lines(shop, body)
        check_problem(refused, 409, "still-running")
        assert int(refused.headers["retry-after"]) > 0
        # Nobody calls off what may still be coming in.
        [batch] = shop.get("/v1/batches").json()
        check_problem(shop.post(f"{batch['links']['self']}/cancel", None), 409, "still-running")
        if not LONG:
            # Whoever was at it is taken for gone after a minute: here the minute is put behind it.
            change(store, ("UPDATE batch SET touched_at = touched_at - 60000", ()))
        going_on = partial(retried, shop, body)
        batch = until(going_on, "the batch to be gone on with", 90, pause=1).json()
        assert batch["progress"] | {"lines": many, "accepted": many - 1, "refused": 1} == batch["progress"]
        assert [line["line"] for line in shop.lines(batch)] == list(range(1, many + 1))
        assert len(batches(shop)) == 1
    assert stored_lines(store) == list(range(1, many))
    assert query(store, "SELECT max(revision) FROM job") == [(1,)]
    gone_on = f"{len(before)} of {many} lines kept, whole again after {time.monotonic() - begun:.0f} s"
    reached("a batch after kill -9", gone_on)


def retried(shop: Shop, body: bytes) -> httpx.Response | None:
    answer = keyed_lines(shop, body)
    if answer.status_code == 202:
        return answer
    check_problem(answer, 409, "still-running")
    return None
