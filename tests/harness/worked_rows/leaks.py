"""Leak tests."""

import numpy as np

from harness.models import Case, Given, Spread

CASES: dict[str, Case] = {}

TEST = {
    "test volume": Given(250.0, 2.0, "volume"),
    "pressure at the start": Given(60.0, 0.12, "pressure"),
    "pressure at the end": Given(52.0, 0.12, "pressure"),
    "duration": Given(30.0, 0.2, "time"),
}
AIR = {
    "temperature at the start": Given(21.5, 0.15, "temperature"),
    "temperature at the end": Given(20.1, 0.15, "temperature"),
}
OUTSIDE = {"atmosphere": Given(99.4, 0.1, "pressure")}
UNREAD = {"atmosphere": Spread(101.325, 5, "pressure")}


def tested(vacuum: bool):
    names = {
        "test volume": "volume",
        "pressure at the start": "start",
        "pressure at the end": "end",
        "duration": "seconds",
        "temperature at the start": "start_temperature",
        "temperature at the end": "end_temperature",
        "atmosphere": "atmosphere",
    }

    def build(read: dict) -> dict:
        decay = {names[key]: reading for key, reading in read.items()}
        decay |= {"side": "port", "vacuum": vacuum, "spring_fitted": True, "guide_sealed": True}
        return {"intake": {"leak": {"decay": {"seconds": 30, "end": 52} | decay}}}

    return build


def absolute(r: dict, key: str, vacuum: bool) -> np.ndarray:
    return r["atmosphere"] + (-r[key] if vacuum else r[key])


def kelvin(r: dict, key: str) -> np.ndarray:
    return r[key] + 273.15


def escaped(r: dict, vacuum: bool) -> np.ndarray:
    """Pressure times volume at the first temperature, in Pa m3/s; in a vacuum what came in."""
    before, after = (absolute(r, f"pressure at the {when}", vacuum) for when in ("start", "end"))
    share = kelvin(r, "temperature at the start") / kelvin(r, "temperature at the end")
    lost = (before - after * share) * r["test volume"] * 1e-3 / r["duration"]
    return -lost if vacuum else lost


def faked(r: dict, vacuum: bool) -> np.ndarray:
    """What is lost of a pressure, or of a vacuum, when the air goes from one temperature to the other."""
    warm, cold = kelvin(r, "temperature at the start"), kelvin(r, "temperature at the end")
    fall = absolute(r, "pressure at the start", vacuum) * (1 - cold / warm)
    return -fall if vacuum else fall


CASES["leak rate"] = Case(
    "leak-rate",
    TEST,
    tested(False),
    lambda r: (
        (r["pressure at the start"] - r["pressure at the end"]) * r["test volume"] * 1e-3 / r["duration"]
    ),
)
CASES["leak rate of cooling air"] = Case(
    "leak-rate", TEST | AIR | OUTSIDE, tested(False), lambda r: escaped(r, False)
)
CASES["leak rate of a vacuum in weather that was not measured"] = Case(
    "leak-rate", TEST | AIR, tested(True), lambda r: escaped(r, True), spreads=UNREAD
)
PRESSURES = {key: TEST[key] for key in ("pressure at the start", "pressure at the end")}
CASES["pressure lost"] = Case(
    "leak-pressure-drop",
    PRESSURES,
    tested(False),
    lambda r: r["pressure at the start"] - r["pressure at the end"],
)
START = {"pressure at the start": TEST["pressure at the start"]}
CASES["drift of a pressure"] = Case(
    "leak-drift", START | AIR | OUTSIDE, tested(False), lambda r: faked(r, False)
)
CASES["drift of a vacuum in weather that was not measured"] = Case(
    "leak-drift", START | AIR, tested(True), lambda r: faked(r, True), spreads=UNREAD
)
