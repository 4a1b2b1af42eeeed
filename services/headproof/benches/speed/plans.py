"""Draws random heads to be planned for, and times scipy.optimize.milp (HiGHS) on them.

`plans.py draw COUNT CYLINDERS VALVES` prints so many requests, one JSON object a line: heads with so many cylinders,
each with so many intake and as many exhaust valves. `plans.py solve` reads one JSON object a line, {"request",
"evaluation", "staged"}, and prints for each of them one with the seconds that the solver alone took for the whole head,
and the price it found; the programs are built by the tests' own model of the trade.
"""

import json
import os
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[4] / "tests"))

from harness import rework_heads
from harness.rework_model import solving
from harness.rework_model.heads import Head


def draw(count: int, cylinders: int, valves: int) -> None:
    drawn = rework_heads.drawn
    size = {"cylinders": cylinders, "valves": {"intake": valves, "exhaust": valves}}
    rework_heads.drawn = lambda seed: replace(drawn(seed), **size)
    for _, request in rework_heads.requests(count):
        print(json.dumps(request))


def solve() -> None:
    spent = 0.0
    milp = solving.milp

    def timed(*arguments, **options):
        nonlocal spent
        begin = time.perf_counter()
        result = milp(*arguments, **options)
        spent += time.perf_counter() - begin
        return result

    solving.milp = timed
    # What the solver itself prints must not get between the answers.
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    for line in sys.stdin:
        given = json.loads(line)
        spent = 0.0
        best = Head(given["request"], given["evaluation"], set(given["staged"])).best()
        print(json.dumps({"seconds": spent, "price": best.price, "without": sorted(best.without)}), file=answers)
    answers.flush()


if sys.argv[1] == "draw":
    draw(*map(int, sys.argv[2:]))
else:
    solve()
