"""What stands on the inspection sheet, read back with poppler and checked with qpdf."""

import re

import pytest

from harness.documents import HEADS, all_rows, demo_profile, demo_set, port_name, request
from harness.pdf import Pdf

PAPERS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (612.0, 792.0)}
VERDICTS = {
    "conforms": "conforms",
    "does-not-conform": "does not conform",
    "not-proven": "not proven",
    "not-measured": "not measured",
    "no-limit": "no limit",
}
# Base units over the units of a sheet: NIST SP 811 (2008), B.8; inHg from memory.
FACTORS = {"mm": {"mm": 1, "in": 25.4}, "N": {"N": 1, "lbf": 4.4482216152605}}
FACTORS |= {"kPa": {"kPa": 1, "inHg": 3.386388640341}, "um": {"um": 1, "uin": 0.0254}}
DIMENSIONS = {"mm": "length", "N": "force", "kPa": "pressure", "um": "roughness"}


@pytest.fixture(scope="module", params=[(head, paper) for head in HEADS for paper in PAPERS], ids="-".join)
def made(request, shop, tmp_path_factory):
    """A head on a paper: its evaluation, its sheet, and its titles of characteristics."""
    head, paper = request.param
    job = shop.done(shop.submit(request_for(head, paper)))
    evaluation = shop.get(job["links"]["evaluation"]).json()
    content = shop.fetch(job["links"]["sheet"])
    return head, paper, job, evaluation, Pdf(content, tmp_path_factory.mktemp("sheet") / "sheet.pdf")


def request_for(head: str, paper: str) -> dict:
    return request(head, sheet={"paper": paper})


@pytest.fixture(scope="module")
def titles(shop):
    return {one["id"]: one["title"] for one in shop.get("/v1/characteristics").json()}


def test_the_file_is_clean_and_on_the_paper_asked_for(made):
    _, paper, _, _, sheet = made
    sheet.check()
    assert sheet.size() == pytest.approx(PAPERS[paper], abs=0.01)
    assert sheet.info()["Encrypted"] == "no" and sheet.info()["JavaScript"] == "no"


def test_every_font_is_in_the_file_as_a_subset_that_can_be_searched(made):
    fonts = made[4].fonts()
    assert fonts
    for font in fonts:
        assert (font["embedded"], font["subset"], font["unicode"]) == ("yes", "yes", "yes"), font
        assert re.match(r"[A-Z]{6}\+", font["name"]), font


def test_every_page_names_the_head_the_profile_the_record_and_itself(made):
    _, _, job, evaluation, sheet = made
    profile = evaluation["profile"]
    count = sheet.pages()
    for page in range(1, count + 1):
        text = sheet.text(page)
        assert evaluation["head_serial"] in text
        assert evaluation["job_number"] in text
        assert f"{profile['id']} revision {profile['revision']}" in text
        assert job["evaluation_digest"][:12] in text
        assert re.findall(r"page \d+ of \d+", text) == [f"page {page} of {count}"]
        assert "Demo data." in text, "the notice of the profile stands on every page"
        assert "Not signed" in text


def test_the_first_page_gives_disposition_counts_and_who_and_what(made):
    head, _, job, evaluation, sheet = made
    text = sheet.text(1) + sheet.text(2)
    flat = " ".join(text.split())
    assert re.search(rf"^ *{evaluation['disposition'].upper()}\b", text, re.MULTILINE)
    tally = evaluation["tally"]
    assert f"{tally['conforms']} conform " in flat
    assert f"{tally['does_not_conform']} do not conform" in flat
    assert f"{tally['not_measured']} not measured" in flat
    measured = demo_set(head)
    assert measured["customer"]["name"] in flat
    assert measured["job"]["measured_by"] in flat
    assert job["evaluation_digest"] in flat
    assert any(ord(letter) > 127 for letter in measured["customer"]["name"] + measured["job"]["measured_by"])


