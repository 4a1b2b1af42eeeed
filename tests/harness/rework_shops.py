"""Profiles and workshops for drawn heads: limits about what a head is meant to be, means of all sorts."""

import numpy as np

from harness.rework_amounts import Amount, Chance

KINDS = {
    "seat-load": "force",
    "open-load": "force",
    "chamber-volume": "volume",
    "chamber-spread": "volume",
    "deck-roughness": "roughness",
}
PURE = {"compression-ratio", "compression-ratio-spread", "spring-match"}


class Limits:
    """The limits of one profile; some are left out, most have to be measured."""

    def __init__(self, chance: Chance):
        self.chance = chance
        self.entries: list[dict] = []

    def add(self, characteristic: str, likely: float, required: float = 0.5, **bounds: object) -> None:
        if not self.chance.comes(likely):
            return
        service = bounds.pop("service", None)
        angle = characteristic.endswith("angle") or characteristic in PURE
        kind = KINDS.get(characteristic, "length")
        numbers = {
            name: round(float(size), 3) if angle else Amount(size, kind) for name, size in bounds.items()
        }
        entry = {
            "characteristic": characteristic,
            "service": service,
            "use": "build",
            **numbers,
            "required": self.chance.comes(required),
            "if_outside": "rework",
            "source": "invented for a test",
        }
        self.entries.append(entry)
        if self.chance.comes(0.1):
            self.entries.append(entry | {"use": "wear", "required": False})


def profile_of(head, chamber: float | None, units: dict[str, str]) -> dict:
    limits = Limits(head.chance)
    for plan in head.designs.values():
        _of_the_seat(limits, plan)
        _of_the_valve(limits, plan)
        _of_the_train(limits, plan, head.lifter)
    _of_the_head(limits, head, chamber)
    probability = head.chance.one_of([0.95, 0.95, 0.9, 0.99, 0.5])
    rule = {"rule": "guarded", "conformance_probability": probability} if head.guarded else {"rule": "simple"}
    return {
        "format": "headproof/target-profile/1",
        "id": "drawn",
        "revision": "1",
        "title": "a drawn profile",
        "units": units,
        "decision_rule": rule,
        "limits": limits.entries,
    }


def _of_the_seat(limits: Limits, plan) -> None:
    chance, service = limits.chance, plan.service
    angles = {
        "seat-angle": (plan.seat_angle, chance.one_of([0.5, 1])),
        "top-cut-angle": (plan.top_angle, 2),
        "throat-cut-angle": (plan.throat_angle, 2),
    }
    for name, (angle, off) in angles.items():
        limits.add(name, 0.7, 0.2, service=service, lower=angle - off, upper=angle + off, nominal=angle)
    room = chance.one_of([0.15, 0.25, 0.25, 0.35])
    bounds = {"lower": plan.width - room, "upper": plan.width + room, "nominal": plan.width}
    limits.add("seat-width", 0.9, 0.7, service=service, **bounds)
    limits.add("seat-width-uniformity", 0.2, 0.1, service=service, upper=0.2)
    limits.add("seat-runout", 0.95, 0.7, service=service, upper=0.05)
    limits.add("pit-depth", 0.4, 0.0, service=service, upper=0.01)
    limits.add("insert-fit", 0.5, 0.0, service=service)
    limits.add("overhang", 0.85, 0.6, service=service, lower=plan.overhang - chance.between(0.15, 0.4))
    limits.add("seat-outer-diameter", 0.1, 0.2, service=service, upper=plan.outer + chance.between(0.2, 0.6))
    inner = plan.outer - 2 * plan.width * np.cos(np.radians(plan.seat_angle))
    limits.add("seat-inner-diameter", 0.1, 0.2, service=service, lower=inner - chance.between(0.3, 0.8))
    limits.add("contact-width", 0.2, 0.1, service=service, lower=plan.width - room, upper=plan.width + room)
    half = chance.between(0.3, 0.7)
    limits.add("contact-offset", 0.15, 0.1, service=service, lower=-half, upper=half)
    limits.add("inner-edge-clearance", 0.15, 0.1, service=service, lower=0.1)
    limits.add("contact-edge-gap", 0.1, 0.0, service=service, upper=0.06)


def _of_the_valve(limits: Limits, plan) -> None:
    chance, service, face = limits.chance, plan.service, plan.face_angle
    limits.add("face-angle", 0.7, 0.2, service=service, lower=face - 0.6, upper=face + 0.6, nominal=face)
    between = plan.seat_angle - face
    bounds = {"lower": between - 0.7, "upper": between + 0.7, "nominal": between}
    limits.add("interference-angle", 0.4, 0.2, service=service, **bounds)
    limits.add("face-runout", 0.9, 0.6, service=service, upper=0.04)
    limits.add("margin", 0.9, 0.6, service=service, lower=plan.margin - chance.between(0.2, 0.6))
    for name in ("valve-tip", "valve-neck", "keeper-groove"):
        limits.add(name, 0.5, 0.0, service=service)
    bounds = {"lower": plan.clearance - 0.02, "upper": plan.clearance + 0.025}
    limits.add("stem-to-guide-clearance", 0.8, 0.5, service=service, **bounds)
    limits.add("guide-fit", 0.5, 0.0, service=service)
    limits.add("stem-diameter", 0.15, 0.1, service=service, lower=plan.stem - plan.clearance - 0.015)


