"""The structure of a file, read through pikepdf: ISO 32000-1, 14.6 to 14.8 (clauses from memory)."""

import io
from collections import Counter
from dataclasses import dataclass, field

import pikepdf
from pikepdf import Array, Dictionary, Name

TYPES = {"Document", "Part", "Sect", "H1", "H2", "H3", "H4", "P", "L", "LI", "Lbl", "LBody"}
TYPES |= {"Table", "TR", "TH", "TD", "Figure", "Form"}
# What may lie in what; anything not named here may hold any block.
HOLDS = {"Table": {"TR"}, "TR": {"TH", "TD"}, "L": {"LI"}, "LI": {"Lbl", "LBody"}}
PAINTS = {"S", "s", "f", "b", "B", "Tj", "TJ"}
PATH = {"m", "l", "c", "re"}


@dataclass
class Element:
    """An element of the tree with what is in it."""

    kind: str
    dictionary: Dictionary
    content: list[tuple[int, int]] = field(default_factory=list)
    children: list["Element"] = field(default_factory=list)
    objects: list[Dictionary] = field(default_factory=list)
    """Annotations it stands for (14.7.4.3)."""

    def walk(self):
        yield self
        for child in self.children:
            yield from child.walk()

    def all(self, kind: str) -> list["Element"]:
        return [element for element in self.walk() if element.kind == kind]

    def attribute(self, name: str):
        return self.dictionary.get("/A", Dictionary()).get(name)

    @property
    def columns(self) -> int:
        return int(self.attribute("/ColSpan") or 1)


def tree(pdf: pikepdf.Pdf) -> Element:
    """The whole tree, from the document element on."""
    numbers = {page.objgen: number for number, page in enumerate(pdf.pages)}

    def read(dictionary) -> Element:
        element = Element(str(dictionary.S)[1:], dictionary)
        kids = dictionary.get("/K", Array())
        for kid in kids if isinstance(kids, Array) else [kids]:
            if isinstance(kid, int):
                element.content.append((numbers[dictionary.Pg.objgen], kid))
            elif kid.get("/Type") == Name.MCR:
                element.content.append((numbers[kid.Pg.objgen], int(kid.MCID)))
            elif kid.get("/Type") == Name.OBJR:
                element.objects.append(kid)
            else:
                element.children.append(read(kid))
        return element

    return read(pdf.Root.StructTreeRoot.K)


def parents(pdf: pikepdf.Pdf) -> dict[int, Array]:
    """The tree of parents: whom the sequences of each page belong to."""

    def walk(node, limits=None):
        for kid in node.get("/Kids", []):
            yield from walk(kid, [int(limit) for limit in kid.Limits])
        numbers = node.get("/Nums", [])
        keys = [int(numbers[n]) for n in range(0, len(numbers), 2)]
        assert keys == sorted(keys) and (limits is None or limits == [keys[0], keys[-1]])
        yield from zip(keys, (numbers[n] for n in range(1, len(numbers), 2)), strict=True)

    return dict(walk(pdf.Root.StructTreeRoot.ParentTree))


@dataclass
class Page:
    """What a page's operators say of its marked content."""

    faults: list[str]
    sequences: dict[int, str]
    """Tag of each sequence."""
    words: dict[int | None, int]
    """Characters shown in each sequence, and in artifacts."""


def read_page(page: pikepdf.Page) -> Page:
    """Every mark on the page must lie in one sequence or artifact, and these must lie outside of text objects."""
    found, open_, in_text = Page([], {}, Counter()), [], False
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "BDC":
                number = int(operands[1].MCID)
                if number in found.sequences:
                    found.faults.append(f"sequence {number} twice")
                found.sequences[number] = str(operands[0])[1:]
                open_.append(number)
            case "BMC":
                if operands[0] != Name.Artifact:
                    found.faults.append(f"marked as {operands[0]} without a number")
                open_.append(None)
            case "EMC":
                if not open_ or in_text:
                    found.faults.append("a sequence ends where none is open, or within text")
                del open_[-1:]
            case "BT" | "ET" as bound:
                in_text = bound == "BT"
                if not open_:
                    found.faults.append("text outside of all sequences")
            case name if name in PAINTS | PATH:
                if len(open_) != 1:
                    found.faults.append(f"{name} in {len(open_)} sequences")
                if name == "Tj" and open_:
                    found.words[open_[-1]] += len(bytes(operands[0])) // 2
            case "q" | "Q" as name:
                if open_:
                    found.faults.append(f"{name} within a sequence")
    if open_:
        found.faults.append("a sequence does not end")
    return found


