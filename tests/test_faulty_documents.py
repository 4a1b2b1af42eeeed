"""Documents with faults: each fault is told with its place, all of them in one answer."""

import json

import pytest

from harness.documents import all_rows, at, limit, put, request, small_profile, take
from harness.problems import check_problem, pointers

PORT = "/measurement_set/ports/2"


def refused(shop, document: dict | str, path: str = "/v1/jobs") -> dict:
    text = document if isinstance(document, str) else json.dumps(document)
    return check_problem(shop.post_text(path, text), 422, "invalid-document")


@pytest.mark.parametrize(
    "pointer, value",
    [
        (f"{PORT}/seat/runout/direktion", "square"),
        (f"{PORT}/guide/bores/upper", [8.0]),
        ("/measurement_set/colour", "red"),
        ("/profile/limits/0/maximum", 3),
        ("/profile/decision_rule/k", 2),
        ("/sheet", {"paper": "a4", "colour": True}),
        ("/priority", 1),
    ],
)
def test_a_field_that_does_not_exist_is_named_where_it_stands(shop, pointer, value):
    expected = f"{pointer}/colour" if pointer == "/sheet" else pointer
    assert pointers(refused(shop, put(request(), pointer, value))) == [expected]


@pytest.mark.parametrize(
    "pointer",
    [
        "/measurement_set/head/serial",
        "/measurement_set/units/length",
        "/measurement_set/ports/1/cylinder",
        "/profile/revision",
        "/profile/limits/1/source",
    ],
)
def test_a_field_that_is_missing_is_named(shop, pointer):
    assert pointers(refused(shop, take(request(), pointer))) == [pointer]


@pytest.mark.parametrize(
    "pointer, word",
    [
        ("length", "cm"),
        ("length", "inch"),
        ("force", "kg"),
        ("pressure", "psi"),
        ("volume", "cc"),
        ("roughness", "µm"),
    ],
)
def test_a_unit_that_is_not_known_is_refused(shop, pointer, word):
    place = f"/measurement_set/units/{pointer}"
    problem = refused(shop, put(request(), place, word))
    assert pointers(problem) == [place]
    assert problem["errors"][0]["value"] == word


@pytest.mark.parametrize(
    "place, value",
    [
        ("/customer/name", ""),
        ("/customer/name", " \t"),
        ("/head/serial", "x" * 201),
        ("/job/measured_at", "yesterday"),
        ("/job/measured_at", "2026-02-30T10:00:00Z"),
        ("/job/measured_at", "2026-02-03T10:00:00"),
        ("/layout/cylinders", 0),
        ("/layout/cylinders", 17),
    ],
)
def test_a_value_that_makes_no_sense_is_refused(shop, place, value):
    found = pointers(refused(shop, put(request(), f"/measurement_set{place}", value)))
    assert f"/measurement_set{place}" in found


@pytest.mark.parametrize(
    "number",
    [
        "1e999",
        "-1e999",
        "1e400",
        "1.234567890123456",
        "1234567890.1234567",
        "123456789012345678901",
        "0.12345678901234567890",
    ],
)
def test_a_number_that_cannot_be_kept_exactly_is_refused(shop, number):
    """More than 15 significant digits do not survive a double: IEEE 754 binary64 guarantees 15."""
    place = f"{PORT}/valve/margin"
    text = json.dumps(put(request(), place, 98765.5)).replace("98765.5", number)
    assert pointers(refused(shop, text)) == [place]


@pytest.mark.parametrize(
    "number", ["1.23456789012345", "0.00115", "1.15e0", "1150e-3", "1.1500000000000000000"]
)
def test_a_number_of_no_more_than_15_digits_is_fine(shop, number):
    text = json.dumps(put(request(), f"{PORT}/valve/margin", 98765.5)).replace("98765.5", number)
    response = shop.post_text("/v1/evaluate", text)
    if number.endswith("000"):
        # Zeros behind the point claim a resolution: more than 15 digits are more than 15 digits.
        assert pointers(check_problem(response, 422, "invalid-document")) == [f"{PORT}/valve/margin"]
    else:
        assert response.status_code == 200, response.text


