"""Who may sign what: by the evaluation, by the profile, and by who has signed before."""

import pytest

from harness.documents import CONFORMING, limit, put, small_profile
from harness.problems import check_problem, pointers
from harness.signing import Signer, concessions, judged, posted

COMMAND = "api"  # Nothing here needs a sheet.
REWORK = "irrigation-pump-16v"
HEADS = {"accept": CONFORMING, "rework": REWORK, "reject": "cold-store-8v"}


@pytest.fixture(scope="module")
def frida(shop):
    return Signer(shop)


@pytest.fixture(scope="module")
def otto(shop):
    return Signer(shop, "Otto Öl", "Meister")


def ruled(head: str, serial: str, **rule: bool) -> dict:
    """A head whose profile asks something of sign-offs."""
    document = put(posted(head, serial), "/profile/sign_off", rule)
    return put(document, "/profile/id", "-".join(["ruled", *rule]))


def refused(answer) -> dict:
    return check_problem(answer, 422, "invalid-document")


def faults(answer) -> list[tuple[str, str]]:
    return [(fault["pointer"], fault["detail"]) for fault in refused(answer)["errors"]]


@pytest.mark.parametrize("disposition", HEADS)
def test_any_head_may_be_signed_as_inspected(shop, frida, disposition):
    job, evaluation = judged(shop, posted(HEADS[disposition], f"INSPECTED-{disposition}"))
    assert evaluation["disposition"] == disposition
    assert frida.sign(job, "inspected")["sign_off"]["disposition"] == disposition


@pytest.mark.parametrize("disposition", ["rework", "reject"])
def test_only_a_head_that_is_accepted_is_released(shop, frida, disposition):
    job, _ = judged(shop, posted(HEADS[disposition], f"RELEASED-{disposition}"))
    assert pointers(refused(frida.ask(job, "released"))) == ["/meaning"]
    job, _ = judged(shop, posted(CONFORMING, f"RELEASED-{disposition}"))
    assert frida.sign(job, "released")["sign_off"]["meaning"] == "released"


def test_a_concession_names_every_reason_once(shop, frida):
    job, evaluation = judged(shop, posted(REWORK, "CONCEDED"))
    whole = concessions(evaluation)
    assert len(whole) == 3
    for n in range(3):
        lacking = whole[:n] + whole[n + 1 :]
        assert faults(frida.ask(job, "concession", concessions=lacking)) == [
            ("/concessions", f"{whole[n]['subject']}, {whole[n]['characteristic']}: is not named")
        ]
    assert len(faults(frida.ask(job, "concession"))) == 3
    made_up = whole[0] | {"subject": "cylinder 1 intake 1"}
    without = {name: whole[1][name] for name in ("subject", "reason")}
    wrong = [whole[0], made_up, whole[0], without, whole[2]]
    found = faults(frida.ask(job, "concession", concessions=wrong))
    assert sorted(found) == [
        ("/concessions", f"{whole[1]['subject']}, {whole[1]['characteristic']}: is not named"),
        ("/concessions/1", "is no reason of the evaluation"),
        ("/concessions/2", "is named twice"),
        ("/concessions/3", "is no reason of the evaluation"),
    ]
    assert shop.get(f"/v1/jobs/{job['id']}/sign-offs").json() == []
    signed = frida.sign(job, "concession", concessions=whole[::-1])
    assert signed["sign_off"]["concessions"] == whole[::-1]


def test_there_is_nothing_to_concede_of_a_head_that_is_accepted(shop, frida):
    job, _ = judged(shop, posted(CONFORMING, "NOTHING-TO-CONCEDE"))
    assert pointers(refused(frida.ask(job, "concession"))) == ["/meaning"]


