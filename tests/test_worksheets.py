"""The blank worksheet: asked for over HTTP and at the command line, read back with poppler, its code with a reader
of codes that shares nothing with the program."""

import copy
import hashlib
import json
import re
import subprocess
from decimal import Decimal

import numpy
import pytest
import rfc8785
import zxingcpp

from harness.database import query
from harness.documents import (
    HEADS,
    INCH,
    METRIC,
    demo_profile,
    demo_set,
    limit,
    profile_path,
    put,
    small_profile,
    take,
)
from harness.pdf import Pdf
from harness.problems import check_problem, pointers
from harness.program import run

PAPERS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (612.0, 792.0)}
# Base units over the units of a document: NIST SP 811 (2008), B.8; inHg from memory.
FACTORS = {
    "in": Decimal("25.4"),
    "lbf": Decimal("4.4482216152605"),
    "inHg": Decimal("3.386388640341"),
    "uin": Decimal("0.0254"),
}
DIMENSIONS = {"mm": "length", "N": "force", "kPa": "pressure", "um": "roughness"}


def asked(head: str = "generator-3cyl-6v", **more: object) -> dict:
    measured = demo_set(head)
    return {
        "layout": measured["layout"],
        "profile": demo_profile(head),
        "units": measured["units"],
        **more,
    }


def drawn(shop, document: dict, pdf) -> Pdf:
    response = shop.post("/v1/worksheet", document)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/pdf"
    return pdf(response.content)


@pytest.fixture(scope="module")
def characteristics(shop):
    return {one["id"]: one for one in shop.get("/v1/characteristics").json()}


def flat(text: str) -> str:
    return " ".join(text.split())


def solid(text: str) -> str:
    return "".join(text.split())


def reading_order(sheet: Pdf) -> str:
    """The text in the order in which it was drawn: a name, then its limits."""
    command = ["pdftotext", "-raw", "-enc", "UTF-8", str(sheet.path), "-"]
    return flat(subprocess.run(command, capture_output=True, text=True, timeout=60, check=True).stdout)


def loose(words: str) -> str:
    """A pattern for words that may be broken into lines anywhere."""
    return r"\s*".join(map(re.escape, solid(words)))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("head", HEADS)
def test_the_file_is_clean_and_names_what_it_belongs_to_on_every_page(shop, pdf, head, paper):
    document = asked(head, head_serial="ΚΕΦΑΛΗ-7", job_number="№ 41-Ж", sheet={"paper": paper})
    sheet = drawn(shop, document, pdf)
    sheet.check()
    assert sheet.size() == pytest.approx(PAPERS[paper], abs=0.01)
    assert all(font["embedded"] == font["unicode"] == "yes" for font in sheet.fonts())
    digest = hashlib.sha256(rfc8785.dumps(document["profile"])).hexdigest()
    count = sheet.pages()
    for page in range(1, count + 1):
        text = sheet.text(page)
        for words in ("ΚΕΦΑΛΗ-7", "№ 41-Ж", digest[:12], f"page {page} of {count}", "Demo data."):
            assert words in text, (page, words)
    assert digest in sheet.text(1)


def printed(number: float, one: dict, written: dict, wanted: dict) -> str:
    """A pattern for how an amount of a profile may be printed: with every decimal it was written with where the units
    are the same, else converted and rounded by no more than a hundredth of it."""
    dimension = DIMENSIONS.get(one["unit"])
    exact, most = Decimal(repr(number)), Decimal(0)
    if dimension is not None and written[dimension] != wanted[dimension]:
        exact = exact * FACTORS.get(written[dimension], 1) / FACTORS.get(wanted[dimension], 1)
        most = abs(exact) / 100
    texts = [f"{exact:.{places}f}" for places in range(8)]
    near = [text.replace("-", "−") for text in texts if abs(Decimal(text) - exact) <= most]
    return r"\s*(?:" + "|".join(map(re.escape, near)) + r")(?![\d.])"


