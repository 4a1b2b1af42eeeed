"""Which evaluation is signed, by whom, and once: preconditions, replays, people who left, other shops."""

import threading

import pytest

from harness.database import query
from harness.documents import CONFORMING
from harness.problems import check_problem
from harness.program import run
from harness.shop import Shop
from harness.signing import Signer, judged, posted

COMMAND = "api"  # Only where it is said a sheet is needed.


@pytest.fixture(scope="module")
def frida(shop):
    return Signer(shop)


@pytest.fixture(scope="module")
def job(shop):
    """A job that nobody manages to sign."""
    return judged(shop, posted(CONFORMING, "ORDER"))[0]


def test_without_a_precondition_nothing_is_signed(frida, job):
    """RFC 6585, 3."""
    check_problem(frida.ask(job, tag=None), 428, "precondition-required")


def test_a_tag_of_something_else_signs_nothing(frida, job):
    """RFC 9110, 13.1.1: If-Match compares strongly; `*` would not say what was seen."""
    digest = job["evaluation_digest"]
    for tag in (f'"{"0" * 64}"', "*", f'W/"{digest}"', digest, f'"{digest.upper()}"', f'"{digest}', f'"{digest[:-1]}"'):
        check_problem(frida.ask(job, tag=tag), 412, "stale-revision")


def test_one_of_several_tags_may_be_the_right_one(shop, frida):
    job, _ = judged(shop, posted(CONFORMING, "SEVERAL-TAGS"))
    assert frida.ask(job, tag=f'"other", "{job["evaluation_digest"]}"').status_code == 202


def test_a_revision_that_was_corrected_is_signed_no_longer(shop, frida):
    first, _ = judged(shop, posted(CONFORMING, "CORRECTED"))
    second, _ = judged(shop, posted(CONFORMING, "CORRECTED"))
    assert (first["revision"], second["revision"]) == (1, 2)
    check_problem(frida.ask(first), 412, "stale-revision")
    assert frida.sign(second)["sign_off"]["revision"] == 2
    other, _ = judged(shop, posted(CONFORMING, "CORRECTED", "as-received"))
    assert frida.sign(other)["sign_off"]["revision"] == 1, "another stage has revisions of its own"


def test_a_head_of_which_more_was_posted_is_not_released_as_it_was(shop, frida):
    """What was found may still be signed; that the head may leave, only the last set of it can say."""
    reworked, _ = judged(shop, posted(CONFORMING, "LATER", "after-rework"))
    final, _ = judged(shop, posted("irrigation-pump-16v", "LATER", "final"))
    problem = check_problem(frida.ask(reworked, "released"), 412, "stale-revision")
    assert final["id"] in problem["detail"]
    assert frida.ask(reworked, "inspected").status_code == 202


def test_a_profile_under_the_name_of_a_stored_one_releases_nothing(shop, frida):
    document = posted(CONFORMING, "BORROWED-NAME")
    stored = {**document["profile"], "id": "strict", "sign_off": {"two_persons": True}}
    assert shop.post("/v1/profiles", stored).status_code == 201
    loose, _ = judged(shop, {**document, "profile": {**stored, "sign_off": {}}})
    problem = check_problem(frida.ask(loose, "released"), 422, "invalid-document")
    assert [fault["pointer"] for fault in problem["errors"]] == ["/meaning"]
    assert frida.ask(loose, "inspected").status_code == 202


def test_the_same_is_said_once_by_a_person(shop, frida):
    job, _ = judged(shop, posted(CONFORMING, "ONCE"))
    frida.sign(job, "inspected")
    check_problem(frida.ask(job, "inspected"), 409, "already-signed")
    check_problem(frida.ask(job, "inspected", note="with a note"), 409, "already-signed")
    frida.sign(job, "released")
    Signer(shop, "Otto Öl").sign(job, "inspected")
    assert len(shop.get(f"/v1/jobs/{job['id']}/sign-offs").json()) == 3


