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
    numbers,
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
    "/spring_pack/springs/0/loads": {INTAKE: SPRING_LOADS, "head": {"spring-match"}},
    "/spring_pack/springs/0/solid_height": {INTAKE: {"coil-bind-margin"}},
    "/spring_pack/springs/0/free_length": {INTAKE: {"spring-free-length"}},
}


def pointer_of(size: str) -> str:
    """Where a finding says that a size of the first port stands: sizes of springs at the springs."""
    springs = "/spring_pack/springs"
    return FIRST + (springs if size.startswith(springs) else size)


# Lengths that go with them, all or none in inches.
MORE_LENGTHS = [
    "/valve/face_inner_diameter",
    "/guide/engaged_length",
    "/contact/marks",
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
    (f"{FIRST}/spring_pack/springs/0/free_length", 46.9),
    (f"{FIRST}/spring_pack/springs/0/winding", {"wire_diameter": 3, "outer_diameter": 28, "active_coils": 6}),
)


@pytest.mark.parametrize("field", SIZES)
def test_a_size_in_inches_among_millimetres_is_found_and_not_judged(shop, field):
    sound = MORE(demo_set())
    assert judged(shop, sound)["findings"] == []
    evaluation, finding = doubtful(shop, shrunk(FIRST + field)(sound))
    assert finding["pointers"] == [pointer_of(field)]
    assert finding["text"] == f"{INTAKE}: sizes that would make sense as inches were posted as millimetres"
    expected = {(subject, name) for subject, names in SIZES[field].items() for name in names}
    assert moved(shop, sound, [FIRST + field]) <= expected
    assert expected <= blocked(evaluation)
    assert evaluation["disposition"] == "incomplete"


def test_a_port_all_in_inches_is_one_finding(shop):
    sound = MORE(demo_set())
    changed = sound
    for field in SIZES:
        changed = shrunk(FIRST + field)(changed)
    evaluation, finding = doubtful(shop, changed)
    assert finding["pointers"] == list(dict.fromkeys(map(pointer_of, SIZES)))
    expected = {
        (subject, name) for rows in SIZES.values() for subject, names in rows.items() for name in names
    }
    assert expected <= blocked(evaluation)
    assert evaluation["disposition"] == "incomplete"


# Readings of lists and blocks: of each the one that goes astray.
AMONG_OTHERS = [
    "/guide/bores/middle/0",
    "/valve/stem/middle",
    "/seat/widths/1",
    "/spring_pack/springs/0/loads/0/height",
]


@pytest.mark.parametrize("field", AMONG_OTHERS)
def test_one_reading_astray_among_others_is_judged_and_not_accepted(shop, field):
    sound = MORE(demo_set())
    evaluation = judged(shop, shrunk(FIRST + field)(sound))
    assert of_code(evaluation, "unit-doubtful") == []
    assert evaluation["disposition"] in ("rework", "reject", "incomplete")


def test_a_width_worked_out_of_doubtful_diameters_is_not_judged(shop):
    """Without widths and a band read round the clock more rests on the diameters of the seat."""
    sound = take(take(MORE(demo_set()), f"{FIRST}/seat/widths"), f"{FIRST}/contact")
    rows = SEAT_SIZES | {"seat-width", "overhang", "contact-offset", "inner-edge-clearance"}
    expected = {(INTAKE, name) for name in rows}
    field = f"{FIRST}/seat/outer_diameter"
    found = moved(shop, sound, [field])
    assert {(INTAKE, "seat-width"), (INTAKE, "overhang")} <= found <= expected
    evaluation, _ = doubtful(shop, shrunk(field)(sound))
    assert blocked(evaluation) == expected


def blocks_in_millimetres() -> dict:
    """The first port as a small head has it: of gauges nothing is known."""
    port = _without_instruments(at(MORE(demo_set()), FIRST))
    blocks = {name: port[name] for name in ("guide", "valve", "seat", "contact", "spring_pack")}
    for other in ("/valve/face_runout", "/valve/margin", "/seat/runout"):
        blocks = take(blocks, other)
    return blocks


def blocks_in_inches() -> dict:
    blocks = blocks_in_millimetres()
    for field in [*SIZES, *MORE_LENGTHS]:
        blocks = shrunk(field)(blocks)
    return blocks


def judged_in_inches(shop, blocks: dict) -> dict:
    profile = small_profile(limit("interference-angle", lower=0), also_report=requested(shop))
    return shop.evaluate({"measurement_set": small_set(INCH, intake=blocks), "profile": profile})


@pytest.mark.parametrize("field", SIZES)
def test_a_size_in_millimetres_among_inches_is_found_and_not_judged(shop, field):
    """The same port with its lengths in inches, one of them left in millimetres."""
    inches = blocks_in_inches()
    assert judged_in_inches(shop, inches)["findings"] == []
    evaluation = judged_in_inches(shop, put(inches, field, at(blocks_in_millimetres(), field)))
    [finding] = of_code(evaluation, "unit-doubtful")
    assert (finding["severity"], finding["pointers"]) == ("blocking", [pointer_of(field)])
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


# A field, the least and the greatest size it is taken to have, in mm.
RANGES = {
    "/guide/bores": (4, 30),
    "/valve/stem": (4, 30),
    "/valve/head_diameter": (10, 200),
    "/seat/outer_diameter": (10, 200),
    "/seat/inner_diameter": (8, 200),
    "/seat/widths": (0.1, 15),
    "/spring_pack/installed_height": (15, 200),
    "/spring_pack/lift": (3, 40),
    "/spring_pack/springs/0/loads": (12, 250),
    "/spring_pack/springs/0/solid_height": (5, 200),
    "/spring_pack/springs/0/free_length": (15, 300),
}


def sizes_near(least: float, greatest: float) -> list[float]:
    """Sizes at and about the ends of a range, and about what the other unit makes of them."""
    edges = [edge * factor for edge in (least, greatest) for factor in (1 / 25.4, 1, 25.4)]
    return [least, greatest] + [edge * near for edge in edges for near in (0.999, 1.001)]


def all_at(document: dict, pointer: str, size: float) -> dict:
    """Every size below a pointer made one and the same; two heights of one spring stay apart."""
    for index, place in enumerate(numbers(document, pointer)):
        if not place.endswith("/load"):
            document = put(document, place, round(size + (1e-6 if index == 0 else 0), 6))
    return document


@pytest.mark.parametrize("field", RANGES)
def test_millimetres_are_doubted_only_when_inches_bring_them_into_their_range(shop, field):
    least, greatest = RANGES[field]
    sound = MORE(demo_set())
    assert of_code(judged(shop, sound), "unit-doubtful") == []
    found = set()
    for size in (round(size, 6) for size in sizes_near(least, greatest)):
        as_inches = size < least <= size * 25.4 <= greatest
        evaluation = judged(shop, all_at(sound, FIRST + field, size))
        assert bool(of_code(evaluation, "unit-doubtful")) == as_inches, size
        found.add(as_inches)
    assert found == {True, False}


@pytest.mark.parametrize("field", RANGES)
def test_inches_are_doubted_only_when_millimetres_bring_them_into_their_range(shop, field):
    least, greatest = RANGES[field]
    sound = blocks_in_inches()
    found = set()
    for inches in (round(size / 25.4, 6) for size in sizes_near(least, greatest)):
        as_millimetres = inches * 25.4 > greatest and least <= inches <= greatest
        evaluation = judged_in_inches(shop, all_at(sound, field, inches))
        assert bool(of_code(evaluation, "unit-doubtful")) == as_millimetres, inches
        found.add(as_millimetres)
    assert found == {True, False}
