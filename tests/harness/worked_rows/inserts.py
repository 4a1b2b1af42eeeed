"""Seat inserts and what holds them.

Constants of materials: Callister, Materials Science and Engineering, tables B.2 and B.6; Poisson's ratios from memory.
"""

import numpy as np

from harness.models import Case, Given, Spread
from harness.worked_rows.parts import seen

CASES: dict[str, Case] = {}

STEEL_EXPANSION, ALUMINIUM_EXPANSION = 11.7e-6, 21.5e-6
KPA_PER_GPA = 1e6
INSERT = {"insert diameter": Given(40.12, 0.003), "counterbore diameter": Given(40.03, 0.004)}
RINGS = INSERT | {
    "throat diameter": Given(32.0, 0.1),
    "wall left behind the insert": Given(6.0, 0.3),
}


def fitted_insert(head: str, insert: str):
    def build(read: dict) -> dict:
        part = {"material": insert} | seen(
            read, "diameter=insert diameter", "counterbore_diameter=counterbore diameter"
        )
        seat = {"insert": part}
        if "throat diameter" in read:
            seat["throat_diameter"] = read["throat diameter"]
            part["wall_left"] = read["wall left behind the insert"]
        return {"intake": {"seat": seat}, "head": {"serial": "SMALL-1", "material": head}}

    return build


def held(r: dict, insert: tuple, head: tuple) -> np.ndarray:
    """Lamé's pressure between two thick rings in plane stress, in kPa."""
    d, inside = r["counterbore diameter"], r["throat diameter"]
    outside = d + 2 * r["wall left behind the insert"]
    (insert_modulus, insert_poisson), (head_modulus, head_poisson) = insert, head
    give = ((outside**2 + d**2) / (outside**2 - d**2) + head_poisson) / head_modulus
    give = give + ((d**2 + inside**2) / (d**2 - inside**2) - insert_poisson) / insert_modulus
    return (r["insert diameter"] - d) / (d * give)


def interference(r: dict) -> np.ndarray:
    return r["insert diameter"] - r["counterbore diameter"]


IN_ALUMINIUM = fitted_insert("aluminium", "steel")
CASES["insert interference"] = Case("insert-interference", INSERT, IN_ALUMINIUM, interference)
CASES["insert chill"] = Case(
    "insert-chill",
    INSERT,
    IN_ALUMINIUM,
    lambda r: interference(r) / (STEEL_EXPANSION * r["insert diameter"]),
)
CASES["insert head warming"] = Case(
    "insert-head-warming",
    INSERT,
    IN_ALUMINIUM,
    lambda r: interference(r) / (ALUMINIUM_EXPANSION * r["counterbore diameter"]),
)
CASES["pressure on a steel insert in aluminium"] = Case(
    "insert-pressure",
    RINGS,
    IN_ALUMINIUM,
    lambda r: held(r, (r["modulus of the insert"], 0.29), (r["modulus of the head"], 0.33)),
    spreads={
        "modulus of the insert": Spread(207 * KPA_PER_GPA, 0, "pressure"),
        "modulus of the head": Spread(72.4 * KPA_PER_GPA, 0, "pressure"),
    },
)
CASES["pressure on an iron insert in iron"] = Case(
    "insert-pressure",
    RINGS,
    fitted_insert("cast-iron", "iron"),
    lambda r: held(r, (r["modulus of the insert"], 0.26), (r["modulus of the head"], 0.26)),
    spreads={
        "modulus of the insert": Spread(114 * KPA_PER_GPA, 24 * KPA_PER_GPA, "pressure"),
        "modulus of the head": Spread(102 * KPA_PER_GPA, 36 * KPA_PER_GPA, "pressure"),
    },
    # A modulus that may be a third more or less is no small change.
    tolerance=0.06,
)
