"""Seats, valves, guides and springs of drawn heads: meant to be one way, and read another."""

from dataclasses import dataclass

import numpy as np

from harness.rework_amounts import Amount, Chance


@dataclass
class Design:
    """How the ports of one service are meant to be."""

    service: str
    head: float
    seat_angle: float
    top_angle: float
    throat_angle: float
    face_angle: float
    width: float
    overhang: float
    margin: float
    recession: float
    protrusion: float
    installed: float
    lift: float
    load: float
    rate: float
    stem: float
    clearance: float
    face_width: float

    @property
    def outer(self) -> float:
        return self.head - 2 * self.overhang * np.cos(np.radians(self.face_angle))

    @property
    def face_inner(self) -> float:
        return self.head - 2 * self.face_width * np.cos(np.radians(self.face_angle))


def design(chance: Chance, service: str) -> Design:
    seat = chance.one_of([45, 45, 45, 45, 30, 46])
    width = chance.between(1.1, 1.7)
    overhang = chance.between(0.45, 0.9)
    return Design(
        service=service,
        head=round(chance.between(27, 46), 1),
        seat_angle=seat,
        top_angle=seat - 15,
        throat_angle=seat + chance.one_of([15, 15, 20]),
        # A face a little flatter than its seat touches at the outer edge; now and then there is a steeper one.
        face_angle=seat - chance.one_of([0, 0.5, 0.5, 1, 1, -0.5]),
        width=width,
        overhang=overhang,
        margin=chance.between(1.1, 1.8),
        recession=chance.between(0.3, 1.2),
        protrusion=round(chance.between(36, 48), 1),
        installed=round(chance.between(33, 42), 1),
        lift=round(chance.between(7, 10.5), 1),
        load=round(chance.between(180, 420)),
        rate=round(chance.between(22, 45), 1),
        stem=chance.one_of([6.0, 7.0, 8.0, 9.5]),
        clearance=chance.between(0.035, 0.055),
        face_width=overhang + width + chance.between(0.3, 0.9),
    )


def turn(head, runout: float, gauge: str) -> dict:
    """Dial readings of a seat or face that stands off centre, with a little scatter."""
    chance = head.chance
    number = chance.one_of([5, 6, 8, 8, 12])
    angles = np.arange(number) * 2 * np.pi / number + chance.between(0, 6)
    readings = runout / 2 * np.cos(angles) + chance.random.normal(0, 0.0006, number)
    return {
        "instrument": gauge,
        "direction": chance.one_of(["square", "square", "square", "radial", "axial"]),
        "readings": [Amount(reading) for reading in readings],
    }


def seat_of(head, plan: Design, ill: list[str]) -> tuple[dict, float, float]:
    """The seat as it was read, and its true outer diameter and width."""
    chance = head.chance
    width = plan.width + chance.about(0, 0.05)
    outer = plan.outer + chance.about(0, 0.1)
    if "wide-seat" in ill:
        width += chance.between(0.2, 0.9)
        outer += chance.between(0, 0.8)
    if "narrow-seat" in ill:
        width -= chance.between(0.2, 0.5)
    if "high-contact" in ill:
        outer += chance.between(0.3, 1.0)
    angle = plan.seat_angle + chance.about(0, 0.08) + (chance.between(-1, 1) if "seat-angle" in ill else 0)
    inner = outer - 2 * width * np.cos(np.radians(angle))
    seat = {
        "seat_angle": head.read(angle, "protractor", "angle"),
        "top_angle": head.read(plan.top_angle + chance.about(0, 0.3), "protractor", "angle"),
        "throat_angle": head.read(plan.throat_angle + chance.about(0, 0.3), "protractor", "angle"),
        "throat_diameter": head.read(inner - chance.between(0.6, 3), "calliper"),
    }
    if head.seats_read in ("both", "outer"):
        seat["outer_diameter"] = head.read(outer, "bore-gauge")
    if head.seats_read in ("both", "inner"):
        seat["inner_diameter"] = head.read(inner, "bore-gauge")
    if head.seats_read != "both" or chance.comes(0.6):
        places = chance.one_of([4, 6, 8])
        seat["widths"] = [head.read(width + chance.about(0, 0.008), "scope") for _ in range(places)]
    runout = chance.between(0.008, 0.025) + (chance.between(0.04, 0.12) if "runout" in ill else 0)
    seat["runout"] = turn(head, runout, "dial")
    if "pit" in ill or chance.comes(0.1):
        depth = chance.between(0.02, 0.15)
        seat["pit"] = {"depth": head.read(depth, "scope"), "inside_band": "pit" in ill}
    if head.inserts:
        fit = "loose" if "loose-insert" in ill else "tight"
        seat["insert"] = {
            "fit": fit,
            "material": chance.one_of(["iron", "steel", "hard-alloy"]),
            "diameter": head.read(plan.head + chance.between(0.4, 3), "calliper"),
        }
    return seat, outer, width


def contact_of(head, plan: Design, valve: float, outer: float, width: float) -> dict | None:
    chance = head.chance
    if chance.comes({"band": 0.03, "inner": 0.2}.get(head.seats_read, 0.6)):
        return None
    overhang = (valve - outer) / 2 / np.cos(np.radians(plan.face_angle))
    if overhang < 0.05:
        return None
    marks = [
        {
            "from_edge": head.read(overhang + chance.about(0, 0.006), "scope"),
            "width": head.read(width + chance.about(0, 0.006), "scope"),
        }
        for _ in range(chance.one_of([1, 4, 8]))
    ]
    return {"marks": marks, "gaps": [] if chance.comes(0.3) else None}


