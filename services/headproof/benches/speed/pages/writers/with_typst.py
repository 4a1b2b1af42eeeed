"""The documents with typst, compiled once and set with each document's text."""

import json
from pathlib import Path

import typst
from answer import TYPEFACES, answer

HERE = Path(__file__).resolve().parent
COMPILER = typst.Compiler(
    str(HERE / "document.typ"), root=str(HERE), font_paths=[str(TYPEFACES)], ignore_system_fonts=True
)


def render(document):
    return COMPILER.compile(format="pdf", pdf_tags=False, sys_inputs={"document": json.dumps(document)})


answer(render)
