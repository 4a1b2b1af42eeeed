"""Names in scripts that the built-in typefaces lack: with fonts that have them, and without."""

import json
import subprocess

import pytest
from PIL import Image, ImageDraw, ImageFont

from harness.archive import as_part_1, faults, oxide, preflight
from harness.documents import CONFORMING, demo_set, profile_path, request, set_path
from harness.fonts import IDEOGRAPHS, SIGNS, collection, with_permissions
from harness.pdf import Pdf
from harness.program import run
from harness.shop import Shop

SERIAL = "検査-試験"
NAMES = ["Ελένη", "Сергій", "汽缸盖修理厂（上海）", "ひらがな、カタカナー", "한국어"]
SIGNED = "⌖⌭"
BOTH = f"{IDEOGRAPHS}:{SIGNS}"


def measured(serial: str = SERIAL, customer: str = " ".join([*NAMES, SIGNED])) -> dict:
    document = demo_set()
    document["head"]["serial"] = serial
    document["customer"] = {"name": customer}
    return document


def posted(**named: str) -> dict:
    return {**request(), "measurement_set": measured(**named)}


def evaluated(tmp_path, document: dict, *arguments: object, name: str = "sheet.pdf", **settings: object):
    """The sheet of the command line, and what it warns of."""
    (tmp_path / "set.json").write_text(json.dumps(document))
    path = tmp_path / name
    profile = ("--profile", profile_path(CONFORMING))
    finished = run(
        "evaluate", tmp_path / "set.json", *profile, "--sheet", path, *arguments, settings=settings
    )
    assert finished.returncode == 0, finished.stderr.decode()
    return Pdf(path.read_bytes(), path), finished.stderr.decode()


def solid(pdf: Pdf, page: int = 1) -> str:
    """The text from a page on, in the order it was drawn and without spaces: names run over lines within a column."""
    command = ["pdftotext", "-raw", "-enc", "UTF-8", "-f", str(page), pdf.path, "-"]
    return "".join(subprocess.run(command, check=True, capture_output=True, text=True).stdout.split())


@pytest.fixture(scope="module")
def equipped(tmp_path_factory):
    """A sheet made with both fonts."""
    return evaluated(tmp_path_factory.mktemp("equipped"), measured(), sheet_typefaces=BOTH)


def test_with_fonts_every_name_is_found_and_nothing_is_spelled(equipped):
    pdf, said = equipped
    text = solid(pdf)
    assert all(name in text for name in [SERIAL, *NAMES, SIGNED])
    assert "‹U+" not in text and "couldnotbeshown" not in text
    assert said == ""


def test_the_fonts_are_embedded_as_parts_that_can_be_searched(equipped):
    fonts = equipped[0].fonts()
    assert all((font["embedded"], font["subset"], font["unicode"]) == ("yes",) * 3 for font in fonts)
    names = [font["name"].partition("+")[2] for font in fonts]
    assert names.count("DroidSansFallback") == 1 and names.count("STIXGeneral-Regular") == 1
    assert equipped[0].path.stat().st_size < IDEOGRAPHS.stat().st_size / 10


def test_a_sheet_with_other_fonts_keeps_in_an_archive(equipped, tmp_path):
    pdf, content = equipped[0], equipped[0].path.read_bytes()
    pdf.check()
    assert preflight(as_part_1(content), tmp_path / "part-1.pdf") == []
    assert oxide(content, tmp_path / "sheet.pdf") == []
    assert faults(content) == []


def ink(image: Image.Image) -> Image.Image:
    """What is dark, all in one size."""
    dark = image.convert("L").point(lambda grey: 255 if grey < 128 else 0)
    return dark.crop(dark.getbbox()).resize((48, 48))


def drawn(character: str, file) -> Image.Image:
    image = Image.new("L", (400, 400), 255)
    ImageDraw.Draw(image).text((100, 100), character, font=ImageFont.truetype(str(file), 200), fill=0)
    return ink(image)


def on_page(pdf: Pdf, character: str, tmp_path) -> Image.Image:
    """A word of one character as poppler draws it, from the first page."""
    boxes = subprocess.run(["pdftotext", "-bbox", "-l", "1", pdf.path, "-"], capture_output=True, text=True)
    (line,) = [line for line in boxes.stdout.splitlines() if f">{character}</word>" in line]
    left, top, right, bottom = (float(part.split('"')[1]) for part in line.split(" ") if '="' in part)
    subprocess.run(
        ["pdftoppm", "-r", "720", "-l", "1", "-gray", "-singlefile", pdf.path, tmp_path / "page"], check=True
    )
    page = Image.open(tmp_path / "page.pgm")
    # Points are 10 pixels; ink may stand over the box of the text.
    return ink(page.crop([round(10 * side) for side in (left, top - 1, right, bottom + 1)]))


