"""Draws documents of no trade, the same on every run: `draw.py DIRECTORY COUNT` writes 00.json, 01.json, ...

Each has a header, a summary of 16 lines, and 16 parts of a table with 12 lines, a drawing with a line of 200 points,
and a caution of 60 words: 9 pages of A4.
"""

import json
import math
import random
import sys
from pathlib import Path

WORDS = (
    "do not force tool near seat edge when surface is hot always clean the gauge before use check zero on master ring "
    "record ambient temperature keep part flat on plate remove burrs and oil film wear gloves stop if reading drifts "
    "more than limit repeat the set twice and sign each page before release to store"
).split()
HEADER = {
    "Document": "DOC", "Customer": "CUST", "Order": "ORD", "Serial": "SN",
    "Operator": "OP", "Gauge": "GA", "Date": "2026", "Site": "SITE",
}  # fmt: skip
COLUMNS = ["Point", "X mm", "Y mm", "Z mm", "Nominal", "Dev", "Flow"]
RANGES = [(-120, 120), (-80, 80), (-2, 2), (20, 60), (-0.2, 0.2), (50, 320)]
SUMMARY_COLUMNS = ["Port", "Min", "Max", "Mean", "Sigma", "Flat", "Round", "Depth", "Angle", "Flow"]
SUMMARY_RANGES = [(0, 9), (10, 90), (5, 60), (0, 3), (0, 0.2), (0, 0.2), (10, 50), (0, 90), (50, 320)]
PARTS = 16


def row(rng, label, ranges):
    return {"label": label, "v": [round(rng.uniform(low, high), 3) for low, high in ranges]}


def drawing(rng):
    phase, height = rng.uniform(0, 6.28), rng.uniform(6, 12)
    polyline = [
        [
            round(2 + 86 * i / 199, 2),
            round(16 + height * math.sin(phase + i / 199 * 12) + rng.uniform(-0.6, 0.6), 2),
        ]
        for i in range(200)
    ]
    x, y = rng.uniform(25, 65), rng.uniform(12, 20)
    corners = [math.pi * k / 6 for k in range(12)]
    polygon = [[round(x + 9 * math.cos(a), 2), round(y + 7 * math.sin(a), 2)] for a in corners]
    labels = [
        {
            "x": round(6 + 14 * k, 2),
            "y": round(rng.uniform(5, 29), 2),
            "t": f"L{k + 1} {round(rng.uniform(0.1, 9.9), 3):.3f}",
        }
        for k in range(6)
    ]
    return {"w": 90, "h": 32, "polyline": polyline, "polygon": polygon, "labels": labels}


def part(rng, number):
    drawn = drawing(rng)
    return {
        "name": f"Port {number:02d}",
        "kind": "B" if number % 2 else "A",
        "columns": COLUMNS,
        "rows": [row(rng, f"P{n + 1:02d}", RANGES) for n in range(12)],
        "drawing": drawn,
        "caution": " ".join(rng.choice(WORDS) for _ in range(60)).capitalize() + ".",
    }


def document(seed):
    rng = random.Random(1000 + seed)
    parts = [part(rng, number) for number in range(1, PARTS + 1)]
    return {
        "title": "Inspection sheet",
        "header": [[label, f"{word}-{rng.randrange(10**6):06d}"] for label, word in HEADER.items()],
        "summary": {
            "columns": SUMMARY_COLUMNS,
            "rows": [row(rng, f"Port {n:02d}", SUMMARY_RANGES) for n in range(1, PARTS + 1)],
        },
        "ports": parts,
    }


for seed in range(int(sys.argv[2])):
    Path(sys.argv[1], f"{seed:02d}.json").write_text(json.dumps(document(seed)))
