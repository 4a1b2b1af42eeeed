"""Cuts of rework plans on a bench in numpy: what a cutter leaves, where a valve comes to rest, and what misses do.

The section of a seat is a row of heights over radii; cutters are lowered on it step by step until metal stops them,
then fed on as the plan says. Plane geometry, without a formula for any edge. Misses: every corner of what the shop says
its cuts may be out, judged again by the service.
"""

import math

import pytest

from harness.counts import count, reached
from harness.documents import port_name
from harness.rework_bench import GRID, Bench, slope
from harness.rework_misses import blade_of, every_miss, predicted_face
from harness.rework_model.case import Case
from harness.rework_model.ports import cases_of
from harness.rework_plans import Planned, judged_for_handing_over, planned

# Edges are found to a step of the grid, and cuts come down on edges that were found so: a few steps add up.
EDGE = 5 * GRID
SINK = 2 * GRID


@pytest.fixture(scope="module")
def heads(shop):
    """Drawn heads and their plans, some with several ports to cut."""
    return list(planned(shop, count(25, 300), first=20_001))


def cosine(degrees: float) -> float:
    return math.cos(math.radians(degrees))


def cut_ports(shop, found: Planned):
    """Ports whose own seats are cut: as they were posted, and what is planned for them."""
    ports = [port for _, port in found.ports if port["status"] == "planned" and "seat" in port]
    if not ports:
        return
    evaluation = judged_for_handing_over(shop, found.request, budgets=True)
    cases = {port_name(case.port): case for case in cases_of(found.request, evaluation)}
    for port in ports:
        if all(part["part"] != "insert" for part in port["new_parts"]):
            yield cases[port_name(port)], port


def bench_of(case: Case) -> Bench:
    seat = case.seat
    return Bench.of(seat.inner, seat.outer, seat.angles.seat, seat.angles.top, seat.angles.throat)


def check_ring(bench: Bench, cut: dict, about: str) -> float:
    """The ring that a cut left has the sizes that the plan tells for it; returns how far off they are."""
    inner, outer = bench.edges()
    off = [
        abs(cut["outer_diameter"] - 2 * outer),
        abs(cut["inner_diameter"] - 2 * inner),
        abs(cut["width"] - (outer - inner) / cosine(cut["angle"])) * cosine(cut["angle"]),
    ]
    assert max(off) <= EDGE, (about, cut, inner, outer)
    return max(off)


def cut_by_hand(bench: Bench, cuts: list[dict], about: str) -> tuple[float, float]:
    """Cuts as a bench does: each comes down on the ring, and is fed on. Returns the seat cutter's height."""
    worst = 0.0
    seat = next(cut["angle"] for cut in cuts if cut["cut"] == "seat")
    line = 0.0
    for cut in cuts:
        angle = seat if cut["cut"] == "light-turns" else cut["angle"]
        height = bench.touch(angle) - cut["feed"]
        bench.cut(angle, height)
        line = height if cut["cut"] in ("seat", "light-turns") else line
        bench.find_ring(seat, line)
        worst = max(worst, check_ring(bench, cut | {"angle": seat}, about))
    return line, worst


def cut_by_form(bench: Bench, case: Case, cut: dict, form: dict, about: str) -> tuple[float, float]:
    """One plunge of a blade whose edges are made for this seat: all three of its angles go as deep."""
    seat = case.seat
    inside = slope(seat.angles.seat) * (seat.inner - seat.outer)
    line = bench.touch(form["seat_angle"]) - cut["feed"]
    bench.cut(form["top_angle"], -slope(form["top_angle"]) * seat.outer - cut["feed"])
    bench.cut(form["throat_angle"], inside - slope(form["throat_angle"]) * seat.inner - cut["feed"])
    bench.cut(form["seat_angle"], line)
    bench.find_ring(form["seat_angle"], line)
    return line, check_ring(bench, cut | {"angle": form["seat_angle"]}, about)


