"""What every writer here is run by: `WRITER.py DOCUMENTS OUT TYPEFACES` reads all of DOCUMENTS/*.json, then answers each
line `FIRST COUNT` with the seconds that rendering so many documents took, reading their JSON included, and leaves the
files in OUT.
"""

import json
import sys
import time
from pathlib import Path

DOCUMENTS, OUT, TYPEFACES = map(Path, sys.argv[1:])
REGULAR, BOLD = TYPEFACES / "DejaVuSans.ttf", TYPEFACES / "DejaVuSans-Bold.ttf"


def answer(render):
    texts = [path.read_text() for path in sorted(DOCUMENTS.glob("*.json"))]
    for line in sys.stdin:
        first, count = map(int, line.split())
        begin = time.perf_counter()
        files = [render(json.loads(text)) for text in texts[first : first + count]]
        seconds = time.perf_counter() - begin
        for number, file in enumerate(files, first):
            (OUT / f"{number:02d}.pdf").write_bytes(file)
        print(seconds, flush=True)
