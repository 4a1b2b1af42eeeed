"""What was required and not measured is never a pass."""

import copy

import pytest

from harness.counts import reached
from harness.documents import CONFORMING, all_rows, demo_profile, demo_set, port_name, request, take

SET = demo_set(CONFORMING)
LIMITS = demo_profile(CONFORMING)["limits"]
BLOCKS = ["guide", "valve", "seat", "contact", "spring_pack", "assembly", "leak"]
CASES = [
    pytest.param(index, block, id=f"{port_name(port)} {block}")
    for index, port in enumerate(SET["ports"])
    for block in BLOCKS
    if block in port
]


def measured(evaluation: dict) -> set[tuple[str, str]]:
    """Subject and characteristic of every row that has a result."""
    return {
        (subject, row["characteristic"])
        for subject, row in all_rows(evaluation)
        if "measured" in row or "in_order" in row
    }


def is_required(subject: str, characteristic: str) -> bool:
    """Whether the profile asks for it; the demo profile has build limits only."""
    return any(
        one["required"]
        and one["characteristic"] == characteristic
        and (one.get("service") is None or one["service"] in subject)
        for one in LIMITS
    )


def is_limited(subject: str, characteristic: str) -> bool:
    return any(
        one["characteristic"] == characteristic and (one.get("service") is None or one["service"] in subject)
        for one in LIMITS
    )


@pytest.fixture(scope="module")
def whole(shop):
    evaluation = shop.evaluate(request())
    assert evaluation["disposition"] == "accept"
    return evaluation


def judged_without(shop, pointer: str) -> dict:
    return shop.evaluate(take(request(), f"/measurement_set{pointer}"))


def check_lost(whole: dict, evaluation: dict) -> set[tuple[str, str]]:
    """What lost its result is said to be not measured, and decides the disposition; returns it."""
    lost = measured(whole) - measured(evaluation)
    rows = {(subject, row["characteristic"]): row for subject, row in all_rows(evaluation)}
    for subject, characteristic in lost:
        if is_limited(subject, characteristic):
            row = rows[subject, characteristic]
            assert row["verdict"] == "not-measured", row
            assert row["reason"] in ("reading-missing", "port-missing"), row
            assert "conformance_probability" not in row and "deviation" not in row
    required = {one for one in lost if is_required(*one)}
    limited = {one for one in lost if is_limited(*one)}
    assert evaluation["tally"]["not_measured"] == whole["tally"]["not_measured"] + len(limited)
    if required:
        assert evaluation["disposition"] == "incomplete"
        told = {(line["subject"], line.get("characteristic")) for line in evaluation["reasons"]}
        assert required <= told
    if limited:
        assert "not measured: " in evaluation["headline"]
    return required


@pytest.mark.parametrize("index, block", CASES)
def test_a_port_without_one_of_its_blocks_is_never_accepted_where_it_was_required(shop, whole, index, block):
    evaluation = judged_without(shop, f"/ports/{index}/{block}")
    required = check_lost(whole, evaluation)
    if block in ("guide", "valve", "seat", "spring_pack", "leak"):
        assert required and evaluation["disposition"] == "incomplete"
        port = evaluation["ports"][index]
        assert port["verdict"] == "not-measured"


@pytest.mark.parametrize("index", range(len(SET["ports"])))
def test_a_port_that_was_not_measured_at_all_makes_the_head_incomplete(shop, whole, index):
    evaluation = judged_without(shop, f"/ports/{index}")
    assert check_lost(whole, evaluation)
    missing = [finding for finding in evaluation["findings"] if finding["code"] == "port-missing"]
    assert [finding["severity"] for finding in missing] == ["blocking"]
    assert evaluation["ports"][index]["verdict"] == "not-measured"


def test_a_head_without_any_port_is_incomplete(shop, whole):
    empty = copy.deepcopy(request())
    empty["measurement_set"]["ports"] = []
    evaluation = shop.evaluate(empty)
    assert check_lost(whole, evaluation)
    assert evaluation["tally"]["does_not_conform"] == 0


@pytest.mark.parametrize("block", ["deck", "chambers", "diesel", "tests"])
def test_a_head_without_one_of_its_blocks_is_told_as_such(shop, whole, block):
    required = check_lost(whole, judged_without(shop, f"/{block}"))
    assert required or block in ("chambers", "diesel")


def members(document: object, pointer: str = ""):
    """The place of every member and element, outermost first."""
    names = (
        document if isinstance(document, dict) else range(len(document)) if isinstance(document, list) else ()
    )
    for name in names:
        yield f"{pointer}/{name}"
        yield from members(document[name], f"{pointer}/{name}")


def test_whatever_is_taken_away_the_head_is_accepted_only_if_all_that_is_required_is_there(shop, whole):
    """Every member of the whole document in turn, at any depth."""
    judged = accepted = 0
    required = {one for one in measured(whole) if is_required(*one)}
    assert required
    for pointer in members(SET):
        response = shop.post("/v1/evaluate", take(request(), f"/measurement_set{pointer}"))
        if response.status_code != 200:
            assert response.status_code == 422, (pointer, response.text)
            continue
        evaluation = response.json()
        judged += 1
        lost = required - measured(evaluation)
        if evaluation["disposition"] == "accept":
            accepted += 1
            assert not lost, pointer
        elif lost:
            assert evaluation["disposition"] in ("incomplete", "rework", "reject"), pointer
    assert judged > 300
    reached("sets with one member taken away", f"{judged} judged, {accepted} of them still acceptable")
