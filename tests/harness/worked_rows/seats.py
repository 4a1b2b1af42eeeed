"""Seats, faces and the contact between them."""

import numpy as np

from harness.models import Case, Given
from harness.worked_rows.parts import seen, slant

CASES: dict[str, Case] = {}

SEAT = {
    "seat outer diameter": Given(36.0, 0.02),
    "seat inner diameter": Given(33.2, 0.02),
    "seat angle": Given(45.0, 0.1, "angle"),
}
SEAT_DIAMETERS = ("outer_diameter=seat outer diameter", "inner_diameter=seat inner diameter")
FACE = {
    "valve head diameter": Given(37.2, 0.01),
    "face inner diameter": Given(31.8, 0.015),
    "face angle": Given(44.5, 0.1, "angle"),
}
VALVE = (
    "head_diameter=valve head diameter",
    "face_inner_diameter=face inner diameter",
    "face_angle=face angle",
)
MARK = {"contact from the edge": Given((0.8,), 0.03), "contact width": Given((1.6,), 0.04)}


def marks(read: dict) -> dict:
    edges, widths = read["contact from the edge"], read["contact width"]
    return {"marks": [{"from_edge": edge, "width": width} for edge, width in zip(edges, widths, strict=True)]}


CASES["seat width"] = Case(
    "seat-width",
    SEAT,
    lambda read: {"intake": {"seat": seen(read, *SEAT_DIAMETERS, "seat_angle=seat angle")}},
    lambda r: slant(r["seat outer diameter"], r["seat inner diameter"], r["seat angle"]),
)
CASES["seat width uniformity"] = Case(
    "seat-width-uniformity",
    {"seat width": Given((1.6, 1.9, 1.7, 1.3), 0.02)},
    lambda read: {"intake": {"seat": {"widths": read["seat width"]}}},
    lambda r: np.ptp(r["seat width"], axis=0),
)
CASES["overhang"] = Case(
    "overhang",
    {key: (SEAT | FACE)[key] for key in ("valve head diameter", "seat outer diameter", "face angle")},
    lambda read: {
        "intake": {
            "seat": seen(read, "outer_diameter=seat outer diameter"),
            "valve": seen(read, "head_diameter=valve head diameter", "face_angle=face angle"),
        }
    },
    lambda r: slant(r["valve head diameter"], r["seat outer diameter"], r["face angle"]),
)
CASES["contact width uniformity"] = Case(
    "contact-width-uniformity",
    {
        "contact from the edge": Given((0.8, 0.9, 0.85, 0.8), 0.03, in_budget=False),
        "contact width": Given((1.6, 1.2, 1.9, 1.5), 0.02),
    },
    lambda read: {"intake": {"contact": marks(read)}},
    lambda r: np.ptp(r["contact width"], axis=0),
)
CASES["contact offset from marks"] = Case(
    "contact-offset",
    FACE | MARK,
    lambda read: {"intake": {"valve": seen(read, *VALVE), "contact": marks(read)}},
    lambda r: (
        r["contact from the edge"][0]
        + r["contact width"][0] / 2
        - slant(r["valve head diameter"], r["face inner diameter"], r["face angle"]) / 2
    ),
)
CASES["contact offset from diameters"] = Case(
    "contact-offset",
    FACE | {key: SEAT[key] for key in ("seat outer diameter", "seat inner diameter")},
    lambda read: {"intake": {"valve": seen(read, *VALVE), "seat": seen(read, *SEAT_DIAMETERS)}},
    lambda r: slant(
        (r["valve head diameter"] + r["face inner diameter"]) / 2,
        (r["seat outer diameter"] + r["seat inner diameter"]) / 2,
        r["face angle"],
    ),
)
CASES["inner edge clearance from marks"] = Case(
    "inner-edge-clearance",
    FACE | MARK,
    CASES["contact offset from marks"].build,
    lambda r: (
        slant(r["valve head diameter"], r["face inner diameter"], r["face angle"])
        - r["contact from the edge"][0]
        - r["contact width"][0]
    ),
)
CASES["inner edge clearance from diameters"] = Case(
    "inner-edge-clearance",
    {key: (SEAT | FACE)[key] for key in ("seat inner diameter", "face inner diameter", "face angle")},
    lambda read: {
        "intake": {
            "valve": seen(read, "face_inner_diameter=face inner diameter", "face_angle=face angle"),
            "seat": seen(read, "inner_diameter=seat inner diameter"),
        }
    },
    lambda r: slant(r["seat inner diameter"], r["face inner diameter"], r["face angle"]),
)
CASES["contact gap"] = Case(
    "contact-gap",
    {"gap": Given((4.0, 11.0, 2.5), 0.5, "angle")},
    lambda read: {"intake": {"contact": {"gaps": read["gap"]}}},
    lambda r: r["gap"].sum(axis=0),
)
CASES["interference angle"] = Case(
    "interference-angle",
    {"seat angle": Given(46.0, 0.1, "angle"), "face angle": Given(45.0, 0.08, "angle")},
    lambda read: {
        "intake": {"seat": {"seat_angle": read["seat angle"]}, "valve": {"face_angle": read["face angle"]}}
    },
    lambda r: r["seat angle"] - r["face angle"],
)


def edge_gap(r: dict, outer: str, inner: str) -> np.ndarray:
    """From the free end of the seat to the face, square to it."""
    opening = np.radians(r["seat angle"] - r["face angle"])
    return slant(r[outer], r[inner], r["seat angle"]) * abs(np.sin(opening))


ANGLES = {"seat angle": Given(46.0, 0.05, "angle"), "face angle": Given(45.0, 0.06, "angle")}
CASES["edge gap of a flatter face"] = Case(
    "contact-edge-gap",
    ANGLES | {"outer diameter": Given(36.0, 0.02), "inner diameter": Given(33.2, 0.02)},
    lambda read: {
        "intake": {
            "seat": seen(
                read,
                "outer_diameter=outer diameter",
                "inner_diameter=inner diameter",
                "seat_angle=seat angle",
            ),
            "valve": {"face_angle": read["face angle"]},
        }
    },
    lambda r: edge_gap(r, "outer diameter", "inner diameter"),
)
CASES["edge gap of a steeper face that begins on the seat"] = Case(
    "contact-edge-gap",
    {
        "seat angle": Given(44.0, 0.05, "angle"),
        "face angle": Given(45.5, 0.06, "angle"),
        "outer diameter": Given(36.0, 0.02),
        "head diameter": Given(37.2, 0.02, in_budget=False),
        "seat inner diameter": Given(33.2, 0.02, in_budget=False),
        "inner diameter": Given(33.9, 0.02),
    },
    lambda read: {
        "intake": {
            "seat": seen(
                read,
                "outer_diameter=outer diameter",
                "inner_diameter=seat inner diameter",
                "seat_angle=seat angle",
            ),
            "valve": seen(
                read,
                "head_diameter=head diameter",
                "face_inner_diameter=inner diameter",
                "face_angle=face angle",
            ),
        }
    },
    lambda r: edge_gap(r, "outer diameter", "inner diameter"),
)
