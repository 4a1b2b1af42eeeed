"""What is kept of a sign-off, and how it is looked up."""

import base64
import hashlib
import sqlite3
from datetime import UTC, datetime, timedelta

import pytest
import rfc8785

from harness.database import change, query
from harness.documents import CONFORMING
from harness.problems import check_problem
from harness.program import until
from harness.signing import Signer, audit, concessions, judged, posted

REWORK = "irrigation-pump-16v"


@pytest.fixture(scope="module")
def frida(shop):
    return Signer(shop)


@pytest.fixture(scope="module")
def signed(shop, frida):
    """A job with its evaluation, the trail before it was signed, what was asked for, and what came of it."""
    job = shop.done(shop.submit(posted(REWORK, "Ω-RECORD")))
    evaluation = shop.get(job["links"]["evaluation"]).json()
    before = audit(shop)
    asked = {"concessions": concessions(evaluation), "note": "für den Kunden"}
    return job, evaluation, before, asked, frida.sign(job, "concession", **asked)


def test_the_record_says_who_signed_what_when_and_what_for(shop, frida, signed):
    job, evaluation, before, asked, answer = signed
    record = answer["sign_off"]
    trust = shop.get("/v1/certificates").content
    pem = trust.decode().split("-----")[2]
    expected = {
        "format": "headproof/sign-off/1",
        "id": record["id"],
        "shop": "open",
        "job": job["id"],
        "head_serial": "Ω-RECORD",
        "stage": "final",
        "revision": 1,
        "evaluation_digest": hashlib.sha256(rfc8785.dumps(evaluation)).hexdigest(),
        "disposition": "rework",
        "meaning": "concession",
        "signer": {
            "id": frida.id,
            "name": frida.name,
            "role": frida.role,
            "certificate": shop.get(f"/v1/people/{frida.id}").json()["certificate"],
            "authority": hashlib.sha256(base64.b64decode(pem)).hexdigest(),
        },
        "signed_at": record["signed_at"],
        **asked,
        "checkpoint": {"size": len(before), "head": hashlib.sha256(before[-1]).hexdigest()},
    }
    assert record == expected
    signed_at = datetime.fromisoformat(record["signed_at"])
    assert timedelta(0) <= datetime.now(UTC) - signed_at < timedelta(minutes=2)


def test_the_digest_is_that_of_the_canonical_form(signed):
    """RFC 8785 by the Python package rfc8785."""
    answer = signed[-1]
    assert answer["digest"] == hashlib.sha256(rfc8785.dumps(answer["sign_off"])).hexdigest()


def test_the_code_is_the_first_80_bits_of_the_digest(signed):
    """RFC 4648, 6, by Python's base64."""
    answer = signed[-1]
    letters = base64.b32encode(bytes.fromhex(answer["digest"])[:10]).decode()
    assert answer["code"] == "-".join(letters[n : n + 4] for n in range(0, 16, 4))


def test_it_is_found_by_id_and_by_code_however_that_is_typed(shop, signed):
    answer = shop.done(signed[-1])
    code = answer["code"]
    typed = [code, code.lower(), code.replace("-", ""), code.replace("-", "").lower(), code[:7] + code[7:].lower()]
    for name in (answer["sign_off"]["id"], *typed):
        assert shop.get(f"/v1/sign-offs/{name}").json() == answer, name
        assert shop.get(f"/v1/sign-offs/{name}/sheet").content.startswith(b"%PDF-1.7"), name
    of_job = shop.get(f"/v1/jobs/{signed[0]['id']}/sign-offs").json()
    assert of_job == [answer]
    other = ("B" if code[0] == "A" else "A") + code[1:]
    for name in (other, code[:-1], code + "A", "0" + code[1:], answer["digest"], answer["sign_off"]["id"][:-1]):
        check_problem(shop.get(f"/v1/sign-offs/{name}"), 404, "not-found")


def test_the_location_is_that_of_the_sign_off(shop, frida):
    job, _ = judged(shop, posted(CONFORMING, "LOCATION"))
    answer = frida.ask(job)
    assert answer.headers["location"] == answer.json()["links"]["self"]
    assert answer.headers["location"] == f"/v1/sign-offs/{answer.json()['sign_off']['id']}"
    assert int(answer.headers["retry-after"]) >= 1


@pytest.mark.parametrize("table", ["sign_off", "certificate", "audit"])
def test_the_database_refuses_to_change_or_remove_it(service, signed, table):
    under_way = "SELECT 1 FROM task WHERE state IN ('queued', 'running')"
    until(lambda: not query(service.store, under_way), "what is still being made, which adds to the trail")
    before = query(service.store, f"SELECT * FROM {table}")
    assert before
    column = {"sign_off": "document", "certificate": "chain", "audit": "line"}[table]
    for statement in (f"UPDATE {table} SET {column} = x'7B7D'", f"DELETE FROM {table}"):
        with pytest.raises(sqlite3.IntegrityError, match="immutable|kept"):
            change(service.store, (statement, ()))
    assert query(service.store, f"SELECT * FROM {table}") == before
