"""Each finding begins where it must: tried from both sides of its threshold.

Thresholds are common practice without a source, unless one is named.
"""

import re

import numpy as np
import pytest

from harness.documents import demo_set, limit, row, small_profile, small_set, take
from harness.findings import FIFTH, FIRST, THIRD, judged, of_code, several


def has(shop, code: str, document: dict) -> bool:
    return bool(of_code(judged(shop, document), code))


def several_at(*changes: tuple[str, object]) -> dict:
    return several(*changes)(demo_set())


def stems(size: float, *places: str) -> list[tuple[str, object]]:
    return [(f"{FIRST}/valve/stem/{place}", size) for place in places or ("top", "middle", "bottom")]


def bores(size: float, *places: str) -> list[tuple[str, object]]:
    return [(f"{FIRST}/guide/bores/{place}", [size, size]) for place in places or ("top", "middle", "bottom")]


def pasted_at(series: str, values: list, other: list | None = None) -> dict:
    return several_at((FIRST + series, values), (THIRD + series, values if other is None else other))


FOUR = [1.51, 1.53, 1.55, 1.53]
DECAY = f"{FIRST}/leak/decay"
# The first port has a vacuum of 59.8 kPa: 41.525 kPa absolute. A kelvin at 20 C is 0.14165 kPa.
TIGHT = [(f"{DECAY}/start", 59.8), (f"{DECAY}/end", 58.3835), (f"{DECAY}/start_temperature", 20)]

