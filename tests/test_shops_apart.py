"""Two shops in one store: neither learns anything of the other."""

import json
import re

import pytest

from harness.access import KEYS, UNKNOWN, enter, make_key_here, with_key
from harness.documents import put, request, take
from harness.kept import addresses, one_of_everything
from harness.problems import check_problem, pointers
from harness.program import run
from harness.shop import Shop


@pytest.fixture(scope="module")
def settings():
    return KEYS


@pytest.fixture(scope="module")
def other(service):
    """Another shop, with a key of its own made at the machine."""
    key = make_key_here(service.store, "other", "submit", "read", "admin")
    with Shop(service.address, key) as other:
        yield other


@pytest.fixture(scope="module")
def kept(shop):
    return one_of_everything(shop)


def test_what_one_shop_keeps_is_not_there_for_the_other(shop, other, kept):
    opened = 0
    for known, unknown in addresses(kept):
        opened += shop.get(known).status_code == 200
        refused, expected = other.get(known), other.get(unknown)
        check_problem(refused, 404, "not-found")
        assert (refused.status_code, refused.content) == (expected.status_code, expected.content), known
        assert refused.headers.keys() == expected.headers.keys(), known
    assert opened == len(addresses(kept)) - 1, "the head conforms, so there is no plan"


def test_waiting_for_it_is_answered_at_once_as_well(other, kept):
    for resource in (kept.job, kept.signed, kept.batch):
        answer = other.get(resource["links"]["self"], Prefer="wait=20")
        check_problem(answer, 404, "not-found")
        assert answer.elapsed.total_seconds() < 10


def test_lists_show_nothing_of_the_other(shop, other, kept):
    mine = f"batch={kept.batch['id']}"
    lists = ("profiles", "people", "keys", "audit", "certificates", "jobs", "batches", "webhooks", f"jobs?{mine}")
    for path in (f"/v1/{name}" for name in lists):
        seen = other.fetch(path).decode()
        for secret in ("house", "Geheim", "a secret label", "SECRET", kept.job["id"], kept.person["id"], kept.batch["id"]):
            assert secret not in seen, path
        assert kept.key["key"]["id"] not in seen
    assert len(other.get("/v1/keys").json()) == 1
    assert {entry["shop"] for entry in map(json.loads, other.fetch("/v1/audit").splitlines())} == {"other"}
    certificates = [set(one.fetch("/v1/certificates").split(b"-----")[2::4]) for one in (shop, other)]
    assert certificates[0] and not certificates[0] & certificates[1]


def test_nothing_of_the_other_can_be_named(other, kept):
    """As the earlier job, as the profile, as the person of a key."""
    wishes = {
        "/follows": ("/v1/jobs", request() | {"follows": kept.job["id"]}, request() | {"follows": UNKNOWN}),
        "/profile_ref": ("/v1/jobs", by_name("house"), by_name("nobody")),
        "/person": ("/v1/keys", key_of(kept.person["id"]), key_of(UNKNOWN)),
    }
    for pointer, (path, known, unknown) in wishes.items():
        problems = [
            check_problem(other.post(path, wish), 422, "invalid-document") for wish in (known, unknown)
        ]
        for problem in problems:
            assert pointers(problem) == [pointer]
            problem["errors"][0].pop("value", None)
        assert problems[0] == json.loads(json.dumps(problems[1]).replace("nobody revision", "house revision"))


def by_name(identifier: str) -> dict:
    return take(request(), "/profile") | {"profile_ref": {"id": identifier, "revision": "1"}}


def key_of(person: str) -> dict:
    return {"label": "a test", "scopes": ["read"], "person": person}


def test_nothing_of_the_other_can_be_taken_away(service, shop, other, kept):
    before = [shop.fetch(path) for path in ("/v1/keys", "/v1/people")]
    length = other.fetch("/v1/audit").count(b"\n")
    for kind, known in (("keys", kept.key["key"]["id"]), ("people", kept.person["id"])):
        refused, expected = other.delete(f"/v1/{kind}/{known}"), other.delete(f"/v1/{kind}/{UNKNOWN}")
        check_problem(refused, 404, "not-found")
        assert refused.content == expected.content
    assert [shop.fetch(path) for path in ("/v1/keys", "/v1/people")] == before
    assert other.fetch("/v1/audit").count(b"\n") == length
    with Shop(service.address, kept.key["secret"]) as signer:
        assert signer.get("/v1/profiles").status_code == 200
    wrong = run(
        "key", "revoke", "--shop", "other", kept.key["key"]["id"], settings={"store_dir": service.store}
    )
    assert wrong.returncode != 0 and kept.key["key"]["id"] in wrong.stderr.decode()
    assert shop.fetch("/v1/keys") == before[0]


