"""Heads that need rework, drawn at random, each with a profile and a workshop: all sizes are invented.

Everything about a head follows from its seed.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from harness.documents import INCH, METRIC
from harness.rework_amounts import Amount, Chance, written
from harness.rework_parts import (
    Design,
    assembly_of,
    contact_of,
    design,
    guide_of,
    seat_of,
    spring_pack_of,
    valve_of,
)
from harness.rework_shops import profile_of, workshop_of

BORE_AND_STROKE = (86.0, 90.0)
GASKET = 1.2


DEFECTS = {
    "wide-seat": 4,
    "narrow-seat": 1,
    "high-contact": 3,
    "runout": 4,
    "pit": 3,
    "face-runout": 3,
    "thin-margin": 2,
    "sunk": 3,
    "seat-angle": 1,
    "weak-spring": 2,
    "bad-spring": 1,
    "tall-spring": 2,
    "loose-insert": 2,
    "worn-tip": 1,
    "high-tip": 2,
    "bad-neck": 1,
    "worn-stem": 1,
    "guide-out": 1,
    "lash-out": 1,
    "missing": 2,
}


@dataclass
class Head:
    """All that one head is made of while it is drawn."""

    chance: Chance
    guarded: bool
    lifter: str
    cylinders: int
    valves: dict[str, int]
    iron: bool
    inserts: bool
    # How seats were read: `both` diameters and widths, `outer` or `inner` with widths, or by their `band`.
    seats_read: str
    spring_points: int
    nested: bool
    datum: str | None
    designs: dict[str, Design]
    # How many of a hundred ports are left as they should be.
    sound: int
    defects: dict[tuple, list[str]] = field(default_factory=dict)

    def places(self) -> Iterator[tuple[int, str, int]]:
        for cylinder in range(1, self.cylinders + 1):
            for service, number in self.valves.items():
                for index in range(1, number + 1):
                    yield cylinder, service, index

    def ratio(self, chamber: float) -> float:
        """The compression ratio with a chamber of this volume, near enough to choose limits by."""
        bore, stroke = BORE_AND_STROKE
        area = np.pi / 4000 * bore**2
        return 1 + area * stroke / (chamber + area * (GASKET + 0.3) + 2)

    def read(self, value: float, gauge: str, kind: str = "length") -> object:
        """One reading of a gauge, at times taken twice or with an uncertainty of its own."""
        amount = (lambda size: round(float(size), 3)) if kind == "angle" else (lambda size: Amount(size, kind))
        if not self.guarded and self.chance.comes(0.3):
            return amount(value)
        if self.chance.comes(0.04):
            spread = 0.02 if kind == "angle" else 0.003
            return {
                "repeats": [amount(value + spread), amount(value - spread), amount(value)],
                "instrument": gauge,
            }
        return {"value": amount(value), "instrument": gauge}


def drawn(seed: int) -> Head:
    chance = Chance(seed)
    return Head(
        chance=chance,
        guarded=chance.comes(0.5),
        lifter=chance.one_of(["adjustable", "hydraulic", "bucket-with-shim"]),
        cylinders=chance.whole(1, 6) if chance.comes(0.5) else chance.whole(1, 3),
        valves={"intake": chance.whole(1, 2), "exhaust": chance.whole(1, 2)},
        iron=chance.comes(0.5),
        inserts=chance.comes(0.5),
        seats_read=chance.one_of(["both", "both", "both", "outer", "outer", "outer", "band", "inner"]),
        spring_points=chance.one_of([2, 2, 3, 4]),
        nested=chance.comes(0.15),
        datum=chance.one_of(["deck", "chamber", None]),
        designs={service: design(chance, service) for service in ("intake", "exhaust")},
        sound=chance.one_of([20, 40, 60, 80]),
    )


def ailments(head: Head) -> list[str]:
    chance = head.chance
    if chance.comes(head.sound / 100):
        return []
    names, weights = list(DEFECTS), np.array(list(DEFECTS.values()), dtype=float)
    number = chance.one_of([1, 1, 2, 2, 3])
    found = chance.random.choice(names, number, replace=False, p=weights / weights.sum())
    return [str(name) for name in found]


def without_some(head: Head, port: dict) -> dict:
    """A port of which one or two readings are missing."""
    chance = head.chance
    for _ in range(chance.whole(1, 2)):
        block = chance.one_of(["valve", "seat", "spring_pack", "assembly", "guide"])
        names = [name for name in port[block] if name not in ("recession_datum", "insert", "tag")]
        del port[block][chance.one_of(names)]
        if not port[block]:
            port[block] = None
    return port


def port_of(head: Head, place: tuple[int, str, int]) -> dict:
    cylinder, service, index = place
    chance, plan, ill = head.chance, head.designs[service], ailments(head)
    head.defects[place] = ill
    valve, across = valve_of(head, plan, ill, f"{cylinder}{service[0].upper()}{index}")
    seat, outer, width = seat_of(head, plan, ill)
    contact = contact_of(head, plan, across, outer, width)
    pack, tall = spring_pack_of(head, plan, ill)
    port = {
        "cylinder": cylinder,
        "service": service,
        "index": index,
        "guide": guide_of(head, plan, ill),
        "valve": valve,
        "seat": seat,
        "contact": contact,
        "spring_pack": pack,
        "assembly": assembly_of(head, plan, ill, tall),
        "leak": {"seep": bool(ill) and chance.comes(0.5)} if chance.comes(0.3) else None,
    }
    return without_some(head, port) if "missing" in ill else port


GAUGES = {
    "micrometer": ("length", 0.003),
    "bore-gauge": ("length", 0.006),
    "dial": ("length", 0.004),
    "scope": ("length", 0.04),
    "calliper": ("length", 0.03),
    "depth": ("length", 0.02),
    "feeler": ("length", 0.02),
    "height": ("length", 0.006),
    "protractor": ("angle", 0.12),
    "tester": ("force", 4),
    "burette": ("volume", 0.2),
    "roughness": ("roughness", 0.06),
}


def gauges_of(head: Head) -> list[dict]:
    chance = head.chance
    finer = chance.one_of([1, 1, 0.5, 1.5])
    return [
        {
            "id": name,
            "description": f"an invented {name}",
            "measures": kind,
            "expanded_uncertainty": round(size * finer, 4) if kind == "angle" else Amount(size * finer, kind),
            "coverage_factor": 2,
            "correlation": chance.one_of([0.3, 0.8]) if chance.comes(0.15) else None,
        }
        for name, (kind, size) in GAUGES.items()
    ]


def deck_of(head: Head) -> dict | None:
    """A deck with heights on a grid, warped or not, and its roughness and thickness."""
    chance = head.chance
    if chance.comes(0.25):
        return None
    length = 90.0 * head.cylinders
    warped = chance.between(0.06, 0.14) if chance.comes(0.4) else chance.between(0, 0.03)
    points = []
    for x in np.linspace(0, length, 3 + head.cylinders):
        for y in (0.0, 70.0, 140.0):
            z = warped * (1 - (2 * x / length - 1) ** 2) + chance.about(0, 0.003)
            points.append({"x": Amount(x), "y": Amount(y), "z": head.read(z, "height")})
    rough = chance.between(1.2, 2.5) if chance.comes(0.25) else chance.between(0.3, 0.9)
    return {
        "heights": {"points": points},
        "roughness": [head.read(rough, "roughness", "roughness")],
        "thickness": [
            {"place": f"corner {corner}", "reading": head.read(120 + chance.about(0, 0.03), "micrometer")}
            for corner in (1, 2, 3, 4)
        ],
    }


def compression_of(head: Head) -> dict:
    bore, stroke = BORE_AND_STROKE
    return {
        "bore": head.read(bore, "bore-gauge"),
        "stroke": head.read(stroke, "calliper"),
        "gasket_bore": head.read(bore + 1, "calliper"),
        "gasket_thickness": head.read(GASKET, "calliper"),
        "deck_clearance": head.read(0.3, "depth"),
        "piston_volume": head.read(2.0, "burette", "volume"),
    }


def chambers_of(head: Head, middle: float) -> list[dict]:
    chance = head.chance
    uneven = chance.one_of([0.1, 0.3, 0.6, 1.0])
    return [
        {"cylinder": cylinder, "volume": head.read(middle + chance.between(-uneven, uneven), "burette", "volume")}
        for cylinder in range(1, head.cylinders + 1)
    ]


def request_of(seed: int) -> dict:
    """A request for a plan: everything about it follows from its seed."""
    head = drawn(seed)
    chance = head.chance
    set_units, profile_units, workshop_units = (chance.one_of([METRIC, METRIC, INCH]) for _ in range(3))
    chamber = round(chance.between(38, 60), 1) if chance.comes(0.5) else None
    measured = {
        "format": "headproof/measurement-set/1",
        "units": set_units,
        "head": {"serial": f"RANDOM-{seed}", "material": "cast-iron" if head.iron else "aluminium"},
        "job": {
            "number": f"R-{seed}",
            "stage": chance.one_of(["as-received", "after-rework", "final"]),
            "measured_by": "an invented person",
            "measured_at": "2026-03-01T10:00:00+01:00",
        },
        "layout": {
            "camshaft": "pushrod" if head.lifter == "adjustable" else "overhead",
            "lifter": head.lifter,
            "cylinders": head.cylinders,
            "intake_per_cylinder": head.valves["intake"],
            "exhaust_per_cylinder": head.valves["exhaust"],
            "compression": compression_of(head) if chamber and chance.comes(0.6) else None,
        },
        "instruments": gauges_of(head),
        "deck": deck_of(head),
        "cam_bores": {"straightness": head.read(chance.one_of([0.01, 0.02, 0.06]), "height")}
        if chance.comes(0.6)
        else None,
        "chambers": chambers_of(head, chamber) if chamber else None,
        "ports": [port_of(head, place) for place in head.places()],
    }
    return {
        "measurement_set": written(measured, set_units),
        "profile": written(profile_of(head, chamber, profile_units), profile_units),
        "workshop": written(workshop_of(head, workshop_units), workshop_units),
    }


def requests(number: int, first: int = 1) -> Iterator[tuple[int, dict]]:
    """So many heads with their seeds."""
    for seed in range(first, first + number):
        yield seed, request_of(seed)
