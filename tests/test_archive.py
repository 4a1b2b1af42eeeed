"""The sheet in an archive: whole, self-contained, and its own record."""

import hashlib
import io
import json
import subprocess

import pikepdf
import pytest
import rfc8785
from pikepdf import Array, Dictionary, Name
from PIL import Image, ImageCms

from harness.archive import as_part_1, associated, faults, oxide, preflight
from harness.documents import HEADS, profile_path, request, set_path
from harness.pdf import detached
from harness.program import run

PLANNED = "irrigation-pump-16v"


@pytest.fixture(scope="module", params=[*HEADS, "with a plan", "batch", "statistics", "worksheet"])
def kept(request, shop):
    """Each kind of file the program makes."""
    match request.param:
        case "with a plan":
            return shop.sheet(posted(PLANNED))
        case "batch":
            lines = [json.dumps(document).encode() for document in (posted(PLANNED), posted("cold-store-8v"))]
            return shop.fetch(shop.done(shop.submit_batch(lines))["links"]["report"])
        case "statistics":
            for head in HEADS:
                shop.done(shop.submit(posted(head)))
            answer = shop.http.get("/v1/statistics", headers={"Accept": "application/pdf"})
            assert answer.status_code == 200, answer.text
            return answer.content
        case "worksheet":
            asked = posted(PLANNED)
            layout, units = (asked["measurement_set"][name] for name in ("layout", "units"))
            answer = shop.post("/v1/worksheet", {"layout": layout, "units": units, "profile": asked["profile"]})
            assert answer.status_code == 200, answer.text
            return answer.content
        case head:
            return shop.sheet(posted(head, planned=False))


def posted(head: str, planned: bool = True) -> dict:
    return request(head, **({"workshop": {}} if planned else {}))


@pytest.fixture(scope="module")
def sheet(shop):
    """A sheet with a plan, its job, and how to break it."""
    job = shop.done(shop.submit(posted(PLANNED)))
    return job, shop.fetch(job["links"]["sheet"])