def test_a_field_that_stands_twice_is_refused(shop):
    for name, twice in [("margin", f"{PORT}/valve/margin"), ("serial", "/measurement_set/head/serial")]:
        value = json.dumps(at(request(), twice))
        text = json.dumps(put(request(), twice, "TWICE")).replace(
            f'"{name}": "TWICE"', f'"{name}": {value}, "{name}": {value}'
        )
        assert pointers(refused(shop, text)) == [twice]


ODD_NAMES = {
    "combining": "Ame\u0301lie Z\u0323\u0323\u0323\u0330o\u0308e\u0301",
    "composed": "Amélie Žöé",
    "emoji": "🔧 Werkstatt 👩🏽‍🔧",
    "Chinese": "气缸盖修理合作社",
    "Japanese and Korean": "バルブシート 밸브 시트",
    "Arabic and Hebrew": "ورشة الصمامات מושב שסתום",
    "Devanagari and Thai": "वाल्व सीट บ่าวาล์ว",
    "ligatures and marks": "ﬁ ﬀ № ™ ½ µ Ω ∅",
    "markup": "<b>&amp;</b> \\(x) %PDF-1.7 (endobj) ${x} {{x}}",
    "outside the basic plane": "𝔥𝔢𝔞𝔡 𐍈 𠜎",
    "not in any font": "\ue000\U000f0000\U0010fffd",
    "spaces": "a\u00a0b\u2003c\u3000d",
    "long": "Genossenschaft " * 13,
}


@pytest.mark.parametrize("name", ODD_NAMES.values(), ids=ODD_NAMES)
def test_a_name_in_any_script_is_accepted_and_drawn(shop, pdf, name):
    name = name.strip()
    document = request()
    for place in (
        "/head/serial",
        "/customer/name",
        "/job/measured_by",
        "/job/number",
        "/instruments/0/description",
    ):
        document = put(document, f"/measurement_set{place}", name)
    job = shop.done(shop.submit(document))
    assert job["head_serial"] == name
    assert shop.get(job["links"]["measurement_set"]).json()["customer"]["name"] == name
    sheet = pdf(shop.fetch(job["links"]["sheet"]))
    sheet.check()
    assert sheet.pages() >= 5


@pytest.mark.parametrize(
    "bad", ["\u0000", "\u0007", "\u001b", "\n", "\u007f", "\u0085", "\u200e", "\u202e", "\u2066", "\u061c"]
)
def test_control_characters_and_marks_that_turn_a_line_are_refused(shop, bad):
    """A name that holds U+202E can be made to read as another: Unicode Technical Report 36."""
    document = put(request(), "/measurement_set/customer/name", f"Shop{bad}3")
    document = put(document, "/measurement_set/head/serial", f"S{bad}1")
    found = pointers(refused(shop, document))
    assert found == ["/measurement_set/customer/name", "/measurement_set/head/serial"]


def test_half_of_a_surrogate_pair_is_refused(shop):
    text = json.dumps(put(request(), "/measurement_set/customer/name", "\ud83d"))
    assert r"\ud83d" in text
    assert pointers(refused(shop, text)) == ["/measurement_set/customer/name"]


def test_all_faults_of_form_come_in_one_answer(shop):
    document = put(request(), f"{PORT}/seat/runout/direktion", "square")
    document = put(document, "/measurement_set/units/force", "kg")
    document = put(document, "/measurement_set/ports/0/valve/coated", "no")
    document = take(document, "/measurement_set/job/measured_by")
    document = put(document, "/profile/limits/3/if_outside", "scrap")
    document = put(document, "/priority", 1)
    expected = [
        "/measurement_set/job/measured_by",
        "/measurement_set/ports/0/valve/coated",
        f"{PORT}/seat/runout/direktion",
    ]
    expected += ["/measurement_set/units/force", "/priority", "/profile/limits/3/if_outside"]
    assert pointers(refused(shop, document)) == sorted(expected)


def test_all_faults_of_content_come_in_one_answer(shop):
    document = put(request(), "/measurement_set/ports/0/valve/head_diameter", -36)
    document = put(document, "/measurement_set/ports/1/seat/seat_angle", 90)
    document = put(document, "/measurement_set/ports/5/guide/instrument", "bore-9")
    document = put(document, "/measurement_set/job/measured_at", "noon")
    document = put(document, "/profile/limits/0/characteristic", "seat-colour")
    expected = ["/measurement_set/job/measured_at", "/measurement_set/ports/0/valve/head_diameter"]
    expected += ["/measurement_set/ports/1/seat/seat_angle", "/measurement_set/ports/5/guide/instrument"]
    expected += ["/profile/limits/0/characteristic"]
    assert pointers(refused(shop, document)) == sorted(expected)


