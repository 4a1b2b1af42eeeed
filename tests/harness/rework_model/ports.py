"""The ports of a head, each with the courses that meet its own rows."""

from dataclasses import dataclass, field

from harness.rework_model.algebra import Variable
from harness.rework_model.case import Case, Shop
from harness.rework_model.course import Course
from harness.rework_model.courses import courses_of
from harness.rework_model.deck import Cut
from harness.rework_model.readings import Document
from harness.rework_model.solving import solved
from harness.rework_model.uncertainty import standard_uncertainty

# What a rise of the valve can make a course cheaper than its parts and minutes, in mm of sink, is less.
RISE = 2.0


Place = tuple[int, str, int]


def by_place(ports: list[dict]) -> dict[Place, dict]:
    return {(port["cylinder"], port["service"], port["index"]): port for port in ports}


def cases_of(request: dict, evaluation: dict, later: dict[Place, dict[str, float]] | None = None) -> list[Case]:
    """The ports of a set with their rows as judged for handing over."""
    measured = request["measurement_set"]
    document, shop = Document(measured), Shop(request.get("workshop"))
    posted, found = by_place(measured["ports"]), []
    for place, judged in by_place(evaluation["ports"]).items():
        rows = {row["characteristic"]: row for row in judged["rows"]}
        uncertainties = (later or {}).get(place, {})
        found.append(Case(document, posted[place], rows, request["profile"], shop, uncertainties))
    return found


def uncertainties_of(request: dict, evaluation: dict) -> dict[Place, dict[str, float]]:
    """Standard uncertainties of the limited rows of each port."""
    document, posted = Document(request["measurement_set"]), by_place(request["measurement_set"]["ports"])
    found: dict = {}
    for place, judged in by_place(evaluation["ports"]).items():
        for row in judged["rows"]:
            if "limit" in row and row.get("expanded_uncertainty") is not None:
                u = standard_uncertainty(document, posted[place], row)
                found.setdefault(place, {})[row["characteristic"]] = u
    return found


@dataclass
class Option:
    """A course of one port that meets its own rows, and the least it costs by itself."""

    course: Course
    price: float


@dataclass
class Port:
    """A port, and its courses by price: they are worked out only as far as they are asked for."""

    case: Case
    deck: Cut | None
    options: list[Option] = field(default_factory=list)
    waiting: list[Course] = field(default_factory=list)

    def __post_init__(self) -> None:
        # The dearest at the end, from where they are taken.
        self.waiting = sorted(courses_of(self.case), key=lambda course: -course.program.price.constant)

    def best(self) -> Option | None:
        while self.waiting and (not self.options or self._floor() < self.options[0].price):
            self._work_out()
        return self.options[0] if self.options else None

    def up_to(self, price: float) -> list[Option]:
        """All courses that cost no more by themselves."""
        while self.waiting and self._floor() <= price:
            self._work_out()
        return [option for option in self.options if option.price <= price]

    def _floor(self) -> float:
        return self.waiting[-1].program.price.constant - RISE

    def _work_out(self) -> None:
        course = self.waiting.pop()
        price = self._price(course, course.program.variables["deck"])
        if price is not None:
            self.options.append(Option(course, price))
            self.options.sort(key=lambda option: option.price)

    def _price(self, course: Course, deck: Variable) -> float | None:
        """By itself, with the deck cut as suits it, or not."""
        depths = [] if self.deck and self.deck.needed else [(0.0, 0.0)]
        depths += [(self.deck.least, self.deck.most)] if self.deck else []
        prices = []
        for deck.least, deck.most in depths:
            outcome = solved(course.program)
            prices += [] if outcome is None else [outcome[0]]
        deck.least, deck.most = depths[0][0], depths[-1][1]
        return min(prices, default=None)
