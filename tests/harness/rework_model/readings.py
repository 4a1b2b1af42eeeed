"""Readings of a posted set in base units, with what is known of their uncertainty."""

import math
from dataclasses import dataclass

from harness.rework_amounts import SIZE

Path = tuple


@dataclass(frozen=True)
class Read:
    value: float
    # Standard uncertainties: in all, and what the gauge brings to every reading of it.
    u: float | None
    gauge_u: float | None
    instrument: str | None


class Document:
    """The parts of one posted document, in base units."""

    def __init__(self, document: dict):
        self.document = document
        self.units = document["units"]
        self.gauges = {gauge["id"]: gauge for gauge in document.get("instruments", [])}

    def size(self, kind: str) -> float:
        """One unit of this kind in base units."""
        return 1.0 if kind == "angle" else SIZE[kind][self.units[kind]]

    def reading(self, posted: object, kind: str = "length", of_the_block: str | None = None) -> Read | None:
        if posted is None:
            return None
        size = self.size(kind)
        detail = posted if isinstance(posted, dict) else {"value": posted}
        values = detail.get("repeats") or [detail["value"]]
        gauge = self.gauges.get(detail.get("instrument") or of_the_block)
        # The type B part: what the reading or its gauge states.
        stated = gauge["expanded_uncertainty"] / gauge["coverage_factor"] if gauge else None
        if "expanded_uncertainty" in detail:
            stated = detail["expanded_uncertainty"] / detail.get("coverage_factor", 2)
        mean = math.fsum(values) / len(values)
        u = stated
        if stated is not None and len(values) > 1:
            # The scatter of repeats adds s^2 / n (JCGM 100:2008, 4.2.3, from memory).
            scatter = math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
            u = math.sqrt(stated**2 + scatter / len(values))
        return Read(
            mean * size,
            None if u is None else u * size,
            None if stated is None else stated * size,
            gauge["id"] if gauge else None,
        )


# Where each reading of a port stands and what it is, by the name that budgets give it. Numbered ones come as lists.
SINGLE = {
    "seat angle": (("seat", "seat_angle"), "angle"),
    "seat outer diameter": (("seat", "outer_diameter"), "length"),
    "seat inner diameter": (("seat", "inner_diameter"), "length"),
    "valve head diameter": (("valve", "head_diameter"), "length"),
    "face angle": (("valve", "face_angle"), "angle"),
    "face inner diameter": (("valve", "face_inner_diameter"), "length"),
    "installed height": (("spring_pack", "installed_height"), "length"),
    "lift": (("spring_pack", "lift"), "length"),
    "retainer to seal": (("spring_pack", "retainer_travel"), "length"),
}

# Rows that are read and not worked out.
DIRECT = {
    "seat-angle": (("seat", "seat_angle"), "angle"),
    "top-cut-angle": (("seat", "top_angle"), "angle"),
    "throat-cut-angle": (("seat", "throat_angle"), "angle"),
    "seat-outer-diameter": (("seat", "outer_diameter"), "length"),
    "seat-inner-diameter": (("seat", "inner_diameter"), "length"),
    "face-angle": (("valve", "face_angle"), "angle"),
    "margin": (("valve", "margin"), "length"),
    "recession": (("assembly", "recession"), "length"),
    "stem-protrusion": (("assembly", "stem_protrusion"), "length"),
    "tip-to-retainer": (("assembly", "tip_to_retainer"), "length"),
    "valve-to-piston": (("assembly", "valve_to_piston"), "length"),
    "lash": (("assembly", "lash"), "length"),
    "lash-shim": (("assembly", "lash_shim"), "length"),
    "installed-height": (("spring_pack", "installed_height"), "length"),
    "pit-depth": (("seat", "pit", "depth"), "length"),
}


def at(document: object, path: Path) -> object:
    """What stands at a path, or nothing."""
    for part in path:
        if document is None:
            return None
        document = document.get(part) if isinstance(document, dict) else document[part]
    return document