def sections(sheet) -> dict[str, list[str]]:
    """The lines below each heading of a table of rows, under the name of what the rows belong to."""
    found: dict[str, list[str]] = {}
    lines: list[str] = []
    for line in sheet.text().splitlines():
        if line.startswith("Deck and head"):
            lines = found.setdefault("head", [])
        elif heading := re.match(r" *Cylinder (\d+), (intake|exhaust) (\d+)(?:  |$)", line):
            lines = found.setdefault("cylinder {} {} {}".format(*heading.groups()), [line])
        elif heading := re.match(r" *Cylinder (\d+)(?: +\(.*\))?$", line):
            lines = found.setdefault(f"cylinder {heading[1]}", [])
        lines.append(line)
    return found


def test_every_port_states_its_verdict_in_words(made):
    _, _, _, evaluation, sheet = made
    found = sections(sheet)
    for port in evaluation["ports"]:
        assert VERDICTS[port["verdict"]] in found[port_name(port)][0], port_name(port)


def figure(text: str) -> float:
    return float(text.replace("−", "-").replace("+", ""))


def is_shown(amount: float, text: str) -> bool:
    """The printed figure is the amount, rounded to the decimals it is printed with."""
    if not re.fullmatch(r"[−+]?\d+(\.\d+)?", text):
        return False
    decimals = len(text.partition(".")[2])
    return abs(figure(text) - amount) <= 0.5 * 10.0**-decimals * (1 + 1e-9) + 1e-12


def line_of(row: dict, title: str, lines: list[str]) -> str:
    """The printed line of a row: verdict, title and unit (which may stand below), then its figures."""
    pattern = rf" *{VERDICTS[row['verdict']]} +{re.escape(title)}(,( \S+)?)?(  |$)"
    matching = [line for line in lines if re.match(pattern, line)]
    assert len(matching) == 1, (row["verdict"], title, matching)
    return re.sub(pattern, "", matching[0])


def check_row(row: dict, title: str, lines: list[str], units: dict) -> None:
    figures = line_of(row, title, lines).split()
    if "in_order" in row:
        assert (figures[:2] == ["in", "order"]) == row["in_order"], (row, figures)
        assert row["in_order"] or figures[:3] == ["not", "in", "order"], (row, figures)
        return
    factor = FACTORS.get(row["unit"], {}).get(units.get(DIMENSIONS.get(row["unit"])), 1)
    expected = [row.get("measured")]
    if "lower" in row or "upper" in row:
        expected += [row.get("lower"), row.get("upper")]
    expected += [row[name] for name in ("deviation", "expanded_uncertainty") if name in row]
    assert len(figures) >= len(expected), (row, figures)
    for amount, shown in zip(expected, figures):
        assert shown == "–" if amount is None else is_shown(amount / factor, shown), (row, figures)


def test_every_row_of_the_evaluation_stands_there_with_its_figures(made, titles):
    """Verdict, measured value, limits, deviation and uncertainty, in the units of the set."""
    head, _, _, evaluation, sheet = made
    found, units = sections(sheet), demo_set(head)["units"]
    checked = 0
    for name, rows in [
        ("head", evaluation["head"]),
        *((f"cylinder {of['cylinder']}", of["rows"]) for of in evaluation["cylinders"]),
        *((port_name(of), of["rows"]) for of in evaluation["ports"]),
    ]:
        for row in rows:
            check_row(row, titles[row["characteristic"]], found[name], units)
            checked += 1
    assert checked == sum(evaluation["tally"].values())


def test_every_limit_in_use_names_its_source(made):
    head, _, _, evaluation, sheet = made
    flat = " ".join(sheet.text().split())
    limits = demo_profile(head)["limits"]
    used = {limits[row["limit"]]["source"] for _, row in all_rows(evaluation) if "limit" in row}
    assert used
    for source in used:
        assert re.search(rf"\[\d+\] {re.escape(source)}", flat), source
