"""What dial readings once round show, against numpy.fft, numpy.linalg.lstsq and scipy.optimize.linprog.

A turn is mean + first harmonic (eccentricity) + second harmonic (ovality) + remainder. Roundness is what is left
about the limaçon R + a cos t + b sin t, in the least-squares sense or with the least range (ISO 12181-1, from
memory): the latter is a linear program, least 2h with |r - (R + a cos t + b sin t)| <= h.
"""

import re

import numpy as np
import pytest
from scipy.optimize import linprog

from harness.counts import count, reached
from harness.documents import INCH, limit, row, small_profile, small_set
from harness.large_heads import judge_all

PARTS = ("runout", "eccentricity", "ovality", "roundness-minimum-zone")
SEAT = [f"seat-{part}" for part in (*PARTS, "chatter", "roundness-least-squares")]
FACE = [f"face-{part}" for part in PARTS]
PROFILE = small_profile(limit("margin", upper=1000), also_report=SEAT + FACE)

# The service rounds lengths to 1e-10 mm; doubles lose less than the rest of this on the way.
TOLERANCE = 1e-10
# HiGHS was told to keep its constraints to 1e-10 of heights in micrometres, and scales them itself.
ZONE_TOLERANCE = 1e-9
# Directions are shown to a tenth of a degree.
SHOWN = 0.05 + 1e-6

# Mean and two harmonics are five numbers, and a sixth reading leaves next to nothing of itself.
LEAST_FOR_CHATTER = 7

FACTORS = {
    "square": lambda _: 1.0,
    "radial": lambda degrees: np.sin(np.radians(degrees)),
    "axial": lambda degrees: np.cos(np.radians(degrees)),
}


def dial(readings, direction: str = "square", angles=None) -> dict:
    stated = {} if angles is None else {"angles": [float(angle) for angle in angles]}
    return {"direction": direction, "readings": [float(reading) for reading in readings], **stated}


def on_seat(turn: dict, degrees: float = 45) -> dict:
    return {"seat": {"runout": turn, "seat_angle": degrees}}


def on_face(turn: dict, degrees: float = 45) -> dict:
    return {"valve": {"face_runout": turn, "face_angle": degrees}}


def direction(found: dict) -> float:
    """The direction in degrees that a row names as its place."""
    shown = re.fullmatch(r"towards (\d+\.\d)°", found["place"])
    assert shown and float(shown.group(1)) < 360, found
    return float(shown.group(1))


def away(degrees: float, from_degrees: float) -> float:
    """How far two directions are apart."""
    return abs((degrees - from_degrees + 180) % 360 - 180)


def columns(angles: np.ndarray, harmonics: int) -> np.ndarray:
    """Mean, cosine and sine of each harmonic."""
    waves = [wave(k * np.radians(angles)) for k in range(1, harmonics + 1) for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones(len(angles)), *waves])


def fitted(readings: np.ndarray, angles: np.ndarray, harmonics: int) -> tuple[np.ndarray, float]:
    """Coefficients by numpy.linalg.lstsq, and the range of what they leave."""
    design = columns(angles, harmonics)
    coefficients = np.linalg.lstsq(design, readings, rcond=None)[0]
    return coefficients, float(np.ptp(readings - design @ coefficients))