def _of_the_train(limits: Limits, plan, lifter: str) -> None:
    chance, service = limits.chance, plan.service
    up, down = chance.between(0.25, 0.9), chance.between(0.3, 0.6)
    limits.add("recession", 0.7, 0.4, service=service, lower=plan.recession - down, upper=plan.recession + up)
    tight = 0.8 if lifter == "hydraulic" else 0.5
    limits.add(
        "stem-protrusion",
        0.7,
        0.5,
        service=service,
        lower=plan.protrusion - 0.4,
        upper=plan.protrusion + tight * chance.between(0.6, 1.6),
    )
    limits.add("tip-to-retainer", 0.5, 0.2, service=service, lower=0.3)
    limits.add("valve-to-piston", 0.3, 0.0, service=service, lower=1.0)
    if lifter == "bucket-with-shim":
        limits.add("lash", 0.8, 0.5, service=service, lower=0.25 - 0.06, upper=0.25 + 0.06)
    elif lifter == "adjustable":
        limits.add("lash", 0.3, 0.0, service=service, lower=0.2, upper=0.4)
    room = chance.between(0.3, 0.8)
    bounds = {"lower": plan.installed - room, "upper": plan.installed + room, "nominal": plan.installed}
    limits.add("installed-height", 0.7, 0.5, service=service, **bounds)
    load, off = plan.load, chance.between(0.06, 0.12)
    bounds = {"lower": load * (1 - off), "upper": load * (1 + off), "nominal": load}
    limits.add("seat-load", 0.7, 0.5, service=service, **bounds)
    load = plan.load + plan.rate * plan.lift
    bounds = {"lower": load * (1 - off), "upper": load * (1 + off), "nominal": load}
    limits.add("open-load", 0.6, 0.4, service=service, **bounds)
    limits.add("shims-needed", 0.1, 0.0, service=service, upper=0.5)
    limits.add("coil-bind-margin", 0.6, 0.4, service=service, lower=1.5)
    limits.add("retainer-margin", 0.6, 0.4, service=service, lower=1.5)
    limits.add("spring-squareness", 0.5, 0.1, service=service, upper=1.5)
    limits.add("leak-seep", 0.4, 0.3, service=service)


def _of_the_head(limits: Limits, head, chamber: float | None) -> None:
    chance = limits.chance
    if chamber is not None:
        room = chance.between(1.0, 2.5)
        limits.add("chamber-volume", 0.5, 0.3, lower=chamber - room, upper=chamber + room)
        limits.add("chamber-spread", 0.6, 0.4, upper=chance.between(0.8, 1.8))
        ratio = head.ratio(chamber)
        limits.add("compression-ratio", 0.3, 0.2, lower=ratio - chance.between(0.2, 0.6), upper=ratio + 0.5)
        limits.add("compression-ratio-spread", 0.2, 0.2, upper=chance.between(0.2, 0.4))
    if head.lifter == "hydraulic":
        limits.add("stem-protrusion-spread", 0.4, 0.4, upper=chance.between(0.3, 0.9))
    limits.add("deck-flatness", 0.8, 0.4, upper=0.05)
    limits.add("deck-roughness", 0.5, 0.3, upper=1.0)
    limits.add("cam-bore-straightness", 0.7, 0.3, upper=0.04)
    limits.add("head-thickness", 0.4, 0.2, lower=120 - chance.between(0.15, 0.4))


def workshop_of(head, units: dict[str, str]) -> dict | None:
    chance = head.chance
    if chance.comes(0.05):
        return None
    shop = {
        "units": units,
        "objective": chance.one_of(["least-sink", "least-cost", "fewest-parts", None]),
        "cut_tolerance": Amount(chance.one_of([0.01, 0.02, 0.03, 0.03, 0.04])) if chance.comes(0.8) else None,
        "light_turns": Amount(chance.one_of([0, 0.01, 0.02])) if chance.comes(0.6) else None,
        "runout_left": Amount(chance.one_of([0.005, 0.01, 0.02])) if chance.comes(0.6) else None,
        "cutters": _cutters(head) if chance.comes(0.7) else None,
        "insert_stock": Amount(chance.between(0.15, 0.8)) if chance.comes(0.4) else None,
        "face_grinding": chance.one_of([True, False, None, None]),
        "tip_grinding": Amount(chance.one_of([0.1, 0.2, 0.3])) if chance.comes(0.5) else None,
        "shims": _spring_shims(chance) if chance.comes(0.7) else None,
        "shims_per_spring": chance.one_of([1, 2, 4]) if chance.comes(0.5) else None,
        "lash_shims": _lash_shims(chance) if chance.comes(0.5) else None,
        "deck": _deck(head) if chance.comes(0.5) else None,
        "inserts": _inserts(head) if chance.comes(0.5) else None,
        "valves": _valves(head) if chance.comes(0.4) else None,
        "springs": _springs(head) if chance.comes(0.4) else None,
        "costs": _costs(chance) if chance.comes(0.6) else None,
    }
    return shop