CHARACTERS = {"検": IDEOGRAPHS, "汽": IDEOGRAPHS, "が": IDEOGRAPHS, "한": IDEOGRAPHS, "⌖": SIGNS, "⌓": SIGNS}


def test_each_glyph_is_that_of_its_character(tmp_path):
    """Held against FreeType: of all these characters, the one that was asked for comes nearest."""
    pdf, _ = evaluated(tmp_path, measured("X", " · ".join(CHARACTERS)), sheet_typefaces=BOTH)
    expected = {character: drawn(character, file) for character, file in CHARACTERS.items()}
    for character in CHARACTERS:
        seen = on_page(pdf, character, tmp_path).tobytes()
        apart = {other: sum(a != b for a, b in zip(seen, glyph.tobytes())) for other, glyph in expected.items()}
        assert min(apart, key=apart.get) == character, apart


def test_without_a_font_the_code_points_stand_in_their_places_and_are_told_of(tmp_path):
    pdf, said = evaluated(tmp_path, measured(customer="Ελένη ひ"))
    text = solid(pdf)
    assert "‹U+691C›‹U+67FB›-‹U+8A66›‹U+9A13›" in text and "Ελένη‹U+3072›" in text
    listed = "U+3072, U+67FB, U+691C, U+8A66, U+9A13"
    assert f"{''.join(listed.split())}.Therecordattachedtothisfilehas" in solid(pdf, pdf.pages())
    assert listed in said and str(pdf.path) in said
    pdf.check()
    assert faults(pdf.path.read_bytes()) == []


def test_what_runs_from_right_to_left_and_marks_are_spelled_whatever_font_there_is(tmp_path):
    pdf, said = evaluated(tmp_path, measured("\u05e9", "\u302a\u1100"), sheet_typefaces=BOTH)
    assert "‹U+302A›‹U+1100›" in solid(pdf)
    assert "U+05E9, U+1100, U+302A" in said


def test_same_fonts_give_same_bytes_in_any_process_however_they_are_named(tmp_path, start):
    first = evaluated(tmp_path, measured(), sheet_typefaces=BOTH)[0].path.read_bytes()
    flags = ("--typeface", IDEOGRAPHS, "--typeface", SIGNS)
    assert evaluated(tmp_path, measured(), *flags, name="2.pdf")[0].path.read_bytes() == first
    file = tmp_path / "headproof.toml"
    file.write_text(f"[sheet]\ntypefaces = ['{IDEOGRAPHS}', '{SIGNS}']\n")
    assert evaluated(tmp_path, measured(), "--config", file, name="3.pdf")[0].path.read_bytes() == first
    with Shop(start(sheet_typefaces=BOTH, TZ="Pacific/Chatham").address) as shop:
        assert shop.sheet(posted()) == first == shop.sheet(posted())


def test_a_font_that_is_not_used_leaves_no_trace_and_one_that_is_changes_the_identity(tmp_path):
    plain, name = measured("A-1", "Ελένη"), measured(customer="x")
    without = evaluated(tmp_path, plain)[0].path.read_bytes()
    assert evaluated(tmp_path, plain, sheet_typefaces=BOTH)[0].path.read_bytes() == without
    other = tmp_path / "other.ttf"
    other.write_bytes(with_permissions(IDEOGRAPHS.read_bytes(), 0))

    def identity(font):
        content = evaluated(tmp_path, name, sheet_typefaces=font)[0].path.read_bytes()
        return content[content.rindex(b"/ID[") :].partition(b"]")[0]

    assert identity(IDEOGRAPHS) == identity(BOTH) != identity(other)


def test_a_face_of_a_collection_is_named_by_its_number(tmp_path):
    file = tmp_path / "both.ttc"
    file.write_bytes(collection(SIGNS.read_bytes(), IDEOGRAPHS.read_bytes()))
    pdf, said = evaluated(tmp_path, measured(), "--typeface", f"{file}#1", "--typeface", file)
    assert said == "" and all(name in solid(pdf) for name in [SERIAL, *NAMES, SIGNED])
    pdf.check()