def minimum_zone(readings: np.ndarray, angles: np.ndarray) -> float:
    """The least range about a limaçon by scipy, with heights in micrometres."""
    heights = (readings - readings.mean()) * 1000
    design, half = columns(angles, 1), -np.ones((len(readings), 1))
    solved = linprog(
        [0, 0, 0, 2],
        A_ub=np.vstack([np.hstack([-design, half]), np.hstack([design, half])]),
        b_ub=np.concatenate([-heights, heights]),
        bounds=[(None, None)] * 3 + [(0, None)],
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    assert solved.success, solved.message
    return solved.fun / 1000


def worst_variance(angles: np.ndarray, harmonics: int) -> float:
    """How much greater the variance of a harmonic is, in its worst direction, than from equal angles."""
    spread = np.linalg.pinv(columns(angles, harmonics))
    covariance = spread @ spread.T
    blocks = [covariance[k : k + 2, k : k + 2] for k in range(1, 2 * harmonics, 2)]
    return max(np.linalg.eigvalsh(block)[-1] for block in blocks) * len(angles) / 2


def expected_of(readings: np.ndarray, angles: np.ndarray, with_ovality: bool) -> dict[str, float]:
    """All parts of a turn that was read square to its face, and the direction of its eccentricity."""
    (_, a, b), left = fitted(readings, angles, 1)
    parts = {
        "runout": max(np.ptp(readings), 2 * np.hypot(a, b)),
        "roundness-least-squares": left,
        "roundness-minimum-zone": minimum_zone(readings, angles),
    }
    if with_ovality:
        (_, a, b, c, d), left = fitted(readings, angles, 2)
        parts["ovality"] = 2 * np.hypot(c, d)
        if len(readings) >= LEAST_FOR_CHATTER:
            parts["chatter"] = left
    return parts | {"eccentricity": np.hypot(a, b), "direction": np.degrees(np.arctan2(b, a))}


# A part below this is next to nothing, and what differs from it next to nothing says little in per cent.
TELLING = 1e-4


class Worst:
    """The greatest differences met, and in which part."""

    def __init__(self):
        self.difference, self.relative = (0.0, "none"), (0.0, "none")

    def compare(self, part: str, found: dict, expected: float, tolerance: float, case: object) -> None:
        difference = abs(found["measured"] - expected)
        assert difference <= tolerance, (part, found, expected, case)
        self.difference = max(self.difference, (difference, part))
        if expected > TELLING:
            self.relative = max(self.relative, (difference / expected, part))

    def note(self, what: str, tried: object) -> None:
        (difference, part), (relative, other) = self.difference, self.relative
        figures = f"greatest difference {difference:.1e} mm ({part}), relative {relative:.1e} ({other})"
        reached(what, f"{tried}; {figures}")


def refuses(found: dict, case: object) -> None:
    assert (found["verdict"], found["reason"]) == ("no-limit", "not-computable"), (found, case)
    assert "measured" not in found


def compare(worst: Worst, rows: dict, where: str, expected: dict[str, float], factor: float, case) -> None:
    """Every row of a turn that is asked for on this part."""
    for name in SEAT if where == "seat" else FACE:
        part, found = name.removeprefix(f"{where}-"), rows[name]
        if part not in expected:
            refuses(found, case)
            continue
        tolerance = ZONE_TOLERANCE if part == "roundness-minimum-zone" else TOLERANCE
        worst.compare(part, found, expected[part] * factor, tolerance, case)
    found = rows[f"{where}-eccentricity"]
    if expected["eccentricity"] > 1e-6:
        turned = away(direction(found), expected["direction"])
        assert turned <= SHOWN, (found, expected["direction"], case)


def random_turns(random: np.random.Generator, number: int, angles_of) -> list[tuple]:
    """Turns alternately on a seat and on a face, in all directions of the dial."""
    turns = []
    for index in range(number):
        where, stood = ("seat", "face")[index % 2], list(FACTORS)[index % 3]
        degrees = round(random.uniform(20, 70), 1)
        angles = angles_of(index)
        size = len(angles)
        kind = index % 5
        if kind < 2:
            readings = random.normal(0, 0.02, size)
        else:
            # Off centre, oval and lobed, with some noise, as a seat is.
            t, sizes = np.radians(angles), random.uniform(0, [0.05, 0.02, 0.01])
            phases = random.uniform(0, 2 * np.pi, 3)
            waves = [r * np.cos(k * t - p) for r, k, p in zip(sizes, (1, 2, 3 + index % 4), phases)]
            readings = sum(waves) + random.normal(0, 0.001, size) + random.uniform(-1, 1)
        # A dial shows whole micrometres, or tenths of them.
        turns.append((where, stood, degrees, angles, np.round(readings, 3 if kind == 4 else 4)))
    return turns


def blocks_of(turns: list[tuple], equal: bool) -> list[dict]:
    blocks = []
    for where, stood, degrees, angles, readings in turns:
        turn = dial(readings, stood, None if equal else angles)
        blocks.append((on_seat if where == "seat" else on_face)(turn, degrees))
    return blocks


def test_random_turns_at_equal_angles_agree_with_lstsq_and_linprog(shop):
    random = np.random.default_rng(12181)
    sizes = [4, 5, 6, 8, 12, 16, 24, 36, 7, 9, 72, 13]

    def equal(index: int) -> np.ndarray:
        size = 720 if index == 50 else sizes[index % len(sizes)]
        return np.arange(size) * 360 / size

    turns = random_turns(random, count(80, 2000), equal)
    worst = Worst()
    for turn, rows in zip(turns, judge_all(shop, blocks_of(turns, equal=True), PROFILE), strict=True):
        where, stood, degrees, angles, readings = turn
        # Four readings see only one direction of an ovality.
        expected = expected_of(readings, angles, with_ovality=len(readings) > 4)
        compare(worst, rows, where, expected, FACTORS[stood](degrees), turn)
    worst.note("turns at equal angles against lstsq and linprog", len(turns))


def test_random_turns_at_equal_angles_agree_with_a_fourier_transform(shop):
    random = np.random.default_rng(1807)
    tried, blocks, turns = count(80, 1200), [], []
    for _ in range(tried):
        readings = np.round(random.normal(0, 0.02, int(random.integers(5, 49))), 4)
        turns.append(readings)
        blocks.append(on_seat(dial(readings)))
    worst, told = Worst(), 0
    for readings, rows in zip(turns, judge_all(shop, blocks, PROFILE), strict=True):
        size = len(readings)
        spectrum = np.fft.rfft(readings) / size
        worst.compare("eccentricity", rows["seat-eccentricity"], 2 * abs(spectrum[1]), TOLERANCE, readings)
        worst.compare("ovality", rows["seat-ovality"], 4 * abs(spectrum[2]), TOLERANCE, readings)
        turned = away(direction(rows["seat-eccentricity"]), -np.degrees(np.angle(spectrum[1])))
        assert turned <= SHOWN, readings
        # Without mean, first and second line the transform goes back to what is left.
        spectrum[:3] = 0
        left = np.ptp(np.fft.irfft(spectrum * size, size))
        if size < LEAST_FOR_CHATTER:
            refuses(rows["seat-chatter"], readings)
            continue
        worst.compare("chatter", rows["seat-chatter"], left, TOLERANCE, readings)
        told += 1
    assert 0.7 * tried < told < tried
    worst.note("turns against numpy.fft", tried)


def scattered(random: np.random.Generator, index: int) -> np.ndarray:
    """Angles of several kinds: anywhere in any order, along an arc, equal but for some that are missing, repeated."""
    size = int(random.integers(4, 31))
    kind = index % 4
    if kind == 0:
        angles = random.uniform(-360, 360, size)
    elif kind == 1:
        start, arc = random.uniform(-60, 60), random.uniform(60, 300)
        angles = start + np.sort(random.uniform(0, arc, size))
    elif kind == 2:
        angles = -np.sort(random.choice(24, min(size, 24), replace=False)) * 15.0
    else:
        angles = random.choice(np.arange(0, 720, 45), size) - 360.0
    return np.round(angles, 2)


def test_random_turns_at_given_angles_agree_with_lstsq_and_linprog(shop):
    """A harmonic that is ten times as uncertain as from equal angles is not told (common practice, no source)."""
    random = np.random.default_rng(7)
    turns = random_turns(random, count(160, 2400), lambda index: scattered(random, index))
    worst, refused, without_ovality, full = Worst(), 0, 0, 0
    for turn, rows in zip(turns, judge_all(shop, blocks_of(turns, equal=False), PROFILE), strict=True):
        where, stood, degrees, angles, readings = turn
        first = worst_variance(angles, 1) if np.linalg.matrix_rank(columns(angles, 1)) == 3 else np.inf
        can_second = len(angles) > 4 and np.linalg.matrix_rank(columns(angles, 2)) == 5
        second = worst_variance(angles, 2) if can_second else np.inf
        assert not any(abs(variance - 100) < 1e-4 for variance in (first, second)), "choose another seed"
        if first > 100:
            refused += 1
            for name in SEAT if where == "seat" else FACE:
                assert rows[name]["reason"] == "not-computable", (rows[name], turn)
            continue
        expected = expected_of(readings, angles, with_ovality=second <= 100)
        full, without_ovality = full + (second <= 100), without_ovality + (second > 100)
        compare(worst, rows, where, expected, FACTORS[stood](degrees), turn)
    assert min(refused, without_ovality, full) >= 5
    tried = f"{full} in full, {without_ovality} without ovality, {refused} refused"
    worst.note("turns at given angles against lstsq and linprog", tried)


def test_pure_harmonics_are_told_apart_exactly_wherever_the_readings_stand(shop):
    """A turn that is made of two harmonics has no remainder, and its harmonics are those it was made of."""
    random = np.random.default_rng(30)
    tried, blocks, made = count(40, 1000), [], []
    while len(made) < tried:
        angles = np.round(random.uniform(-180, 180, int(random.integers(6, 25))), 3)
        if worst_variance(angles, 2) > 90:
            continue
        e, o, toward, along = random.uniform([0.01, 0.001, -179.9, 0], [0.08, 0.02, 179.9, 180])
        first = e * np.cos(np.radians(angles - toward))
        second = o * np.cos(2 * np.radians(angles - along))
        blocks.append(on_seat(dial(np.round(0.5 + first + second, 13), angles=angles)))
        made.append((e, 2 * o, toward, len(angles)))
    worst = Worst()
    for (e, o, toward, size), rows in zip(made, judge_all(shop, blocks, PROFILE), strict=True):
        worst.compare("eccentricity", rows["seat-eccentricity"], e, TOLERANCE, (e, o, toward))
        worst.compare("ovality", rows["seat-ovality"], o, TOLERANCE, (e, o, toward))
        if size < LEAST_FOR_CHATTER:
            refuses(rows["seat-chatter"], (e, o, toward))
        else:
            worst.compare("remainder", rows["seat-chatter"], 0, TOLERANCE, (e, o, toward))
        assert away(direction(rows["seat-eccentricity"]), toward) <= SHOWN, (e, o, toward)
    worst.note("turns made of two harmonics", tried)


# Constructed sets, in micrometres. R1 was worked with numpy and scipy; R3 is made of its harmonics.
R1 = np.array([10, 13, 14, 12, 8, 4, 0, -1, 1, 3, 5, 8]) / 1000
TURN = np.radians(np.arange(24) * 15)
R3 = (
    10 * np.cos(TURN - np.radians(30)) + 3 * np.cos(2 * TURN + np.radians(45)) + 1.5 * np.cos(3 * TURN)
) / 1000

CONSTRUCTED = {
    "R1": (
        R1,
        42.323612,
        {
            "eccentricity": 6.89531463,
            "ovality": 2 * 1.20185043,
            "runout": 15,
            "roundness-least-squares": 2.74081062,
            "roundness-minimum-zone": 2.55513627,
        },
    ),
    "R3": (
        R3,
        30,
        {
            "eccentricity": 10,
            "ovality": 2 * 3,
            # The third harmonic alone is left, and its crests and troughs fall on readings.
            "chatter": 2 * 1.5,
            "runout": 23.05803152,
            "roundness-least-squares": 8.35621513,
            "roundness-minimum-zone": 7.14360467,
        },
    ),
}


@pytest.mark.parametrize("readings, toward, micrometres", CONSTRUCTED.values(), ids=CONSTRUCTED)
@pytest.mark.parametrize("given_angles", [False, True], ids=["equal", "as angles"])
def test_constructed_turns_have_their_known_parts(shop, readings, toward, micrometres, given_angles):
    angles = np.arange(len(readings)) * 360 / len(readings) if given_angles else None
    turn = dial(np.round(readings, 13), angles=angles)
    (rows,) = judge_all(shop, [on_seat(turn) | on_face(turn)], PROFILE)
    for name in SEAT + FACE:
        where, _, part = name.partition("-")
        if part in micrometres:
            expected = micrometres[part] / 1000
            assert rows[name]["measured"] == pytest.approx(expected, abs=TOLERANCE), name
    for where in ("seat", "face"):
        assert away(direction(rows[f"{where}-eccentricity"]), toward) <= SHOWN


def test_the_other_sense_and_another_zero_turn_the_direction_and_nothing_else(shop):
    """R1 from another zero is turned by as much; read the other way round it is mirrored."""
    angles = np.arange(12) * 30.0
    turns = {42.323612: angles, 42.323612 + 100: angles + 100 - 360, -42.323612: -angles}
    # What a dial shows at its zero is no part of a turn, and keeps the three from being the same readings.
    zeros = (0, 0.1, 0.2)
    blocks = [
        on_seat(dial(np.round(R1 + zero, 6), angles=turned)) for zero, turned in zip(zeros, turns.values())
    ]
    for toward, rows in zip(turns, judge_all(shop, blocks, PROFILE), strict=True):
        assert away(direction(rows["seat-eccentricity"]), toward) <= SHOWN
        assert rows["seat-eccentricity"]["measured"] == pytest.approx(0.00689531463, abs=TOLERANCE)
        assert rows["seat-ovality"]["measured"] == pytest.approx(2 * 0.00120185043, abs=TOLERANCE)


def test_a_turn_without_eccentricity_points_nowhere(shop):
    oval = [0.01, 0, -0.01, 0] * 3
    for readings in ([0.25] * 8, oval):
        (rows,) = judge_all(shop, [on_seat(dial(readings))], PROFILE)
        assert rows["seat-eccentricity"]["measured"] == 0
        assert "place" not in rows["seat-eccentricity"]


def test_roundness_in_the_minimum_zone_is_the_least_of_all(shop):
    """Never more than the least-squares one nor than the readings' own range (by definition)."""
    random = np.random.default_rng(12)
    tried, blocks, ranges = count(80, 1000), [], []
    for number in range(tried):
        size = int(random.integers(4, 25))
        # Few different readings: many limaçons are equally good.
        readings = (
            random.integers(0, 4, size) * 0.01 if number % 2 else np.round(random.normal(0, 0.01, size), 3)
        )
        ranges.append(np.ptp(readings))
        blocks.append(on_seat(dial(readings)))
    for width, rows in zip(ranges, judge_all(shop, blocks, PROFILE), strict=True):
        least = rows["seat-roundness-minimum-zone"]["measured"]
        assert least <= rows["seat-roundness-least-squares"]["measured"] + TOLERANCE
        assert least <= width + TOLERANCE
    reached("least zones that were no wider than any other", tried)


def test_a_dial_that_stood_aslant_without_a_measured_angle_takes_that_of_the_profile(shop):
    angles = [limit(name, lower=29, nominal=30, upper=31) for name in ("seat-angle", "face-angle")]
    profile = small_profile(*angles, also_report=SEAT + FACE)
    turns = [dial(np.round(R1 + number, 6), stood) for number, stood in enumerate(FACTORS)]
    blocks = [{"seat": {"runout": turn}, "valve": {"face_runout": turn}} for turn in turns]
    for stood, rows in zip(FACTORS, judge_all(shop, blocks, profile), strict=True):
        for name in ("seat-eccentricity", "face-eccentricity"):
            expected = 0.00689531463 * FACTORS[stood](30)
            assert rows[name]["measured"] == pytest.approx(expected, abs=TOLERANCE)


def test_turns_read_in_inches_agree_with_lstsq(shop):
    random = np.random.default_rng(254)
    turns = [np.round(random.normal(0, 0.001, 8), 5) for _ in range(count(20, 80))]
    blocks = [on_seat(dial(readings)) for readings in turns]
    worst = Worst()
    for readings, rows in zip(turns, judge_all(shop, blocks, PROFILE, INCH), strict=True):
        expected = expected_of(readings * 25.4, np.arange(8) * 45, with_ovality=True)
        compare(worst, rows, "seat", expected, 1.0, readings)
    worst.note("turns read in inches", len(turns))


def test_a_published_runout_limit_is_kept_and_broken_at_its_number(shop):
    """US Army TM 9-2815-237-34, tables 2-2 and 2-3: seat runout .002 in; TM 10-3930-671-24: face runout .002 in."""
    profile = small_profile(limit("seat-runout", upper=0.002), limit("face-runout", upper=0.002), units=INCH)
    for greatest, verdict in ((0.002, "conforms"), (0.0021, "does-not-conform")):
        turn = dial([0, 0.0005, greatest, 0.0005, 0, 0.0005, 0.001, 0.0005])
        document = small_set(INCH, intake=on_seat(turn) | on_face(turn))
        evaluation = shop.evaluate({"measurement_set": document, "profile": profile})
        for name in ("seat-runout", "face-runout"):
            assert row(evaluation, name, "intake")["verdict"] == verdict, greatest
