"""Measurement sets, profiles and requests: those of the demo, changed ones, and small ones."""

import copy
import json
from pathlib import Path

from harness.places import EXAMPLES

HEADS = {
    "irrigation-pump-16v": "demo-aluminium-16v",
    "cold-store-8v": "demo-iron-8v",
    "generator-3cyl-6v": "demo-iron-6v",
}
# The demo head that conforms in every row.
CONFORMING = "generator-3cyl-6v"

METRIC = {"length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um"}
INCH = {"length": "in", "force": "lbf", "volume": "mL", "pressure": "inHg", "roughness": "uin"}


def set_path(head: str) -> Path:
    return EXAMPLES / f"set-{head}.json"


def profile_path(head: str) -> Path:
    return EXAMPLES / f"profile-{HEADS[head]}.json"


def demo_set(head: str = CONFORMING) -> dict:
    return json.loads(set_path(head).read_text())


def demo_profile(head: str = CONFORMING) -> dict:
    return json.loads(profile_path(head).read_text())


def request(head: str = CONFORMING, serial: str | None = None, **more: object) -> dict:
    """A request to judge a demo head, under another serial if given."""
    measured = demo_set(head)
    if serial is not None:
        measured["head"]["serial"] = serial
    return {"measurement_set": measured, "profile": demo_profile(head), **more}


def _parent(document: object, pointer: str) -> tuple[object, str | int]:
    *parents, last = [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]
    for part in parents:
        document = document[int(part) if isinstance(document, list) else part]
    return document, int(last) if isinstance(document, list) else last


def put(document: dict, pointer: str, value: object) -> dict:
    """A copy with a value at a JSON Pointer (RFC 6901)."""
    changed = copy.deepcopy(document)
    parent, name = _parent(changed, pointer)
    parent[name] = value
    return changed


def take(document: dict, pointer: str) -> dict:
    """A copy without what is at a JSON Pointer."""
    changed = copy.deepcopy(document)
    parent, name = _parent(changed, pointer)
    del parent[name]
    return changed


def at(document: object, pointer: str) -> object:
    parent, name = _parent(document, pointer)
    return parent[name]


def small_set(units: dict = METRIC, intake: dict | None = None, exhaust: dict | None = None, **more) -> dict:
    """A head of one cylinder and two valves, with these blocks measured."""
    port = {"cylinder": 1, "index": 1}
    return {
        "format": "headproof/measurement-set/1",
        "units": units,
        "head": {"serial": "SMALL-1", "material": "cast-iron"},
        "job": {
            "number": "S-1",
            "stage": "final",
            "measured_by": "an invented person",
            "measured_at": "2026-03-01T10:00:00+01:00",
        },
        "layout": {
            "camshaft": "pushrod",
            "lifter": "adjustable",
            "cylinders": 1,
            "intake_per_cylinder": 1,
            "exhaust_per_cylinder": 1,
            **more.pop("layout", {}),
        },
        "ports": [
            {**port, "service": "intake", **(intake or {})},
            {**port, "service": "exhaust", **(exhaust or {})},
        ],
        **more,
    }


def limit(characteristic: str, **more: object) -> dict:
    return {
        "characteristic": characteristic,
        "use": "build",
        "if_outside": "rework",
        "source": "invented for a test",
        **more,
    }


def small_profile(*limits: dict, units: dict = METRIC, rule: dict | None = None, **more: object) -> dict:
    return {
        "format": "headproof/target-profile/1",
        "id": "small",
        "revision": "1",
        "title": "a small profile",
        "units": units,
        "decision_rule": rule or {"rule": "simple"},
        "limits": list(limits),
        **more,
    }


def row(evaluation: dict, characteristic: str, service: str | None = None) -> dict:
    """The row of a characteristic of the head, of its first cylinder, or of its first port of a service."""
    if service is None:
        rows = evaluation["head"] + evaluation["cylinders"][0]["rows"]
    else:
        rows = next(port["rows"] for port in evaluation["ports"] if port["service"] == service)
    return next(row for row in rows if row["characteristic"] == characteristic)


def all_rows(evaluation: dict) -> list[tuple[str, dict]]:
    """Every row with the name of what it belongs to."""
    rows = [("head", row) for row in evaluation["head"]]
    for cylinder in evaluation["cylinders"]:
        rows += [(f"cylinder {cylinder['cylinder']}", row) for row in cylinder["rows"]]
    for port in evaluation["ports"]:
        rows += [(port_name(port), row) for row in port["rows"]]
    return rows


def port_name(port: dict) -> str:
    return f"cylinder {port['cylinder']} {port['service']} {port['index']}"
