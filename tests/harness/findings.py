"""Findings about the data: what must bring them, and what they make unusable."""

import itertools
from collections.abc import Callable, Iterator

from harness.documents import CONFORMING, all_rows, at, demo_profile, put
from harness.shop import Shop

# The conforming demo head: its first intake and exhaust port, and the intake ports of the other cylinders.
INTAKE, EXHAUST = "cylinder 1 intake 1", "cylinder 1 exhaust 1"
FIRST, SECOND, THIRD, FIFTH = "/ports/0", "/ports/1", "/ports/2", "/ports/4"

# Rows that rest on the same readings.
CLEARANCE = {"stem-to-guide-clearance", "stem-tilt"}
BORES = {"guide-bore", "guide-taper", "guide-ovality", "guide-bell-mouth"}
STEMS = {"stem-diameter", "stem-wear"}
DIAMETERS = {"seat-inner-diameter", "seat-outer-diameter"}
WIDTHS = {"seat-width", "seat-width-uniformity"}
SEAT_TURN = {
    "seat-runout",
    "seat-eccentricity",
    "seat-ovality",
    "seat-chatter",
    "seat-roundness-least-squares",
    "seat-roundness-minimum-zone",
}
FACE_TURN = {"face-runout", "face-eccentricity", "face-ovality", "face-roundness-minimum-zone"}
BAND = {
    "overhang",
    "contact-width",
    "contact-width-uniformity",
    "contact-offset",
    "inner-edge-clearance",
}
LEAK = {"leak-rate", "leak-pressure-drop"}


def requested(shop: Shop) -> list[str]:
    """Every characteristic that is shown only on request, and needs no limit for it."""
    listed = shop.get("/v1/characteristics").json()
    return [one["id"] for one in listed if one["shown_when"] == "requested" and not one["needs_window"]]


def judged(shop: Shop, document: dict, head: str = CONFORMING) -> dict:
    """A set judged by the profile of its demo head, with every row shown."""
    profile = demo_profile(head) | {"also_report": requested(shop)}
    return shop.evaluate({"measurement_set": document, "profile": profile})


def of_code(evaluation: dict, code: str) -> list[dict]:
    return [finding for finding in evaluation["findings"] if finding["code"] == code]


def blocked(evaluation: dict) -> set[tuple[str, str]]:
    """Subject and characteristic of every row that a finding makes unusable; such a row has no result."""
    found = set()
    for subject, one in all_rows(evaluation):
        if one["reason"] == "blocked-by-finding":
            assert one["verdict"] == ("not-measured" if "limit" in one else "no-limit"), one
            assert not {"measured", "in_order", "deviation", "conformance_probability"} & set(one), one
            found.add((subject, one["characteristic"]))
    return found


def several(*changes: tuple[str, object]) -> Callable[[dict], dict]:
    """Puts values at pointers."""

    def change(document: dict) -> dict:
        for pointer, value in changes:
            document = put(document, pointer, value)
        return document

    return change


def shrunk(pointer: str) -> Callable[[dict], dict]:
    """All sizes below a pointer as they would be in inches."""

    def inches(value):
        if isinstance(value, dict):
            kept = ("instrument", "load")
            return {name: one if name in kept else inches(one) for name, one in value.items()}
        if isinstance(value, list):
            return [inches(one) for one in value]
        return round(value / 25.4, 4)

    return lambda document: put(document, pointer, inches(at(document, pointer)))


def numbers(document: object, pointer: str) -> Iterator[str]:
    """The place of every number below a pointer."""
    found = at(document, pointer) if pointer else document
    if isinstance(found, dict | list):
        for name in found if isinstance(found, dict) else range(len(found)):
            yield from numbers(document, f"{pointer}/{name}")
    elif isinstance(found, int | float) and not isinstance(found, bool):
        yield pointer


def results(evaluation: dict) -> dict[tuple[str, str], float]:
    return {
        (subject, one["characteristic"]): one["measured"]
        for subject, one in all_rows(evaluation)
        if "measured" in one
    }


def moved(shop: Shop, sound: dict, pointers: list[str]) -> set[tuple[str, str]]:
    """Rows of a set that a small change of any number below the pointers moves."""
    before, found = results(judged(shop, sound)), set()
    for pointer in itertools.chain(*(numbers(sound, pointer) for pointer in pointers)):
        after = results(judged(shop, put(sound, pointer, round(at(sound, pointer) + 0.0013, 6))))
        found |= {subject for subject, value in before.items() if after.get(subject) != value}
    return found
