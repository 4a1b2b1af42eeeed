"""What a screen reader or a program that takes text out of a file gets of it: its structure."""

import json
import re
import subprocess
from collections.abc import Iterator

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name
from test_archive import broken, objects
from test_sheet_content import VERDICTS, check_row, titles  # noqa: F401

from harness import counts
from harness.documents import CONFORMING, HEADS, demo_profile, demo_set, port_name, request
from harness.tags import faults, read_page, tree

PLANNED = "irrigation-pump-16v"


@pytest.fixture(scope="module", params=[*HEADS, "batch", "worksheet"])
def file(request, shop) -> bytes:
    """The sheet of every demo head with its plan, a report of them, and a worksheet."""
    match request.param:
        case "batch":
            lines = [json.dumps(posted(head)).encode() for head in HEADS]
            return shop.fetch(shop.done(shop.submit_batch(lines))["links"]["report"])
        case "worksheet":
            measured = demo_set(PLANNED)
            asked = {name: measured[name] for name in ("layout", "units")}
            answer = shop.post("/v1/worksheet", {**asked, "profile": demo_profile(PLANNED)})
            assert answer.status_code == 200, answer.text
            return answer.content
        case head:
            return shop.sheet(posted(head))


def posted(head: str) -> dict:
    return request(head, workshop={})


@pytest.fixture(scope="module")
def sheet(shop) -> bytes:
    return shop.sheet(posted(PLANNED))


def test_everything_on_every_page_has_its_place_in_the_structure(file):
    assert faults(file) == []


def first(pdf, kind: str) -> pikepdf.Object:
    return objects(pdf, "/S", Name(f"/{kind}"))[0]


def leaf_of(pdf) -> Array:
    return pdf.Root.StructTreeRoot.ParentTree.Kids[0].Nums


def unmarked(pdf):
    pdf.Root.MarkInfo.Marked = False


def no_structure(pdf):
    del pdf.Root["/StructTreeRoot"]


def stray_rule(pdf):
    pdf.pages[0].contents_add(b"0 0 m 9 9 l S", prepend=True)


def stray_text(pdf):
    pdf.pages[0].contents_add(b"BT /F1 9 Tf 9 9 Td (aa) Tj ET")


def rewritten(old: bytes, new: bytes, name: str):
    def rewrite(pdf):
        content = pdf.pages[0].Contents.read_bytes()
        assert old in content
        pdf.pages[0].Contents.write(content.replace(old, new, 1))

    rewrite.__name__ = name
    return rewrite


def unlisted_page(pdf):
    del pdf.pages[1].obj["/StructParents"]


def swapped_parents(pdf):
    owners = leaf_of(pdf)[1]
    owners[0], owners[3] = owners[3], owners[0]


def short_list(pdf):
    del leaf_of(pdf)[1][-1]


def content_twice(pdf):
    first(pdf, "TH").K = first(pdf, "H1").K
    first(pdf, "TH").Pg = first(pdf, "H1").Pg


def cut_off(pdf):
    del first(pdf, "Sect").K[0]


def other_parent(pdf):
    first(pdf, "TR").P = first(pdf, "Document")


def other_root(pdf):
    first(pdf, "Document").P = first(pdf, "Sect")


def unknown_type(pdf):
    first(pdf, "LBody").S = Name.Cell


def cell_in_table(pdf):
    first(pdf, "TR").S = Name.TD


def narrow_row(pdf):
    del first(pdf, "TR").K[-1]


def wide_cell(pdf):
    first(pdf, "TH").A.ColSpan = 2


def headless_table(pdf):
    for cell in objects(pdf, "/S", Name.TH):
        del cell["/A"]


def mute_figure(pdf):
    del first(pdf, "Figure")["/Alt"]


def deep_heading(pdf):
    first(pdf, "H2").S = Name.H3


BREAKS = [unmarked, no_structure, stray_rule, stray_text, unlisted_page, swapped_parents, short_list]
BREAKS += [content_twice, cut_off, other_parent, other_root, unknown_type, cell_in_table, narrow_row, wide_cell]
BREAKS += [headless_table, mute_figure, deep_heading]
BREAKS += [
    rewritten(b"/Artifact BMC", b"/Span BMC", "other_mark"),
    rewritten(b"EMC\n", b"", "sequence_within_another"),
    rewritten(b"/MCID 1>>", b"/MCID 0>>", "number_twice"),
    rewritten(b"/H1<<", b"/P<<", "other_tag"),
    rewritten(b"BT\n", b"q BT\n", "state_kept"),
    rewritten(b" Td\n", b" Td\nEMC\n", "end_within_text"),
]


def test_a_file_that_is_only_written_anew_is_not_broken(sheet):
    assert faults(broken(sheet, lambda pdf: None)) == []


@pytest.mark.parametrize("change", BREAKS, ids=lambda change: change.__name__)
def test_what_is_broken_is_found(sheet, change):
    assert faults(broken(sheet, change))


