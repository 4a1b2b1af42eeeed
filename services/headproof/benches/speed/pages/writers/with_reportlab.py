"""The documents with reportlab and its accelerator in C."""

import io

from answer import BOLD, REGULAR, answer
from reportlab.lib import colors
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen import canvas
from reportlab.platypus import Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

GREY, TINT = colors.Color(0.5, 0.5, 0.5), colors.Color(0.94, 0.94, 0.94)
TITLE = ParagraphStyle("title", fontName="DejaVuB", fontSize=14, leading=18)
NAME = ParagraphStyle("name", fontName="DejaVuB", fontSize=10, leading=14)
BODY = ParagraphStyle("body", fontName="DejaVu", fontSize=8, leading=10.2)
GRID = TableStyle(
    [
        ("FONT", (0, 0), (-1, 0), "DejaVuB", 7),
        ("FONT", (0, 1), (-1, -1), "DejaVu", 7),
        ("ALIGN", (1, 0), (-1, -1), "RIGHT"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.25, GREY),
        ("TOPPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    ]
)
HEADER = TableStyle(
    [
        ("FONT", (0, 0), (-1, -1), "DejaVu", 8),
        ("FONT", (0, 0), (0, -1), "DejaVuB", 8),
        ("FONT", (2, 0), (2, -1), "DejaVuB", 8),
        ("TOPPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
)


class Numbered(canvas.Canvas):
    """Pages that say how many there are."""

    def __init__(self, *arguments, **options):
        super().__init__(*arguments, **options)
        self.kept = []

    def showPage(self):
        self.kept.append(dict(self.__dict__))
        self._startPage()

    def save(self):
        count = len(self.kept)
        for number, page in enumerate(self.kept, 1):
            self.__dict__.update(page)
            self.setFont("DejaVu", 7)
            self.drawCentredString(105 * mm, 10 * mm, f"page {number} of {count}")
            super().showPage()
        super().save()


class Drawing(Flowable):
    def __init__(self, drawing):
        super().__init__()
        self.drawing = drawing

    def wrap(self, *_):
        return self.drawing["w"] * mm, (self.drawing["h"] + 2) * mm

    def path(self, points):
        path = self.canv.beginPath()
        for n, (x, y) in enumerate(points):
            (path.lineTo if n else path.moveTo)(x * mm, (self.drawing["h"] + 1 - y) * mm)
        return path

    def draw(self):
        pen, drawing = self.canv, self.drawing
        pen.setLineWidth(0.4)
        pen.setStrokeColor(GREY)
        pen.rect(0, 1 * mm, drawing["w"] * mm, drawing["h"] * mm)
        pen.setFillColor(TINT)
        pen.drawPath(self.path(drawing["polygon"]), stroke=0, fill=1)
        pen.setStrokeColor(colors.black)
        pen.setLineWidth(0.5)
        pen.drawPath(self.path(drawing["polyline"]), stroke=1, fill=0)
        pen.setFillColor(colors.black)
        pen.setFont("DejaVu", 6)
        for label in drawing["labels"]:
            pen.drawString(label["x"] * mm, (drawing["h"] + 1 - label["y"]) * mm, label["t"])


def table_of(grid, width):
    rows = [[row["label"], *(f"{figure:.3f}" for figure in row["v"])] for row in grid["rows"]]
    cells = [grid["columns"], *rows]
    return Table(cells, colWidths=[width * mm] * len(cells[0]), rowHeights=[4.2 * mm] * len(cells), style=GRID)


def render(document):
    out = io.BytesIO()
    pages = SimpleDocTemplate(
        out,
        pagesize=A4,
        leftMargin=15 * mm,
        rightMargin=15 * mm,
        topMargin=13 * mm,
        bottomMargin=16 * mm,
        title=document["title"],
    )
    fields = document["header"]
    pairs = [fields[n] + fields[n + 1] for n in range(0, len(fields), 2)]
    story = [
        Paragraph(document["title"], TITLE),
        Table(pairs, colWidths=[30 * mm, 60 * mm] * 2, rowHeights=[4.6 * mm] * len(pairs), style=HEADER),
        Spacer(1, 3 * mm),
        table_of(document["summary"], 18),
        Spacer(1, 4 * mm),
    ]
    for part in document["ports"]:
        parts = [
            Paragraph(f"{part['name']} — kind {part['kind']}", NAME),
            table_of(part, 180 / 7),
            Spacer(1, 2 * mm),
            Drawing(part["drawing"]),
            Paragraph(part["caution"], BODY),
            Spacer(1, 3 * mm),
        ]
        story.append(KeepTogether(parts))
    pages.build(story, canvasmaker=Numbered)
    return out.getvalue()


pdfmetrics.registerFont(TTFont("DejaVu", REGULAR))
pdfmetrics.registerFont(TTFont("DejaVuB", BOLD))
answer(render)
