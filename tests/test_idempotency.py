"""The same request sent again under its Idempotency-Key makes nothing twice
(IETF draft-ietf-httpapi-idempotency-key-header-07)."""

import json
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from harness.access import KEYS, enter, first_key, make_key_here, with_key
from harness.clients import small_head
from harness.database import query
from harness.documents import limit, small_profile
from harness.problems import check_problem, pointers
from harness.repeating import fresh_key, keyed, keyed_lines
from harness.shop import Shop
from harness.webhooks import ALLOWED


@pytest.fixture(scope="module")
def settings():
    return KEYS | ALLOWED


def head(serial: str) -> dict:
    return json.loads(small_head(serial))


def trail(shop: Shop) -> list[dict]:
    return [json.loads(line) for line in shop.fetch("/v1/audit").splitlines()]


@pytest.fixture(scope="module")
def signer(shop):
    with with_key(shop, "submit", "read", "sign") as signer:
        yield signer


class Creating:
    """A request that creates something: whoever sends it, where to, what, and another body."""

    def __init__(self, path: str, document: object, other: object, secret: bool = False, headers: dict | None = None):
        self.path, self.document, self.other, self.secret = path, document, other, secret
        self.headers = headers or {}


@pytest.fixture(scope="module")
def creating(signer):
    job = signer.submit(head("KEYED-SIGNED"))
    signed = {"If-Match": f'"{job["evaluation_digest"]}"'}
    profile = small_profile(limit("seat-width", lower=1.2)) | {"id": "keyed"}
    return {
        "jobs": Creating("/v1/jobs", head("KEYED-1"), head("KEYED-2")),
        "sign-offs": Creating(
            f"{job['links']['self']}/sign-offs",
            {"meaning": "inspected"},
            {"meaning": "released"},
            headers=signed,
        ),
        "people": Creating(
            "/v1/people", {"name": "Petra Muster", "role": "x"}, {"name": "Paul Muster", "role": "x"}
        ),
        "profiles": Creating("/v1/profiles", profile, profile | {"revision": "2"}),
        "keys": Creating(
            "/v1/keys", {"label": "one", "scopes": ["read"]}, {"label": "two", "scopes": ["read"]}, secret=True
        ),
        "webhooks": Creating(
            "/v1/webhooks", {"url": "http://127.0.0.1:9/a"}, {"url": "http://127.0.0.1:9/b"}, secret=True
        ),
    }


@pytest.mark.parametrize("kind", ["jobs", "sign-offs", "people", "profiles", "keys", "webhooks"])
def test_what_was_made_is_given_again_and_nothing_is_made_twice(shop, signer, creating, kind):
    one, key = creating[kind], fresh_key()
    who = signer if kind in ("jobs", "sign-offs") else shop
    first = keyed(who, one.path, one.document, key, **one.headers)
    assert first.status_code in (201, 202), first.text
    again = keyed(who, one.path, one.document, key, **one.headers)
    if one.secret:
        problem = check_problem(again, 409, "already-made")
        made = first.json().get("key") or first.json()["webhook"]
        assert made["id"] in problem["detail"] and first.json()["secret"] not in again.text
    else:
        assert again.status_code in (200, first.status_code), again.text
        assert again.headers["location"] == first.headers["location"]
        unlike = {"state", "attempts", "finished_at", "revision_of"}
        assert {k: v for k, v in again.json().items() if k not in unlike} == {
            k: v for k, v in first.json().items() if k not in unlike
        }
    other = keyed(who, one.path, one.other, key, **one.headers)
    check_problem(other, 422, "idempotency-key-reused")
    # Who signs is told of in the trail even when it is refused.
    happened = {entry.get("request"): entry["what"] for entry in trail(shop)}
    assert first.headers["x-request-id"] in happened and again.headers["x-request-id"] not in happened
    assert happened.get(other.headers["x-request-id"]) in ("refused" if kind == "sign-offs" else None,)


def test_a_job_sent_again_is_no_further_revision(shop, signer):
    key = fresh_key()
    answers = [keyed(signer, "/v1/jobs", head("KEYED-REVISION"), key) for _ in range(3)]
    assert {(answer.json()["id"], answer.json()["revision"]) for answer in answers} == {(answers[0].json()["id"], 1)}
    assert signer.submit(head("KEYED-REVISION"))["revision"] == 2
    signer.done(answers[0].json())
    told = [entry for entry in trail(shop) if entry["to"] == f"job {answers[0].json()['id']}"]
    kinds = [entry["what"] for entry in told]
    assert kinds and len(kinds) == len(set(kinds)), told


def test_the_job_as_it_is_by_now_is_given(signer):
    key = fresh_key()
    job = signer.done(keyed(signer, "/v1/jobs", head("KEYED-DONE"), key).json())
    assert keyed(signer, "/v1/jobs", head("KEYED-DONE"), key).json() == job


def test_the_same_said_with_other_bytes_is_another_body(signer):
    """What counts are the bytes: nobody has to know what means the same."""
    key, body = fresh_key(), small_head("KEYED-BYTES")
    assert signer.post_text("/v1/jobs", body, Idempotency_Key=key).status_code == 202
    assert signer.post_text("/v1/jobs", body, Idempotency_Key=key).status_code == 202
    other = signer.post_text("/v1/jobs", body + b"\n", Idempotency_Key=key)
    check_problem(other, 422, "idempotency-key-reused")


def test_a_quoted_key_is_the_same_as_a_bare_one(signer):
    key, body = fresh_key(), small_head("KEYED-QUOTED")
    jobs = [signer.post_text("/v1/jobs", body, Idempotency_Key=text).json()["id"] for text in (key, f'"{key}"')]
    assert jobs[0] == jobs[1]