@pytest.mark.parametrize("units", [METRIC, INCH], ids=["mm", "in"])
@pytest.mark.parametrize("head", HEADS)
def test_every_limit_of_the_profile_is_printed_in_the_units_asked_for(shop, pdf, characteristics, head, units):
    document = asked(head)
    profile = document["profile"]
    sheet = drawn(shop, document | {"units": units}, pdf)
    text = reading_order(sheet)
    checked = 0
    for entry in profile["limits"]:
        one = characteristics[entry["characteristic"]]
        assert re.search(loose(one["title"]), text), one["title"]
        if "unit" not in one:
            continue
        pieces = [
            rf"\s*{sign}" + printed(entry[name], one, profile["units"], units)
            for sign, name in (("≥", "lower"), ("≤", "upper"))
            if name in entry
        ]
        # After its name come its unit and, before a wear limit, the build limit and the nominal.
        before = r"[^≥≤]{0,60}" if entry["use"] == "build" else r"(?:(?!as received).){0,99}as received:?"
        assert re.search(loose(one["title"]) + before + "".join(pieces), text), (entry, pieces)
        checked += 1
    assert checked > 15


def test_every_characteristic_there_is_has_its_place(shop, pdf, characteristics):
    window = {"length": 75, "width": 75}
    limits = [
        limit(one["id"], **({"upper": 1.5} if "unit" in one else {}), **({"window": window} if one["needs_window"] else {}))
        for one in characteristics.values()
    ]
    sheet = drawn(shop, asked(profile=small_profile(*limits)), pdf)
    text = reading_order(sheet)
    missing = [one["title"] for one in characteristics.values() if not re.search(loose(one["title"]), text)]
    assert missing == []
    amounts = [one["belongs_to"] for one in characteristics.values() if "unit" in one]
    layout = demo_set()["layout"]
    ports = layout["cylinders"] * (layout["intake_per_cylinder"] + layout["exhaust_per_cylinder"])
    expected = amounts.count("head") + amounts.count("cylinder") + ports * amounts.count("port")
    assert len(re.findall(r"≤\s*1\.50*(?![\d.])", text)) == expected


def code_on(page: int, sheet: Pdf) -> list:
    """What a camera would read on a page at 150 dots per inch."""
    command = ["pdftoppm", "-r", "150", "-gray", "-f", str(page), "-l", str(page), "-singlefile", str(sheet.path)]
    image = subprocess.run(command, capture_output=True, timeout=60, check=True).stdout
    header = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", image)
    width, height = int(header[1]), int(header[2])
    pixels = numpy.frombuffer(image, numpy.uint8, width * height, header.end()).reshape(height, width)
    return [(found.format.name, found.text) for found in zxingcpp.read_barcodes(pixels)]


@pytest.mark.parametrize(
    ("serial", "job"),
    [(None, None), ("DEMO-17", "J-2026-04"), ("Ω" * 200, "Щ7-" + "0" * 197)],
    ids=["neither", "both", "as long as allowed"],
)
def test_the_code_can_be_read_and_ties_the_paper_to_profile_layout_and_job(shop, pdf, serial, job):
    document = asked("irrigation-pump-16v")
    known = {name: text for name, text in (("head_serial", serial), ("job_number", job)) if text}
    sheet = drawn(shop, document | known, pdf)
    profile, layout = document["profile"], document["layout"]
    lines = [
        "headproof worksheet 1",
        f"profile {profile['id']} {profile['revision']}",
        f"sha256 {hashlib.sha256(rfc8785.dumps(profile)).hexdigest()}",
        f"layout {layout['cylinders']}x{layout['intake_per_cylinder']}+{layout['exhaust_per_cylinder']}"
        f" {layout['camshaft']} {layout['lifter']}",
        "units " + " ".join(document["units"][name] for name in ("length", "force", "volume", "pressure", "roughness")),
    ]
    lines += [f"job {job}"] if job else []
    lines += [f"head {serial}"] if serial else []
    assert code_on(1, sheet) == [("QRCode", "\n".join(lines))]
    text = solid(sheet.text(1))
    for words in (f"Profile{profile['id']}", f"Revision{profile['revision']}", "4cylinders,4valveseach"):
        assert words in text
    # No other page carries a code that could be taken for it.
    assert code_on(2, sheet) == []


