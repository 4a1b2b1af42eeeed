"""A shop system posts a head, polls, and takes evaluation and sheet: plain HTTP/1.1, nothing else."""

import hashlib
import http.client
import json
import time
from urllib.parse import urlsplit

import pytest
import rfc8785

from harness.database import query
from harness.documents import HEADS, at, request
from harness.program import PATIENCE


def call(service, method: str, path: str, body: bytes | None = None, headers: dict | None = None):
    """One request on a connection of its own."""
    connection = http.client.HTTPConnection(urlsplit(service.address).netloc, timeout=PATIENCE)
    try:
        connection.request(method, path, body, headers or {})
        response = connection.getresponse()
        return (
            response.status,
            {name.lower(): value for name, value in response.getheaders()},
            response.read(),
        )
    finally:
        connection.close()


def post_and_poll(service, document: dict) -> dict:
    """Posts a job as the interface describes it, and polls where and when it is told to."""
    body = json.dumps(document, ensure_ascii=False).encode()
    status, headers, answer = call(service, "POST", "/v1/jobs", body, {"Content-Type": "application/json"})
    assert status == 202, answer
    assert headers["content-type"] == "application/json"
    job = json.loads(answer)
    assert headers["location"] == job["links"]["self"] == f"/v1/jobs/{job['id']}"
    deadline = time.monotonic() + PATIENCE
    while job["state"] in ("queued", "running"):
        assert time.monotonic() < deadline, f"still {job['state']}"
        time.sleep(int(headers["retry-after"]))
        status, headers, answer = call(service, "GET", f"/v1/jobs/{job['id']}")
        assert status == 200, answer
        job = json.loads(answer)
    assert job["state"] == "done", job
    assert "retry-after" not in headers
    return job


@pytest.fixture(scope="module", params=HEADS)
def posted(request, service):
    """The request of a demo head, and its job once it is done."""
    document = request_of(request.param)
    return document, post_and_poll(service, document)


def request_of(head: str) -> dict:
    return request(head, client_reference=f"order of {head}")


def is_part_of(part: object, whole: object) -> bool:
    """All that was posted is still there; what has a default may have been added."""
    if isinstance(part, dict):
        return all(name in whole and is_part_of(value, whole[name]) for name, value in part.items())
    if isinstance(part, list):
        return len(part) == len(whole) and all(map(is_part_of, part, whole))
    return part == whole


def test_the_job_says_what_was_posted_and_where_its_parts_are(posted):
    document, job = posted
    assert job["head_serial"] == at(document, "/measurement_set/head/serial")
    assert job["stage"] == at(document, "/measurement_set/job/stage")
    assert job["client_reference"] == document["client_reference"]
    assert (job["revision"], job["attempts"]) == (1, 1)
    this = f"/v1/jobs/{job['id']}"
    assert job["links"] == {
        "self": this,
        "evaluation": f"{this}/evaluation",
        "measurement_set": f"{this}/measurement-set",
        "profile": f"{this}/profile",
        "sheet": f"{this}/sheet",
        "sign_offs": f"{this}/sign-offs",
    }


def test_the_evaluation_is_in_canonical_form_and_its_etag_is_its_digest(service, posted):
    """Canonical form: RFC 8785, by the Python package rfc8785. Digest: SHA-256 of the body's bytes."""
    _, job = posted
    status, headers, body = call(service, "GET", job["links"]["evaluation"])
    assert (status, headers["content-type"]) == (200, "application/json")
    digest = hashlib.sha256(body).hexdigest()
    assert headers["etag"] == f'"{digest}"'
    assert job["evaluation_digest"] == digest
    assert rfc8785.dumps(json.loads(body)) == body
    assert json.loads(body)["disposition"] == job["disposition"]


@pytest.mark.parametrize("part", ["evaluation", "sheet"])
def test_what_the_client_has_already_is_not_sent_again(service, posted, part):
    _, job = posted
    _, headers, body = call(service, "GET", job["links"][part])
    assert headers["etag"] == f'"{hashlib.sha256(body).hexdigest()}"'
    for known in (headers["etag"], f'"other", W/{headers["etag"]}', "*"):
        status, again, empty = call(service, "GET", job["links"][part], headers={"If-None-Match": known})
        assert (status, empty, again["etag"]) == (304, b"", headers["etag"]), known
    status, _, whole = call(service, "GET", job["links"][part], headers={"If-None-Match": '"other"'})
    assert (status, whole) == (200, body)


@pytest.mark.parametrize("part", ["measurement_set", "profile"])
def test_set_and_profile_are_kept_as_judged_and_bound_by_their_digests(service, posted, part):
    document, job = posted
    status, _, body = call(service, "GET", job["links"][part])
    assert status == 200
    assert is_part_of(document[part], json.loads(body))
    assert rfc8785.dumps(json.loads(body)) == body
    evaluation = json.loads(call(service, "GET", job["links"]["evaluation"])[2])
    stated = (
        evaluation["measurement_set_digest"] if part == "measurement_set" else evaluation["profile"]["digest"]
    )
    assert stated == hashlib.sha256(body).hexdigest()


def test_judging_without_keeping_gives_the_same_evaluation(service, posted):
    document, job = posted
    kept = json.loads(call(service, "GET", job["links"]["evaluation"])[2])
    del kept["measurement_set_digest"], kept["profile"]["digest"]
    body = json.dumps({name: document[name] for name in ("measurement_set", "profile")}).encode()
    stored = query(service.store, "SELECT count(*) FROM job")
    status, _, answer = call(service, "POST", "/v1/evaluate", body, {"Content-Type": "application/json"})
    assert status == 200
    assert query(service.store, "SELECT count(*) FROM job") == stored
    assert json.loads(answer) == kept


def test_the_sheet_is_a_pdf_named_after_its_job(service, posted):
    _, job = posted
    status, headers, body = call(service, "GET", job["links"]["sheet"])
    assert (status, headers["content-type"]) == (200, "application/pdf")
    assert headers["content-disposition"] == f'inline; filename="sheet-{job["id"]}.pdf"'
    assert body.startswith(b"%PDF-1.")


def test_a_client_that_is_ready_to_wait_is_answered_late_but_answered(start):
    """RFC 7240: `Prefer: wait`. Without a worker the job stays queued for all that time."""
    api = start("api")
    body = json.dumps(request()).encode()
    _, _, answer = call(api, "POST", "/v1/jobs", body, {"Content-Type": "application/json"})
    begun = time.monotonic()
    _, headers, answer = call(api, "GET", json.loads(answer)["links"]["self"], headers={"Prefer": "wait=2"})
    assert 1.9 < time.monotonic() - begun < 10
    assert json.loads(answer)["state"] == "queued" and int(headers["retry-after"]) >= 1
    sheet = f"{json.loads(answer)['links']['self']}/sheet"
    status, headers, answer = call(api, "GET", sheet)
    assert (status, json.loads(answer)["type"]) == (404, "/problems/not-ready")
    assert int(headers["retry-after"]) >= 1
