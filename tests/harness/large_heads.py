"""Heads with as many valves as there can be: many cases in one request."""

from collections.abc import Iterator

from harness.documents import METRIC, small_set

# Sixteen cylinders of four intake valves and one exhaust valve.
CYLINDERS, INTAKES, VALVES = 16, 4, 5
MOST_PORTS = CYLINDERS * VALVES


def large_set(blocks: list[dict], units: dict = METRIC, **more) -> dict:
    """A head with these blocks measured, port by port."""
    assert 0 < len(blocks) <= MOST_PORTS
    cylinders = -(-len(blocks) // VALVES)
    blocks = blocks + [{}] * (cylinders * VALVES - len(blocks))
    ports = [_place(number) | measured for number, measured in enumerate(blocks)]
    layout = {"cylinders": cylinders, "intake_per_cylinder": INTAKES, "exhaust_per_cylinder": 1}
    return small_set(units, layout=layout, ports=ports, **more)


def _place(number: int) -> dict:
    cylinder, valve = number // VALVES + 1, number % VALVES
    if valve < INTAKES:
        return {"cylinder": cylinder, "service": "intake", "index": valve + 1}
    return {"cylinder": cylinder, "service": "exhaust", "index": 1}


def rows_by_port(evaluation: dict) -> list[dict[str, dict]]:
    """The rows of each port of a large set, by characteristic, in the order in which its blocks were given."""
    found = {}
    for port in evaluation["ports"]:
        place = (port["cylinder"], port["service"], port["index"])
        found[place] = {row["characteristic"]: row for row in port["rows"]}
    return [found[tuple(_place(number).values())] for number in range(len(found))]


def judge_all(
    shop, blocks: list[dict], profile: dict, units: dict = METRIC, budgets: bool = False
) -> Iterator[dict[str, dict]]:
    """The rows of each of these ports by characteristic, however many there are."""
    for start in range(0, len(blocks), MOST_PORTS):
        some = blocks[start : start + MOST_PORTS]
        request = {"measurement_set": large_set(some, units), "profile": profile, "budgets": budgets}
        yield from rows_by_port(shop.evaluate(request))[: len(some)]