def broken(content: bytes, change) -> bytes:
    """The file after a change of its objects."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        change(pdf)
        changed = io.BytesIO()
        pdf.save(changed, object_stream_mode=pikepdf.ObjectStreamMode.disable, fix_metadata_version=False)
        return changed.getvalue()


def objects(pdf, key, value):
    return [one for one in pdf.objects if isinstance(one, Dictionary) and one.get(key) == value]


def without_typeface(pdf):
    for descriptor in objects(pdf, "/Type", Name.FontDescriptor):
        del descriptor["/FontFile2"]


def see_through(pdf):
    page = pdf.pages[0]
    page.Resources["/ExtGState"] = Dictionary(Thin=Dictionary(ca=0.5))
    page.contents_add(b"/Thin gs", prepend=True)


def four_inks(pdf):
    pdf.pages[0].contents_add(b"0 0 0 1 k", prepend=True)


def other_title(pdf):
    pdf.docinfo["/Title"] = "another"


def other_part(pdf):
    packet = pdf.Root.Metadata.read_bytes()
    pdf.Root.Metadata.write(packet.replace(b"part>3<", b"part>2<").replace(b"part>1<", b"part>2<"))


def script(pdf):
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="1")


def unrelated(pdf):
    for specification in associated(pdf):
        del specification["/AFRelationship"]


def untyped(pdf):
    for specification in associated(pdf):
        del specification.EF.F["/Subtype"]


def other_content(pdf):
    associated(pdf)[0].EF.F.write(b"{}")


def unsearchable(pdf):
    for font in objects(pdf, "/Subtype", Name.Type0):
        del font["/ToUnicode"]


def lacking(key):
    def take(pdf):
        del pdf.Root[key]

    take.__name__ = f"without_{key[1:]}"
    return take


# What each of the three judges has to find.
FOUND_BY_PREFLIGHT = [without_typeface, see_through, four_inks, other_title, other_part]
FOUND_BY_PREFLIGHT += [lacking("/Metadata"), lacking("/OutputIntents")]
FOUND_BY_OXIDE = [without_typeface, script, unrelated, lacking("/Metadata"), lacking("/OutputIntents")]
FOUND_BY_US = [without_typeface, see_through, four_inks, other_title, other_part, unrelated, untyped]
FOUND_BY_US += [other_content, unsearchable]
FOUND_BY_US += [lacking(key) for key in ("/Metadata", "/OutputIntents", "/AF", "/Lang", "/ViewerPreferences")]


def test_preflight_finds_nothing_in_the_file_as_part_1(kept, tmp_path):
    assert preflight(as_part_1(kept), tmp_path / "part-1.pdf") == []


@pytest.mark.parametrize("change", FOUND_BY_PREFLIGHT, ids=lambda change: change.__name__)
def test_preflight_finds_what_is_broken(sheet, tmp_path, change):
    whole = as_part_1(sheet[1])
    assert preflight(broken(whole, change), tmp_path / "broken.pdf")


@pytest.mark.parametrize(
    ("old", "new"),
    [(b"/ID[", b"/XX["), (b"/CIDSet", b"/XIDSet"), (b"%PDF-1.4\n%\xbb", b"%PDF-1.4\n%B"), (b"part>1<", b"part>3<")],
)
def test_preflight_reads_the_bytes_the_program_wrote(sheet, tmp_path, old, new):
    whole = as_part_1(sheet[1])
    assert old in whole
    assert preflight(whole.replace(old, new), tmp_path / "broken.pdf")


def test_pdf_oxide_finds_nothing_against_part_3(kept, tmp_path):
    assert oxide(kept, tmp_path / "sheet.pdf") == []


@pytest.mark.parametrize("change", FOUND_BY_OXIDE, ids=lambda change: change.__name__)
def test_pdf_oxide_finds_what_is_broken(sheet, tmp_path, change):
    assert oxide(broken(sheet[1], change), tmp_path / "broken.pdf")


def test_our_own_look_at_part_3_finds_nothing(kept):
    assert faults(kept) == []


@pytest.mark.parametrize("change", FOUND_BY_US, ids=lambda change: change.__name__)
def test_our_own_look_finds_what_is_broken(sheet, change):
    assert faults(broken(sheet[1], lambda pdf: None)) == []
    assert faults(broken(sheet[1], change))


def test_qpdf_finds_nothing_and_finds_what_is_broken(kept, pdf, tmp_path):
    pdf(kept).check()
    begin = kept.index(b"stream\n") + 200
    for damaged in (kept[: len(kept) // 2], kept[:begin] + kept[begin + 3 :]):
        (tmp_path / "damaged.pdf").write_bytes(damaged)
        checked = subprocess.run(["qpdf", "--check", tmp_path / "damaged.pdf"], capture_output=True, timeout=60)
        assert checked.returncode != 0


def holds(kept: object, said: object) -> bool:
    """Everything that was posted is kept; what it left out may be spelled out."""
    match said:
        case dict():
            return all(name in kept and holds(kept[name], part) for name, part in said.items())
        case list():
            return len(kept) == len(said) and all(map(holds, kept, said))
    return kept == said


def test_a_sheet_holds_its_documents_byte_for_byte(shop, sheet, tmp_path):
    job, content = sheet
    found = detached(content, tmp_path / "out")
    evaluation, plan = (shop.get(job["links"][name]) for name in ("evaluation", "plan"))
    assert sorted(found) == ["evaluation.json", "measurement-set.json", "rework-plan.json", "target-profile.json"]
    assert found["evaluation.json"] == rfc8785.dumps(evaluation.json())
    assert found["rework-plan.json"] == rfc8785.dumps(plan.json())
    for name, member in (("measurement-set", "measurement_set"), ("target-profile", "profile")):
        kept = json.loads(found[f"{name}.json"])
        assert holds(kept, posted(PLANNED)[member]) and rfc8785.dumps(kept) == found[f"{name}.json"]
    named = evaluation.json()
    assert hashlib.sha256(found["measurement-set.json"]).hexdigest() == named["measurement_set_digest"]
    assert hashlib.sha256(found["target-profile.json"]).hexdigest() == named["profile"]["digest"]


def test_the_digest_on_the_page_is_that_of_the_attached_evaluation(sheet, pdf, tmp_path):
    content = sheet[1]
    digest = hashlib.sha256(detached(content, tmp_path / "out")["evaluation.json"]).hexdigest()
    assert digest in "".join(pdf(content).text(1).split())


@pytest.mark.parametrize("head", HEADS)
def test_from_what_a_sheet_holds_the_same_sheet_can_be_made_again(tmp_path, head):
    first, second = tmp_path / "first.pdf", tmp_path / "second.pdf"
    made = run("evaluate", set_path(head), "--profile", profile_path(head), "--sheet", first)
    assert made.returncode in (0, 1), made.stderr
    detached(first.read_bytes(), tmp_path / "out")
    again = [tmp_path / "out" / name for name in ("measurement-set.json", "target-profile.json")]
    assert run("evaluate", again[0], "--profile", again[1], "--sheet", second).returncode == made.returncode
    assert first.read_bytes() == second.read_bytes()


def test_a_report_holds_the_documents_of_every_head_at_its_page(shop, pdf, tmp_path):
    heads = [request("generator-3cyl-6v", serial=f"KEPT-{n}") for n in (1, 2)]
    batch = shop.done(shop.submit_batch([json.dumps(head).encode() for head in heads]))
    content = shop.fetch(batch["links"]["report"])
    found, whole = detached(content, tmp_path / "out"), pdf(content)
    outline = whole.outline()
    with pikepdf.open(io.BytesIO(content)) as report:
        for n, job in enumerate(shop.jobs(batch), 1):
            evaluation = shop.get(job["links"]["evaluation"]).json()
            assert found[f"{n}-evaluation.json"] == rfc8785.dumps(evaluation)
            kept = json.loads(found[f"{n}-measurement-set.json"])
            assert holds(kept, heads[n - 1]["measurement_set"])
            assert not holds(kept, heads[n - 2]["measurement_set"])
            page = report.pages[outline[job["head_serial"]] - 1]
            tied = [str(specification.UF) for specification in page.obj["/AF"]]
            assert tied == [f"{n}-{what}.json" for what in ("evaluation", "measurement-set", "target-profile")]


def test_the_file_is_dated_by_the_measurement_and_by_no_clock(sheet):
    with pikepdf.open(io.BytesIO(sheet[1])) as pdf, pdf.open_metadata() as metadata:
        measured = posted(PLANNED)["measurement_set"]["job"]["measured_at"]
        assert metadata["xmp:CreateDate"] == metadata["xmp:ModifyDate"] == measured
        assert str(pdf.docinfo["/CreationDate"]) == "D:20260312094000+01'00'"


def test_bookmarks_lead_to_the_verdict_the_plan_and_every_port(sheet, pdf):
    whole = pdf(sheet[1])
    with pikepdf.open(whole.path) as file, file.open_outline() as outline:
        numbers = {page.objgen: number for number, page in enumerate(file.pages, 1)}
        pages = {}

        def walk(items, path=()):
            for item in items:
                pages[(*path, item.title)] = numbers[item.destination[0].objgen]
                walk(item.children, (*path, item.title))

        walk(outline.root)
    assert pages[("Verdict: rework",)] == 1
    assert "Rework plan" in whole.text(pages[("Rework plan",)])
    ports = {path[1]: page for path, page in pages.items() if path[0] == "Ports" and len(path) == 2}
    assert len(ports) == 16
    for title, page in ports.items():
        name, verdict = title.split(": ")
        text = " ".join(whole.text(page).split())
        assert name in text and verdict in text, title


def test_the_colour_profile_is_srgb(sheet):
    """Held against the profile LittleCMS builds from the same standard: no colour moves by more than one step."""
    with pikepdf.open(io.BytesIO(sheet[1])) as pdf:
        profile = pdf.Root.OutputIntents[0].DestOutputProfile.read_bytes()
    assert colours_moved_by(profile) <= 1
    red, green = profile.index(b"rXYZ"), profile.index(b"gXYZ")
    swapped = bytearray(profile)
    swapped[red], swapped[green] = swapped[green], swapped[red]
    assert colours_moved_by(bytes(swapped)) > 20


def colours_moved_by(profile: bytes) -> int:
    steps = range(0, 256, 15)
    pixels = [(red, green, blue) for red in steps for green in steps for blue in steps]
    image = Image.new("RGB", (len(pixels), 1))
    image.putdata(pixels)
    ours = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    moved = ImageCms.profileToProfile(image, ours, ImageCms.createProfile("sRGB"))
    return max(abs(a - b) for a, b in zip(image.tobytes(), moved.tobytes(), strict=True))


def test_pages_have_no_other_resources_than_typefaces(kept):
    with pikepdf.open(io.BytesIO(kept)) as pdf:
        for page in pdf.pages:
            assert list(page.Resources.keys()) == ["/Font"]
            assert isinstance(page.MediaBox, Array)
