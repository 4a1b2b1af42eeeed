"""Sizes in another unit than a set states: found, and not judged.

What a size can be is common practice without a source.
"""

import pytest

from harness.documents import (
    CONFORMING,
    INCH,
    at,
    demo_set,
    limit,
    put,
    small_profile,
    small_set,
    take,
)
from harness.findings import (
    BORES,
    CLEARANCE,
    FIRST,
    INTAKE,
    STEMS,
    WIDTHS,
    blocked,
    judged,
    moved,
    of_code,
    requested,
    several,
    shrunk,
)

# Of a port whose seat widths and contact band were read round the clock.
SEAT_SIZES = {"contact-edge-gap", "seat-inner-diameter", "seat-outer-diameter"}
FACE_SIZES = {"contact-offset", "inner-edge-clearance", "contact-edge-gap", "valve-head-diameter"}
SPRING_HEIGHTS = {"installed-height", "shims-needed", "seat-load", "open-load", "coil-bind-margin"}
SPRING_LOADS = {"seat-load", "open-load", "spring-rate", "spring-rate-to-theory"}
# Of a spring the heights of its loads are looked at.
HEIGHTS = {"/spring_pack/springs": "/spring_pack/springs/0/loads"}
# Sizes of a port, and the rows that may not be judged when they seem to be in another unit.
SIZES = {
    "/guide/bores": {INTAKE: CLEARANCE | BORES},
    "/valve/stem": {INTAKE: CLEARANCE | STEMS},
    "/valve/head_diameter": {INTAKE: FACE_SIZES},
    "/seat/outer_diameter": {INTAKE: SEAT_SIZES},
    "/seat/inner_diameter": {INTAKE: SEAT_SIZES},
    "/seat/widths": {INTAKE: WIDTHS},
    "/spring_pack/installed_height": {INTAKE: SPRING_HEIGHTS, "head": {"spring-match"}},
    "/spring_pack/lift": {INTAKE: {"open-load", "coil-bind-margin", "retainer-margin"}},
    "/spring_pack/springs": {INTAKE: SPRING_LOADS, "head": {"spring-match"}},
}


# Lengths that go with them, all or none in inches.
MORE_LENGTHS = [
    "/valve/face_inner_diameter",
    "/guide/engaged_length",
    "/contact/marks",
    "/spring_pack/springs/0/solid_height",
]


def doubtful(shop, document: dict, head: str = CONFORMING) -> tuple[dict, dict]:
    """The evaluation, and its one finding of sizes in another unit."""
    evaluation = judged(shop, document, head)
    [finding] = of_code(evaluation, "unit-doubtful")
    assert finding["severity"] == "blocking"
    for pointer in finding["pointers"]:
        at(document, pointer)
    return evaluation, finding


# Sizes that the conforming demo head leaves out.
MORE = several(
    (f"{FIRST}/seat/outer_diameter", 34.54),
    (f"{FIRST}/seat/inner_diameter", 32.35),
    (f"{FIRST}/valve/face_inner_diameter", 31),
    (f"{FIRST}/valve/stem/unworn", 7.97),
    (f"{FIRST}/guide/engaged_length", 40),
    (f"{FIRST}/spring_pack/springs/0/winding", {"wire_diameter": 3, "outer_diameter": 28, "active_coils": 6}),
)


@pytest.mark.parametrize("field", SIZES)
def test_a_size_in_inches_among_millimetres_is_found_and_not_judged(shop, field):
    sound = MORE(demo_set())
    assert judged(shop, sound)["findings"] == []
    looked_at = FIRST + HEIGHTS.get(field, field)
    evaluation, finding = doubtful(shop, shrunk(looked_at)(sound))
    assert finding["pointers"] == [FIRST + field]
    assert finding["text"] == f"{INTAKE}: sizes that would make sense as inches were posted as millimetres"
    expected = {(subject, name) for subject, names in SIZES[field].items() for name in names}
    assert moved(shop, sound, [looked_at]) <= expected
    assert expected <= blocked(evaluation)
    assert evaluation["disposition"] == "incomplete"


def test_a_port_all_in_inches_is_one_finding(shop):
    sound = MORE(demo_set())
    changed = sound
    for field in SIZES:
        changed = shrunk(FIRST + HEIGHTS.get(field, field))(changed)
    evaluation, finding = doubtful(shop, changed)
    assert finding["pointers"] == [FIRST + field for field in SIZES]
    expected = {
        (subject, name) for rows in SIZES.values() for subject, names in rows.items() for name in names
    }
    assert expected <= blocked(evaluation)
    assert evaluation["disposition"] == "incomplete"