def valve_of(head, plan: Design, ill: list[str], tag: str) -> tuple[dict, float]:
    chance = head.chance
    across = plan.head + chance.about(0, 0.02)
    margin = plan.margin + chance.about(0, 0.05) - (chance.between(0.1, 0.5) if "thin-margin" in ill else 0)
    runout = chance.between(0.005, 0.02) + (chance.between(0.03, 0.07) if "face-runout" in ill else 0)
    worn = chance.between(0.03, 0.06) if "worn-stem" in ill else 0
    valve = {
        "tag": tag,
        "stem": {
            place: head.read(plan.stem - plan.clearance + chance.about(0, 0.0008) - worn, "micrometer")
            for place in ("top", "middle", "bottom")
        },
        "head_diameter": head.read(across, "micrometer"),
        "margin": head.read(margin, "micrometer"),
        "face_angle": head.read(plan.face_angle + chance.about(0, 0.05), "protractor", "angle"),
        "face_runout": turn(head, runout, "dial"),
        "overall_length": head.read(plan.protrusion + 65 + chance.about(0, 0.02), "calliper"),
        "tip": "worn" if "worn-tip" in ill else "good",
        "keeper_groove": "good",
        "neck": "bad" if "bad-neck" in ill else "good",
    }
    if chance.comes(0.7):
        valve["face_inner_diameter"] = head.read(plan.face_inner + chance.about(0, 0.03), "micrometer")
    for mark in ("coated", "nitrided", "titanium", "hollow", "sodium_filled"):
        if chance.comes(0.02):
            valve[mark] = True
    return valve, across


def guide_of(head, plan: Design, ill: list[str]) -> dict:
    chance = head.chance
    bore = plan.stem + (chance.between(0.05, 0.1) if "guide-out" in ill else 0)
    return {
        "bores": {
            place: [head.read(bore + chance.about(0, 0.0008), "bore-gauge") for _ in range(2)]
            for place in ("top", "middle", "bottom")
        },
        "engaged_length": head.read(chance.about(38, 0.2), "calliper"),
        "fit": "bad" if "guide-out" in ill and chance.comes(0.3) else "good",
    }


def spring_pack_of(head, plan: Design, ill: list[str]) -> tuple[dict, float]:
    """The springs as they were read, and how much the installed height is above its nominal."""
    chance = head.chance
    tall = chance.about(0, 0.12) + (chance.between(0.4, 1.6) if "tall-spring" in ill else 0)
    share = 1 - (chance.between(0.08, 0.2) if "weak-spring" in ill else abs(chance.about(0, 0.02)))
    heights = np.linspace(plan.installed + chance.between(1, 2.5), plan.installed - plan.lift - 0.6, head.spring_points)
    springs = []
    for number, part in enumerate([0.7, 0.3] if head.nested else [1.0]):
        loads = part * share * (plan.load + plan.rate * (plan.installed - heights))
        loads += np.append(0, chance.random.normal(0, 0.004 * plan.load, head.spring_points - 1))
        step = 1.5 * number
        springs.append(
            {
                "seat_step": head.read(step, "calliper") if number else None,
                "free_length": head.read(plan.installed + plan.load / plan.rate + chance.about(0, 0.2), "calliper"),
                "loads": [
                    {"height": head.read(height - step, "calliper"), "load": head.read(load, "tester", "force")}
                    for height, load in zip(heights, loads)
                ],
                "solid_height": head.read(plan.installed - plan.lift - step - chance.between(1.6, 3.5), "calliper"),
                "squareness": head.read(
                    chance.between(1.6, 2.2) if "bad-spring" in ill else chance.between(0.2, 1.1), "scope"
                ),
            }
        )
    pack = {
        "installed_height": head.read(plan.installed + tall, "calliper"),
        "lift": head.read(plan.lift, "calliper"),
        "retainer_travel": head.read(plan.lift + chance.between(1.6, 3), "calliper"),
        "springs": springs,
    }
    return pack, tall


def assembly_of(head, plan: Design, ill: list[str], tall: float) -> dict:
    chance = head.chance
    sunk = chance.about(0, 0.05) + (chance.between(0.2, 0.9) if "sunk" in ill else 0)
    high = chance.about(0, 0.05) + (chance.between(0.15, 0.6) if "high-tip" in ill else 0) + sunk / 2
    assembly = {
        "recession": head.read(plan.recession + sunk, "depth"),
        "recession_datum": head.datum,
        "stem_protrusion": head.read(plan.protrusion + high, "depth"),
        "tip_to_retainer": head.read(chance.between(0.5, 1.3), "depth"),
    }
    if chance.comes(0.4):
        assembly["valve_to_piston"] = head.read(chance.between(1.2, 2.5), "depth")
    if head.lifter == "bucket-with-shim":
        off = chance.about(0, 0.02) - (chance.between(0.08, 0.2) if "lash-out" in ill else 0)
        assembly["lash"] = head.read(0.25 + off, "feeler")
        assembly["lash_shim"] = head.read(round(chance.between(2.3, 2.7) / 0.05) * 0.05, "micrometer")
    elif head.lifter == "adjustable" and chance.comes(0.5):
        assembly["lash"] = head.read(chance.about(0.3, 0.02), "feeler")
    return assembly
