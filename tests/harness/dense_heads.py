"""The head with the most readings that may be posted: whoever draws it has the most to draw."""

import copy

from harness.documents import demo_profile, demo_set
from harness.large_heads import CYLINDERS, INTAKES

HEAD = "irrigation-pump-16v"
# As many readings of each kind as the schema of a measurement set allows.
HEIGHTS, DIAL, MARKS = 5000, 720, 360


def dense_request() -> dict:
    """A request to judge it: sixteen cylinders of five valves, each read all round in the finest steps."""
    measured = demo_set(HEAD)
    measured["head"]["serial"] = "DENSE-1"
    measured["layout"] |= {"cylinders": CYLINDERS, "intake_per_cylinder": INTAKES, "exhaust_per_cylinder": 1}
    measured.pop("chambers", None)
    heights = [{"x": n % 100 * 4.0, "y": n // 100 * 3.0, "z": n % 37 / 1000} for n in range(HEIGHTS)]
    measured["deck"]["heights"] = {"points": heights}
    valves = [("intake", index + 1) for index in range(INTAKES)] + [("exhaust", 1)]
    pattern = measured["ports"][0]
    measured["ports"] = [
        _densely_read(pattern) | {"cylinder": cylinder + 1, "service": service, "index": index}
        for cylinder in range(CYLINDERS)
        for service, index in valves
    ]
    return {"measurement_set": measured, "profile": demo_profile(HEAD)}


def _densely_read(pattern: dict) -> dict:
    port = copy.deepcopy(pattern)
    dial = {"direction": "square", "readings": [n * 7 % 13 / 1000 for n in range(DIAL)]}
    port["seat"] |= {
        "runout": {**dial, "angles": [n / 2 for n in range(DIAL)]},
        "widths": [(120 + n % 7) / 100 for n in range(MARKS)],
    }
    port["valve"]["face_runout"] = dial
    marks = [{"from_edge": (50 + n % 5) / 100, "width": (120 + n % 3) / 100} for n in range(MARKS)]
    port["contact"] = {"marks": marks, "gaps": [0.5] * MARKS}
    return port