def faults(content: bytes) -> list[str]:
    """What is wrong with the structure of a file."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        return list(_faults(pdf))


def _faults(pdf):
    if not pdf.Root.get("/MarkInfo", {}).get("/Marked", False):
        yield "not said to be tagged"
    if "/StructTreeRoot" not in pdf.Root:
        yield "no structure"
        return
    root = tree(pdf)
    elements = list(root.walk())
    yield from _faults_of_sequences(pdf, elements)
    yield from _faults_of_annotations(pdf, elements)
    yield from _faults_of_elements(pdf, root, elements)
    yield from _faults_of_headings(elements)
    for table in root.all("Table"):
        widths = {sum(cell.columns for cell in row.children) for row in table.children}
        if len(widths) != 1:
            yield f"rows of {sorted(widths)} columns"
        if not any(cell.kind == "TH" and cell.attribute("/Scope") == Name.Column for cell in table.walk()):
            yield "a table without heads of columns"


def _faults_of_sequences(pdf, elements):
    owners = {place: element for element in elements for place in element.content}
    if len(owners) != sum(len(element.content) for element in elements):
        yield "a sequence belongs to two elements"
    lists = parents(pdf)
    for number, page in enumerate(pdf.pages):
        seen = read_page(page)
        yield from seen.faults
        listed = lists.get(int(page.obj.get("/StructParents", -1)), [])
        if sorted(seen.sequences) != list(range(len(listed))):
            yield f"page {number + 1}: sequences and their list differ"
            continue
        for sequence, kind in seen.sequences.items():
            owner = owners.pop((number, sequence), None)
            if owner is None or owner.kind != kind:
                yield f"page {number + 1}: sequence {sequence} belongs to no element of its kind"
            elif listed[sequence].objgen != owner.dictionary.objgen:
                yield f"page {number + 1}: sequence {sequence} has another parent"
    if owners:
        yield "elements have content that is nowhere"


def _faults_of_annotations(pdf, elements):
    """Every annotation is what one Form stands for, on its page and in the tree of parents."""
    owners = {kid.Obj.objgen: (element, kid) for element in elements for kid in element.objects}
    lists = parents(pdf)
    for number, page in enumerate(pdf.pages, 1):
        for annotation in page.obj.get("/Annots", []):
            element, kid = owners.pop(annotation.objgen, (None, None))
            if element is None or element.kind != "Form":
                yield f"page {number}: an annotation belongs to no form"
                continue
            if kid.get("/Pg", page.obj).objgen != page.obj.objgen:
                yield f"page {number}: an annotation is said to be elsewhere"
            parent = lists.get(int(annotation.get("/StructParent", -1)))
            if parent is None or parent.objgen != element.dictionary.objgen:
                yield f"page {number}: an annotation has another parent"
            if not str(annotation.get("/TU", "")).strip():
                yield f"page {number}: a field without words"
    if owners:
        yield "elements stand for annotations that are nowhere"


def _faults_of_elements(pdf, root, elements):
    if root.dictionary.P.objgen != pdf.Root.StructTreeRoot.objgen:
        yield "the document does not hang on the root"
    for element in elements:
        if element.kind not in TYPES:
            yield f"no standard type: {element.kind}"
        for child in element.children:
            if child.dictionary.P.objgen != element.dictionary.objgen:
                yield f"{child.kind} is not told to lie in its {element.kind}"
            if child.kind not in HOLDS.get(element.kind, TYPES):
                yield f"{child.kind} in {element.kind}"
        if element.kind == "Figure" and not str(element.dictionary.get("/Alt", "")).strip():
            yield "a figure without words"


def _faults_of_headings(elements):
    level = 0
    for element in elements:
        if element.kind == "Part":
            level = 0
        if element.kind in ("H1", "H2", "H3", "H4"):
            if int(element.kind[1]) > level + 1:
                yield f"{element.kind} follows a heading of level {level}"
            level = int(element.kind[1])
