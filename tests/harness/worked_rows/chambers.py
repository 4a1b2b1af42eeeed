"""Chambers and compression ratios."""

import numpy as np

from harness.models import Case, Given

CASES: dict[str, Case] = {}

ENGINE = {
    "cylinder bore": Given(100.0, 0.01),
    "stroke": Given(90.0, 0.02),
    "gasket bore": Given(102.0, 0.05),
    "gasket thickness": Given(1.0, 0.02),
    "piston deck clearance": Given(0.5, 0.01),
    "piston volume": Given(5.0, 0.1, "volume"),
    "pre-chamber volume": Given(3.0, 0.1, "volume"),
    "crevice volume": Given(0.5, 0.05, "volume"),
}
TERMS = {
    "bore": "cylinder bore",
    "stroke": "stroke",
    "gasket_bore": "gasket bore",
    "gasket_thickness": "gasket thickness",
    "deck_clearance": "piston deck clearance",
    "piston_volume": "piston volume",
    "prechamber": "pre-chamber volume",
    "crevice": "crevice volume",
}


def engine(read: dict, *chambers: str) -> dict:
    terms = {name: read[key] for name, key in TERMS.items() if key in read}
    volumes = [{"cylinder": number, "volume": read[key]} for number, key in enumerate(chambers, 1)]
    return {"layout": {"compression": terms, "cylinders": len(chambers)}, "chambers": volumes}


def ratio(r: dict, chamber: str) -> np.ndarray:
    """Swept and left volume over the left one; mm and mL."""
    disc = np.pi / 4 * r["cylinder bore"] ** 2 / 1000
    left = r[chamber] + np.pi / 4 * r["gasket bore"] ** 2 * r["gasket thickness"] / 1000
    left = left + disc * r["piston deck clearance"] + r["piston volume"]
    for key in ("pre-chamber volume", "crevice volume"):
        left = left + r.get(key, 0.0)
    return (disc * r["stroke"] + left) / left


CASES["compression ratio"] = Case(
    "compression-ratio",
    {"chamber volume": Given(60.5, 0.25, "volume")} | ENGINE,
    lambda read: engine(read, "chamber volume"),
    lambda r: ratio(r, "chamber volume"),
    service=None,
)
CASES["compression ratio spread"] = Case(
    "compression-ratio-spread",
    {
        "chamber of the least ratio": Given(66.0, 0.25, "volume"),
        "chamber of the greatest ratio": Given(60.5, 0.25, "volume"),
    }
    | ENGINE,
    lambda read: engine(read, "chamber of the least ratio", "chamber of the greatest ratio"),
    lambda r: ratio(r, "chamber of the greatest ratio") - ratio(r, "chamber of the least ratio"),
    service=None,
)
CASES["chamber spread"] = Case(
    "chamber-spread",
    {"chamber volume": Given((64.0, 66.5, 61.5), 0.25, "volume")},
    lambda read: {
        "layout": {"cylinders": 3},
        "chambers": [
            {"cylinder": number, "volume": volume} for number, volume in enumerate(read["chamber volume"], 1)
        ],
    },
    lambda r: np.ptp(r["chamber volume"], axis=0),
    service=None,
)
