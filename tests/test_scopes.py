"""What a key may do: the scopes, operation by operation."""

import pytest

from harness.access import KEYS, SCOPES, UNKNOWN, enter, filled, make_key, operations, with_key
from harness.documents import request
from harness.problems import check_problem, pointers

ASKED = {
    ("POST", "/v1/evaluate"): "submit",
    ("POST", "/v1/plan"): "submit",
    ("POST", "/v1/gauge-studies"): "submit",
    ("POST", "/v1/worksheet"): "submit",
    ("POST", "/v1/jobs"): "submit",
    ("POST", "/v1/batches"): "submit",
    ("POST", "/v1/profiles"): "admin",
    ("POST", "/v1/jobs/{id}/cancel"): "submit",
    ("POST", "/v1/batches/{id}/cancel"): "submit",
    ("GET", "/v1/jobs"): "read",
    ("GET", "/v1/jobs/{id}"): "read",
    ("GET", "/v1/jobs/{id}/evaluation"): "read",
    ("GET", "/v1/jobs/{id}/plan"): "read",
    ("GET", "/v1/jobs/{id}/measurement-set"): "read",
    ("GET", "/v1/jobs/{id}/profile"): "read",
    ("GET", "/v1/jobs/{id}/sheet"): "read",
    ("GET", "/v1/jobs/{id}/sign-offs"): "read",
    ("GET", "/v1/sign-offs/{id}"): "read",
    ("GET", "/v1/sign-offs/{id}/sheet"): "read",
    ("GET", "/v1/batches"): "read",
    ("GET", "/v1/batches/{id}"): "read",
    ("GET", "/v1/batches/{id}/lines"): "read",
    ("GET", "/v1/batches/{id}/sheets"): "read",
    ("GET", "/v1/batches/{id}/report"): "read",
    ("GET", "/v1/profiles"): "read",
    ("GET", "/v1/profiles/{id}/{revision}"): "read",
    ("GET", "/v1/people"): "read",
    ("GET", "/v1/people/{id}"): "read",
    ("GET", "/v1/certificates"): "read",
    ("POST", "/v1/verify"): "read",
    ("POST", "/v1/jobs/{id}/sign-offs"): "sign",
    ("POST", "/v1/people"): "admin",
    ("DELETE", "/v1/people/{id}"): "admin",
    ("POST", "/v1/keys"): "admin",
    ("GET", "/v1/keys"): "admin",
    ("DELETE", "/v1/keys/{id}"): "admin",
    ("GET", "/v1/statistics"): "read",
    ("GET", "/v1/audit"): "admin",
    ("POST", "/v1/webhooks"): "admin",
    ("GET", "/v1/webhooks"): "admin",
    ("GET", "/v1/webhooks/{id}"): "admin",
    ("DELETE", "/v1/webhooks/{id}"): "admin",
    ("POST", "/v1/webhooks/{id}/enable"): "admin",
    ("POST", "/v1/webhooks/{id}/secret"): "admin",
    ("POST", "/v1/webhooks/{id}/test"): "admin",
    ("GET", "/v1/webhooks/{id}/deliveries"): "admin",
    ("POST", "/v1/webhooks/{id}/deliveries/again"): "admin",
    ("POST", "/v1/webhooks/{id}/deliveries/{message}/again"): "admin",
}


@pytest.fixture(scope="module")
def settings():
    return KEYS


@pytest.fixture(scope="module")
def holders(shop):
    """A client for each scope alone."""
    clients = {scope: with_key(shop, scope) for scope in SCOPES}
    yield clients
    for client in clients.values():
        client.http.close()


def test_the_table_has_every_operation_that_asks_for_a_key(shop):
    described = operations(shop.get("/openapi.json").json())
    assert set(ASKED) == {(method, path) for method, path, said in described if said.get("security") != []}


@pytest.mark.parametrize("method, path", ASKED, ids=lambda word: word)
def test_an_operation_asks_for_its_scope_and_no_other(holders, method, path):
    for scope, holder in holders.items():
        response = holder.http.request(method, filled(path))
        if scope == ASKED[method, path]:
            assert response.status_code in (200, 404, 415, 422), response.text
        else:
            problem = check_problem(response, 403, "forbidden")
            assert ASKED[method, path] in problem["detail"]


def test_a_refusal_is_in_the_audit_trail(shop, holders):
    before = shop.fetch("/v1/audit").count(b"\n")
    response = holders["read"].http.delete(f"/v1/keys/{UNKNOWN}")
    check_problem(response, 403, "forbidden")
    added = shop.fetch("/v1/audit").splitlines()[before:]
    assert len(added) == 1
    for words in (f"DELETE /v1/keys/{UNKNOWN}", "forbidden", response.headers["x-request-id"]):
        assert words.encode() in added[0]


def test_scopes_add_up(shop, holders):
    with with_key(shop, "submit", "read", "sign") as signer:
        job = signer.submit(request(serial="SCOPES-1"))
        assert signer.get(job["links"]["self"]).status_code == 200
        assert signer.sign(job).status_code == 202
        check_problem(signer.get("/v1/keys"), 403, "forbidden")


def test_only_the_scope_sign_signs(shop):
    """Not even a key with all others that speaks for a person."""
    person = enter(shop)["id"]
    with with_key(shop, "submit", "read", "admin", person=person) as clerk:
        job = clerk.submit(request(serial="SCOPES-2"))
        check_problem(clerk.sign(job), 403, "forbidden")
        assert clerk.get(f"{job['links']['self']}/sign-offs").json() == []


def test_scopes_are_listed_once_and_in_order(shop):
    key = make_key(shop, "admin", "read", "admin")["key"]
    assert key["scopes"] == ["read", "admin"]


@pytest.mark.parametrize("scopes", [["write"], ["READ"], ["read "], ["*"], ["read submit"], [None], "read", None])
def test_no_other_scope_can_be_had(shop, scopes):
    problem = check_problem(shop.post("/v1/keys", {"label": "a test", "scopes": scopes}), 422, "invalid-document")
    assert pointers(problem)[0].startswith("/scopes")


def test_a_key_without_any_scope_is_not_made(shop):
    problem = check_problem(shop.post("/v1/keys", {"label": "a test", "scopes": []}), 422, "invalid-document")
    assert pointers(problem) == ["/scopes"]