def test_a_stored_profile_can_be_named_and_nothing_is_kept(service, shop, pdf):
    profile = demo_profile() | {"id": "for-worksheets", "revision": "2"}
    assert shop.post("/v1/profiles", profile).status_code == 201
    inline = shop.post("/v1/worksheet", asked(profile=profile)).content
    named = take(asked(), "/profile") | {"profile_ref": {"id": "for-worksheets", "revision": "2"}}
    assert shop.post("/v1/worksheet", named).content == inline
    assert query(service.store, "SELECT count(*) FROM job") == [(0,)]


def test_the_same_request_gives_the_same_bytes_at_the_service_and_at_the_command_line(shop, tmp_path):
    document = asked("cold-store-8v", head_serial="A-17", job_number="J-4", sheet={"paper": "letter"}, units=INCH)
    layout = {name: value for name, value in document["layout"].items() if name != "compression"}
    document["layout"] = layout
    content = shop.post("/v1/worksheet", document).content
    assert content == shop.post("/v1/worksheet", copy.deepcopy(document)).content
    (tmp_path / "layout.json").write_text(json.dumps(layout))
    for out in (tmp_path / "1.pdf", tmp_path / "2.pdf"):
        finished = at_the_bench(tmp_path / "layout.json", out, "--units", "in", "--head", "A-17", "--job", "J-4", "--paper", "letter")
        assert finished.returncode == 0, finished.stderr
        assert out.read_bytes() == content


def test_german_is_the_same_at_the_service_and_at_the_command_line(shop, pdf, tmp_path):
    document = asked("cold-store-8v", sheet={"language": "de"})
    document["units"] = document["profile"]["units"]
    sheet = drawn(shop, document, pdf)
    assert "Messblatt" in sheet.text(1) and "Bench worksheet" not in sheet.text()
    (tmp_path / "layout.json").write_text(json.dumps(document["layout"]))
    out = tmp_path / "out.pdf"
    finished = at_the_bench(tmp_path / "layout.json", out, "--language", "de")
    assert finished.returncode == 0, finished.stderr
    assert out.read_bytes() == sheet.path.read_bytes()
    assert out.read_bytes() != shop.post("/v1/worksheet", take(document, "/sheet")).content


def at_the_bench(layout, out, *more, head: str = "cold-store-8v"):
    return run("worksheet", "--layout", layout, "--profile", profile_path(head), "--out", out, *more)


def test_without_units_the_command_line_takes_those_of_the_profile(tmp_path):
    (tmp_path / "layout.json").write_text(json.dumps(demo_set("cold-store-8v")["layout"]))
    out = tmp_path / "out.pdf"
    assert at_the_bench(tmp_path / "layout.json", out).returncode == 0
    units = demo_profile("cold-store-8v")["units"]
    assert f"{units['length']}, °, {units['force']}" in flat(Pdf(out.read_bytes(), out).text(1))


def test_what_the_layout_says_of_the_compression_ratio_is_printed_where_it_would_be_written(shop, pdf):
    document = asked("irrigation-pump-16v")
    document["layout"]["compression"] = {"bore": 83.127, "stroke": {"repeats": [91.41, 91.42]}}
    text = drawn(shop, document, pdf).text()
    assert "83.127" in text and "91.41; 91.42" in flat(text)


