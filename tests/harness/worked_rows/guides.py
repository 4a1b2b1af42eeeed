"""Guides and stems."""

from dataclasses import replace

import numpy as np

from harness.models import Case, Given
from harness.worked_rows.parts import seen

CASES: dict[str, Case] = {}

CLEARANCE = {"guide bore": Given(8.043, 0.002), "stem diameter": Given(7.992, 0.0015)}
ENGAGED = {"engaged length": Given(42.0, 0.3)}


def one_height(read: dict) -> dict:
    guide = {"bores": {"middle": [read["guide bore"]]}}
    if "engaged length" in read:
        guide["engaged_length"] = read["engaged length"]
    return {"intake": {"guide": guide, "valve": {"stem": {"middle": read["stem diameter"]}}}}


CASES["clearance"] = Case(
    "stem-to-guide-clearance", CLEARANCE, one_height, lambda r: r["guide bore"] - r["stem diameter"]
)
CASES["clearance from rocking"] = Case(
    "stem-to-guide-clearance",
    {"rocking travel": Given(0.15, 0.005), "distance outside the guide": Given(20.0, 0.4)} | ENGAGED,
    lambda read: {
        "intake": {
            "guide": {
                "rocking": seen(read, "travel=rocking travel", "distance_outside=distance outside the guide"),
                "engaged_length": read["engaged length"],
            }
        }
    },
    lambda r: r["rocking travel"] / (1 + 2 * r["distance outside the guide"] / r["engaged length"]),
)
CASES["stem tilt"] = Case(
    "stem-tilt",
    CLEARANCE | ENGAGED,
    one_height,
    lambda r: np.degrees(np.arctan((r["guide bore"] - r["stem diameter"]) / r["engaged length"])),
)
BORES = {
    "wider bore": Given(8.062, 0.001),
    "bore between": Given(8.02, 0.001, in_budget=False),
    "narrower bore": Given(7.98, 0.0012),
}


def bores(top: list[str], middle: list[str], bottom: list[str]):
    places = {"top": top, "middle": middle, "bottom": bottom}
    return lambda read: {
        "intake": {"guide": {"bores": {place: [read[key] for key in keys] for place, keys in places.items()}}}
    }


def wider(r: dict) -> np.ndarray:
    return r["wider bore"] - r["narrower bore"]


CASES["guide taper"] = Case(
    "guide-taper", BORES, bores(["wider bore"], ["bore between"], ["narrower bore"]), wider
)
CASES["guide ovality"] = Case(
    "guide-ovality", BORES, bores(["wider bore", "bore between", "narrower bore"], [], []), wider
)
ENDS = BORES | {
    "wider bore": replace(BORES["wider bore"], label="bore at the end"),
    "narrower bore": replace(BORES["narrower bore"], label="bore in the middle"),
}
CASES["guide bell-mouth"] = Case(
    "guide-bell-mouth", ENDS, bores(["bore between"], ["narrower bore"], ["wider bore"]), wider
)
CASES["stem wear"] = Case(
    "stem-wear",
    {
        "unworn stem diameter": Given(8.0, 0.001),
        "less worn": Given(7.985, 0.001, in_budget=False),
        "worn stem diameter": Given(7.96, 0.0015),
    },
    lambda read: {
        "intake": {
            "valve": {
                "stem": seen(
                    read, "unworn=unworn stem diameter", "top=less worn", "bottom=worn stem diameter"
                )
            }
        }
    },
    lambda r: r["unworn stem diameter"] - r["worn stem diameter"],
)


def stems(read: dict) -> dict:
    """Three intake valves, and one exhaust valve that stands by itself."""

    def port(service: str, index: int, tall: object) -> dict:
        return {"cylinder": 1, "service": service, "index": index, "assembly": {"stem_protrusion": tall}}

    intakes = [port("intake", index, tall) for index, tall in enumerate(read["stem protrusion"], 1)]
    return {"layout": {"intake_per_cylinder": 3}, "ports": [*intakes, port("exhaust", 1, 47.0)]}


CASES["stem protrusion spread"] = Case(
    "stem-protrusion-spread",
    {"stem protrusion": Given((40.2, 39.7, 40.05), 0.02)},
    stems,
    lambda r: np.ptp(r["stem protrusion"], axis=0),
    service=None,
)
