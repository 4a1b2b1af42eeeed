"""Turns of a dial round a seat or a face."""

import numpy as np

from harness.documents import limit
from harness.models import Case, Given, Spread
from harness.worked_rows.parts import least_zone, remainder

CASES: dict[str, Case] = {}

LOBED = Given((0.031, -0.012, 0.022, -0.027, 0.013, -0.006), 0.0004, label="dial reading")
# Mean and two harmonics meet six readings all but exactly: chatter is told by seven or more.
RIPPLED = Given((0.012, -0.022, 0.015, -0.001, -0.027, 0.019, -0.035, 0.034), 0.0004, label="dial reading")
OFF_CENTRE = Given((0.0143, 0.0140, -0.0139, -0.0146), 0.0004, label="dial reading")
WORN = Given((0.031, 0.024, -0.004, -0.027, -0.013, 0.004, 0.009, 0.018), 0.0004, label="dial reading")
UNEQUAL = (0, 40, 95, 150, 200, 260, 300, 335)


def columns(angles, harmonics: int) -> np.ndarray:
    turn = np.radians(np.array(angles, dtype=float))
    waves = [wave(order * turn) for order in range(1, harmonics + 1) for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones(len(turn)), *waves])


def amplitude(readings: np.ndarray, angles, harmonics: int, order: int) -> np.ndarray:
    fitted = np.linalg.pinv(columns(angles, harmonics)) @ readings
    return np.hypot(fitted[2 * order - 1], fitted[2 * order])


def equal(readings) -> np.ndarray:
    return np.arange(len(readings)) * 360 / len(readings)


def turn(
    where: str, readings: Given, stood: str, part: str, model, angles=None, nominal: bool = False
) -> Case:
    """A turn of a dial on a seat or a face."""
    given, spreads, limits = {"dial reading": readings}, {}, ()
    slope = "angle of the cone"
    if nominal:
        spreads = {slope: Spread(30, 1, "angle")}
        limits = (limit(f"{where}-angle", lower=29, nominal=30, upper=31),)
    elif stood != "square":
        given[slope] = Given(44.0, 0.5, "angle")
    factor = {"square": np.ones_like, "radial": np.sin, "axial": np.cos}[stood]

    def build(read: dict) -> dict:
        stated = {} if angles is None else {"angles": list(angles)}
        dial = {"direction": stood, "readings": read["dial reading"], **stated}
        block, name = ("seat", "runout") if where == "seat" else ("valve", "face_runout")
        tilted = {f"{where}_angle": read[slope]} if slope in read else {}
        return {"intake": {block: {name: dial} | tilted}}

    def worked_out(r: dict) -> np.ndarray:
        standing = r.get(slope, np.zeros(r["dial reading"].shape[1]))
        places = equal(r["dial reading"]) if angles is None else angles
        return model(r["dial reading"], places) * factor(np.radians(standing))

    return Case(f"{where}-{part}", given, build, worked_out, spreads=spreads, limits=limits)


def runout(readings: np.ndarray, angles) -> np.ndarray:
    return np.maximum(np.ptp(readings, axis=0), 2 * amplitude(readings, angles, 1, 1))


TURNS = {
    "runout by its range": (LOBED, "square", "runout", runout, None),
    "runout by its eccentricity": (OFF_CENTRE, "radial", "runout", runout, None),
    "eccentricity": (WORN, "radial", "eccentricity", lambda z, t: amplitude(z, t, 2, 1), UNEQUAL),
    "ovality": (WORN, "axial", "ovality", lambda z, t: 2 * amplitude(z, t, 2, 2), UNEQUAL),
    "chatter": (RIPPLED, "square", "chatter", lambda z, t: remainder(z, columns(t, 2)), None),
    "roundness, least squares": (
        LOBED,
        "axial",
        "roundness-least-squares",
        lambda z, t: remainder(z, columns(t, 1)),
        None,
    ),
    "roundness, minimum zone": (
        LOBED,
        "square",
        "roundness-minimum-zone",
        lambda z, t: least_zone(columns(t, 1), z),
        None,
    ),
}
for name, (dial_readings, stood, part, model, angles) in TURNS.items():
    CASES[f"seat {name}"] = turn("seat", dial_readings, stood, part, model, angles)
    if part in ("runout", "eccentricity", "ovality", "roundness-minimum-zone"):
        stands = "axial" if stood == "square" else stood
        CASES[f"face {name}"] = turn("face", dial_readings, stands, part, model, angles, nominal=True)