def bad_fonts(tmp_path) -> dict[str, object]:
    font = IDEOGRAPHS.read_bytes()
    contents = {
        "no font": b"these are somebody's notes, no font\n" * 100,
        "empty": b"",
        "cut off": font[:5000],
        "restricted": with_permissions(font, 0x0002),
        "no part of it": with_permissions(font, 0x0108),
        "bitmaps only": with_permissions(font, 0x0208),
    }
    for name, content in contents.items():
        (tmp_path / name).write_bytes(content)
    beyond = f"{IDEOGRAPHS}#1"
    return {**{name: tmp_path / name for name in contents}, "not there": "/nowhere/font.ttf", "beyond": beyond}


def test_a_font_that_cannot_be_used_stops_the_start_by_its_key_and_file(tmp_path):
    for name, font in bad_fonts(tmp_path).items():
        settings = {"store_dir": tmp_path / "store", "sheet_typefaces": f"{IDEOGRAPHS}:{font}"}
        finished = run("serve", settings=settings)
        said = finished.stderr.decode()
        assert (finished.returncode, finished.stdout) == (2, b""), name
        assert f"sheet.typefaces: {font}: " in said, said
        sheet = ("--profile", profile_path(CONFORMING), "--sheet", tmp_path / "sheet.pdf")
        finished = run("evaluate", set_path(CONFORMING), *sheet, "--typeface", font)
        assert finished.returncode == 2 and "sheet.typefaces" in finished.stderr.decode(), name
        assert not (tmp_path / "sheet.pdf").exists()
    for name, why in {"restricted": "embedding", "no part of it": "a part", "bitmaps only": "outlines"}.items():
        finished = run("worker", "--typeface", tmp_path / name, settings={"store_dir": tmp_path / "store"})
        assert "fsType" in finished.stderr.decode() and why in finished.stderr.decode()


def test_a_report_of_heads_with_and_without_such_names(start, pdf):
    """Only the ideographs have a font; what else is lacking is told of in the log, by job and batch."""
    service = start(sheet_typefaces=IDEOGRAPHS)
    heads = [posted(), posted(serial="A-1", customer="Ελένη"), posted(serial="한국-2", customer=SIGNED)]
    with Shop(service.address) as shop:
        batch = shop.done(shop.submit_batch([json.dumps(head).encode() for head in heads]))
        report = pdf(shop.fetch(batch["links"]["report"]))
        jobs = {job["head_serial"]: job["id"] for job in shop.jobs(batch)}
    text = solid(report)
    assert SERIAL in text and "한국-2" in text and "‹U+2316›‹U+232D›" in text and "‹U+691C›" not in text
    assert text.count("U+232D.Therecordattached") == 2
    assert faults(report.path.read_bytes()) == []
    service.stop()
    warned = {
        entry["span"]["owner"]: entry["fields"]["code_points"]
        for entry in service.log_entries()
        if entry["level"] == "WARN" and "could not be shown" in entry["fields"]["message"]
    }
    owners = {batch["id"], jobs[SERIAL], jobs["한국-2"]}
    assert warned == dict.fromkeys(owners, "U+2316, U+232D")


def test_a_worksheet_shows_its_serial_and_says_what_it_cannot_show(tmp_path, start, pdf):
    layout = tmp_path / "layout.json"
    layout.write_text(json.dumps(demo_set()["layout"]))
    path = tmp_path / "worksheet.pdf"
    asked = ["worksheet", "--layout", layout, "--profile", profile_path(CONFORMING), "--head", SERIAL]
    finished = run(*asked, "--out", path, "--typeface", IDEOGRAPHS)
    assert (finished.returncode, finished.stderr) == (0, b"")
    assert SERIAL in solid(Pdf(path.read_bytes(), path))
    finished = run(*asked, "--out", path)
    assert finished.returncode == 0 and "U+691C" in finished.stderr.decode()
    plain = Pdf(path.read_bytes(), path)
    assert "U+9A13.Thedocumentsthisfilewasmadefrom" in solid(plain, plain.pages())
    document = {"layout": demo_set()["layout"], "profile": request()["profile"], "units": demo_set()["units"]}
    with Shop(start().address) as shop:
        answer = shop.post("/v1/worksheet", {**document, "head_serial": SERIAL})
    assert answer.status_code == 200 and "‹U+691C›" in solid(pdf(answer.content))


def test_the_demo_takes_fonts_too(tmp_path):
    finished = run("demo", "--out", tmp_path / "demo-out", "--typeface", IDEOGRAPHS)
    assert finished.returncode == 0, finished.stderr.decode()
    assert run("demo", "--out", tmp_path / "demo-out", "--typeface", "/nowhere/font.ttf").returncode == 2
