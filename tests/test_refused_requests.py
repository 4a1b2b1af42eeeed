"""Requests that are no request: sizes, encodings, media types, methods and addresses."""

import gzip
import json
import struct
import zlib
from concurrent.futures import ThreadPoolExecutor

import pytest

from harness.documents import request
from harness.problems import check_problem
from harness.shop import Shop

MEBI = 1 << 20
POSTED = ["/v1/evaluate", "/v1/plan", "/v1/gauge-studies", "/v1/jobs", "/v1/profiles"]


@pytest.mark.parametrize("path", POSTED)
@pytest.mark.parametrize(
    "text",
    [
        pytest.param(b"", id="nothing"),
        pytest.param(b"{", id="cut off"),
        pytest.param(b"hello", id="a word"),
        pytest.param(b'{"a":NaN}', id="NaN"),
        pytest.param(b'{"a":Infinity}', id="Infinity"),
        pytest.param(b'{"a":-Infinity}', id="minus Infinity"),
        pytest.param(b"{} {}", id="two documents"),
        pytest.param(b"{'a':1}", id="single quotes"),
        pytest.param(b'{"a":1,}', id="trailing comma"),
        pytest.param(b'{"a":01}', id="leading zero"),
        pytest.param(b'{"a":"\xff\xfe"}', id="invalid UTF-8"),
        pytest.param(b'{"a":"\xed\xa0\x80"}', id="surrogate in UTF-8"),
        pytest.param(b'{"a":"\xc0\xaf"}', id="overlong UTF-8"),
        pytest.param('{"a":1}'.encode("utf-16"), id="UTF-16"),
        pytest.param(b'{"a":"\n"}', id="bare line feed in a text"),
        pytest.param(b"\x00" * 100, id="zero bytes"),
    ],
)
def test_what_is_no_json_is_refused(shop, path, text):
    """By the grammar of RFC 8259."""
    check_problem(shop.post_text(path, text), 400, "not-json")


@pytest.mark.parametrize("path", POSTED)
@pytest.mark.parametrize("text", [b"null", b"[]", b"3", b'"text"', b"{}", b"true"])
def test_json_of_another_shape_is_refused_with_its_faults(shop, path, text):
    assert check_problem(shop.post_text(path, text), 422, "invalid-document")["errors"]


@pytest.mark.parametrize("opening, closing", [(b"[", b"]"), (b'{"a":', b"}")], ids=["arrays", "objects"])
@pytest.mark.parametrize("depth", [33, 127, 128, 1000, 500_000])
def test_deep_nesting_is_refused(shop, opening, closing, depth):
    if len(opening) * depth > 3 * MEBI:
        depth = 3 * MEBI // len(opening + closing)
    text = b'{"measurement_set":' + opening * depth + b"1" + closing * depth + b"}"
    response = shop.post_text("/v1/evaluate", text)
    if response.status_code == 400:
        check_problem(response, 400, "not-json")
    else:
        check_problem(response, 422, "invalid-document")
    assert shop.get("/livez").status_code == 200


