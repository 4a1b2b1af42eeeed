"""All courses that the work on one port can take, each as a linear program of its own."""

import itertools
from collections.abc import Iterator

from harness.rework_model.algebra import Linear, linear, total, variable
from harness.rework_model.case import LEAK, Case
from harness.rework_model.course import CAN_BE_TOLD_LATER, Course, Impossible
from harness.rework_model.seatwork import work_the_seat
from harness.rework_model.train import work_the_train


def courses_of(case: Case) -> Iterator[Course]:
    """Every combination that can be taken; whether it meets its rows is for the solver to tell."""
    shop, seats = case.shop, ["leave"]
    if case.seat is not None:
        by_hand = [f"hand{top}{throat}" for top in ("", "+top") for throat in ("", "+throat")]
        seats += by_hand + [f"form {number}" for number in range(len(shop.forms))]
    has_insert = bool(case.port.get("seat", {}).get("insert"))
    inserts = [None] + (shop.fitting("inserts", case.service) if has_insert else [])
    valves = [(None, False), (None, True)]
    valves += [(valve, False) for valve in shop.fitting("valves", case.service)]
    springs = [None, *shop.fitting("springs", case.service)]
    for seat, insert, (valve, grind), spring in itertools.product(seats, inserts, valves, springs):
        if insert is not None and seat != "hand+top+throat" and not seat.startswith("form"):
            continue
        course = Course(case, seat, insert, valve, grind, spring)
        try:
            _lay_out(course)
        except Impossible:
            continue
        yield course


def _lay_out(course: Course) -> None:
    work_the_seat(course)
    work_the_train(course)
    _keep_rows(course)
    _price(course)


def _keep_rows(course: Course) -> None:
    case, after = course.case, course.after
    if course.insert is not None:
        after["insert-fit"] = "cured"
    for name, row in case.rows.items():
        if name not in after:
            # A test that was not made keeps nobody from work; it is made when the work is done.
            if not case.is_acceptable(row) and not (name in LEAK and row["verdict"] == "not-measured"):
                raise Impossible
            continue
        value = after[name]
        if value is None and name not in CAN_BE_TOLD_LATER:
            # What has to be known or cured is not left to a part of which it is not known.
            if case.is_required(row) or not case.is_acceptable(row):
                raise Impossible
        if not isinstance(value, Linear):
            continue
        if row.get("measured") is None or "limit" not in row:
            continue
        if not value.parts and abs(value.constant - row["measured"]) < 1e-12:
            if not case.is_acceptable(row):
                raise Impossible
            continue
        course.keep(value, case.zone(name), name)


def _price(course: Course) -> None:
    case, shop, program = course.case, course.case.shop, course.program
    parts = [part for part in (course.insert, course.valve, course.springs) if part is not None]
    sink = course.sink.aimed()
    if parts:
        worst = program.decide("priced sink")
        program.at_least(worst - sink, 0.0)
        sink = worst
    trims = [feed for feed in course.after.get("feeds", ()) if feed is not None]
    form = course.seat.startswith("form")
    trim = Linear() if course.insert is not None or form else total(trims)
    shims = total(count for (kind, _), count in course.uses.items() if kind == "shim")
    tip = variable("tip") if "tip" in program.variables else Linear()
    program.price = course.after.pop("lash off", Linear()) * (1e-6 if shop.objective == "least-cost" else 1e-4)
    for kind, part in (("insert", course.insert), ("valve", course.valve), ("spring", course.springs)):
        if part is not None:
            course.uses[kind, part["id"]] = linear(1.0)
    if shop.objective == "least-cost":
        program.price = program.price + (
            _money(course, shims)
            + 1e-2 * course.parts
            + sink * 1e-2
            + trim * 1e-4
            + shims * 1e-5
            + tip * 1e-5
        )
    else:
        per_shim = 10.0 if shop.objective == "fewest-parts" else 1e-4
        program.price = program.price + 100 * course.parts + sink + trim * 0.01 + shims * per_shim + tip * 1e-3


def _money(course: Course, shims: Linear) -> Linear:
    costs = course.case.shop.costs
    minutes = linear(0.0)
    if course.seat.startswith("form"):
        minutes = minutes + costs["form_cut"]
    elif course.cuts:
        minutes = minutes + costs["seat_cut"]
        minutes = minutes + costs["top_cut"] * ("+top" in course.seat)
        minutes = minutes + costs["throat_cut"] * ("+throat" in course.seat)
    if course.grind:
        minutes = minutes + costs["face_grind"]
    if "tip is ground" in course.program.variables:
        minutes = minutes + variable("tip is ground") * costs["tip_grind"]
    minutes = minutes + shims * costs["shim"]
    price = linear(0.0)
    for part in (course.insert, course.valve, course.springs):
        if part is not None:
            minutes = minutes + part.get("minutes", 0.0)
            price = price + part.get("price", 0.0)
    return price + minutes * costs["per_minute"]
