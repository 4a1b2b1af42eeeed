"""What drawn documents are made of: chance, and amounts that are written in the units a document states."""

from dataclasses import dataclass

import numpy as np

# One unit of each kind in base units: exact by definition (from memory).
SIZE = {"length": {"mm": 1, "in": 25.4}, "force": {"N": 1, "lbf": 4.4482216152605}}
SIZE |= {"volume": {"mL": 1}, "pressure": {"kPa": 1, "inHg": 3.386389}, "roughness": {"um": 1, "uin": 0.0254}}
SIZE |= {"area": {"mm": 1, "in": 645.16}}
DECIMALS = {"mm": 4, "in": 6, "N": 2, "lbf": 3, "mL": 3, "um": 3, "uin": 1, "kPa": 2, "inHg": 3}


@dataclass(frozen=True)
class Amount:
    """A number in base units, of a kind that has units."""

    value: float
    kind: str = "length"


def written(document: object, units: dict[str, str]) -> object:
    """The document with every amount as a number in these units."""
    if isinstance(document, Amount):
        unit = units["length" if document.kind == "area" else document.kind]
        return round(float(document.value) / SIZE[document.kind][unit], DECIMALS[unit])
    if isinstance(document, dict):
        return {key: written(part, units) for key, part in document.items() if part is not None}
    if isinstance(document, list):
        return [written(part, units) for part in document]
    return document


class Chance:
    """Draws of one head."""

    def __init__(self, seed: int):
        self.random = np.random.default_rng([2026, seed])

    def comes(self, probability: float) -> bool:
        return bool(self.random.random() < probability)

    def between(self, least: float, greatest: float) -> float:
        return float(self.random.uniform(least, greatest))

    def about(self, middle: float, spread: float) -> float:
        return float(self.random.normal(middle, spread))

    def one_of(self, choices):
        return choices[int(self.random.integers(len(choices)))]

    def whole(self, least: int, greatest: int) -> int:
        return int(self.random.integers(least, greatest + 1))