# Code, what is posted, whether it is found.
THRESHOLDS = {
    "no clearance": ("negative-clearance", several_at(*bores(7.968), *stems(7.968)), False),
    "a little less": (
        "negative-clearance",
        several_at(*bores(7.968), *stems(7.968, "top"), *stems(7.9681, "middle", "bottom")),
        True,
    ),
    "one of six is tight": ("bore-and-stem-swapped", several_at((f"{FIRST}/guide/bores/top/0", 7.9)), False),
    "five of six are tight": (
        "bore-and-stem-swapped",
        several_at(*bores(7.9), (f"{FIRST}/guide/bores/top/0", 8.01)),
        False,
    ),
    "all by half a millimetre": ("bore-and-stem-swapped", several_at(*bores(7.5), *stems(8)), True),
    "all by more": ("bore-and-stem-swapped", several_at(*bores(7.499), *stems(8)), False),
    "all by more are tight": ("negative-clearance", several_at(*bores(7.499), *stems(8)), True),
    "a single pair": (
        "bore-and-stem-swapped",
        several_at((f"{FIRST}/guide/bores", {"top": [7.9]})),
        False,
    ),
    "a single tight pair": ("negative-clearance", several_at((f"{FIRST}/guide/bores", {"top": [7.9]})), True),
    "equal diameters": (
        "seat-diameters-crossed",
        several_at((f"{FIRST}/seat/outer_diameter", 33), (f"{FIRST}/seat/inner_diameter", 33)),
        True,
    ),
    "a hair apart": (
        "seat-diameters-crossed",
        several_at((f"{FIRST}/seat/outer_diameter", 33.001), (f"{FIRST}/seat/inner_diameter", 33)),
        False,
    ),
    "a band at the very edge": (
        "contact-outside-face",
        several_at((f"{FIRST}/contact/marks/0/from_edge", 0)),
        False,
    ),
    # (36 - 32.4) / 2 / cos 45 degrees = 2.545584 mm.
    "a band to the inner edge": (
        "contact-outside-face",
        several_at(
            (f"{FIRST}/valve/face_angle", 45),
            (f"{FIRST}/valve/face_inner_diameter", 32.4),
            (f"{FIRST}/contact/marks/0", {"from_edge": 1, "width": 1.54558}),
        ),
        False,
    ),
    "a band beyond the inner edge": (
        "contact-outside-face",
        several_at(
            (f"{FIRST}/valve/face_angle", 45),
            (f"{FIRST}/valve/face_inner_diameter", 32.4),
            (f"{FIRST}/contact/marks/0", {"from_edge": 1, "width": 1.5456}),
        ),
        True,
    ),
    "a seat as large as its valve": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/seat/outer_diameter", 36.0)), f"{FIRST}/contact"),
        False,
    ),
    "a larger seat whose band was read": (
        "contact-outside-face",
        several_at((f"{FIRST}/seat/outer_diameter", 36.01)),
        False,
    ),
    "nothing lost": ("decay-rose", several_at((f"{DECAY}/end", 59.8)), False),
    "a little gained": ("decay-rose", several_at((f"{DECAY}/end", 59.81)), True),
    "on its last day": (
        "calibration-overdue",
        several_at(("/instruments/2/calibration_due", "2026-03-20")),
        False,
    ),
    "without a date": ("calibration-overdue", take(demo_set(), "/instruments/2/calibration_due"), False),
    # JCGM 100:2008, F.2.2.1 (from memory): 2 steps / sqrt 12 with k = 2, of 0.001 mm 0.00057735.
    "just not better than its scale": (
        "uncertainty-below-resolution",
        several_at(("/instruments/1/expanded_uncertainty", 0.0005774)),
        False,
    ),
    "just better than its scale": (
        "uncertainty-below-resolution",
        several_at(("/instruments/1/expanded_uncertainty", 0.0005773)),
        True,
    ),
    "no scale": (
        "uncertainty-below-resolution",
        take(several_at(("/instruments/1/expanded_uncertainty", 0)), "/instruments/1/resolution"),
        False,
    ),
    "the same series in another order": (
        "readings-pasted",
        pasted_at("/seat/widths", FOUR, FOUR[::-1]),
        False,
    ),
    "a hundredth apart": ("readings-pasted", pasted_at("/seat/widths", FOUR, [1.52, *FOUR[1:]]), False),
    "three readings": ("readings-pasted", pasted_at("/seat/widths", FOUR[:3]), False),
    "two different values": ("readings-pasted", pasted_at("/seat/widths", [1.53, 1.55, 1.53, 1.55]), False),
    "three different values": ("readings-pasted", pasted_at("/seat/widths", FOUR), True),
    "the same numbers written otherwise": (
        "readings-pasted",
        pasted_at("/seat/widths", FOUR, [{"value": 1.51}, 1.53, {"repeats": [1.54, 1.56]}, 1.53]),
        True,
    ),
    "one port's widths as another's readings": (
        "readings-pasted",
        several_at(
            (f"{FIRST}/seat/runout/readings", [0, 0.01, 0.02, 0.01]),
            (f"{THIRD}/valve/face_runout/readings", [0, 0.01, 0.02, 0.01]),
        ),
        False,
    ),
    "a tag of its own": ("valve-tag-repeated", take(demo_set(), f"{FIFTH}/valve/tag"), False),
    # 11.4e-6 per kelvin: 0.1 mm in a metre after 8.772 K.
    "iron, not warm enough": ("temperature-off", several_at(("/job/temperature", 28.77)), False),
    "iron, warm enough": ("temperature-off", several_at(("/job/temperature", 28.78)), True),
    "iron, not cold enough": ("temperature-off", several_at(("/job/temperature", 11.23)), False),
    "iron, cold enough": ("temperature-off", several_at(("/job/temperature", 11.22)), True),
    # 21.5e-6 per kelvin: after 4.651 K.
    "aluminium, not warm enough": (
        "temperature-off",
        several_at(("/job/temperature", 24.65), ("/head/material", "aluminium")),
        False,
    ),
    "aluminium, warm enough": (
        "temperature-off",
        several_at(("/job/temperature", 24.66), ("/head/material", "aluminium")),
        True,
    ),
    # A tenth of 1.4165 kPa lost is one kelvin.
    "air, not warm enough": (
        "temperature-drift",
        several_at(*TIGHT, (f"{DECAY}/end_temperature", 20.99)),
        False,
    ),
    "air, warm enough": ("temperature-drift", several_at(*TIGHT, (f"{DECAY}/end_temperature", 21.01)), True),
    "air, cold enough": ("temperature-drift", several_at(*TIGHT, (f"{DECAY}/end_temperature", 18.99)), True),
    "air of one temperature only": ("temperature-drift", several_at(*TIGHT), False),
    "air in thin weather": (
        "temperature-drift",
        several_at(*TIGHT, (f"{DECAY}/end_temperature", 21.01), (f"{DECAY}/atmosphere", 95)),
        False,
    ),
}


@pytest.mark.parametrize("code, document, is_found", THRESHOLDS.values(), ids=THRESHOLDS)
def test_each_finding_begins_where_it_must(shop, code, document, is_found):
    assert has(shop, code, document) == is_found


