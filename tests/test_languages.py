"""Pages in the language that was asked for, with every text of it in the catalogues."""

import json
import re

import pikepdf
import pytest

from harness.documents import HEADS, demo_profile, demo_set, profile_path, request, set_path
from harness.pdf import Pdf
from harness.places import ROOT
from harness.problems import check_problem, pointers
from harness.program import run

GERMAN = {"language": "de"}
PLANNED = "irrigation-pump-16v"


def fixed(language: str) -> dict[str, str]:
    """The messages without values, as the catalogue has them."""
    files = sorted((ROOT / "crates" / "texts" / "locales" / language).glob("*.ftl"))
    lines = [line for file in files for line in file.read_text().splitlines()]
    messages = [re.fullmatch(r"([a-z][a-z0-9-]*) = ([^{}]+)", line) for line in lines]
    return {found[1]: found[2] for found in messages if found}


def solid(text: str) -> str:
    return "".join(text.split())


ENGLISH, SAID = fixed("en"), fixed("de")
# What is shorter may stand in a longer German word.
PAIRS = [(ENGLISH[name], SAID[name]) for name in sorted(ENGLISH.keys() & SAID.keys())]
PAIRS = [(english, said) for english, said in PAIRS if len(english) > 12 and english != said]


def job(head: str = PLANNED, **more) -> dict:
    return request(head, sheet=GERMAN, **more)


def layout_request(head: str) -> dict:
    measured = demo_set(head)
    return {"layout": measured["layout"], "profile": demo_profile(head), "units": measured["units"], "sheet": GERMAN}


def flow(pdf: Pdf) -> str:
    """All text without white space, in the order of drawing."""
    with pikepdf.open(pdf.path) as file:
        assert file.Root.Lang == "de"
        assert file.open_metadata()["dc:language"] == {"de"}
    return solid(pdf.raw())


@pytest.fixture(scope="module", params=[*HEADS, "with a plan", "batch", "worksheet"])
def german(request, shop, tmp_path_factory):
    """Each kind of file the program makes, in German."""
    match request.param:
        case "with a plan":
            content = shop.sheet(job(workshop={}))
        case "batch":
            lines = [json.dumps(job(head)).encode() for head in HEADS]
            content = shop.fetch(shop.done(shop.submit_batch(lines))["links"]["report"])
        case "worksheet":
            content = shop.post("/v1/worksheet", layout_request(PLANNED)).content
        case head:
            content = shop.sheet(job(head))
    return Pdf(content, tmp_path_factory.mktemp("german") / "pages.pdf")


def test_no_english_text_of_the_catalogue_is_left(german):
    german.check()
    text = flow(german)
    assert len(PAIRS) > 60
    assert [english for english, _ in PAIRS if solid(english) in text] == []
    assert sum(solid(said) in text for _, said in PAIRS) >= 10
    assert f"Seite1von{german.pages()}" in text


def test_the_check_above_finds_english(shop, pdf):
    """The proof that it can fail."""
    text = solid(pdf(shop.sheet(request(PLANNED))).raw())
    assert sum(solid(english) in text for english, _ in PAIRS) >= 20


def test_the_record_is_the_same_in_every_language(shop):
    english, german = (shop.done(shop.submit(one)) for one in (request(PLANNED), job()))
    assert english["evaluation_digest"] == german["evaluation_digest"]
    files = [shop.fetch(one["links"]["sheet"]) for one in (english, german)]
    assert files[0] != files[1]
    identities = [re.search(rb"/ID ?\[([^\]]+)\]", content)[1] for content in files]
    assert identities[0] != identities[1]


def test_a_batch_speaks_the_language_of_its_first_head(shop, pdf):
    first, second = job("cold-store-8v"), request("generator-3cyl-6v")
    for documents, word in (((first, second), "Losbericht"), ((second, first), "Batch report")):
        batch = shop.done(shop.submit_batch([json.dumps(document).encode() for document in documents]))
        report = pdf(shop.fetch(batch["links"]["report"]))
        assert word in report.text(1)
        # Each sheet alone is in the language that its own head asks for.
        sheets = [pdf(shop.fetch(one["links"]["sheet"])).text(1) for one in shop.jobs(batch)]
        assert ["Seite 1 von" in text for text in sheets] == [one is first for one in documents]


@pytest.mark.parametrize("language", ["fr", "DE", "de-DE", "", 7, None])
@pytest.mark.parametrize("path", ["/v1/jobs", "/v1/worksheet"])
def test_a_language_without_a_catalogue_is_a_fault_where_it_stands(shop, path, language):
    document = {"/v1/jobs": job, "/v1/worksheet": layout_request}[path](PLANNED)
    document["sheet"] = {"language": language}
    problem = check_problem(shop.post(path, document), 422, "invalid-document")
    assert set(pointers(problem)) == {"/sheet/language"}


def test_plan_and_worksheet_of_the_command_line_speak_it_too(shop, tmp_path):
    out = tmp_path / "out.pdf"
    document = layout_request(PLANNED)
    (tmp_path / "layout.json").write_text(json.dumps(document["layout"]))
    (tmp_path / "workshop.json").write_text("{}")
    common = ["--profile", profile_path(PLANNED), "--language", "de"]
    assert run("worksheet", "--layout", tmp_path / "layout.json", *common, "--out", out).returncode == 0
    assert out.read_bytes() == shop.post("/v1/worksheet", document).content
    run("plan", set_path(PLANNED), *common, "--workshop", tmp_path / "workshop.json", "--sheet", out)
    assert out.read_bytes() == shop.sheet(job(workshop={}))
