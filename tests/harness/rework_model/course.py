"""One course that the work on a port can take: what is decided, what is missed, and what comes of it."""

from dataclasses import dataclass, field

from harness.rework_model.algebra import MISS, Linear, Program
from harness.rework_model.case import LEAK, Case
from harness.rework_model.zones import Zone

FREE = 6.0
SEAT_ROWS = {"seat-runout", "seat-width-uniformity", "contact-width-uniformity", "contact-gap"}
# Rows of seat, face and the contact between them.
CONTACT_ROWS = SEAT_ROWS | LEAK | {
    "pit-depth",
    "insert-fit",
    "seat-width",
    "seat-outer-diameter",
    "seat-inner-diameter",
    "seat-angle",
    "top-cut-angle",
    "throat-cut-angle",
    "face-angle",
    "face-runout",
    "overhang",
    "interference-angle",
    "contact-width",
    "contact-offset",
    "contact-edge-gap",
    "inner-edge-clearance",
}
# Rows that nobody can tell before the work is done, or that every new part is taken to meet.
CAN_BE_TOLD_LATER = LEAK | {"lash", "spring-squareness", "spring-free-length", "stem-to-guide-clearance"}
MISS_SEAT, MISS_TOP, MISS_THROAT = ((MISS, cut) for cut in ("seat", "top", "throat"))


class Impossible(Exception):
    """This course cannot be taken."""


@dataclass
class Course:
    """What is done at one port, and what comes of it."""

    case: Case
    seat: str
    insert: dict | None = None
    valve: dict | None = None
    grind: bool = False
    springs: dict | None = None
    program: Program = field(default_factory=Program)
    tolerances: dict = field(default_factory=dict)
    # Stock it draws on: kind and name or thickness.
    uses: dict = field(default_factory=dict)
    # What becomes of rows that it moves; nothing where only measuring will tell.
    after: dict = field(default_factory=dict)
    sink: Linear = field(default_factory=Linear)
    # Sink of the kept valve's size: what it adds to its chamber.
    chamber: Linear = field(default_factory=Linear)

    @property
    def cuts(self) -> bool:
        return self.seat != "leave"

    @property
    def parts(self) -> int:
        return sum(part is not None for part in (self.insert, self.valve, self.springs))

    def keep(self, value: Linear, zone: Zone, what: str) -> None:
        """A value that has to end in a zone whatever is missed."""
        off = value.missed_by(self.tolerances)
        low = None if zone.lower is None else zone.lower + off
        high = None if zone.upper is None else zone.upper - off
        self.program.between(value.aimed(), low, high, what)
