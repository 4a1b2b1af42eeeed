"""Plans for drawn heads, and what can be asked of them again."""

import copy
from collections.abc import Iterator
from dataclasses import dataclass

from harness.documents import port_name
from harness.rework_amounts import SIZE
from harness.rework_heads import requests

MEASURED = "headproof/measurement-set/1"
STAGED = {"guide-first", "measure-first"}
DONE = {"planned", "nothing-to-do"}


@dataclass
class Planned:
    """A drawn head and the answer to it."""

    seed: int
    request: dict
    plan: dict

    @property
    def ports(self) -> Iterator[tuple[dict, dict]]:
        """Each port as it was posted, and its plan."""
        posted = {port_name(port): port for port in self.request["measurement_set"]["ports"]}
        for port in self.plan["ports"]:
            yield posted[port_name(port)], port

    @property
    def is_apart(self) -> bool:
        """Its ports have no plan together, or none was found before the search ended: each is planned by itself, as if the
        shelf were its own."""
        return "conflict" in self.plan or (self.plan["outcome"] == "no-plan" and self.plan["search"]["limit_hit"])

    def about(self, port: dict) -> str:
        return f"head {self.seed}, {port_name(port)}"


def plan_of(shop, request: dict) -> dict:
    response = shop.post("/v1/plan", request)
    assert response.status_code == 200, response.text
    return response.json()


def planned(shop, number: int, first: int = 1) -> Iterator[Planned]:
    for seed, request in requests(number, first):
        yield Planned(seed, request, plan_of(shop, request))


def judged_for_handing_over(shop, request: dict, **more: object) -> dict:
    """The evaluation of a set by the limits that a plan has to meet."""
    measured = request["measurement_set"]
    final = measured | {"job": measured["job"] | {"stage": "final"}}
    return shop.evaluate({"measurement_set": final, "profile": request["profile"], **more})


def as_measured(found: Planned) -> dict:
    """What is predicted, as if it had been measured, without a demand for what only measuring can tell."""
    prediction = found.plan["predicted"]
    profile = copy.deepcopy(found.request["profile"])
    for limit in profile["limits"]:
        if limit["characteristic"] in prediction["unpredictable"]:
            limit["required"] = False
    measured = copy.deepcopy(prediction["measurement_set"]) | {"format": MEASURED}
    return {"measurement_set": measured, "profile": profile}


def moved(reading: object, by: float, units: dict[str, str], kind: str = "length") -> object:
    """A reading that came out by so many base units greater."""
    if reading is None:
        return None
    size = 1.0 if kind == "angle" else SIZE[kind][units[kind]]
    if isinstance(reading, dict):
        return reading | {"value": round(reading["value"] + by / size, 10)}
    return round(reading + by / size, 10)
