"""People who sign: their names as they are, and their end."""

import pytest

from harness.access import KEYS, UNKNOWN, check_unknown, enter, fresh_address, make_key
from harness.documents import request
from harness.problems import check_problem, pointers
from harness.shop import Shop


@pytest.fixture(scope="module")
def settings():
    return KEYS


def person(**more: object) -> dict:
    return {"name": "Petra Muster", "role": "inspector", **more}


NAMES = ["Þórdís Dæmisdóttir", "张测试", "O'Example-Ñandú", "Zoe\u0308 Muster", "𠮷野 例", "محمد مثال"]
NAMES += ["क्\u200dष", "x" * 64, "界" * 64, "𠮷" * 64, 'Doe, "J." +=<>#;\\', " Petra ", "\u00a0Petra"]


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_kept_as_it_is(shop, name):
    response = shop.post("/v1/people", person(name=name, role=name))
    assert response.status_code == 201, response.text
    entered = response.json()
    assert (entered["name"], entered["role"]) == (name, name)
    assert response.headers["location"] == f"/v1/people/{entered['id']}"
    assert shop.get(response.headers["location"]).json() == entered
    assert entered in shop.get("/v1/people").json()


@pytest.mark.parametrize("member", ["name", "role"])
@pytest.mark.parametrize(
    "text",
    ["", " ", "\u3000", "a\u0000b", "a\nb", "a\tb", "a\u007fb", "a\u0085b", "a\u202eb", "a\u2066b", "a\u200fb"]
    + ["a\u200bb", "a\ufeffb", "a\u2028b", "x" * 65, "界" * 65, "e\u0301" * 33, None, 3, ["a"]],
)
def test_what_is_no_name_is_refused_with_its_place(shop, member, text):
    before = shop.fetch("/v1/people")
    problem = check_problem(shop.post("/v1/people", person(**{member: text})), 422, "invalid-document")
    assert pointers(problem) == [f"/{member}"]
    assert shop.fetch("/v1/people") == before


@pytest.mark.parametrize("subject", ["", " ", "a\u0000b", "a\u202eb", "x" * 201])
def test_what_is_no_subject_is_refused_with_its_place(shop, subject):
    problem = check_problem(shop.post("/v1/people", person(subject=subject)), 422, "invalid-document")
    assert pointers(problem) == ["/subject"]


def test_all_faults_are_told_at_once(shop):
    problem = check_problem(
        shop.post("/v1/people", person(name="", role="\u0007", subject="")), 422, "invalid-document"
    )
    assert pointers(problem) == ["/name", "/role", "/subject"]


def test_a_subject_speaks_for_one_person_at_a_time(shop):
    first = enter(shop, subject="auth0|17")
    before = shop.fetch("/v1/people")
    check_problem(shop.post("/v1/people", person(name="Anton Muster", subject="auth0|17")), 409, "subject-taken")
    assert shop.fetch("/v1/people") == before
    assert enter(shop, subject="AUTH0|17")["subject"] == "AUTH0|17"
    assert shop.delete(f"/v1/people/{first['id']}").status_code == 204
    assert enter(shop, name="Anton Muster", subject="auth0|17")["subject"] == "auth0|17"


def test_two_people_may_have_the_same_name(shop):
    first, second = enter(shop, "Maria Muster"), enter(shop, "Maria Muster")
    assert first["id"] != second["id"] and first["certificate"] != second["certificate"]


def test_whoever_leaves_opens_nothing_and_signs_nothing_at_once(service, shop):
    leaves, stays = enter(shop), enter(shop)
    job = shop.submit(request(serial="PEOPLE-1"))
    scopes = ("read", "sign")
    keys = [make_key(shop, *scopes, person=one["id"])["secret"] for one in (leaves, leaves, stays)]
    clients = [Shop(service.address, key, fresh_address()) for key in keys]
    for client in clients:
        assert client.get("/v1/profiles").status_code == 200
    assert clients[0].sign(job).status_code == 202
    path = f"/v1/people/{leaves['id']}"
    assert shop.delete(path).status_code == 204
    for client in clients[:2]:
        check_unknown(client.get("/v1/profiles"))
        check_unknown(client.sign(job))
    assert clients[2].get("/v1/profiles").status_code == 200
    gone = shop.get(path).json()
    assert gone["left_at"] and gone["name"] == leaves["name"]
    assert shop.delete(path).status_code == 204 and shop.get(path).json() == gone
    assert len(shop.get(f"{job['links']['self']}/sign-offs").json()) == 1
    for client in clients:
        client.http.close()


def test_somebody_unknown_cannot_leave(shop):
    answers = [shop.delete(f"/v1/people/{name}") for name in (UNKNOWN, "abc", "%00")]
    assert len({answer.content for answer in answers}) == 1
    for answer in answers:
        check_problem(answer, 404, "not-found")