def test_of_two_at_once_one_is_taken(service, shop, frida):
    rounds, at_once = 3, 4
    for number in range(rounds):
        job, _ = judged(shop, posted(CONFORMING, f"AT-ONCE-{number}"))
        gate, answers = threading.Barrier(at_once), []

        def sign(job=job, gate=gate, answers=answers):
            with Shop(service.address) as own:
                gate.wait()
                headers = {"Authorization": f"Bearer {frida.secret}", "If-Match": f'"{job["evaluation_digest"]}"'}
                path = f"/v1/jobs/{job['id']}/sign-offs"
                answers.append(own.http.post(path, json={"meaning": "released"}, headers=headers).status_code)

        threads = [threading.Thread(target=sign) for _ in range(at_once)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(60)
        assert sorted(answers) == [202] + [409] * (at_once - 1)
        assert query(service.store, "SELECT count(*) FROM sign_off WHERE job_id = ?", job["id"]) == [(1,)]


def test_who_left_signs_no_longer_and_what_they_signed_stays(start):
    """A sheet that was still to come is made, and signed by them all the same."""
    program = start("api")
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted(CONFORMING, "LEFT"))
        gone = Signer(shop, "Gero Gegangen")
        signed = gone.sign(job, "inspected")
        gone.leaves()
        check_problem(gone.ask(job, "released"), 401, "unauthenticated")
        assert shop.get(f"/v1/people/{gone.id}").json()["left_at"]
        assert [key["revoked_at"] for key in shop.get("/v1/keys").json() if key.get("person") == gone.id]
        wish = {"label": "again", "scopes": ["sign"], "person": gone.id}
        check_problem(shop.post("/v1/keys", wish), 422, "invalid-document")
    start("worker", store=program.store)
    with Shop(program.address) as shop:
        done = shop.done(signed)
        assert done["sign_off"] == signed["sign_off"]
        assert shop.fetch(done["links"]["signed_sheet"]).startswith(b"%PDF-")


def test_nobody_signs_without_a_key_of_their_own(shop, job):
    document, tag = {"meaning": "inspected"}, {"If-Match": f'"{job["evaluation_digest"]}"'}
    path = f"/v1/jobs/{job['id']}/sign-offs"
    check_problem(shop.http.post(path, json=document, headers=tag), 403, "forbidden")
    wish = {"label": "reads", "scopes": ["read", "submit", "admin"]}
    reader = shop.post("/v1/keys", wish).json()["secret"]
    tag["Authorization"] = f"Bearer {reader}"
    check_problem(shop.http.post(path, json=document, headers=tag), 403, "forbidden")
    assert shop.get(path).json() == []


def test_a_job_that_is_not_there_is_not_signed(frida, job):
    for other in ("01a216c4-957e-772e-8e40-0b649049e1a2", "nothing"):
        check_problem(frida.ask(job | {"id": other}), 404, "not-found")


def bearer(secret: str) -> dict:
    return {"Authorization": f"Bearer {secret}"}


def test_a_signer_of_another_shop_finds_no_such_job(start, tmp_path):
    """Seen from there it is as if the job, its sign-off and its code had never been."""
    program = start(api_access="keys")
    settings = {"store_dir": program.store}

    def made(*arguments: str) -> str:
        finished = run("key", "make", "--label", "a key", *arguments, settings=settings)
        assert finished.returncode == 0, finished.stderr
        return finished.stdout.decode().strip()

    scopes = [word for scope in ("submit", "read", "admin") for word in ("--scope", scope)]
    with Shop(program.address) as here, Shop(program.address) as there:
        here.http.headers.update(bearer(made(*scopes)))
        there.http.headers.update(bearer(made("--shop", "other", *scopes)))
        frida, foreigner = Signer(here), Signer(there, "Fremde Feder")
        secret = made("--shop", "other", "--scope", "sign", "--person", foreigner.id)
        job, _ = judged(here, posted(CONFORMING, "OTHER-SHOP"))
        for key in (foreigner.secret, secret):
            foreigner.secret = key
            check_problem(foreigner.ask(job), 404, "not-found")
        signed, sheet = frida.sheet(job, "released")
        for path in (signed["links"]["self"], f"/v1/sign-offs/{signed['code']}", signed["links"]["signed_sheet"]):
            assert here.get(path).status_code == 200
            check_problem(there.get(path), 404, "not-found")
        seen = there.post_text("/v1/verify", sheet, "application/pdf").json()
        assert seen["authenticity"] == "foreign" and "sign_off" not in seen
        own, _ = judged(there, posted(CONFORMING, "OTHER-SHOP"))
        assert foreigner.sign(own)["sign_off"]["shop"] == "other"
        assert there.get("/v1/certificates").text != here.get("/v1/certificates").text
    refused = run("key", "make", "--label", "x", "--scope", "sign", "--person", foreigner.id, settings=settings)
    assert refused.returncode == 2 and b"nobody" in refused.stderr