def _cutters(head) -> list[dict]:
    chance, found = head.chance, {}
    for plan in head.designs.values():
        for angle in (plan.seat_angle, plan.top_angle, plan.throat_angle):
            if chance.comes(0.95):
                found[angle] = {"id": f"cutter {angle}", "angle": angle}
        if chance.comes(0.4):
            angles = {"top_angle": plan.top_angle, "seat_angle": plan.seat_angle, "throat_angle": plan.throat_angle}
            form = angles | {"tolerance": Amount(chance.one_of([0.01, 0.02, 0.03]))}
            found[plan.service] = {"id": f"blade {plan.service}", "form": form}
    return list(found.values())


def _spring_shims(chance: Chance) -> list[dict]:
    """Plenty or just a few of up to three thicknesses."""
    thicknesses = chance.one_of([[0.25, 0.5, 0.75], [0.3, 0.5], [0.5], [0.4, 1.0]])
    most = chance.one_of([2, 6, 40])
    return [{"thickness": Amount(size), "count": chance.whole(0, most)} for size in thicknesses]


def _lash_shims(chance: Chance) -> list[dict]:
    most = chance.one_of([1, 3, 10])
    step = chance.one_of([0.05, 0.1])
    return [
        {"thickness": Amount(round(size, 3)), "count": chance.whole(0, most)}
        for size in np.arange(1.8, 2.8001, step).tolist()
    ]


def _deck(head) -> dict:
    chance = head.chance
    return {
        "most": Amount(chance.between(0.08, 0.4)),
        "flatness_left": Amount(chance.one_of([0.01, 0.02])),
        "roughness_left": Amount(chance.between(0.3, 0.8), "roughness"),
        "open_chamber_area": Amount(chance.between(2500, 5500), "area") if chance.comes(0.7) else None,
    }


def _stated(head, name: str, number: int) -> dict:
    chance = head.chance
    return {
        "id": f"{name} {number}",
        "count": chance.one_of([0, 1, 2, 8]),
        "price": round(chance.between(3, 60), 2) if chance.comes(0.7) else None,
        "minutes": round(chance.between(2, 40)) if chance.comes(0.7) else None,
    }


def _inserts(head) -> list[dict]:
    chance = head.chance
    return [
        _stated(head, "insert", number)
        | {
            "service": service if chance.comes(0.8) else None,
            "raises_seat": Amount(chance.between(0.5, 2)),
            "diameter": Amount(head.designs[service].head + chance.between(0.5, 3)) if chance.comes(0.6) else None,
        }
        for number, service in enumerate(head.designs)
    ]


def _valves(head) -> list[dict]:
    chance, found = head.chance, []
    for number, (service, plan) in enumerate(head.designs.items()):
        if chance.comes(0.2):
            continue
        full = chance.comes(0.7)
        found.append(
            _stated(head, "valve", number)
            | {
                "service": service,
                "head_diameter": Amount(plan.head),
                "margin": Amount(plan.margin + chance.between(0, 0.3)),
                "face_angle": plan.face_angle,
                "face_inner_diameter": Amount(plan.face_inner) if full else None,
                "stem_diameter": Amount(plan.stem - plan.clearance) if full else None,
                "overall_length": Amount(plan.protrusion + 65) if full else None,
            }
        )
    return found


def _springs(head) -> list[dict]:
    chance, found = head.chance, []
    for number, (service, plan) in enumerate(head.designs.items()):
        if chance.comes(0.2):
            continue
        strength = chance.one_of([1, 1, 1.04])
        heights = np.linspace(plan.installed + 0.8, plan.installed - plan.lift - 0.8, chance.one_of([2, 3]))
        loads = strength * (plan.load + plan.rate * (plan.installed - heights))
        found.append(
            _stated(head, "spring", number)
            | {
                "service": service,
                "free_length": Amount(plan.installed + plan.load / plan.rate + 1) if chance.comes(0.7) else None,
                "loads": [
                    {"height": Amount(height), "load": Amount(load, "force")}
                    for height, load in zip(heights, loads)
                ],
                "solid_height": Amount(plan.installed - plan.lift - 2.6) if chance.comes(0.8) else None,
            }
        )
    return found


def _costs(chance: Chance) -> dict:
    names = ("seat_cut", "top_cut", "throat_cut", "form_cut", "face_grind", "tip_grind", "shim", "deck_cut")
    costs = {name: round(chance.between(0.5, 15), 1) for name in names if chance.comes(0.6)}
    return costs | {"per_minute": round(chance.between(0.3, 1.5), 2)}
