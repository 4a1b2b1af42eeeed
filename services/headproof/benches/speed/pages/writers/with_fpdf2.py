"""The documents with fpdf2."""

from answer import BOLD, REGULAR, answer
from fpdf import FPDF


class Pages(FPDF):
    def footer(self):
        self.set_y(-13)
        self.set_font("DejaVu", "", 7)
        self.cell(0, 4, f"page {self.page_no()} of {{nb}}", align="C")

    def table_of(self, grid, width):
        self.set_font("DejaVu", "B", 7)
        self.set_fill_color(230)
        self.set_draw_color(128)
        self.set_line_width(0.09)
        for column, head in enumerate(grid["columns"]):
            self.cell(width, 4.2, head, border=1, align="R" if column else "L", fill=True)
        self.ln(4.2)
        self.set_font("DejaVu", "", 7)
        for row in grid["rows"]:
            self.cell(width, 4.2, row["label"], border=1)
            for figure in row["v"]:
                self.cell(width, 4.2, f"{figure:.3f}", border=1, align="R")
            self.ln(4.2)

    def drawing(self, drawing):
        left, top = 15, self.get_y()

        def placed(points):
            return [(left + x, top + y) for x, y in points]

        self.set_line_width(0.14)
        self.rect(left, top, drawing["w"], drawing["h"])
        self.set_fill_color(240)
        self.polygon(placed(drawing["polygon"]), style="F")
        self.set_draw_color(0)
        self.set_line_width(0.18)
        self.polyline(placed(drawing["polyline"]))
        self.set_font("DejaVu", "", 6)
        for label in drawing["labels"]:
            self.text(left + label["x"], top + label["y"], label["t"])
        self.set_xy(left, top + drawing["h"] + 1.5)


def render(document):
    pdf = Pages(format="A4")
    pdf.set_margins(15, 13, 15)
    pdf.set_auto_page_break(True, 16)
    pdf.add_font("DejaVu", "", REGULAR)
    pdf.add_font("DejaVu", "B", BOLD)
    pdf.c_margin = 1
    pdf.set_title(document["title"])
    pdf.add_page()
    pdf.set_font("DejaVu", "B", 14)
    pdf.cell(0, 7, document["title"])
    pdf.ln(8)
    for first in range(0, len(document["header"]), 2):
        for label, value in document["header"][first : first + 2]:
            pdf.set_font("DejaVu", "B", 8)
            pdf.cell(30, 4.6, label)
            pdf.set_font("DejaVu", "", 8)
            pdf.cell(60, 4.6, value)
        pdf.ln(4.6)
    pdf.ln(3)
    pdf.table_of(document["summary"], 18)
    pdf.ln(4)
    for part in document["ports"]:
        if pdf.will_page_break(115):
            pdf.add_page()
        pdf.set_font("DejaVu", "B", 10)
        pdf.cell(0, 5, f"{part['name']} — kind {part['kind']}")
        pdf.ln(5.5)
        pdf.table_of(part, 180 / 7)
        pdf.ln(2)
        pdf.drawing(part["drawing"])
        pdf.set_font("DejaVu", "", 8)
        pdf.multi_cell(180, 3.6, part["caution"], align="L")
        pdf.ln(3)
    return bytes(pdf.output())


answer(render)
