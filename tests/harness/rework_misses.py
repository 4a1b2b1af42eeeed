"""Predicted ports as they come out when their cuts miss what they stop at."""

import itertools
import math
from collections.abc import Iterator

from harness.documents import port_name
from harness.rework_bench import slope
from harness.rework_model.case import Case
from harness.rework_model.ports import Place, by_place, cases_of, uncertainties_of
from harness.rework_model.zones import zone_of
from harness.rework_plans import Planned, as_measured, judged_for_handing_over, moved


def blade_of(found: Planned, cut: dict) -> dict:
    return next(one["form"] for one in found.request["workshop"]["cutters"] if one["id"] == cut["cutter"])


def predicted_face(found: Planned, case: Case, port: dict) -> float:
    """The face angle that the plan leaves."""
    after = [effect["after"] for effect in port["effects"] if effect["characteristic"] == "face-angle"]
    if after:
        return after[0]
    ground = port.get("face_grind") is not None
    return case.limit("face-angle").get("nominal", case.face_angle) if ground else case.face_angle


def slopes_of(found: Planned, case: Case, port: dict) -> tuple[float, float, float]:
    """Slopes of seat, top and throat as the plan leaves them."""
    cuts = {cut["cut"]: cut["angle"] for cut in port["seat"]["cuts"]}
    angles = case.seat.angles
    if "form" in cuts:
        form = blade_of(found, port["seat"]["cuts"][0])
        return slope(form["seat_angle"]), slope(form["top_angle"]), slope(form["throat_angle"])
    return slope(cuts["seat"]), slope(cuts.get("top", angles.top)), slope(cuts.get("throat", angles.throat))


def missed(found: Planned, case: Case, port: dict, corner: tuple[int, int, int]) -> dict[str, float]:
    """What comes out greater than aimed at when the cuts miss like this: edges, width, and sink."""
    cuts = {cut["cut"]: cut["tolerance"] for cut in port["seat"]["cuts"]}
    seat, top, throat = slopes_of(found, case, port)
    upright = math.cos(math.atan(seat))
    if "form" in cuts:
        deeper, outer, inner = corner[0] * cuts["form"], 0.0, 0.0
    else:
        deeper = corner[0] * cuts["seat"]
        # The top cut stops at its diameter, the throat cut at the width, each with an error of its own feed.
        outer = corner[1] * cuts["top"] / (seat - top) if "top" in cuts else deeper / (seat - top)
        width = corner[2] * cuts["throat"] / (throat - seat) if "throat" in cuts else None
        inner = outer - width if width is not None else -deeper / (throat - seat)
    face = slope(predicted_face_of(found, case, port))
    edge = outer if face <= seat else inner
    return {
        "outer": outer,
        "inner": inner,
        "width": (outer - inner) / upright,
        # Both are read along the face, which need not have the seat's angle.
        "overhang": -outer * math.hypot(1.0, face),
        "band": (outer - inner) * math.hypot(1.0, face),
        "sink": deeper - edge * (seat - face),
    }


def predicted_face_of(found: Planned, case: Case, port: dict) -> float:
    for part in port["new_parts"]:
        if part["part"] == "valve":
            valves = found.request["workshop"]["valves"]
            return next(valve["face_angle"] for valve in valves if valve["id"] == part["id"])
    return predicted_face(found, case, port)


def widened(reading: object, by: float, units: dict[str, str]) -> object:
    """The same of a width: one that is cut to nothing is not read as less than nothing by a last digit."""
    wide = moved(reading, by, units)
    value = wide["value"] if isinstance(wide, dict) else wide
    if value is None or not -1e-9 < value < 0:
        return wide
    return wide | {"value": 0.0} if isinstance(wide, dict) else 0.0


def read_after(port: dict, off: dict[str, float], units: dict[str, str]) -> None:
    """What would be read on a predicted port whose cuts missed. A lash shim is chosen when all that is done: it makes
    good what they missed."""
    changes = {
        "seat": {"outer_diameter": 2 * off["outer"], "inner_diameter": 2 * off["inner"]},
        "assembly": {name: off["sink"] for name in ("recession", "stem_protrusion", "valve_to_piston")},
        "spring_pack": {name: off["sink"] for name in ("installed_height", "retainer_travel")},
    }
    for block, names in changes.items():
        for name, by in names.items():
            if port.get(block, {}).get(name) is not None:
                port[block][name] = moved(port[block][name], by, units)
    seat = port["seat"]
    seat["widths"] = [widened(width, off["width"], units) for width in seat.get("widths") or []]
    for mark in (port.get("contact") or {}).get("marks") or []:
        mark["from_edge"] = moved(mark["from_edge"], off["overhang"], units)
        mark["width"] = widened(mark.get("width"), off["band"], units)


def every_miss(
    shop, found: Planned, ends: tuple[int, ...]
) -> Iterator[tuple[tuple[int, ...], dict, dict[str, dict[str, float]]]]:
    """Every combination of these multiples of what cuts may miss by: the set as it would be read then, and what came
    out greater, port by port."""
    worked = {port_name(port): port for _, port in found.ports if "seat" in port}
    if not worked:
        return
    evaluation = judged_for_handing_over(shop, found.request, budgets=True)
    cases = {port_name(case.port): case for case in cases_of(found.request, evaluation)}
    for corner in itertools.product(ends, repeat=3):
        request, off = as_measured(found), {}
        measured = request["measurement_set"]
        for port in measured["ports"]:
            name = port_name(port)
            if name in worked:
                off[name] = missed(found, cases[name], worked[name], corner)
                read_after(port, off[name], measured["units"])
        yield corner, request, off


def poorest_uncertainties(shop, found: Planned) -> dict[Place, dict[str, float]]:
    """Standard uncertainties of the rows of ports after the work: where their cuts take them nearest to what can be
    proved, as a gauge need not tell as much of every size."""
    rule = found.request["profile"]["decision_rule"]
    least: dict[tuple[Place, str], float] = {}
    poorest: dict[Place, dict[str, float]] = {}
    requests = [as_measured(found), *(request for _, request, _ in every_miss(shop, found, (-1, 1)))]
    for request in requests:
        evaluation = shop.evaluate(request | {"budgets": True})
        own = uncertainties_of(request, evaluation)
        for place, port in by_place(evaluation["ports"]).items():
            for row in port["rows"]:
                name = row["characteristic"]
                if name in own.get(place, {}):
                    left = room(row, own[place][name], rule)
                    if left < least.get((place, name), math.inf):
                        least[place, name] = left
                        poorest.setdefault(place, {})[name] = own[place][name]
    return poorest


def room(row: dict, u: float, rule: dict) -> float:
    """How far inside its zone a value is; none where its gauge can prove nothing."""
    zone = zone_of(row | {"expanded_uncertainty": 2 * u}, rule)
    if zone is None or row.get("measured") is None:
        return -math.inf
    ends = [(zone.lower, 1), (zone.upper, -1)]
    return min((sign * (row["measured"] - end) for end, sign in ends if end is not None), default=math.inf)
