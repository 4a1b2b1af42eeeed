"""Profiles are stored once, named by jobs, and never change."""

import json

import pytest

from harness.documents import demo_profile, put, request, take
from harness.problems import check_problem, pointers


def profile(identifier: str, revision: str = "1") -> dict:
    return demo_profile() | {"id": identifier, "revision": revision}


def by_name(identifier: str, revision: str) -> dict:
    return take(request(), "/profile") | {"profile_ref": {"id": identifier, "revision": revision}}


def test_the_demo_profiles_are_there_from_the_start(shop):
    names = {(one["id"], one["revision"]) for one in shop.get("/v1/profiles").json()}
    assert {("demo-aluminium-16v", "1"), ("demo-iron-8v", "1"), ("demo-iron-6v", "1")} <= names


def test_a_new_profile_is_stored_and_the_same_again_is_fine(shop):
    first = shop.post("/v1/profiles", profile("once"))
    assert first.status_code == 201
    assert first.headers["location"] == first.json()["link"] == "/v1/profiles/once/1"
    again = shop.post("/v1/profiles", profile("once"))
    assert (again.status_code, again.json()) == (200, first.json())
    assert [one for one in shop.get("/v1/profiles").json() if one["id"] == "once"] == [first.json()]


def test_the_same_profile_written_in_another_way_is_the_same(shop):
    document = profile("written-otherwise")
    stored = shop.post("/v1/profiles", document).json()
    turned = dict(reversed(document.items()))
    text = json.dumps(turned, indent=4).replace(": 45,", ": 4.50e1,")
    assert "4.50e1" in text
    again = shop.post_text("/v1/profiles", text)
    assert (again.status_code, again.json()["digest"]) == (200, stored["digest"])


def test_a_revision_never_changes(shop):
    shop.post("/v1/profiles", profile("fixed"))
    stored = shop.fetch("/v1/profiles/fixed/1")
    job = shop.done(shop.submit(by_name("fixed", "1")))
    changed = put(profile("fixed"), "/limits/0/source", "another source")
    problem = check_problem(shop.post("/v1/profiles", changed), 409, "profile-revision-taken")
    assert "fixed" in problem["detail"] and "1" in problem["detail"]
    assert shop.fetch("/v1/profiles/fixed/1") == stored
    assert shop.post("/v1/profiles", changed | {"revision": "2"}).status_code == 201
    assert shop.fetch("/v1/profiles/fixed/1") == stored
    assert shop.fetch(job["links"]["profile"]) == stored, "the job keeps the profile it was judged by"


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_there_is_no_way_to_change_or_remove_a_stored_profile(shop, method):
    shop.post("/v1/profiles", profile("lasting"))
    before = shop.fetch("/v1/profiles/lasting/1")
    response = shop.http.request(method, "/v1/profiles/lasting/1", json=profile("lasting"))
    assert response.status_code in (404, 405)
    assert shop.fetch("/v1/profiles/lasting/1") == before


def test_a_named_profile_judges_like_the_same_one_sent_along(shop):
    shop.post("/v1/profiles", profile("named"))
    inline = request() | {"profile": profile("named")}
    assert shop.evaluate(by_name("named", "1")) == shop.evaluate(inline)
    named, sent = shop.submit(by_name("named", "1")), shop.submit(inline)
    assert named["evaluation_digest"] == sent["evaluation_digest"]


@pytest.mark.parametrize("path", ["/v1/evaluate", "/v1/jobs"])
@pytest.mark.parametrize("name", [("nobody", "1"), ("demo-iron-6v", "2"), ("", "")])
def test_a_profile_that_is_not_stored_cannot_be_named(shop, path, name):
    problem = check_problem(shop.post(path, by_name(*name)), 422, "invalid-document")
    assert pointers(problem) == ["/profile_ref"]


@pytest.mark.parametrize("path", ["/v1/evaluate", "/v1/jobs"])
def test_a_request_has_one_profile_no_more_and_no_less(shop, path):
    both = request() | {"profile_ref": {"id": "demo-iron-6v", "revision": "1"}}
    neither = take(request(), "/profile")
    for document in (both, neither):
        problem = check_problem(shop.post(path, document), 422, "invalid-document")
        assert len(problem["errors"]) == 1


def test_a_profile_that_is_not_there_is_not_found(shop):
    for path in ("/v1/profiles/nobody/1", "/v1/profiles/demo-iron-6v/2", "/v1/profiles/demo-iron-6v"):
        check_problem(shop.get(path), 404, "not-found")


def test_a_faulty_profile_is_refused_with_all_its_faults(shop):
    faulty = put(profile("faulty"), "/limits/0/characteristic", "seat-colour")
    faulty = put(faulty, "/limits/1/lower", 99)
    faulty = put(faulty, "/limits/2/source", " ")
    faulty = put(faulty, "/decision_rule/conformance_probability", 1)
    faulty["limits"].append(faulty["limits"][3])
    problem = check_problem(shop.post("/v1/profiles", faulty), 422, "invalid-document")
    expected = ["/decision_rule/conformance_probability", "/limits/0/characteristic", "/limits/1"]
    expected += ["/limits/2/source", f"/limits/{len(faulty['limits']) - 1}"]
    assert pointers(problem) == sorted(expected)
    check_problem(shop.get("/v1/profiles/faulty/1"), 404, "not-found")