@pytest.mark.parametrize("text", ["", '""', '"a', '"a"b"', r'"a\n"', "x" * 256, "Kopf\t1", "schlüssel"])
@pytest.mark.parametrize("path", ["/v1/jobs", "/v1/batches"])
def test_a_header_that_is_no_key_is_refused_and_nothing_is_made(signer, text, path):
    before = len(signer.all_pages("/v1/jobs?head=KEYED-BAD"))
    kind = "application/json" if path == "/v1/jobs" else "application/x-ndjson"
    headers = {"Content-Type": kind, "Idempotency-Key": text.encode()}
    refused = signer.http.post(path, content=small_head("KEYED-BAD"), headers=headers)
    problem = check_problem(refused, 400, "bad-request")
    assert "Idempotency-Key" in problem["detail"]
    assert len(signer.all_pages("/v1/jobs?head=KEYED-BAD")) == before


def test_two_keys_in_one_request_are_none(signer):
    headers = [("Content-Type", "application/json"), ("Idempotency-Key", "a"), ("Idempotency-Key", "b")]
    refused = signer.http.post("/v1/jobs", content=small_head("KEYED-TWO"), headers=headers)
    check_problem(refused, 400, "bad-request")


def test_the_same_key_of_another_shop_is_another(service, signer):
    key = fresh_key()
    with Shop(service.address, make_key_here(service.store, "other", "submit", "read")) as other:
        ours, theirs = (keyed(one, "/v1/jobs", head("KEYED-SHOP"), key) for one in (signer, other))
        assert ours.status_code == theirs.status_code == 202
        assert ours.json()["id"] != theirs.json()["id"]
        assert keyed(other, "/v1/jobs", head("KEYED-OTHER"), key).status_code == 422


def test_the_same_key_for_another_operation_is_another(shop, signer):
    key = fresh_key()
    job = keyed(signer, "/v1/jobs", head("KEYED-OPERATION"), key)
    batch = keyed_lines(signer, small_head("KEYED-OPERATION"), key)
    person = keyed(shop, "/v1/people", {"name": "Paula Muster", "role": "x"}, key)
    assert (job.status_code, batch.status_code, person.status_code) == (202, 202, 201)


def test_a_key_under_which_nothing_was_made_can_be_used_again(signer):
    """A refused request is corrected and sent again as the request it is."""
    key, wrong = fresh_key(), head("KEYED-WRONG")
    wrong["measurement_set"]["ports"][0]["seat"]["widths"] = [-1]
    problem = check_problem(keyed(signer, "/v1/jobs", wrong, key), 422, "invalid-document")
    assert pointers(problem)
    check_problem(signer.post_text("/v1/jobs", "{", Idempotency_Key=key), 400, "not-json")
    assert keyed(signer, "/v1/jobs", head("KEYED-WRONG"), key).status_code == 202


def test_of_many_at_once_one_makes_the_job(signer, service):
    key, together = fresh_key(), threading.Barrier(20)
    token = signer.http.headers["Authorization"].removeprefix("Bearer ")

    def post(_: int):
        with Shop(service.address, token) as one:
            together.wait(30)
            return keyed(one, "/v1/jobs", head("KEYED-RACE"), key)

    with ThreadPoolExecutor(20) as pool:
        answers = list(pool.map(post, range(20)))
    assert {answer.status_code for answer in answers} == {202}, [answer.text for answer in answers]
    assert len({answer.json()["id"] for answer in answers}) == 1
    assert [job["revision"] for job in signer.all_pages("/v1/jobs?head=KEYED-RACE")] == [1]


def test_a_batch_without_a_key_is_known_by_what_it_says_and_with_one_by_that(signer):
    body = b"\n".join(small_head(f"KEYED-BATCH-{number}") for number in range(2))
    keys = [None, None, fresh_key(), fresh_key()]
    batches = [keyed_lines(signer, body, key).json()["id"] for key in keys]
    assert batches[0] == batches[1] and len(set(batches)) == 3
    assert keyed_lines(signer, body, keys[2]).json()["id"] == batches[2]
    check_problem(keyed_lines(signer, body + b"\n", keys[2]), 422, "idempotency-key-reused")
    assert len(signer.all_pages("/v1/jobs?head=KEYED-BATCH-1")) == 3


def test_after_a_crash_another_process_knows_the_key(start, tmp_path):
    """The answer of the first is lost; what it has made is there."""
    store, key = tmp_path / "store", fresh_key()
    first = start("api", store=store, **KEYS)
    second = start("api", store=store, **KEYS)
    token = first_key(first)
    with Shop(first.address, token) as shop:
        made = keyed(shop, "/v1/jobs", head("KEYED-CRASH"), key).json()["id"]
        person = enter(shop)["id"]
        secret = keyed(shop, "/v1/keys", {"label": "x", "scopes": ["sign"], "person": person}, key).json()["key"]["id"]
    first.kill()
    with Shop(second.address, token) as shop:
        assert keyed(shop, "/v1/jobs", head("KEYED-CRASH"), key).json()["id"] == made
        again = keyed(shop, "/v1/keys", {"label": "x", "scopes": ["sign"], "person": person}, key)
        assert secret in check_problem(again, 409, "already-made")["detail"]
        assert [job["revision"] for job in shop.get("/v1/jobs").json()] == [1]
    assert query(store, "SELECT count(*) FROM repeated") == [(2,)]


def test_every_request_that_creates_is_described_with_it(signer):
    described = signer.get("/openapi.json").json()["paths"]
    told = set()
    for path, item in described.items():
        if "Idempotency-Key" in json.dumps(item.get("post", {}).get("parameters", [])):
            told.add(path)
    creating = {"jobs", "batches", "people", "keys", "profiles", "webhooks", "jobs/{id}/sign-offs"}
    assert told == {f"/v1/{path}" for path in creating}