def test_faults_of_form_and_of_content_come_in_one_answer(shop):
    document = put(request(), f"{PORT}/valve/colour", "red")
    document = put(document, "/measurement_set/ports/0/valve/head_diameter", -36)
    document = put(document, "/profile/limits/0/characteristic", "seat-colour")
    expected = [
        "/measurement_set/ports/0/valve/head_diameter",
        f"{PORT}/valve/colour",
        "/profile/limits/0/characteristic",
    ]
    assert pointers(refused(shop, document)) == sorted(expected)


def test_faults_of_the_request_and_of_its_documents_come_in_one_answer(shop):
    document = put(request(client_reference="x" * 201), "/measurement_set/ports/0/valve/head_diameter", -36)
    expected = ["/client_reference", "/measurement_set/ports/0/valve/head_diameter"]
    assert pointers(refused(shop, document)) == expected
    document = take(document, "/profile") | {"profile_ref": {"id": "nobody", "revision": "1"}}
    assert pointers(refused(shop, document)) == [*expected, "/profile_ref"]


def test_a_refused_job_leaves_nothing_behind(shop):
    before = shop.submit(request(serial="NOTHING-1"))["revision"]
    document = put(request(serial="NOTHING-1"), "/measurement_set/ports/0/valve/head_diameter", -36)
    refused(shop, document)
    assert shop.submit(request(serial="NOTHING-1"))["revision"] == before + 1


def not_passed(evaluation: dict) -> int:
    """How many limited rows were found outside, or made unusable by a finding."""
    rows = [one for _, one in all_rows(evaluation) if "limit" in one]
    return sum(one["verdict"] == "does-not-conform" or one["reason"] == "blocked-by-finding" for one in rows)


def is_doubted_at_every_port(evaluation: dict) -> bool:
    found = [one["pointers"] for one in evaluation["findings"] if one["code"] == "unit-doubtful"]
    starts = [f"/ports/{index}/" for index in range(len(evaluation["ports"]))]
    return all(any(pointers[0].startswith(start) for pointers in found) for start in starts)


def test_millimetres_posted_as_inches_are_never_accepted(shop):
    base = shop.evaluate(request())
    assert (base["disposition"], not_passed(base)) == ("accept", 0)
    wrong = shop.evaluate(put(request(), "/measurement_set/units/length", "in"))
    assert wrong["disposition"] in ("rework", "reject", "incomplete")
    assert is_doubted_at_every_port(wrong)
    assert not_passed(wrong) > 70


def test_inches_posted_as_millimetres_are_never_accepted(shop):
    base = shop.evaluate(request("cold-store-8v"))
    wrong = shop.evaluate(put(request("cold-store-8v"), "/measurement_set/units/length", "mm"))
    assert wrong["disposition"] in ("rework", "reject", "incomplete")
    assert is_doubted_at_every_port(wrong)
    assert not_passed(wrong) > not_passed(base) + 70


@pytest.mark.parametrize("head, unit", [("generator-3cyl-6v", "in"), ("cold-store-8v", "mm")])
def test_a_head_in_the_wrong_unit_is_not_accepted_even_where_every_row_conforms(shop, head, unit):
    profile = small_profile(limit("margin", lower=0.01))
    right = request(head) | {"profile": profile}
    assert shop.evaluate(right)["disposition"] == "accept"
    wrong = shop.evaluate(put(right, "/measurement_set/units/length", unit))
    assert wrong["tally"]["conforms"] == len(wrong["ports"])
    assert wrong["disposition"] == "incomplete"


@pytest.mark.parametrize("name, word", [("force", "lbf"), ("pressure", "inHg")])
def test_other_wrong_units_are_never_accepted(shop, name, word):
    wrong = shop.evaluate(put(request(), f"/measurement_set/units/{name}", word))
    assert wrong["disposition"] != "accept", wrong["headline"]
