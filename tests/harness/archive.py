"""Files held against the rules of an archive, by programs that share no code with ours.

No full validator of PDF/A-3b was to be had. Three partial ones stand in for it:

- PDFBox Preflight judges PDF/A-1b, thoroughly. It gets the file itself with the marks of part 3 overwritten, length
  for length. Part 1 knows neither packed objects nor cross-reference streams: the structure, which alone is packed, is
  left out, and a table with the very same places takes the place of the stream. Every other byte is the one the
  program wrote.
- pdf-oxide judges PDF/A-3b, but not deeply.
- `faults` below looks, through pikepdf, for what neither of them sees of part 3.
"""

import hashlib
import io
import re
import subprocess
import zlib
from pathlib import Path

import pdf_oxide
import pikepdf

JARS = ["preflight", "pdfbox2", "fontbox2", "xmpbox", "commons-logging", "javax.activation", "jaxb-api"]
CLASS_PATH = ":".join(f"/usr/share/java/{jar}.jar" for jar in JARS)

# Header and part of the claim; then what part 1 does not know: attachments and their association.
CLAIM = [(b"%PDF-1.7", b"%PDF-1.4"), (b"<pdfaid:part>3<", b"<pdfaid:part>1<")]
STRUCTURE = [(b"/StructTreeRoot", b"/XxxxxxXxxxXxxx")]
ATTACHMENTS = [
    (b"/EmbeddedFiles", b"/XxbeddedFiles"),
    (b"/EF<<", b"/XX<<"),
    (b"/AF[", b"/XX["),
]


def as_part_1(content: bytes) -> bytes:
    """The same file as it would be under ISO 19005-1."""
    content = with_table(content)
    changes = CLAIM + STRUCTURE + (ATTACHMENTS if b"/EmbeddedFiles" in content else [])
    for old, new in changes:
        assert old in content and len(old) == len(new), old
        content = content.replace(old, new)
    return content


