"""The audit trail: what stands in it, and that each line names the line before it."""

import json

import pytest

from harness.audit import BEGINNING, Life, digest, rewritten
from harness.program import run


@pytest.fixture(scope="module")
def life(service, shop):
    return Life(service, shop)


def test_everything_that_happened_stands_in_it_in_its_order(life):
    job, sign_off, person = life.job["id"], life.signed["sign_off"]["id"], life.frida.id
    evaluation, shop_certificate = life.job["evaluation_digest"], life.signed["sign_off"]["signer"]["authority"]
    refusal = f"POST /v1/jobs/{job}/sign-offs"
    stored = [
        ("operator", "profile-stored", f"profile {profile['id']} revision {profile['revision']}", profile["digest"], None)
        for profile in life.profiles
    ]
    expected = [
        ("operator", "certificate-kept", "shop", shop_certificate, None),
        ("open", "person-entered", f"person {person}", None, "Frida Fräser, Prüferin"),
        ("open", "certificate-kept", f"person {person}", life.frida.person["certificate"], None),
        ("open", "key-made", "key", None, "key of Frida Fräser: read sign"),
        ("open", "submitted", f"job {job}", None, None),
        ("open", "evaluated", f"job {job}", evaluation, None),
        ("worker", "rendered", f"sheet {job}", digest(life.unsigned), None),
        ("open", "downloaded", f"sheet {job}", digest(life.unsigned), None),
        ("key", "refused", refusal, None, "invalid-document"),
        ("key", "refused", refusal, None, "precondition-required"),
        ("key", "signed", f"job {job}", life.signed["digest"], "released"),
        ("worker", "rendered", f"signed-sheet {sign_off}", digest(life.sheet), None),
        ("open", "downloaded", f"signed-sheet {sign_off}", digest(life.sheet), None),
        ("key", "refused", refusal, None, "already-signed"),
        ("open", "refused", refusal, None, "forbidden"),
        ("open", "person-left", f"person {person}", None, None),
        ("open", "key-revoked", "key", None, None),
    ]
    found = [
        (entry["who"]["kind"], entry["what"], entry["to"], entry.get("digest"), entry.get("note"))
        for entry in life.entries
    ]
    assert sorted(found[: len(stored)]) == sorted(stored)
    found = found[len(stored) :]
    key = found[3][2]
    for place in (3, -1):
        expected[place] = (*expected[place][:2], key, *expected[place][3:])
    assert found == expected
    for entry in life.entries:
        assert entry["shop"] == "open"
        if entry["who"]["kind"] == "key":
            assert f"key {entry['who']['id']}" == key and entry["who"]["name"] == life.frida.name
    requests = [entry["request"] for entry in life.entries if entry["what"] in ("refused", "signed", "downloaded")]
    assert len(set(requests)) == len(requests), "each came by a request of its own"


def test_times_do_not_run_backwards(life):
    times = [entry["at"].rstrip("Z").ljust(23, "0") for entry in life.entries if entry["what"] != "rendered"]
    assert times == sorted(times)


def test_each_line_is_canonical_and_names_the_line_before_it(life):
    assert life.lines == rewritten(life.entries)
    stripped = [{n: v for n, v in e.items() if n not in ("sequence", "previous")} for e in life.entries]
    assert rewritten(stripped) == life.lines


def test_the_checkpoint_of_a_sign_off_is_the_trail_just_before(life):
    checkpoint = life.signed["sign_off"]["checkpoint"]
    assert checkpoint == {"size": len(life.before), "head": digest(life.before[-1])}


def test_the_command_exports_the_same(life):
    finished = run("audit", "export", "--shop", "open", settings={"store_dir": life.program.store})
    exported = finished.stdout.splitlines()
    assert finished.returncode == 0 and exported[: len(life.lines)] == life.lines


def test_another_shop_has_a_trail_of_its_own(life):
    settings = {"store_dir": life.program.store}

    def exported() -> list[bytes]:
        finished = run("audit", "export", "--shop", "other", settings=settings)
        assert finished.returncode == 0, finished.stderr
        return finished.stdout.split()

    assert exported() == []
    wish = ["--label", "x", "--scope", "read"]
    secret = run("key", "make", "--shop", "other", *wish, settings=settings).stdout.strip()
    lines = run("audit", "export", "--shop", "other", settings=settings).stdout.splitlines()
    (entry,) = [json.loads(line) for line in lines]
    first = ("other", 1, BEGINNING, "key-made", "operator")
    assert (*(entry[name] for name in ("shop", "sequence", "previous", "what")), entry["who"]["kind"]) == first
    assert secret.startswith(b"hp_") and secret not in lines[0]
