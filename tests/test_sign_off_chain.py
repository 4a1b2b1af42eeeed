"""Sign-offs of one head after another: which one takes the place of which."""

import pytest

from harness.documents import CONFORMING
from harness.signing import Signer, judged, posted


@pytest.fixture(scope="module")
def frida(shop):
    return Signer(shop)


@pytest.fixture(scope="module")
def otto(shop):
    return Signer(shop, "Otto Öl", "Meister")


def earlier(answer: dict) -> dict:
    """How a later sign-off names this one."""
    record = answer["sign_off"]
    same = {name: record[name] for name in ("id", "job", "stage", "revision", "meaning", "signed_at")}
    by = {name: record["signer"][name] for name in ("name", "role")}
    return same | by | {"digest": answer["digest"], "signer": record["signer"]["id"]}


def current(shop, answer: dict) -> dict:
    return shop.get(answer["links"]["self"]).json()


def test_each_stage_takes_the_place_of_the_one_before(shop, frida, otto):
    """Of a head that is measured three times: as received, after rework, finished."""
    stages = ("as-received", "after-rework", "final")
    jobs = [shop.done(shop.submit(posted(CONFORMING, "CHAIN", stage))) for stage in stages]
    unsigned = [shop.fetch(job["links"]["sheet"]) for job in jobs]
    first = frida.sign(jobs[0], "inspected")
    beside = otto.sign(jobs[0], "inspected")
    assert "supersedes" not in first["sign_off"] and "beside" not in first["sign_off"]
    assert beside["sign_off"]["beside"] == [earlier(first)] and "supersedes" not in beside["sign_off"]
    assert "superseded_by" not in current(shop, first)
    second = otto.sign(jobs[1], "inspected")
    assert second["sign_off"]["supersedes"] == [earlier(first), earlier(beside)]
    for one in (first, beside):
        assert current(shop, one)["superseded_by"] == earlier(second)
    third = frida.sign(jobs[2], "released")
    assert third["sign_off"]["supersedes"] == [earlier(second)] and "beside" not in third["sign_off"]
    assert current(shop, second)["superseded_by"] == earlier(third)
    assert current(shop, first)["superseded_by"] == earlier(second), "the first that took its place"
    assert "superseded_by" not in current(shop, third)

    sheets = [shop.fetch(shop.done(one)["links"]["signed_sheet"]) for one in (first, beside, second, third)]
    by = [earlier(second), earlier(second), earlier(third), None]
    for answer, sheet, later in zip((first, beside, second, third), sheets, by, strict=True):
        seen = shop.post_text("/v1/verify", sheet, "application/pdf").json()
        assert (seen["authenticity"], seen.get("superseded_by")) == ("genuine", later)
        assert (seen["sign_off"], seen["code"]) == (answer["sign_off"], answer["code"])
        assert shop.fetch(f"{answer['links']['self']}/sheet") == sheet, "what was superseded stays as it was"
    assert [shop.fetch(job["links"]["sheet"]) for job in jobs] == unsigned


def test_an_earlier_stage_that_is_signed_late_has_been_superseded_already(shop, frida):
    jobs = [judged(shop, posted(CONFORMING, "LATE", stage))[0] for stage in ("as-received", "final")]
    final = frida.sign(jobs[1], "released")
    late = frida.sign(jobs[0], "inspected")
    assert late["superseded_by"] == earlier(final)
    assert "supersedes" not in late["sign_off"] and "superseded_by" not in current(shop, final)


def test_a_correction_takes_the_place_of_what_was_signed_before(shop, frida):
    jobs = [judged(shop, posted(CONFORMING, "CORRECTION"))[0]]
    old, sheet = frida.sheet(jobs[0], "released")
    jobs.append(judged(shop, posted(CONFORMING, "CORRECTION"))[0])
    seen = shop.post_text("/v1/verify", sheet, "application/pdf").json()
    assert seen["newest_revision"] == 2 and "superseded_by" not in seen, "nobody has signed it yet"
    new = frida.sign(jobs[1], "released")
    assert new["sign_off"]["supersedes"] == [earlier(old)]
    seen = shop.post_text("/v1/verify", sheet, "application/pdf").json()
    assert (seen["newest_revision"], seen["superseded_by"]) == (2, earlier(new))
