"""Requests under a condition: RFC 9110, 8.8.3 and 13."""

import hashlib
import json

import pytest

from harness.documents import demo_profile, request
from harness.places import OPENAPI
from harness.problems import check_problem

LATE = "Fri, 31 Dec 2049 23:59:59 GMT"
WORKSHOP = json.loads((OPENAPI / "examples" / "demo-cooperative.workshop.json").read_text())
EARLY = "Sat, 01 Jan 2000 00:00:00 GMT"


@pytest.fixture(scope="module")
def places(shop):
    """Where there is something with a tag."""
    links = shop.done(shop.submit(request(serial="TAGS-1", workshop=WORKSHOP)))["links"]
    stored = shop.post("/v1/profiles", demo_profile() | {"id": "tags"})
    assert stored.status_code == 201, stored.text
    schemas = [f"/v1/schemas/{name}" for name in shop.get("/v1/schemas").json()[:2]]
    parts = ("evaluation", "plan", "measurement_set", "profile", "sheet")
    return [*(links[part] for part in parts), stored.json()["link"], "/openapi.json", *schemas]


@pytest.fixture(scope="module", params=range(9))
def tagged(request, shop, places):
    """One of them: its address, tag and bytes."""
    response = shop.get(places[request.param])
    assert response.status_code == 200, response.text
    return places[request.param], response.headers["etag"], response.content


def test_the_tag_is_the_digest_of_the_bytes_however_it_is_asked_for(shop, tagged):
    path, tag, content = tagged
    assert tag == f'"{hashlib.sha256(content).hexdigest()}"'
    for coding in ("gzip", "identity", "br, gzip", "*"):
        again = shop.get(path, Accept_Encoding=coding)
        assert "content-encoding" not in again.headers
        assert (again.headers["etag"], again.content) == (tag, content)
    head = shop.http.head(path)
    assert (head.status_code, head.headers["etag"], head.content) == (200, tag, b"")


def test_what_the_client_has_is_not_sent(shop, tagged):
    path, tag, content = tagged
    for known in (tag, f"W/{tag}", "*", f'"other", {tag}', f'"a,b" ,, W/"c",{tag}'):
        for method in ("GET", "HEAD"):
            response = shop.http.request(method, path, headers={"If-None-Match": known})
            assert (response.status_code, response.content) == (304, b""), known
            assert response.headers["etag"] == tag
            assert "content-type" not in response.headers
    for known in ('"other"', "nonsense", tag.strip('"'), f'"x, {tag[1:-1]}"', ""):
        response = shop.get(path, If_None_Match=known)
        assert (response.status_code, response.content) == (200, content), known
    lines = [("If-None-Match", '"other"'), ("If-None-Match", tag)]
    assert shop.http.get(path, headers=lines).status_code == 304


def test_what_the_client_does_not_want_is_not_sent(shop, tagged):
    """13.1.1: compared strongly."""
    path, tag, content = tagged
    for wanted in (tag, "*", f'"other", {tag}'):
        assert shop.get(path, If_Match=wanted).content == content
    for wanted in ('"other"', f"W/{tag}", "nonsense", ""):
        check_problem(shop.get(path, If_Match=wanted), 412, "precondition-failed")


def test_conditions_are_looked_at_in_their_order(shop, tagged):
    """13.2.2: nothing here has a time of modification, so the conditions of time are passed over (13.1.3, 13.1.4)."""
    path, tag, _ = tagged
    for headers, status in [
        ({"If_Match": tag, "If_None_Match": tag}, 304),
        ({"If_Match": '"other"', "If_None_Match": tag}, 412),
        ({"If_Match": tag, "If_None_Match": '"other"'}, 200),
        ({"If_Modified_Since": LATE}, 200),
        ({"If_Modified_Since": LATE, "If_None_Match": '"other"'}, 200),
        ({"If_Modified_Since": EARLY, "If_None_Match": tag}, 304),
        ({"If_Unmodified_Since": EARLY}, 200),
        ({"Range": "bytes=0-9"}, 200),
    ]:
        assert shop.get(path, **headers).status_code == status, headers


def test_what_is_not_there_has_no_condition(shop):
    for path in ("/v1/schemas/nothing", "/v1/profiles/nothing/1", "/v1/jobs/nothing/profile"):
        for headers in ({"If_None_Match": "*"}, {"If_Match": '"other"'}):
            check_problem(shop.get(path, **headers), 404, "not-found")


def test_what_the_client_does_not_take_is_not_sent(shop, tagged):
    """12.5.1; a condition does not matter where there would be no answer without it (13.2.1)."""
    path, tag, content = tagged
    media_type = shop.get(path).headers["content-type"]
    for taken in (media_type, "*/*", "application/*", f"text/html, {media_type};q=0.1", "image/png, */*;q=0.1", ""):
        assert shop.get(path, Accept=taken).content == content, taken
    for other in ("text/html", "application/x-nothing", f"*/*, {media_type};q=0", "image/*"):
        problem = check_problem(shop.get(path, Accept=other, If_None_Match=tag), 406, "not-acceptable")
        assert media_type in problem["detail"]


def test_a_sheet_that_was_not_taken_was_not_handed_out(shop, places):
    """The audit trail tells of what was sent."""

    def downloads() -> int:
        return sum(json.loads(line)["what"] == "downloaded" for line in shop.fetch("/v1/audit").splitlines())

    before, sheet = downloads(), next(path for path in places if path.endswith("/sheet"))
    check_problem(shop.get(sheet, Accept="application/json"), 406, "not-acceptable")
    check_problem(shop.get(sheet, If_Match='"other"'), 412, "precondition-failed")
    assert downloads() == before
    shop.fetch(sheet)
    assert downloads() == before + 1