def told(path) -> list[tuple[int, str]]:
    """The structure with its texts as poppler tells it: how deep each line lies, and the line."""
    command = ["pdfinfo", "-struct-text", "-enc", "UTF-8", path]
    finished = subprocess.run(command, check=True, capture_output=True, text=True, timeout=600)
    assert not finished.stderr, finished.stderr
    lines = [line for line in finished.stdout.splitlines() if line.strip()]
    return [((len(line) - len(line.lstrip())) // 2, line.strip()) for line in lines]


def tables(lines: list[tuple[int, str]]) -> Iterator[tuple[str, list[list[list[str]]]]]:
    """Each table under the last heading before it: rows of cells of texts."""
    heading, rows, table = "", [], None
    for place, (depth, line) in enumerate(lines):
        if table is not None and depth <= table:
            yield heading, rows
            table = None
        kind = line.split()[0].rstrip(":")
        if re.fullmatch(r"H\d", kind):
            heading = lines[place + 1][1].strip('"')
        elif kind == "Table":
            table, rows = depth, []
        elif table is not None and kind == "TR":
            rows.append([])
        elif table is not None and kind in ("TH", "TD"):
            rows[-1].append([])
        elif table is not None and line.startswith('"'):
            rows[-1][-1].append(line[1:-1])
    if table is not None:
        yield heading, rows


def section_name(heading: str) -> str:
    """`cylinder 1 intake 2`, as the evaluation names a port."""
    return heading.replace(",", "").lower()


# Poppler looks for the text of every element on its whole page: half a minute for the smallest head.
READ = HEADS if counts.LONG else [CONFORMING]


@pytest.fixture(scope="module", params=READ)
def read(request, shop, tmp_path_factory) -> tuple[str, dict, list[tuple[int, str]]]:
    """A head, its evaluation, and the structure of its sheet as poppler tells it."""
    head = request.param
    job = shop.done(shop.submit(posted(head)))
    path = tmp_path_factory.mktemp("read") / "sheet.pdf"
    path.write_bytes(shop.fetch(job["links"]["sheet"]))
    return head, shop.get(job["links"]["evaluation"]).json(), told(path)


def test_a_program_reads_the_rows_of_every_port_with_their_figures(read, titles):  # noqa: F811
    head, evaluation, lines = read
    found = {}
    for heading, rows in tables(lines):
        # The rework plan names the ports, too; the judged rows come after it.
        found[section_name(heading)] = rows
    units = demo_set(head)["units"]
    for port in evaluation["ports"]:
        names, *rows = found[port_name(port)]
        assert [name[0] for name in names[:5]] == [
            "Verdict",
            "Characteristic, unit",
            "Measured",
            "Lower limit",
            "Upper limit",
        ]
        assert len(rows) == len(port["rows"])
        for row, cells in zip(port["rows"], rows, strict=True):
            texts = ["".join(cell[:1]) for cell in cells]
            printed = "  ".join([*texts[:2], " ".join(texts[2:])])
            assert texts[0] == VERDICTS[row["verdict"]]
            check_row(row, titles[row["characteristic"]], [printed], units)
            if "detail" in row:
                assert row["detail"].casefold() in " ".join(sum(cells, [])).casefold()


def test_a_program_reads_the_headings_in_their_order(read):
    _, evaluation, lines = read
    headings = [
        (line.split()[0], after[1].strip('"'))
        for (_, line), after in zip(lines, lines[1:], strict=False)
        if re.match(r"H\d ", line)
    ]
    assert headings[0] == ("H1", evaluation["disposition"].upper())
    order = ["Cautions for this head", "Rework plan", "Deck and head", "Cylinders", "Ports: what the drawings mean"]
    order += ["Instruments", "Sources of the limits"]
    assert [text for kind, text in headings if kind == "H2" and text in order] == order
    ports = [text for kind, text in headings if kind == "H3" and text.startswith("Cylinder ")]
    assert [section_name(text) for text in ports] == [port_name(port) for port in evaluation["ports"]]


def test_drawings_say_what_they_show(sheet, pdf):
    with pikepdf.open(pdf(sheet).path) as opened:
        alternatives = [str(figure.dictionary.Alt) for figure in tree(opened).all("Figure")]
    assert "1 intake 1: " in alternatives[0] and "Scheme, not to scale" in alternatives[0]
    for begin in ("Seat, in section", "Contact on the face", "Runout, ", "Spring load, ", "Between the limits"):
        assert sum(text.startswith(begin) for text in alternatives) >= 16, begin
    assert any(re.match(r"Runout, mm; conforms: seat \d", text) for text in alternatives)


def test_what_is_no_part_of_the_structure_stands_on_every_page_or_was_read_before(file, pdf):
    """Head, foot, strip, and what is said again where a table goes on."""
    whole = pdf(file)
    plain: dict[str, list[int]] = {}
    going_on: dict[str, list[int]] = {}
    with pikepdf.open(whole.path) as opened:
        for number, page in enumerate(opened.pages, 1):
            text = whole.text(number)
            running_head = " ".join(re.split(r"page \d+ of", text)[0].split())
            goes_on = "(continued)" in text
            (going_on if goes_on else plain).setdefault(running_head, []).append(read_page(page).words[None])
    for running_head, counts in plain.items():
        least, most = min(counts), max(counts)
        assert least > 50 and most - least < 100, "running head, foot and strip alone"
        assert all(count < most + 400 for count in going_on.get(running_head, []))
    assert len(plain) < 5