def test_there_is_nothing_to_concede_where_nothing_was_judged(shop, frida):
    """Limits of wear are for a head as it came in; this one is finished."""
    limits_of_wear = small_profile(limit("margin", lower=0.1, use="wear"))
    job, evaluation = judged(shop, put(posted(CONFORMING, "NOTHING-JUDGED"), "/profile", limits_of_wear))
    assert [reason["subject"] for reason in evaluation["reasons"]] == ["head"]
    conceded = concessions(evaluation)
    assert pointers(refused(frida.ask(job, "concession", concessions=conceded))) == ["/meaning"]


@pytest.mark.parametrize("meaning", ["inspected", "released"])
def test_concessions_belong_to_a_concession_only(shop, frida, meaning):
    job, _ = judged(shop, posted(CONFORMING, f"NO-CONCESSION-{meaning}"))
    extra = [{"subject": "head", "reason": "none"}]
    assert pointers(refused(frida.ask(job, meaning, concessions=extra))) == ["/concessions"]


def test_a_profile_can_forbid_concessions(shop, frida):
    job, evaluation = judged(shop, ruled(REWORK, "FORBIDDEN", concessions=False))
    answer = frida.ask(job, "concession", concessions=concessions(evaluation))
    assert pointers(refused(answer)) == ["/meaning"]
    frida.sign(job, "inspected")


@pytest.mark.parametrize("head", [CONFORMING, REWORK])
def test_a_profile_can_want_two_persons(shop, frida, otto, head):
    job, evaluation = judged(shop, ruled(head, "TWO-PERSONS", two_persons=True))
    conceded = concessions(evaluation)
    meaning, more = ("concession", {"concessions": conceded}) if conceded else ("released", {})
    assert pointers(refused(frida.ask(job, meaning, **more))) == ["/meaning"]
    frida.sign(job, "inspected")
    assert pointers(refused(frida.ask(job, meaning, **more))) == ["/meaning"], "not by herself"
    record = otto.sign(job, meaning, **more)["sign_off"]
    assert [(one["name"], one["meaning"]) for one in record["beside"]] == [(frida.name, "inspected")]
    otto.sign(job, "inspected")
    assert frida.sign(job, meaning, **more)["sign_off"]["signer"]["name"] == frida.name


def test_all_faults_are_told_at_once(shop, frida):
    job, evaluation = judged(shop, ruled(REWORK, "ALL-FAULTS", two_persons=True))
    lacking = concessions(evaluation)[:2]
    answer = frida.ask(job, "concession", concessions=lacking)
    assert pointers(refused(answer)) == ["/concessions", "/meaning"]


@pytest.fixture(scope="module")
def conceded(shop):
    """A head with deviations, and concessions that would do."""
    job, evaluation = judged(shop, posted(REWORK, "TEXTS"))
    return job, concessions(evaluation)


@pytest.mark.parametrize("text", ["", " ", "a\u0007", "a\nb", "a\u202eb", "a\u200bb", "\u2066a", "a\u009f", "x" * 501])
def test_texts_that_could_be_misread_are_refused(frida, conceded, text):
    job, whole = conceded
    answer = frida.ask(job, "concession", concessions=put(whole, "/1/reason", text), note=text)
    assert pointers(refused(answer)) == ["/concessions/1/reason", "/note"]


def test_a_note_may_be_as_long_as_allowed_and_in_any_script(shop, frida):
    job, _ = judged(shop, posted(CONFORMING, "LONG-NOTE"))
    for note, meaning in (("Ω𝄞" * 250, "inspected"), ("क्‍ष — ok", "released")):
        assert frida.sign(job, meaning, note=note)["sign_off"]["note"] == note


@pytest.mark.parametrize(
    ("document", "pointer"),
    [
        ({"meaning": "approved"}, "/meaning"),
        ({"meaning": "inspected", "colour": "red"}, "/colour"),
        ({"meaning": "inspected", "concessions": [{"subject": "head"}]}, "/concessions/0/reason"),
    ],
)
def test_a_request_of_another_form_is_refused(shop, frida, document, pointer):
    job, _ = judged(shop, posted(CONFORMING, "FORM"))
    assert pointers(refused(frida.ask(job, **document))) == [pointer]
