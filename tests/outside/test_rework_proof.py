"""Rework plans against what they promise: asked again, judged again, and bounds loosened one at a time.

Nothing is worked out here. What a plan predicts is judged by the service as if it had been measured; a conflict is
checked by granting what it asks for and asking for a plan once more.
"""

import copy
from collections import Counter

import pytest

from harness.counts import count, reached
from harness.documents import port_name
from harness.problems import check_problem, pointers
from harness.rework_amounts import SIZE
from harness.rework_model.case import LEAK
from harness.rework_plans import DONE, STAGED, Planned, as_measured, plan_of, planned
from harness.rework_shops import KINDS, PURE

# What a concession has to be more than it says: amounts are told to 1e-10, zones keep 2e-6 clear of their ends.
HAIR = 1e-5


@pytest.fixture(scope="module")
def heads(shop):
    return list(planned(shop, count(40, 2000), first=50_001))


def rows_of(evaluation: dict) -> dict[str, list[dict]]:
    return {port_name(port): port["rows"] for port in evaluation["ports"]}


def test_every_planned_port_conforms_when_what_is_predicted_is_judged(shop, heads):
    ports, rows = 0, 0
    for found in heads:
        if "predicted" not in found.plan:
            assert all("seat" not in port for _, port in found.ports)
            continue
        request = as_measured(found)
        evaluation = shop.evaluate(request)
        check_judged_alike(evaluation, found.plan["predicted"]["evaluation"], found.seed)
        judged = rows_of(evaluation)
        for _, port in found.ports:
            if port["status"] not in DONE:
                continue
            ports += port["status"] == "planned"
            for row in judged[port_name(port)]:
                rows += row["verdict"] == "conforms"
                assert is_met(row, request["profile"]), (found.about(port), row)
    assert ports > count(20, 1000)
    reached("ports planned and judged again", f"{ports}, {rows} rows that conform")


def check_judged_alike(again: dict, foretold: dict, seed: int) -> None:
    """Row by row the same. Its headline says that it is foretold, and the scatter of repeats is not told apart from
    what a gauge brings once it is written down, which counts where readings of one gauge go together."""
    groups = [(again["head"], foretold["head"])]
    for name in ("cylinders", "ports"):
        pairs = zip(again[name], foretold[name], strict=True)
        groups += [(one["rows"], other["rows"]) for one, other in pairs]
    for ours, theirs in groups:
        for one, other in zip(ours, theirs, strict=True):
            for name in ("characteristic", "verdict", "reason", "limit", "in_order", "lower", "upper"):
                assert one.get(name) == other.get(name), (seed, one, other)
            if "measured" in one:
                assert one["measured"] == pytest.approx(other["measured"], rel=1e-9, abs=2e-9), (seed, one, other)


def is_met(row: dict, profile: dict) -> bool:
    """Does this row keep nobody from handing the head over?"""
    if row["verdict"] in ("conforms", "no-limit"):
        return True
    required = profile["limits"][row["limit"]]["required"]
    # What is not required may be as it is, unless it is beyond its limit.
    inside = row["verdict"] == "not-measured" or (row["verdict"] == "not-proven" and row["deviation"] <= 0)
    return inside and not required


def test_what_is_predicted_is_refused_as_measured(shop, heads):
    refused = 0
    for found in heads[: count(20, 200)]:
        if "predicted" in found.plan:
            predicted = found.plan["predicted"]["measurement_set"]
            request = {"measurement_set": predicted, "profile": found.request["profile"]}
            for path in ("/v1/jobs", "/v1/evaluate", "/v1/plan"):
                problem = check_problem(shop.post(path, request), 422, "invalid-document")
                assert pointers(problem) == ["/measurement_set/format"]
            refused += 1
    assert refused > count(5, 100)


def test_no_port_is_worked_on_before_it_is_measured(heads):
    """What was read on an old guide, or not read at all, gives no feed."""
    seen = Counter()
    for found in heads:
        steps = found.plan["steps"]
        for _, port in found.ports:
            seen[port["status"]] += 1
            if port["status"] not in STAGED:
                assert not port["needs"], found.about(port)
                continue
            about = found.about(port)
            assert "seat" not in port and "face_grind" not in port and "tip_grind" not in port, about
            assert not port["shims"] and not port["new_parts"] and "lash_shim" not in port, about
            assert port["sink"] == 0 and not port["effects"], about
            own = [step for step in steps if step["subject"] == port_name(port)]
            assert own or found.is_apart, about
            assert all("cut" not in step for step in own), about
            operations = {step["operation"] for step in own}
            assert operations <= {"measure-first", "renew-guide", "measure-again"}, (about, operations)
            assert port["needs"] or port["status"] == "guide-first", about
    assert set(seen) == {"nothing-to-do", "planned", "guide-first", "measure-first", "no-plan"}, seen
    reached("ports of drawn heads", ", ".join(f"{number} {status}" for status, number in seen.most_common()))