@pytest.mark.parametrize("field", SIZES)
def test_a_size_in_millimetres_among_inches_is_found_and_not_judged(shop, field):
    """The same port with its lengths in inches, one of them left in millimetres."""
    port = _without_instruments(at(MORE(demo_set()), FIRST))
    blocks = {name: port[name] for name in ("guide", "valve", "seat", "contact", "spring_pack")}
    for other in ("/valve/face_runout", "/valve/margin", "/seat/runout"):
        blocks = take(blocks, other)
    inches = blocks
    for other in [*SIZES, *MORE_LENGTHS]:
        inches = shrunk(HEIGHTS.get(other, other))(inches)
    profile = small_profile(limit("interference-angle", lower=0), also_report=requested(shop))

    def judge(blocks: dict) -> dict:
        return shop.evaluate({"measurement_set": small_set(INCH, intake=blocks), "profile": profile})

    assert judge(inches)["findings"] == []
    looked_at = HEIGHTS.get(field, field)
    evaluation = judge(put(inches, looked_at, at(blocks, looked_at)))
    [finding] = of_code(evaluation, "unit-doubtful")
    assert (finding["severity"], finding["pointers"]) == ("blocking", [FIRST + field])
    assert finding["text"] == f"{INTAKE}: sizes that would make sense as millimetres were posted as inches"
    assert {(subject, name) for subject, names in SIZES[field].items() for name in names} <= blocked(
        evaluation
    )
    assert evaluation["disposition"] == "incomplete"


def _without_instruments(document: object) -> object:
    if isinstance(document, dict):
        return {name: _without_instruments(one) for name, one in document.items() if name != "instrument"}
    return [_without_instruments(one) for one in document] if isinstance(document, list) else document


@pytest.mark.parametrize(
    "head, unit", [(CONFORMING, "in"), ("irrigation-pump-16v", "in"), ("cold-store-8v", "mm")]
)
def test_a_whole_head_in_the_wrong_unit_is_doubted_at_every_port(shop, head, unit):
    evaluation = judged(shop, put(demo_set(head), "/units/length", unit), head)
    found = [pointer for one in of_code(evaluation, "unit-doubtful") for pointer in one["pointers"]]
    for index in range(len(demo_set(head)["ports"])):
        assert any(pointer.startswith(f"/ports/{index}/") for pointer in found), index
    assert "/layout/compression/bore" in found and "/layout/compression/stroke" in found
    assert evaluation["disposition"] in ("incomplete", "reject")


TERMS = ("bore", "stroke", "gasket_bore")


@pytest.mark.parametrize("names", [[name] for name in TERMS] + [list(TERMS)], ids="-".join)
def test_sizes_of_the_engine_in_inches_leave_the_compression_ratio_open(shop, names):
    changed = demo_set()
    for name in names:
        value = at(changed, f"/layout/compression/{name}")["value"]
        changed = put(changed, f"/layout/compression/{name}/value", round(value / 25.4, 4))
    evaluation, finding = doubtful(shop, changed)
    assert finding["pointers"] == [f"/layout/compression/{name}" for name in names]
    ratios = {(f"cylinder {cylinder}", "compression-ratio") for cylinder in (1, 2, 3)}
    assert blocked(evaluation) == ratios | {("head", "compression-ratio-spread")}
    assert evaluation["disposition"] == "incomplete"


def has(shop, code: str, document: dict) -> bool:
    return bool(of_code(judged(shop, document), code))


# A field, the least and the greatest size it is taken to have, in mm.
RANGES = {
    "/guide/bores/middle/0": (4, 30),
    "/valve/stem/middle": (4, 30),
    "/valve/stem/unworn": (4, 30),
    "/valve/head_diameter": (10, 200),
    "/seat/outer_diameter": (10, 200),
    "/seat/inner_diameter": (8, 200),
    "/seat/widths/1": (0.3, 7),
    "/spring_pack/installed_height": (15, 200),
    "/spring_pack/lift": (3, 40),
    "/spring_pack/springs/0/loads/1/height": (12, 250),
}


@pytest.mark.parametrize("field", RANGES)
def test_a_size_is_doubted_only_when_the_other_unit_brings_it_into_its_range(shop, field):
    least, greatest = RANGES[field]
    sound = MORE(demo_set())
    assert not has(shop, "unit-doubtful", sound)
    edges = [edge * factor for edge in (least, greatest) for factor in (1 / 25.4, 1, 25.4)]
    sizes = [least, greatest] + [edge * near for edge in edges for near in (0.999, 1.001)]
    for size in (round(size, 6) for size in sizes):
        as_inches = size < least <= size * 25.4 <= greatest
        as_millimetres = size > greatest and least <= size / 25.4 <= greatest
        document = put(sound, FIRST + field, size)
        assert has(shop, "unit-doubtful", document) == (as_inches or as_millimetres), size