FAULTS = {
    "no cylinders": ("/layout/cylinders", 0),
    "too many cylinders": ("/layout/cylinders", 17),
    "a layout that is none": ("/layout/camshaft", "sideways"),
    "a reading that cannot be": ("/layout/compression/bore", -80.0),
    "crossed limits": ("/profile/limits/0/upper", -1000),
    "an unknown characteristic": ("/profile/limits/0/characteristic", "colour"),
    "a control character": ("/job_number", "A\u0007"),
    "no words": ("/head_serial", " "),
    "too many words": ("/head_serial", "x" * 201),
    "an unknown unit": ("/units/length", "ell"),
    "an unknown paper": ("/sheet", {"paper": "a3"}),
    "an unknown language": ("/sheet", {"language": "fr"}),
    "a field too many": ("/colour", "red"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_told_with_its_place(shop, fault):
    place, value = FAULTS[fault]
    problem = check_problem(shop.post("/v1/worksheet", put(asked(), place, value)), 422, "invalid-document")
    found = pointers(problem)
    assert len(found) == 1 and (found[0].startswith(place) or place.startswith(found[0])), problem


def test_all_faults_are_told_at_once(shop):
    document = put(asked(job_number=""), "/layout/cylinders", 40)
    document["profile"]["limits"][3]["characteristic"] = "colour"
    problem = check_problem(shop.post("/v1/worksheet", document), 422, "invalid-document")
    assert pointers(problem) == ["/job_number", "/layout/cylinders", "/profile/limits/3/characteristic"]


def test_a_worksheet_needs_one_profile(shop):
    reference = {"id": "nowhere", "revision": "1"}
    for document, place in (
        (take(asked(), "/profile"), "/profile"),
        (asked(profile_ref=reference), "/profile_ref"),
        (take(asked(), "/profile") | {"profile_ref": reference}, "/profile_ref"),
    ):
        problem = check_problem(shop.post("/v1/worksheet", document), 422, "invalid-document")
        assert pointers(problem) == [place]


def test_faults_at_the_command_line_are_told_of_both_documents(tmp_path):
    (tmp_path / "layout.json").write_text(json.dumps(put(demo_set()["layout"], "/cylinders", 40)))
    (tmp_path / "profile.json").write_text(json.dumps(put(demo_profile(), "/limits/0/upper", -1000)))
    out = tmp_path / "out.pdf"
    finished = run(
        "worksheet", "--layout", tmp_path / "layout.json", "--profile", tmp_path / "profile.json", "--out", out
    )
    said = finished.stderr.decode()
    assert finished.returncode == 2 and not out.exists()
    assert "/layout/cylinders" in said and "/limits/0" in said


def test_what_is_no_json_or_too_large_is_refused(shop):
    check_problem(shop.post_text("/v1/worksheet", "{"), 400, "not-json")
    check_problem(shop.post_text("/v1/worksheet", "{}", "text/plain"), 415, "unsupported-media-type")
    check_problem(shop.post_text("/v1/worksheet", " " * (5 << 20)), 413, "too-large")
    assert shop.get("/v1/worksheet").status_code == 405


def test_the_largest_head_gets_its_worksheet(shop, pdf):
    layout = demo_set()["layout"] | {"cylinders": 16, "intake_per_cylinder": 3, "exhaust_per_cylinder": 2}
    sheet = drawn(shop, asked(layout=layout), pdf)
    text = flat(sheet.text())
    assert "Cylinder 16, exhaust 2" in text and sheet.pages() <= 400


def test_cautions_are_those_of_the_layout(shop, pdf):
    overhead = asked("irrigation-pump-16v")
    assert overhead["layout"]["camshaft"] == "overhead"
    with_shaft = flat(drawn(shop, overhead, pdf).text())
    without = flat(drawn(shop, put(overhead, "/layout/camshaft", "pushrod"), pdf).text())
    for words in ("Turning over", "Warped deck"):
        assert words in with_shaft and words not in without
    for words in ("Valve springs", "Old gaskets and soot", "These limits"):
        assert words in with_shaft and words in without