def test_no_more_is_used_than_there_is(heads):
    used = Counter()
    for found in heads:
        if found.is_apart:
            continue
        workshop = found.request.get("workshop") or {}
        size = SIZE["length"][workshop["units"]["length"]] if workshop else 1
        taken: Counter = Counter()
        for _, port in found.ports:
            most = workshop.get("shims_per_spring", 3)
            assert sum(shims["count"] for shims in port["shims"]) <= most, found.about(port)
            for shims in port["shims"]:
                taken["shims", round(shims["thickness"], 6)] += shims["count"]
            if "lash_shim" in port and workshop.get("lash_shims"):
                taken["lash_shims", round(port["lash_shim"], 6)] += 1
            for part in port["new_parts"]:
                taken[f"{part['part']}s", part["id"]] += 1
        there = {
            (kind, round(entry["thickness"] * size, 6)): entry["count"]
            for kind in ("shims", "lash_shims")
            for entry in workshop.get(kind, [])
        }
        there |= {
            (kind, part["id"]): part["count"]
            for kind in ("inserts", "valves", "springs")
            for part in workshop.get(kind, [])
        }
        for thing, number in taken.items():
            assert number <= there[thing], (found.seed, thing)
            used[thing[0]] += number
    assert set(used) >= {"shims", "lash_shims", "inserts", "springs"}, used
    reached("things off the shelf in plans", ", ".join(f"{number} {kind}" for kind, number in used.most_common()))


# Conflicts.

# What only a test of the finished port can tell.
PROOFS = LEAK | {"contact-gap"}
SHOP_BOUNDS = {"tip-limit": "tip_grinding", "insert-stock": "insert_stock"}


def loosened(found: Planned, port: dict, way: dict, share: float = 1.0, hair: float = HAIR) -> dict | None:
    """The request with this concession granted; nothing where it is on no number of a document."""
    request = copy.deepcopy(found.request)
    amount = share * way["amount"] + hair
    if way["bound"] in SHOP_BOUNDS:
        shop, name = request["workshop"], SHOP_BOUNDS[way["bound"]]
        shop[name] = round(shop[name] + amount / SIZE["length"][shop["units"]["length"]], 9)
        return request
    if way["bound"] not in ("lower-limit", "upper-limit"):
        return None
    name = way["characteristic"]
    units = request["profile"]["units"]
    kind = KINDS.get(name, "length")
    size = 1 if name.endswith("angle") or name in PURE else SIZE[kind][units[kind]]
    bound, sign = ("lower", -1) if way["bound"] == "lower-limit" else ("upper", 1)
    for limit in request["profile"]["limits"]:
        if limit["characteristic"] == name and limit["use"] == "build":
            if limit.get("service") in (None, port["service"]) and bound in limit:
                limit[bound] = round(limit[bound] + sign * amount / size, 9)
    return request


def planned_again(shop, request: dict, port: dict) -> dict:
    return next(one for one in plan_of(shop, request)["ports"] if port_name(one) == port_name(port))


def is_free(port: dict) -> bool:
    """Is there a plan, or nothing left but a proof that nobody made yet?"""
    return port["status"] in DONE or (port["status"] == "measure-first" and set(port["needs"]) <= PROOFS)


def test_what_would_free_a_conflict_frees_it_and_less_does_not(shop, heads):
    """Each bound of a conflict is one of those that fight: without any one of them there is a plan."""
    seen, less = Counter(), 0
    for found in heads[: count(30, 1000)]:
        for _, port in found.ports:
            if port["status"] != "no-plan":
                continue
            about = found.about(port)
            assert port["conflict"]["between"], about
            for way in port["conflict"]["freed_by"]:
                if way["way"] != "concession" or way["amount"] is None:
                    continue
                request = loosened(found, port, way)
                if request is None:
                    continue
                assert way["bound"] in {bound["bound"] for bound in port["conflict"]["between"]}, about
                assert is_free(planned_again(shop, request, port)), (about, way)
                seen[way["bound"]] += 1
                nearly = loosened(found, port, way, share=0.9, hair=-HAIR)
                assert planned_again(shop, nearly, port)["status"] == "no-plan", (about, way)
                less += 1
    assert seen["lower-limit"] >= count(2, 100) and seen["upper-limit"] >= count(2, 100), seen
    reached("concessions granted", f"{sum(seen.values())} that free a port, {less} a tenth smaller that do not")


def test_no_conflict_names_a_bound_twice(heads):
    for found in heads:
        for _, port in found.ports:
            if port["status"] == "no-plan":
                bounds = [(one["bound"], one.get("characteristic")) for one in port["conflict"]["between"]]
                assert len(bounds) == len(set(bounds)), (found.about(port), bounds)
