"""The best courses for a whole head: each port by itself, or all in one program where they share something."""

import math
from collections import defaultdict
from dataclasses import dataclass

from harness.rework_model.algebra import Linear, Program, copied, linear, total, variable
from harness.rework_model.course import Course
from harness.rework_model.deck import cut_of
from harness.rework_model.ports import Option, Port, cases_of
from harness.rework_model.readings import Document
from harness.rework_model.shared import Shared
from harness.rework_model.solving import solved

# No feed, shim or grind of the trade comes near it, in mm.
MUCH = 60.0
# Prices that differ by less are the same: HiGHS keeps its rows to about as much.
SAME = 1e-6


@dataclass
class Outcome:
    """The least price of all, or nothing where no courses go together; and which ports have none by themselves."""

    price: float | None
    without: set[int]
    # What made the ports hang together: `deck`, `chambers`, `protrusions`, `stock`.
    bonds: set[str]


class Head:
    """A head of which some ports have to be measured or have their guides done first."""

    def __init__(self, request: dict, evaluation: dict, staged: set[int], later: dict | None = None):
        """`later` are the standard uncertainties of the rows of ports after the work, where they are known."""
        self.document = Document(request["measurement_set"])
        cases = cases_of(request, evaluation, later)
        self.shop = cases[0].shop
        self.shared = Shared(request, evaluation, self.document, self.shop, partly=bool(staged))
        self.deck = cut_of(self.document, self.shared.rows, request["profile"], self.shop)
        if self.deck and self.shared.chambers_are_limited and self.shared.open_area is None:
            # Nothing would be known of the chambers after a cut.
            self.deck = None
        self.ports = {
            number: Port(case, self.deck) for number, case in enumerate(cases) if number not in staged
        }

    def best(self) -> Outcome:
        firsts = {number: port.best() for number, port in self.ports.items()}
        without = {number for number, first in firsts.items() if first is None}
        ports = [port for number, port in self.ports.items() if number not in without]
        least = [port.options[0].price for port in ports]
        apart = sum(least) + self._least_of_the_deck()
        bonds = self._bonds(ports)
        if not bonds:
            return Outcome(apart, without, bonds)
        # Courses a little dearer than the best; then all that could be part of anything better still.
        room = 1e-3
        chosen = self._together([port.up_to(price + room) for port, price in zip(ports, least)])
        if chosen is None or chosen - apart > room:
            room = math.inf if chosen is None else chosen - apart + SAME
            chosen = self._together([port.up_to(price + room) for port, price in zip(ports, least)])
        return Outcome(chosen, without, bonds)

    def _bonds(self, ports: list[Port]) -> set[str]:
        uses: dict = defaultdict(int)
        for port in ports:
            for stock in port.options[0].course.uses:
                uses[stock] += 1
        found = {"stock"} if any(number > 1 for number in uses.values()) else set()
        if self.deck is not None:
            found.add("deck")
        if self.shared.chambers_are_limited:
            found.add("chambers")
        if self.shared.protrusions_are_limited:
            found.add("protrusions")
        return found

    def _least_of_the_deck(self) -> float:
        if self.deck is None or not self.deck.needed:
            return 0.0
        return self._priced(linear(self.deck.least), linear(1.0)).constant

    def _priced(self, depth: Linear, cut: Linear) -> Linear:
        costs = self.shop.costs
        if self.shop.objective == "least-cost":
            return depth * 1e-2 + cut * (costs["deck_cut"] * costs["per_minute"])
        return depth

    def _together(self, options: list[list[Option]]) -> float | None:
        """Of each port exactly one course, in the convex hull of its courses."""
        program = Program()
        depth = self._decide_deck(program)
        uses: dict = defaultdict(Linear)
        for number, of_one in enumerate(options):
            picks = []
            for place, option in enumerate(of_one):
                mark = (number, place)
                pick = program.decide(("pick", mark), 0.0, 1.0, whole=True)
                picks.append(pick)
                _add(program, option.course, mark, pick)
                for stock, used in option.course.uses.items():
                    uses[stock] = uses[stock] + copied(used, mark, pick)
                self.shared.count(option.course, number, mark, pick)
            program.between(total(picks), 1.0, 1.0, "one course")
            depths = total(variable(((number, place), "deck")) for place in range(len(of_one)))
            program.between(depths - depth, 0.0, 0.0, "one deck")
        self.shared.keep_stock(program, uses)
        self.shared.keep(program, depth)
        outcome = solved(program)
        return None if outcome is None else outcome[0]

    def _decide_deck(self, program: Program) -> Linear:
        if self.deck is None:
            return linear(0.0)
        depth = program.decide("deck", 0.0, self.deck.most)
        cut = program.decide("deck is cut", 1.0 if self.deck.needed else 0.0, 1.0, whole=True)
        program.at_most(depth - cut * self.deck.most, 0.0)
        program.at_least(depth - cut * self.deck.least, 0.0)
        program.price = program.price + self._priced(depth, cut)
        return depth


def _add(program: Program, course: Course, mark: tuple, pick: Linear) -> None:
    for name, of in course.program.variables.items():
        most = min(of.most, MUCH)
        copy = program.decide((mark, name), min(of.least, 0.0), max(most, 0.0), of.whole)
        program.at_least(copy - pick * of.least, 0.0)
        program.at_most(copy - pick * most, 0.0)
    for value, least, most, what in course.program.rows:
        copy = copied(value, mark, pick)
        if math.isfinite(least):
            program.at_least(copy - pick * least, 0.0, what)
        if math.isfinite(most):
            program.at_most(copy - pick * most, 0.0, what)
    program.price = program.price + copied(course.program.price, mark, pick)