def chunks(total: int):
    """A body whose length is not announced."""
    for _ in range(total // 65536):
        yield b" " * 65536


@pytest.mark.parametrize("path", POSTED)
def test_a_body_that_is_too_large_is_refused(shop, path):
    check_problem(shop.post_text(path, b" " * (5 * MEBI)), 413, "too-large")


def test_a_body_that_is_too_large_is_refused_when_its_length_is_not_announced(shop):
    headers = {"Content-Type": "application/json"}
    response = shop.http.post("/v1/evaluate", content=chunks(6 * MEBI), headers=headers)
    check_problem(response, 413, "too-large")


def test_the_largest_document_is_what_the_configuration_says(start):
    text = json.dumps(request()).encode()
    program = start(api_document_bytes=len(text))
    with Shop(program.address) as shop:
        assert shop.post_text("/v1/evaluate", text).status_code == 200
        check_problem(shop.post_text("/v1/evaluate", text + b" "), 413, "too-large")


def test_a_compressed_body_is_read(shop):
    text = gzip.compress(json.dumps(request()).encode())
    assert shop.post_text("/v1/evaluate", text, Content_Encoding="gzip").status_code == 200


def gzip_of_zeros(mebis: int) -> bytes:
    """A valid gzip file (RFC 1952) of so many MiB of zero bytes, from one compressed piece repeated."""
    compressor = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    piece = compressor.compress(bytes(MEBI)) + compressor.flush(zlib.Z_FULL_FLUSH)
    checksum = 0
    for _ in range(mebis):
        checksum = zlib.crc32(bytes(MEBI), checksum)
    end = compressor.flush(zlib.Z_FINISH)
    trailer = struct.pack("<II", checksum, mebis * MEBI % 2**32)
    return b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x02\xff" + piece * mebis + end + trailer


@pytest.mark.parametrize("path", POSTED + ["/v1/batches"])
def test_a_gzip_bomb_is_refused_and_takes_no_memory(start, path):
    """1 GiB of zero bytes in about 1 MB: the limit counts what comes out."""
    assert gzip.decompress(gzip_of_zeros(3)) == bytes(3 * MEBI)
    bomb = gzip_of_zeros(1024)
    assert len(bomb) < 2 * MEBI
    # A batch is laid down in a file up to its limit, which takes its time.
    program = start(api_batch_bytes=32 * MEBI)
    with Shop(program.address) as shop:
        shop.evaluate(request())
        before = program.peak_memory()
        media_type = "application/x-ndjson" if path == "/v1/batches" else "application/json"
        check_problem(shop.post_text(path, bomb, media_type, Content_Encoding="gzip"), 413, "too-large")
        assert program.peak_memory() - before < 192 * MEBI
        assert shop.get("/livez").status_code == 200


def test_many_gzip_bombs_at_once_take_no_more_memory_than_as_many_documents(start):
    bomb, program, together = gzip_of_zeros(1024), start(), 8

    def post(_: int) -> None:
        with Shop(program.address) as shop:
            response = shop.post_text("/v1/evaluate", bomb, Content_Encoding="gzip")
            check_problem(response, 413, "too-large")

    with Shop(program.address) as shop:
        shop.evaluate(request())
    before = program.peak_memory()
    with ThreadPoolExecutor(together) as pool:
        list(pool.map(post, range(together)))
    assert program.peak_memory() - before < 256 * MEBI


@pytest.mark.parametrize("encoding", ["gzip", "deflate", "br", "zstd", "nonsense"])
def test_a_body_that_is_not_encoded_as_it_says_is_refused(shop, encoding):
    response = shop.post_text(
        "/v1/evaluate", b"\x1f\x8b\x08\x00 this is not compressed", Content_Encoding=encoding
    )
    if response.status_code == 415:
        check_problem(response, 415, "unsupported-media-type")
    else:
        kind = response.json()["type"].removeprefix("/problems/")
        assert kind in ("bad-request", "not-json")
        check_problem(response, 400, kind)


@pytest.mark.parametrize("path", POSTED)
@pytest.mark.parametrize("media_type", ["text/plain", "application/xml", "application/x-ndjson", "json", ""])
def test_another_media_type_is_refused(shop, path, media_type):
    problem = check_problem(shop.post_text(path, b"{}", media_type), 415, "unsupported-media-type")
    assert "application/json" in problem["detail"]


def test_a_media_type_may_have_parameters(shop):
    text = json.dumps(request())
    for media_type in ("application/json; charset=utf-8", "Application/JSON"):
        assert shop.post_text("/v1/evaluate", text, media_type).status_code == 200


@pytest.mark.parametrize(
    "method, path",
    [
        ("GET", "/v1/evaluate"),
        ("GET", "/v1/plan"),
        ("GET", "/v1/jobs/0190a5c8-0000-7000-8000-000000000000/cancel"),
        ("DELETE", "/v1/jobs"),
        ("PUT", "/v1/batches"),
        ("DELETE", "/v1/profiles"),
        ("POST", "/v1/jobs/0190a5c8-0000-7000-8000-000000000000"),
        ("POST", "/v1/jobs/0190a5c8-0000-7000-8000-000000000000/sheet"),
        ("PUT", "/v1/jobs/0190a5c8-0000-7000-8000-000000000000/plan"),
        ("PATCH", "/v1/profiles/demo-iron-6v/1"),
        ("POST", "/livez"),
        ("POST", "/openapi.json"),
        ("PUT", "/v1/schemas"),
    ],
)
def test_another_method_is_not_allowed_and_the_allowed_ones_are_named(shop, method, path):
    """RFC 9110, 15.5.6: the answer must name the allowed methods."""
    response = shop.http.request(method, path, json={})
    check_problem(response, 405, "method-not-allowed")
    allowed = {word.strip() for word in response.headers["allow"].split(",")}
    assert allowed & {"GET", "POST"} and method not in allowed


@pytest.mark.parametrize(
    "path", ["/", "/v1", "/v2/jobs", "/v1/jobs/a/b/c", "/%00", "/v1/schemas/none", "/problems/none"]
)
def test_an_address_without_a_resource_is_not_found(shop, path):
    check_problem(shop.get(path), 404, "not-found")


UNKNOWN = "0190a5c8-0000-7000-8000-000000000000"
NO_IDS = ["abc", "1", "..%2f..%2fetc%2fpasswd", "%27%20OR%201=1--", UNKNOWN + "0", "%F0%9F%94%A7", "*"]


@pytest.mark.parametrize(
    "kind, parts",
    [("jobs", ["", "/evaluation", "/measurement-set", "/profile", "/plan", "/sheet"]), ("batches", ["", "/lines", "/report", "/sheets"])],
)
def test_an_id_that_is_none_is_answered_like_one_that_is_not_there(shop, kind, parts):
    for part in parts:
        expected = check_problem(shop.get(f"/v1/{kind}/{UNKNOWN}{part}"), 404, "not-found")
        for identifier in NO_IDS:
            assert check_problem(shop.get(f"/v1/{kind}/{identifier}{part}"), 404, "not-found") == expected, (
                identifier
            )


def test_every_kind_of_problem_is_explained_at_its_own_address(shop):
    for response in (shop.get("/nowhere"), shop.post_text("/v1/jobs", "{"), shop.post_text("/v1/jobs", "{}")):
        explained = shop.get(response.json()["type"])
        assert explained.status_code == 200
        assert explained.text.startswith(f"{response.status_code} ")
