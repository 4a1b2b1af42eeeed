"""Standard uncertainties of evaluation rows to all their digits: an evaluation prints three of them.

Sensitivities come from the row's budget, uncertainties from the readings as posted; readings of one instrument that
states a correlation share that much of what the gauge brings (JCGM 100:2008, 5.2.2, from memory).
"""

import math
import re

from harness.rework_model.readings import DIRECT, SINGLE, Document, Read, at

NUMBERED = {
    "seat width": (("seat", "widths"), (), "length"),
    "contact from the edge": (("contact", "marks"), ("from_edge",), "length"),
    "contact width": (("contact", "marks"), ("width",), "length"),
    "dial reading": (("seat", "runout", "readings"), (), "length"),
}

COMPRESSION = {
    "cylinder bore": ("bore", "length"),
    "stroke": ("stroke", "length"),
    "gasket bore": ("gasket_bore", "length"),
    "gasket thickness": ("gasket_thickness", "length"),
    "piston deck clearance": ("deck_clearance", "length"),
    "piston volume": ("piston_volume", "volume"),
}


def standard_uncertainty(document: Document, holder: dict, row: dict) -> float | None:
    """That of a row of a port (`holder` is the port as posted), of the head (it is the set), or of a cylinder.

    Of a cylinder it is the set with no other chamber.
    """
    if not row.get("expanded_uncertainty"):
        # Not known, or nothing: a pit outside the band is no pit.
        return row.get("expanded_uncertainty")
    if row.get("budget"):
        found = _propagated(document, holder, row)
    else:
        read = _direct(document, holder, row)
        found = row["expanded_uncertainty"] / 2 if read is None else read.u
    printed = row["expanded_uncertainty"]
    assert abs(2 * found - printed) <= 0.0052 * printed + 1e-12, (row, 2 * found)
    return found


def _propagated(document: Document, holder: dict, row: dict) -> float:
    taken: dict[str, int] = {}
    squares, shared = 0.0, {}
    for line in row["budget"]:
        name = line["input"]
        turn = taken.get(name, 0)
        taken[name] = turn + 1
        read = _named(document, holder, row, name, turn)
        if read is not None and read.u is None:
            assert line["sensitivity"] == 0, line
            continue
        if read is None:
            squares += (line["sensitivity"] * line["standard_uncertainty"]) ** 2
            continue
        gauge = document.gauges.get(read.instrument, {})
        rho = gauge.get("correlation") or 0.0
        common = read.gauge_u**2 if rho else 0.0
        squares += line["sensitivity"] ** 2 * (read.u**2 - rho * common)
        part = line["sensitivity"] * math.sqrt(rho * common)
        shared[read.instrument] = shared.get(read.instrument, 0.0) + part
    return math.sqrt(squares + sum(part**2 for part in shared.values()))


def _named(document: Document, holder: dict, row: dict, name: str, turn: int) -> Read | None:
    """The reading that a line of a budget is about; nothing for what is known without a reading."""
    found = re.fullmatch(r"(.*?)(?: (\d+))?", name)
    label, number = found.group(1), int(found.group(2) or 1) - 1
    if label in COMPRESSION:
        term, kind = COMPRESSION[label]
        return document.reading(at(holder, ("layout", "compression", term)), kind)
    if label == "chamber volume":
        return document.reading(holder["chambers"][number]["volume"], "volume")
    if label == "stem protrusion":
        return _stems(document, holder, row)[number]
    if label.startswith("chamber of the"):
        volumes = [document.reading(chamber["volume"], "volume") for chamber in holder["chambers"]]
        of_the_ratio = min if "greatest" in label else max
        return of_the_ratio(volumes, key=lambda read: read.value)
    if label in ("spring load", "height of the spring load", "seat step", "solid height"):
        return _of_a_spring(document, holder, row, label, number, turn)
    if label == "dial reading" and row["characteristic"].startswith("face"):
        dial = at(holder, ("valve", "face_runout"))
        return document.reading(dial["readings"][number], "length", dial.get("instrument"))
    if label == "dial reading":
        dial = at(holder, ("seat", "runout"))
        return document.reading(dial["readings"][number], "length", dial.get("instrument"))
    if label in NUMBERED:
        path, rest, kind = NUMBERED[label]
        return document.reading(at(at(holder, path)[number], rest), kind)
    if label in ("outer diameter", "inner diameter"):
        # The edge that bounds the contact: of the seat, or where it is smaller (larger) of the face.
        return document.reading(at(holder, ("seat", label.replace(" ", "_"))))
    if label == "angle of the cone":
        path = ("valve", "face_angle") if row["characteristic"].startswith("face") else ("seat", "seat_angle")
        return document.reading(at(holder, path), "angle")
    if label in SINGLE:
        path, kind = SINGLE[label]
        return document.reading(at(holder, path), kind)
    return None


def _stems(document: Document, holder: dict, row: dict) -> list[Read]:
    """Of the service whose stems stand furthest apart."""
    for service in ("intake", "exhaust"):
        ports = [port for port in holder["ports"] if port["service"] == service]
        posted = [at(port, ("assembly", "stem_protrusion")) for port in ports]
        stems = [document.reading(one) for one in posted if one is not None]
        values = [stem.value for stem in stems]
        if values and abs(max(values) - min(values) - row["measured"]) < 1e-8:
            return stems
    raise AssertionError(row)


def _of_a_spring(
    document: Document, holder: dict, row: dict, label: str, number: int, turn: int
) -> Read | None:
    springs = holder["spring_pack"]["springs"]
    place = re.fullmatch(r"spring (\d+)", row.get("place") or "")
    if label == "solid height":
        return document.reading(springs[int(place.group(1)) - 1 if place else 0]["solid_height"])
    if label == "seat step":
        stepped = [spring for spring in springs if spring.get("seat_step") is not None]
        return document.reading(stepped[turn]["seat_step"])
    point = springs[turn]["loads"][number]
    return document.reading(point["load"], "force") if label == "spring load" else document.reading(point["height"])


def _direct(document: Document, holder: dict, row: dict) -> Read | None:
    name = row["characteristic"]
    position = re.match(r"position (\d+) of", row.get("place") or "")
    index = int(position.group(1)) - 1 if position else 0
    if name == "seat-width" and at(holder, ("seat", "widths")):
        return document.reading(holder["seat"]["widths"][index])
    if name in ("overhang", "contact-width") and at(holder, ("contact", "marks")):
        mark = holder["contact"]["marks"][index]
        return document.reading(mark["from_edge" if name == "overhang" else "width"])
    if name in DIRECT:
        path, kind = DIRECT[name]
        return document.reading(at(holder, path), kind)
    return None