def test_nothing_of_the_other_can_be_called_off_or_sent_again(shop, other, kept):
    webhook = f"/v1/webhooks/{kept.webhook['id']}"
    ours = [f"/v1/jobs/{kept.job['id']}/cancel", f"/v1/batches/{kept.batch['id']}/cancel"]
    ours += [f"{webhook}{part}" for part in ("/enable", "/secret", "/test", "/deliveries/again")]
    before = shop.fetch("/v1/webhooks")
    for known in ours:
        unknown = re.sub("[0-9a-f-]{36}", UNKNOWN, known)
        refused, expected = other.post(known, None), other.post(unknown, None)
        check_problem(refused, 404, "not-found")
        assert refused.content == expected.content, known
    check_problem(other.delete(webhook), 404, "not-found")
    assert shop.fetch("/v1/webhooks") == before and shop.get(f"{webhook}/deliveries").json() == []


def test_nothing_of_the_other_can_be_signed(shop, other, kept):
    with with_key(other, "sign", "read") as signer:
        unknown = kept.job | {"links": {"self": f"/v1/jobs/{UNKNOWN}"}}
        refused, expected = signer.sign(kept.job, "inspected"), signer.sign(unknown, "inspected")
        check_problem(refused, 404, "not-found")
        assert refused.content == expected.content
    assert len(shop.get(f"{kept.job['links']['self']}/sign-offs").json()) == 1


def test_a_sheet_of_the_other_is_a_strange_file(shop, other, kept):
    sheets = {"unsigned": kept.job["links"]["sheet"], "genuine": kept.signed["links"]["signed_sheet"]}
    for authenticity, link in sheets.items():
        sheet = shop.fetch(link)
        ours, theirs = (one.post_text("/v1/verify", sheet, "application/pdf").json() for one in (shop, other))
        assert (ours["authenticity"], theirs["authenticity"]) == (authenticity, "foreign")
        assert not set(theirs) & {"kind", "made_of", "sign_off", "code", "superseded_by", "newest_revision"}


def test_both_may_have_a_profile_of_the_same_name(shop, other, kept):
    theirs = put(kept.profile, "/limits/0/source", "the other shop")
    assert other.post("/v1/profiles", theirs).status_code == 201
    assert other.get("/v1/profiles/house/1").json() != shop.get("/v1/profiles/house/1").json()
    assert [one["id"] for one in other.get("/v1/profiles").json()] == ["house"]
    for one, source in ((other, "the other shop"), (shop, kept.profile["limits"][0]["source"])):
        job = one.submit(by_name("house"))
        assert one.get(job["links"]["profile"]).json()["limits"][0]["source"] == source


def test_both_may_have_the_same_head_and_the_same_subject(shop, other, kept):
    """Revisions are counted in each shop alone."""
    assert [other.submit(request(serial="SECRET-1"))["revision"] for _ in range(2)] == [1, 2]
    assert shop.get(kept.job["links"]["self"]).json()["revision"] == 1
    assert enter(other, "Berta Muster", subject="demo|1")["subject"] == "demo|1"


@pytest.mark.parametrize("name", ["", " ", "a b", "a/b", "../other", "x" * 65, "ｏther", "other\n"])
def test_what_is_no_name_of_a_shop_is_refused(service, name):
    wish = ("--label", "a test", "--scope", "read")
    refused = run("key", "make", "--shop", name, *wish, settings={"store_dir": service.store})
    assert refused.returncode == 2 and refused.stdout == b"" and b"--shop" in refused.stderr


def test_a_key_that_signs_is_made_at_the_machine_only_for_a_person_of_the_shop(service, kept, other):
    before = other.fetch("/v1/keys")
    wish = ("key", "make", "--shop", "other", "--label", "a test", "--scope", "sign")
    for more, said in (
        ((), "only a person signs"),
        (("--person", UNKNOWN), "is nobody"),
        (("--person", kept.person["id"]), "is nobody"),
    ):
        refused = run(*wish, *more, settings={"store_dir": service.store})
        assert refused.returncode == 2 and refused.stdout == b"" and said in refused.stderr.decode()
    assert other.fetch("/v1/keys") == before