def test_cut_seats_have_the_sizes_that_plans_tell_and_their_valves_sit_as_deep(shop, heads):
    tried, edges, sinks, kinds = 0, 0.0, 0.0, set()
    for found in heads:
        for case, port in cut_ports(shop, found):
            about, cuts = found.about(port), port["seat"]["cuts"]
            bench = bench_of(case)
            old = bench.metal.copy()
            before = valve_rests(bench, case, case.face_angle)
            if cuts[0]["cut"] == "form":
                _, off = cut_by_form(bench, case, cuts[0], blade_of(found, cuts[0]), about)
            else:
                _, off = cut_by_hand(bench, cuts, about)
            edges, tried = max(edges, off), tried + 1
            kinds.add("+".join(cut["cut"] for cut in cuts))
            check_fresh(bench, old, case, cuts, about)
            if before is not None and not any(part["part"] == "valve" for part in port["new_parts"]):
                face = predicted_face(found, case, port)
                stock = port.get("face_grind", 0.0) / cosine(face)
                sink = before - valve_rests(bench, case, face) + stock
                assert sink == pytest.approx(port["sink"], abs=SINK), about
                sinks = max(sinks, abs(sink - port["sink"]))
    assert tried > count(10, 300) and len(kinds) >= count(3, 5), (tried, kinds)
    reached("seats cut on a bench in numpy", f"{tried}, edges within {edges:.1e} mm, sinks within {sinks:.1e} mm")


def valve_rests(bench: Bench, case: Case, face: float | None) -> float | None:
    if face is None or case.head is None:
        return None
    return bench.rest(face, case.face_inner, case.head)


def check_fresh(bench: Bench, old, case: Case, cuts: list[dict], about: str) -> None:
    """On what was seat before, the ring is as much deeper as runout and pits in the band need, missed or not."""
    seat = case.seat
    runout = case.rows.get("seat-runout", {}).get("measured") or 0.0
    pit = case.port["seat"].get("pit") or {}
    need = runout + (case.value("seat", "pit", "depth") if pit.get("inside_band") else 0.0)
    was_seat = bench.ring & (bench.radii >= seat.inner) & (bench.radii <= seat.outer)
    least = (old - bench.metal)[was_seat].min() - cuts[0]["tolerance"]
    assert least * cosine(seat.angles.seat) >= need - 1e-6, (about, least, need)


# Misses.


def test_ports_conform_however_their_cuts_miss(shop, heads):
    tried, corners = 0, 0
    for found in heads:
        worked = {port_name(port): port for _, port in found.ports if "seat" in port}
        tried += len(worked)
        for corner, request, off in every_miss(shop, found, (-1, 0, 1)):
            judged = {port_name(port): port for port in shop.evaluate(request)["ports"]}
            for name, port in worked.items():
                check_stated_tolerance(port, off[name], found)
                check_conforms(judged[name], request["profile"], (found.seed, name, corner))
                corners += 1
    assert tried > count(10, 300)
    reached("misses of planned cuts judged again", f"{corners} corners of {tried} ports")


def check_stated_tolerance(port: dict, off: dict[str, float], found: Planned) -> None:
    """No size comes out further off than the plan says."""
    seat = port["seat"]
    stated = {name: seat[name]["tolerance"] for name in ("outer_diameter", "inner_diameter", "width")}
    assert abs(2 * off["outer"]) <= stated["outer_diameter"] + 1e-8, found.about(port)
    assert abs(2 * off["inner"]) <= stated["inner_diameter"] + 1e-8, found.about(port)
    assert abs(off["width"]) <= stated["width"] + 1e-8, found.about(port)


def check_conforms(port: dict, profile: dict, about: object) -> None:
    """Every row conforms, but for those that need not be measured and were not."""
    for row in port["rows"]:
        if row["verdict"] == "not-measured":
            assert not profile["limits"][row["limit"]]["required"], (about, row)
            assert row["reason"] != "blocked-by-finding", (about, row)
        else:
            assert row["verdict"] in ("conforms", "no-limit"), (about, row)
