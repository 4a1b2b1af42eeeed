"""What the ports of a head share: stock, chambers, and stems that have to stand alike."""

import itertools
import math
from collections import defaultdict

from harness.rework_model.algebra import Linear, Program, copied
from harness.rework_model.case import Shop
from harness.rework_model.course import Course
from harness.rework_model.deck import is_acceptable
from harness.rework_model.readings import Document
from harness.rework_model.uncertainty import standard_uncertainty
from harness.rework_model.zones import Zone, zone_of

OF_CHAMBERS = {"chamber-volume", "compression-ratio", "chamber-spread", "compression-ratio-spread"}


class Shared:
    """Rows of the head and its cylinders, and what each course that may be picked does to them."""

    def __init__(self, request: dict, evaluation: dict, document: Document, shop: Shop, partly: bool):
        self.measured, self.profile = request["measurement_set"], request["profile"]
        self.document, self.shop = document, shop
        # Is something known of some ports only?
        self.partly = partly
        self.rows = {row["characteristic"]: row for row in evaluation["head"]}
        self.cylinders = {
            one["cylinder"]: {row["characteristic"]: row for row in one["rows"]} for one in evaluation["cylinders"]
        }
        self._forget()

    def _forget(self) -> None:
        """As if no course had been counted."""
        self.volumes: dict = defaultdict(Linear)
        self.unsure: dict = defaultdict(Linear)
        # Stem protrusions of each service by the port's number, and how far they may be off.
        self.stems: dict = defaultdict(lambda: defaultdict(lambda: (Linear(), Linear())))

    @property
    def chambers_are_limited(self) -> bool:
        rows = itertools.chain(self.rows.values(), *(rows.values() for rows in self.cylinders.values()))
        return any("limit" in row and row["characteristic"] in OF_CHAMBERS for row in rows)

    @property
    def protrusions_are_limited(self) -> bool:
        return self._zone(self.rows.get("stem-protrusion-spread")) is not None

    @property
    def ratio_spread_is_limited(self) -> bool:
        """A ratio is no linear function of a volume: what is worked out here only bounds that from below."""
        return self._zone(self.rows.get("compression-ratio-spread")) is not None

    @property
    def open_area(self) -> float | None:
        """Of one chamber at the deck, in mL per mm of cut."""
        area = (self.shop.posted.get("deck") or {}).get("open_chamber_area")
        return None if area is None else area * self.shop.document.size("length") ** 2 / 1000

    def keep_stock(self, program: Program, uses: dict) -> None:
        there = {("shim", size): count for size, count in self.shop.stock("shims")}
        there |= {("lash", size): count for size, count in self.shop.stock("lash_shims")}
        for kind, name in (("insert", "inserts"), ("valve", "valves"), ("spring", "springs")):
            there |= {(kind, part["id"]): part["count"] for part in self.shop.posted.get(name, [])}
        for stock, used in uses.items():
            program.at_most(used, there[stock], "stock")

    def count(self, course: Course, number: int, mark: tuple, pick: Linear) -> None:
        """What a course does when it is picked: to its chamber in mL, and to where its stem stands."""
        head, port = course.case.head, course.case.port
        if head is not None:
            area = math.pi * head**2 / 1000
            cylinder = port["cylinder"]
            off = course.chamber.missed_by(course.tolerances)
            self.volumes[cylinder] += copied(course.chamber.aimed(), mark, pick) * area
            self.unsure[cylinder] += pick * (off * area)
        stem = course.after.get("stem-protrusion")
        if isinstance(stem, Linear):
            so_far, unsure = self.stems[port["service"]][number]
            off = stem.missed_by(course.tolerances)
            self.stems[port["service"]][number] = (so_far + copied(stem.aimed(), mark, pick), unsure + pick * off)

    def keep(self, program: Program, depth: Linear) -> None:
        self._keep_chambers(program, depth * (self.open_area or 0.0))
        zone = self._zone(self.rows.get("stem-protrusion-spread"))
        if zone is not None:
            for stems in self.stems.values():
                _keep_spread(program, stems, zone, "stem-protrusion-spread")
        self._forget()

    def _keep_chambers(self, program: Program, opened: Linear) -> None:
        after = {}
        for chamber in self.measured.get("chambers", []):
            cylinder = chamber["cylinder"]
            volume = self.document.reading(chamber["volume"], "volume").value
            changed = volume + self.volumes[cylinder] - opened
            after[cylinder] = (changed, self.unsure[cylinder])
            zone = self._zone(self.cylinders[cylinder].get("chamber-volume"), cylinder)
            _keep(program, *after[cylinder], zone, "chamber-volume")
            self._keep_ratio(program, cylinder, volume, *after[cylinder])
        spread = self._zone(self.rows.get("chamber-spread"))
        if spread is not None:
            _keep_spread(program, after, spread, "chamber-spread")

    def _keep_ratio(self, program: Program, cylinder: int, volume: float, after: Linear, off: Linear) -> None:
        """A zone of the compression ratio is one of the volume above the piston."""
        row = self.cylinders[cylinder].get("compression-ratio")
        zone = self._zone(row, cylinder)
        if zone is None:
            return
        terms = self.measured["layout"]["compression"]
        bore, stroke = (self.document.reading(terms[name]).value for name in ("bore", "stroke"))
        swept = math.pi / 4 * bore**2 * stroke / 1000
        rest = swept / (row["measured"] - 1) - volume
        least = None if zone.upper is None else swept / (zone.upper - 1) - rest
        most = None if zone.lower is None else swept / (zone.lower - 1) - rest
        _keep(program, after, off, Zone(least, most), "compression-ratio")

    def _zone(self, row: dict | None, cylinder: int | None = None) -> Zone | None:
        """Where a row of the head or of a cylinder has to end; nothing where it is free."""
        if row is None or "limit" not in row or row.get("measured") is None:
            return None
        holder = self.measured
        if cylinder is not None:
            own = [one for one in holder.get("chambers", []) if one["cylinder"] == cylinder]
            holder = holder | {"chambers": own}
        u = standard_uncertainty(self.document, holder, row)
        exact = row | ({} if u is None else {"expanded_uncertainty": 2 * u})
        zone = zone_of(exact, self.profile["decision_rule"])
        if is_acceptable(row, self.profile):
            return zone.widened(row["measured"]) if zone else Zone(row["measured"], row["measured"])
        return zone or Zone(1.0, 0.0)


def _keep(program: Program, value: Linear, off: Linear, zone: Zone | None, what: str) -> None:
    if zone is not None and zone.lower is not None:
        program.at_least(value - off, zone.lower, what)
    if zone is not None and zone.upper is not None:
        program.at_most(value + off, zone.upper, what)


def _keep_spread(program: Program, values: dict, zone: Zone, what: str) -> None:
    for one, other in itertools.permutations(values, 2):
        (greater, off), (less, off_too) = values[one], values[other]
        program.at_most(greater - less + off + off_too, zone.upper, what)
