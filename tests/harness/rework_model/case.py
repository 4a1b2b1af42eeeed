"""One port of a head with what is known of it, and what the shop has for it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from harness.rework_model.cones import Angles, Seat, cos
from harness.rework_model.readings import Document, at
from harness.rework_model.springs import Spring
from harness.rework_model.uncertainty import standard_uncertainty
from harness.rework_model.zones import Zone, zone_of

LEAK = {"leak-seep", "leak-held", "leak-rate", "leak-pressure-drop", "leak-drift"}
USUAL = {"cut_tolerance": 0.03, "light_turns": 0.01, "runout_left": 0.01}
USUAL_COSTS = {
    "per_minute": 0.0,
    "seat_cut": 10.0,
    "top_cut": 4.0,
    "throat_cut": 4.0,
    "form_cut": 8.0,
    "face_grind": 6.0,
    "tip_grind": 3.0,
    "shim": 1.0,
    "deck_cut": 45.0,
}


class Shop:
    """The workshop in base units, with what it left out."""

    def __init__(self, posted: dict | None):
        self.posted = posted or {}
        units = self.posted.get("units") or {"length": "mm", "force": "N", "roughness": "um"}
        self.document = Document({"units": units})
        self.objective = self.posted.get("objective", "least-sink")
        self.costs = USUAL_COSTS | self.posted.get("costs", {})
        self.singles = [cutter["angle"] for cutter in self.posted.get("cutters", []) if "angle" in cutter]
        self.forms = [cutter["form"] for cutter in self.posted.get("cutters", []) if "form" in cutter]

    def length(self, name: str) -> float | None:
        posted = self.posted.get(name)
        return USUAL.get(name) if posted is None else posted * self.document.size("length")

    def mm(self, number: float | None) -> float | None:
        return None if number is None else number * self.document.size("length")

    def fitting(self, kind: str, service: str) -> list[dict]:
        """Parts of this kind for these ports of which there are any."""
        return [
            part
            for part in self.posted.get(kind, [])
            if part["count"] > 0 and part.get("service") in (None, service)
        ]

    def stock(self, kind: str) -> list[tuple[float, int]]:
        return [(self.mm(one["thickness"]), one["count"]) for one in self.posted.get(kind, [])]

    def cutter(self, wanted: float, fits: Callable[[float], bool]) -> float | None:
        """The angle of the single cutter that comes next to this one, of those that fit the seat.

        Any can be had where no cutter is named.
        """
        if not self.posted.get("cutters"):
            return wanted
        return min(filter(fits, self.singles), key=lambda angle: abs(angle - wanted), default=None)


@dataclass
class Case:
    """A port as it was read and judged by the limits for handing over."""

    document: Document
    port: dict
    rows: dict[str, dict]
    profile: dict
    shop: Shop
    # Standard uncertainties of rows as a plan leaves them: a gauge may tell less of a size that was changed.
    later: dict[str, float] = field(default_factory=dict)

    @property
    def service(self) -> str:
        return self.port["service"]

    @cached_property
    def profile_length(self) -> float:
        """The profile's unit of length in mm."""
        return Document({"units": self.profile["units"]}).size("length")

    def limit(self, characteristic: str) -> dict:
        """The limit of the profile for heads that are handed over; empty where there is none."""
        for limit in self.profile["limits"]:
            if limit["characteristic"] == characteristic and limit["use"] == "build":
                if limit.get("service") in (None, self.service):
                    return limit
        return {}

    def value(self, *path: str, kind: str = "length") -> float | None:
        read = self.document.reading(at(self.port, path), kind)
        return None if read is None else read.value

    def angle(self, block: str, name: str, characteristic: str) -> float | None:
        """As it was read, else what the profile names."""
        read = self.value(block, name, kind="angle")
        return self.limit(characteristic).get("nominal") if read is None else read

    def is_required(self, row: dict) -> bool:
        return "limit" in row and self.profile["limits"][row["limit"]]["required"]

    def is_acceptable(self, row: dict) -> bool:
        """May this row stay as it is?"""
        if row["verdict"] in ("conforms", "no-limit"):
            return True
        inside = row["verdict"] == "not-proven" and row["deviation"] <= 0
        return not self.is_required(row) and (inside or row["verdict"] == "not-measured")

    def zone(self, characteristic: str) -> Zone | None:
        """Where a measured and limited characteristic has to end; nothing where it is free."""
        row = self.rows.get(characteristic)
        if row is None or row.get("measured") is None or "limit" not in row:
            return None
        u = standard_uncertainty(self.document, self.port, row)
        exact = row | ({} if u is None else {"expanded_uncertainty": 2 * max(u, self.later.get(characteristic, 0.0))})
        zone = zone_of(exact, self.profile["decision_rule"])
        if self.is_acceptable(row):
            # A gauge that can prove nothing leaves room for nothing but what is there.
            return zone.widened(row["measured"]) if zone else Zone(row["measured"], row["measured"])
        return zone or Zone(1.0, 0.0)

    @cached_property
    def widths(self) -> float | None:
        """The mean of the widths round the seat."""
        read = [self.document.reading(one).value for one in at(self.port, ("seat", "widths")) or []]
        return sum(read) / len(read) if read else None

    @cached_property
    def seat(self) -> Seat | None:
        """The seat as it is, where enough of it was read."""
        angle = self.angle("seat", "seat_angle", "seat-angle")
        if angle is None:
            return None
        inner = self.value("seat", "inner_diameter")
        inner = None if inner is None else inner / 2
        across = None if self.widths is None else self.widths * cos(angle)
        outer = self._outer_by_diameters()
        if outer is None:
            outer = self._outer_by_band()
        if outer is None or (across is None and inner is None):
            return None
        inner = inner if across is None else outer - across
        return Seat(outer, inner, Angles(angle, *self._other_cones(angle)))

    def _other_cones(self, seat: float) -> tuple[float, float]:
        """Angles of top and throat; where nobody stated them as this shop cuts them, about 15 degrees off."""
        top = self.angle("seat", "top_angle", "top-cut-angle")
        throat = self.angle("seat", "throat_angle", "throat-cut-angle")
        if top is None:
            found = self.shop.cutter(seat - 15, lambda angle: angle < seat)
            top = seat - 15 if found is None else found
        if throat is None:
            found = self.shop.cutter(seat + 15, lambda angle: angle > seat)
            throat = seat + 15 if found is None else found
        return top, throat

    def _outer_by_diameters(self) -> float | None:
        outer, inner = self.value("seat", "outer_diameter"), self.value("seat", "inner_diameter")
        angle = self.angle("seat", "seat_angle", "seat-angle")
        if outer is not None:
            return outer / 2
        if None in (inner, self.widths, angle):
            return None
        return inner / 2 + self.widths * cos(angle)

    def _outer_by_band(self) -> float | None:
        across, edge, face = self.value("valve", "head_diameter"), self._from_edge(), self.face_angle
        return None if None in (across, edge, face) else across / 2 - edge * cos(face)

    def _from_edge(self) -> float | None:
        """The mean distance of the band from the edge of the face."""
        edges = [self.document.reading(mark["from_edge"]).value for mark in at(self.port, ("contact", "marks")) or []]
        return sum(edges) / len(edges) if edges else None

    @cached_property
    def head(self) -> float | None:
        """The radius at which the valve's face ends."""
        across = self.value("valve", "head_diameter")
        if across is not None:
            return across / 2
        # The band tells how far its edge is from that of the seat.
        edge, face = self._from_edge(), self.face_angle
        outer = self._outer_by_diameters()
        return None if None in (edge, face, outer) else outer + edge * cos(face)

    @cached_property
    def face_angle(self) -> float | None:
        return self.angle("valve", "face_angle", "face-angle")

    @cached_property
    def face_inner(self) -> float | None:
        across = self.value("valve", "face_inner_diameter")
        return None if across is None else across / 2

    @cached_property
    def has_band(self) -> bool:
        return bool(at(self.port, ("contact", "marks")))

    @cached_property
    def springs(self) -> list[Spring]:
        found = []
        for spring in at(self.port, ("spring_pack", "springs")) or []:
            points = spring.get("loads") or []
            step = self.document.reading(spring.get("seat_step"))
            found.append(
                Spring(
                    tuple(self.document.reading(point["height"]).value for point in points),
                    tuple(self.document.reading(point["load"], "force").value for point in points),
                    step.value if step else 0.0,
                )
            )
        return found