# Mean width of four readings; outer diameter at 45 degrees and inner diameter 32; expanded uncertainties.
CONTRADICTIONS = {
    # Widths from diameters: (Do - Di) / 2 / cos 45 degrees. Of nothing known: a quarter of a millimetre.
    "unknown, just within": (1.55, 1.799, None, False),
    "unknown, just beyond": (1.55, 1.801, None, True),
    "unknown, just within below": (1.55, 1.301, None, False),
    "unknown, just beyond below": (1.55, 1.299, None, True),
    # Well known: a tenth of a millimetre.
    "known, just within": (1.55, 1.649, 0.001, False),
    "known, just beyond": (1.55, 1.651, 0.001, True),
    # Poorly known: three standard uncertainties of the difference.
    "poor, just within": (1.55, None, 0.2, False),
    "poor, just beyond": (1.55, None, 0.2, True),
}


@pytest.mark.parametrize("mean, width, expanded, is_found", CONTRADICTIONS.values(), ids=CONTRADICTIONS)
def test_widths_contradict_diameters_beyond_what_their_uncertainty_explains(
    shop, mean, width, expanded, is_found
):
    """Plane geometry: w = (Do - Di) / (2 cos 45 degrees); first order: u2(w) = 2 (u / (2 cos))2 + u2 / 4."""
    cosine = np.cos(np.radians(45))
    if width is None:
        u = expanded / 2
        spread = np.sqrt(2 * (u / (2 * cosine)) ** 2 + u**2 / 4)
        width = mean + 3 * spread * (1.001 if is_found else 0.999)

    def reading(value: float) -> object:
        return value if expanded is None else {"value": value, "expanded_uncertainty": expanded}

    angle = 45 if expanded is None else {"value": 45, "expanded_uncertainty": 0}
    seat = {
        "seat_angle": angle,
        "widths": [reading(round(mean + step, 3)) for step in (-0.01, 0.01, -0.02, 0.02)],
        "inner_diameter": reading(32),
        "outer_diameter": reading(round(32 + 2 * width * cosine, 6)),
    }
    document = small_set(intake={"seat": seat})
    evaluation = shop.evaluate(
        {"measurement_set": document, "profile": small_profile(limit("seat-width", upper=3))}
    )
    assert bool(of_code(evaluation, "readings-contradict")) == is_found
    judged_width = row(evaluation, "seat-width", "intake")
    assert judged_width["reason"] == ("blocked-by-finding" if is_found else "inside-limits")


@pytest.mark.parametrize("travel, is_found", [(0.0449, True), (0.0451, False), (0.2, False)])
def test_rocking_contradicts_bores_only_when_the_stem_rocks_less_than_they_let_it(shop, travel, is_found):
    """Plane geometry: t / (1 + 2 x / L) = t / 1.5; the bores leave 0.06 mm at the least."""
    guide = {
        "bores": {"top": [8.08], "bottom": [8.06, 8.07]},
        "engaged_length": 40,
        "rocking": {"travel": travel, "distance_outside": 10},
    }
    blocks = {"guide": guide, "valve": {"stem": {"top": 8, "bottom": 8}}}
    profile = small_profile(limit("stem-to-guide-clearance", upper=1))
    evaluation = shop.evaluate({"measurement_set": small_set(intake=blocks), "profile": profile})
    found = of_code(evaluation, "readings-contradict")
    assert [one["severity"] for one in found] == (["warning"] if is_found else [])
    # A warning lets the bores be judged.
    assert row(evaluation, "stem-to-guide-clearance", "intake")["measured"] == 0.08


# Linear expansion per kelvin: Callister, Materials Science and Engineering, table B.6.
IRON, ALUMINIUM, STEEL = 11.4e-6, 21.5e-6, 11.7e-6


@pytest.mark.parametrize("material, expansion", [("cast-iron", IRON), ("aluminium", ALUMINIUM)])
@pytest.mark.parametrize("temperature", [-5, 8.5, 31.4, 42])
def test_the_correction_for_temperature_is_that_of_the_expansion(shop, material, expansion, temperature):
    """A size grows by alpha dT, so what was read is too large by it; a gauge of steel grew as well."""
    document = several_at(("/job/temperature", temperature), ("/head/material", material))
    [finding] = of_code(judged(shop, document), "temperature-off")
    told = [float(number) for number in re.findall(r"([+-]\d+\.\d+) %", finding["text"])]
    growth = np.array([expansion, expansion - STEEL]) * (temperature - 20)
    assert told == pytest.approx(-100 * growth, abs=0.6e-4)
    assert (
        f"{temperature:.1f} °C" in finding["text"] and material.replace("cast-", "cast ") in finding["text"]
    )