def with_table(content: bytes) -> bytes:
    """The file without its packed objects, and with a table of the others (ISO 32000-1, 7.5.4)."""
    stream = re.search(rb"<</Type/XRef/Size \d+(/Root.*?\])/W\[1 4 2\].*?/Length (\d+)>>stream\n", content)
    deflated = content[stream.end() : stream.end() + int(stream[2])]
    places: dict[int, int] = {}
    row = bytes(7)
    rows = zlib.decompress(deflated)
    for number in range(len(rows) // 8):
        filtered, *up = rows[8 * number : 8 * number + 8]
        assert filtered == 2
        row = bytes((byte + above) % 256 for byte, above in zip(up, row, strict=True))
        if row[0] == 1:
            places[number] = int.from_bytes(row[1:5], "big")
    ordered = sorted(places.values())
    packed = [place for place in ordered if b"/Type/ObjStm" in content[place : place + 40]]
    end, after = packed[0], ordered[ordered.index(packed[-1]) + 1]
    # The last is the stream with the places itself. Before it stands the signature, where there is one.
    behind, moved = content[after : ordered[-1]], after - end
    kept = {
        number: place if place < end else place - moved
        for number, place in sorted(places.items())
        if place < end or after <= place < ordered[-1]
    }
    table = b"xref\n0 1\n0000000000 65535 f \n"
    for number, place in kept.items():
        if number - 1 not in kept:
            run = next(n for n in range(number, number + len(kept) + 1) if n not in kept) - number
            table += b"%d %d\n" % (number, run)
        table += b"%010d 00000 n \n" % place
    trailer = b"trailer\n<<%b/Size %d>>\nstartxref\n%d\n%%%%EOF\n" % (stream[1], max(kept) + 1, end + len(behind))
    return content[:end] + behind + table + trailer


def preflight(content: bytes, path: Path) -> list[str]:
    """What PDFBox Preflight finds against PDF/A-1b in a file."""
    path.write_bytes(content)
    command = ["java", "-cp", CLASS_PATH, "org.apache.pdfbox.preflight.Validator_A1b", str(path)]
    finished = subprocess.run(command, capture_output=True, text=True, timeout=120)
    if f"The file {path.name} is a valid PDF/A-1b file" in finished.stdout:
        assert finished.returncode == 0
        return []
    found = [line for line in finished.stdout.splitlines() if line[:1].isdigit()]
    assert found, finished.stdout + finished.stderr
    return found


def oxide(content: bytes, path: Path) -> list[str]:
    """What pdf-oxide finds against PDF/A-3b in a file."""
    path.write_bytes(content)
    found = pdf_oxide.PdfDocument(str(path)).validate_pdf_a("3b")
    assert found["valid"] == (not found["errors"])
    return found["errors"]


def associated(pdf: pikepdf.Pdf) -> list[pikepdf.Object]:
    """File specifications tied to the document or to a page."""
    return [one for holder in (pdf.Root, *(page.obj for page in pdf.pages)) for one in holder.get("/AF", [])]


def faults(content: bytes) -> list[str]:
    """What is wrong by ISO 19005-3 (clauses from memory) in what the program makes use of."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        return list(_faults(pdf))


def _faults(pdf):
    if pdf.Root.get("/Lang") is None:
        yield "no language"
    if not pdf.Root.get("/ViewerPreferences", {}).get("/DisplayDocTitle", False):
        yield "the title is not shown"
    if "/ID" not in pdf.trailer:
        yield "6.1.3: no file identifier"
    yield from _claim(pdf)
    yield from _files(pdf)
    for page in pdf.pages:
        yield from _inks(page)
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == pikepdf.Name.FontDescriptor:
            if "/FontFile2" not in thing and "/FontFile3" not in thing:
                yield "6.2.11.4.1: a typeface is not embedded"
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Subtype") == pikepdf.Name.Type0:
            if "/ToUnicode" not in thing:
                yield "a typeface cannot be searched"


def _claim(pdf):
    if "/Metadata" not in pdf.Root:
        yield "6.6.2.1: no metadata"
        return
    with pdf.open_metadata(update_docinfo=False) as metadata:
        if (metadata.get("pdfaid:part"), metadata.get("pdfaid:conformance")) != ("3", "B"):
            yield "6.6.4: claims another part or level"
        pairs = [("/Title", "dc:title"), ("/Producer", "pdf:Producer"), ("/Creator", "xmp:CreatorTool")]
        for old, new in pairs:
            if str(pdf.docinfo.get(old)) != metadata.get(new):
                yield f"6.6.3: {old} and {new} differ"
    if "/Filter" in pdf.Root.Metadata:
        yield "metadata cannot be read without inflating them"
    intents = pdf.Root.get("/OutputIntents", [])
    if [intent.S for intent in intents] != [pikepdf.Name.GTS_PDFA1]:
        yield "6.2.3: no output intent"


def _files(pdf):
    tied = {one.objgen for one in associated(pdf)}
    for name, held in pdf.attachments.items():
        specification = held.obj
        if specification.objgen not in tied:
            yield f"6.8: {name} is not associated"
        if specification.get("/F") is None or specification.get("/UF") is None:
            yield f"6.8: {name} lacks one of its names"
        relations = ("/Source", "/Data", "/Alternative", "/Supplement", "/Unspecified")
        if str(specification.get("/AFRelationship")) not in relations:
            yield f"6.8: {name} has no relationship"
        embedded = specification.EF.F
        if embedded.get("/Subtype") != pikepdf.Name("/application/json"):
            yield f"6.8: {name} has no type"
        content = embedded.read_bytes()
        parameters = embedded.get("/Params", {})
        if bytes(parameters.get("/CheckSum", b"")) != hashlib.md5(content).digest():
            yield f"ISO 32000-1, table 46: {name} has another checksum"
        if int(parameters.get("/Size", -1)) != len(content):
            yield f"ISO 32000-1, table 46: {name} has another size"


def _inks(page):
    allowed = {"g", "G", "rg", "RG", "w", "d", "m", "l", "c", "re", "S", "s", "f", "b"}
    allowed |= {"BT", "ET", "Td", "Tf", "Tj", "BDC", "BMC", "EMC"}
    for kind in page.Resources.keys():
        if kind != "/Font":
            yield f"resources of another kind: {kind}"
    for operation in pikepdf.parse_content_stream(page):
        if str(operation.operator) not in allowed:
            yield f"an operator the program does not use: {operation.operator}"
