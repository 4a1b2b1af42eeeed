"""Decks."""

import numpy as np

from harness.models import Case, Given
from harness.worked_rows.parts import least_zone, remainder

CASES: dict[str, Case] = {}

GRID = [(x, y) for y in (0, 70, 140) for x in (0, 200, 400)]
WARPED = {"deck height": Given((0.027, -0.007, -0.041, -0.051, 0.008, 0.005, 0.008, 0.001, 0.033), 0.0004)}
STRIP = [(x, y) for y in (0, 80) for x in (0, 100, 200, 300)]
# Rougher at the left than at the right.
ROUGH = {"deck height": Given((-0.044, -0.018, 0.034, -0.008, 0.02, -0.016, -0.036, 0.006), 0.0004)}
WINDOWS = [[0, 1, 2, 4, 5, 6], [1, 2, 3, 5, 6, 7]]


def deck(places: list[tuple[int, int]]):
    def build(read: dict) -> dict:
        heights = zip(places, read["deck height"], strict=True)
        found = {"heights": {"points": [{"x": x, "y": y, "z": z} for (x, y), z in heights]}}
        if "head thickness" in read:
            found["thickness"] = [{"place": "at the front", "reading": read["head thickness"]}]
        return {"deck": found}

    return build


def planes(places: list[tuple[int, int]]) -> np.ndarray:
    return np.column_stack([np.ones(len(places)), np.array(places) / 100])


# Widths are taken along z here; square to planes of slopes below 6e-4 they are smaller by less than this part.
LEVELLED = 2e-7


def worst_window(heights: np.ndarray) -> np.ndarray:
    rows = planes(STRIP)
    return np.maximum(*(least_zone(rows[window], heights[window]) for window in WINDOWS))


for name, part, model in (
    ("deck flatness", "deck-flatness", lambda r: least_zone(planes(GRID), r["deck height"])),
    (
        "deck flatness, least squares",
        "deck-flatness-least-squares",
        lambda r: remainder(r["deck height"], planes(GRID)),
    ),
    ("deck stock, parallel", "deck-stock-parallel", lambda r: np.ptp(r["deck height"], axis=0)),
    ("deck stock, free", "deck-stock-free", lambda r: least_zone(planes(GRID), r["deck height"])),
):
    CASES[name] = Case(part, WARPED, deck(GRID), model, service=None, accuracy=LEVELLED)
CASES["deck flatness, local"] = Case(
    "deck-flatness-local",
    ROUGH,
    deck(STRIP),
    lambda r: worst_window(r["deck height"]),
    own_limit={"window": {"length": 200, "width": 80}},
    service=None,
    accuracy=LEVELLED,
)
CASES["head thickness after the cut"] = Case(
    "head-thickness-cleaned",
    {"head thickness": Given(106.4, 0.01)} | WARPED,
    deck(GRID),
    lambda r: r["head thickness"] - np.ptp(r["deck height"], axis=0),
    service=None,
)
