"""Each finding begins where it must: tried from both sides of its threshold.

Thresholds are common practice without a source, unless one is named.
"""

import re

import numpy as np
import pytest

from harness.documents import demo_set, limit, row, small_profile, small_set, take
from harness.findings import FIFTH, FIRST, THIRD, judged, of_code, several


def several_at(*changes: tuple[str, object]) -> dict:
    return several(*changes)(demo_set())


def stems(size: float, *places: str) -> list[tuple[str, object]]:
    return [(f"{FIRST}/valve/stem/{place}", size) for place in places or ("top", "middle", "bottom")]


def bores(size: float, *places: str) -> list[tuple[str, object]]:
    return [(f"{FIRST}/guide/bores/{place}", [size, size]) for place in places or ("top", "middle", "bottom")]


def tight(stem: float) -> dict:
    """Bores of 7.968 mm, a stem that fits at the top and is as thick as this below."""
    return several_at(*bores(7.968), *stems(7.968, "top"), *stems(stem, "middle", "bottom"))


def pasted(*series: list) -> dict:
    """Seat widths of the intake ports."""
    return several_at(*zip([f"{port}/seat/widths" for port in (FIRST, THIRD, FIFTH)], series, strict=False))


# Of four values, and of five.
FIVE = [1.51, 1.53, 1.55, 1.53, 1.54]
SIX = [*FIVE, 1.55]
EIGHT = [*SIX, 1.52, 1.53]
TURN = [0, 0.01, 0.02, 0.015, 0.01, 0.005, 0, -0.005]
DECAY = f"{FIRST}/leak/decay"
# The first port has a vacuum of 59.8 kPa: 41.525 kPa absolute. A kelvin at 20 C is 0.14165 kPa.
TIGHT = [(f"{DECAY}/start", 59.8), (f"{DECAY}/end", 58.3835), (f"{DECAY}/start_temperature", 20)]

# Code, what is posted, how severe the finding is, if any.
THRESHOLDS = {
    "no clearance": ("negative-clearance", several_at(*bores(7.968), *stems(7.968)), None),
    # Gauges of 0.003 mm with k = 2: three standard uncertainties of a difference are 0.006364 mm.
    "hardly less": ("negative-clearance", tight(7.9681), "warning"),
    "less, as chance may have it": ("negative-clearance", tight(7.9743), "warning"),
    "less than chance explains": ("negative-clearance", tight(7.9744), "blocking"),
    "hardly less, by a gauge of which nothing is known": (
        "negative-clearance",
        take(tight(7.9681), f"{FIRST}/guide/instrument"),
        "blocking",
    ),
    "one of six is tight": ("bore-and-stem-swapped", several_at((f"{FIRST}/guide/bores/top/0", 7.9)), None),
    "five of six are tight": (
        "bore-and-stem-swapped",
        several_at(*bores(7.9), (f"{FIRST}/guide/bores/top/0", 8.01)),
        None,
    ),
    "all by half a millimetre": ("bore-and-stem-swapped", several_at(*bores(7.5), *stems(8)), "blocking"),
    "all by more": ("bore-and-stem-swapped", several_at(*bores(7.499), *stems(8)), None),
    "all by more are tight": ("negative-clearance", several_at(*bores(7.499), *stems(8)), "blocking"),
    "a single pair": (
        "bore-and-stem-swapped",
        several_at((f"{FIRST}/guide/bores", {"top": [7.9]})),
        None,
    ),
    "a single tight pair": ("negative-clearance", several_at((f"{FIRST}/guide/bores", {"top": [7.9]})), "blocking"),
    "equal diameters": (
        "seat-diameters-crossed",
        several_at((f"{FIRST}/seat/outer_diameter", 33), (f"{FIRST}/seat/inner_diameter", 33)),
        "blocking",
    ),
    "a hair apart": (
        "seat-diameters-crossed",
        several_at((f"{FIRST}/seat/outer_diameter", 33.001), (f"{FIRST}/seat/inner_diameter", 33)),
        None,
    ),
    "a band at the very edge": (
        "contact-outside-face",
        several_at((f"{FIRST}/contact/marks/0/from_edge", 0)),
        None,
    ),
    # A scale of 0.04 mm with k = 2: three standard uncertainties are 0.06 mm.
    "a band over the edge, as chance may have it": (
        "contact-outside-face",
        several_at((f"{FIRST}/contact/marks/0/from_edge", -0.0599)),
        None,
    ),
    "a band farther over the edge": (
        "contact-outside-face",
        several_at((f"{FIRST}/contact/marks/0/from_edge", -0.0601)),
        "blocking",
    ),
    "a band at the edge by a scale of which nothing is known": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/contact/marks/0/from_edge", 0)), f"{FIRST}/contact/instrument"),
        None,
    ),
    "a band over the edge by a scale of which nothing is known": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/contact/marks/0/from_edge", -0.0001)), f"{FIRST}/contact/instrument"),
        "blocking",
    ),
    # Of the face angle nothing is known: (36 - 32.4) / 2 / cos 45 degrees = 2.545584 mm.
    "a band to the inner edge": (
        "contact-outside-face",
        several_at(
            (f"{FIRST}/valve/face_angle", 45),
            (f"{FIRST}/valve/face_inner_diameter", 32.4),
            (f"{FIRST}/contact/marks/0", {"from_edge": 1, "width": 1.54558}),
        ),
        None,
    ),
    "a band beyond the inner edge": (
        "contact-outside-face",
        several_at(
            (f"{FIRST}/valve/face_angle", 45),
            (f"{FIRST}/valve/face_inner_diameter", 32.4),
            (f"{FIRST}/contact/marks/0", {"from_edge": 1, "width": 1.5456}),
        ),
        "blocking",
    ),
    "a seat as large as its valve": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/seat/outer_diameter", 36.0)), f"{FIRST}/contact"),
        None,
    ),
    "a seat hardly larger than its valve": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/seat/outer_diameter", 36.001)), f"{FIRST}/contact"),
        "warning",
    ),
    "a seat larger by two millimetres": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/seat/outer_diameter", 38)), f"{FIRST}/contact"),
        "warning",
    ),
    "a seat larger by more": (
        "contact-outside-face",
        take(several_at((f"{FIRST}/seat/outer_diameter", 38.001)), f"{FIRST}/contact"),
        "blocking",
    ),
    "a larger seat whose band was read": (
        "contact-outside-face",
        several_at((f"{FIRST}/seat/outer_diameter", 36.01)),
        None,
    ),
    "nothing lost": ("decay-rose", several_at((f"{DECAY}/end", 59.8)), None),
    # A gauge of 0.4 kPa with k = 2: three standard uncertainties of a difference are 0.848528 kPa.
    "gained, as chance may have it": ("decay-rose", several_at((f"{DECAY}/end", 60.648)), None),
    "more gained": ("decay-rose", several_at((f"{DECAY}/end", 60.649)), "blocking"),
    "half a kilopascal gained by a gauge of which nothing is known": (
        "decay-rose",
        take(several_at((f"{DECAY}/end", 60.3)), f"{DECAY}/instrument"),
        None,
    ),
    "more gained by a gauge of which nothing is known": (
        "decay-rose",
        take(several_at((f"{DECAY}/end", 60.301)), f"{DECAY}/instrument"),
        "blocking",
    ),
    # ISO 2533 (from memory): 101.325 kPa; weather moves it by 5 kPa, common practice without a source.
    "as deep as the atmosphere": ("vacuum-too-deep", several_at((f"{DECAY}/start", 106.325)), None),
    "deeper than the atmosphere": ("vacuum-too-deep", several_at((f"{DECAY}/start", 106.326)), "blocking"),
    "deeper at the end": ("vacuum-too-deep", several_at((f"{DECAY}/end", 106.326)), "blocking"),
    "as deep as the thin air of the day": (
        "vacuum-too-deep",
        several_at((f"{DECAY}/start", 95), (f"{DECAY}/atmosphere", 95)),
        None,
    ),
    "deeper than the thin air of the day": (
        "vacuum-too-deep",
        several_at((f"{DECAY}/start", 95.001), (f"{DECAY}/atmosphere", 95)),
        "blocking",
    ),
    "as deep as the thick air of the day": (
        "vacuum-too-deep",
        several_at((f"{DECAY}/start", 107), (f"{DECAY}/atmosphere", 107)),
        None,
    ),
    "a pressure is not a vacuum": (
        "vacuum-too-deep",
        several_at((f"{DECAY}/start", 200), (f"{DECAY}/vacuum", False)),
        None,
    ),
    "on its last day": (
        "calibration-overdue",
        several_at(("/instruments/2/calibration_due", "2026-03-20")),
        None,
    ),
    "without a date": ("calibration-overdue", take(demo_set(), "/instruments/2/calibration_due"), None),
    # JCGM 100:2008, F.2.2.1 (from memory): 2 steps / sqrt 12 with k = 2, of 0.001 mm 0.00057735.
    "just not better than its scale": (
        "uncertainty-below-resolution",
        several_at(("/instruments/1/expanded_uncertainty", 0.0005774)),
        None,
    ),
    "just better than its scale": (
        "uncertainty-below-resolution",
        several_at(("/instruments/1/expanded_uncertainty", 0.0005773)),
        "warning",
    ),
    "no scale": (
        "uncertainty-below-resolution",
        take(several_at(("/instruments/1/expanded_uncertainty", 0)), "/instruments/1/resolution"),
        None,
    ),
    "the same series in another order": ("readings-pasted", pasted(SIX, SIX[::-1]), None),
    "a hundredth apart": ("readings-pasted", pasted(SIX, [1.52, *SIX[1:]]), None),
    "five readings": ("readings-pasted", pasted(FIVE, FIVE), None),
    "three different values": ("readings-pasted", pasted(*[[1.51, 1.53, 1.55] * 2] * 2), None),
    "six readings of four values": ("readings-pasted", pasted(SIX, SIX), "warning"),
    "the same numbers written otherwise": (
        "readings-pasted",
        pasted(SIX, [{"value": 1.51}, 1.53, {"repeats": [1.54, 1.56]}, *SIX[3:]]),
        "warning",
    ),
    "eight readings of five values at two ports": ("readings-pasted", pasted(EIGHT, EIGHT), "warning"),
    "seven readings of five values at three ports": (
        "readings-pasted",
        pasted(EIGHT[:7], EIGHT[:7], EIGHT[:7]),
        "warning",
    ),
    "eight readings of four values at three ports": (
        "readings-pasted",
        pasted(*[[*SIX, 1.51, 1.53]] * 3),
        "warning",
    ),
    "eight readings of five values at three ports": (
        "readings-pasted",
        pasted(EIGHT, EIGHT, EIGHT),
        "blocking",
    ),
    "one port's seat as another's face": (
        "readings-pasted",
        several_at((f"{FIRST}/seat/runout/readings", TURN), (f"{THIRD}/valve/face_runout/readings", TURN)),
        None,
    ),
    "one port's seat as another's": (
        "readings-pasted",
        several_at((f"{FIRST}/seat/runout/readings", TURN), (f"{THIRD}/seat/runout/readings", TURN)),
        "warning",
    ),
    "a tag of its own": ("valve-tag-repeated", take(demo_set(), f"{FIFTH}/valve/tag"), None),
    # 11.4e-6 per kelvin: 0.1 mm in a metre after 8.772 K.
    "iron, not warm enough": ("temperature-off", several_at(("/job/temperature", 28.77)), None),
    "iron, warm enough": ("temperature-off", several_at(("/job/temperature", 28.78)), "warning"),
    "iron, not cold enough": ("temperature-off", several_at(("/job/temperature", 11.23)), None),
    "iron, cold enough": ("temperature-off", several_at(("/job/temperature", 11.22)), "warning"),
    # 21.5e-6 per kelvin: after 4.651 K.
    "aluminium, not warm enough": (
        "temperature-off",
        several_at(("/job/temperature", 24.65), ("/head/material", "aluminium")),
        None,
    ),
    "aluminium, warm enough": (
        "temperature-off",
        several_at(("/job/temperature", 24.66), ("/head/material", "aluminium")),
        "warning",
    ),
    # A tenth of 1.4165 kPa lost is one kelvin.
    "air, not warm enough": (
        "temperature-drift",
        several_at(*TIGHT, (f"{DECAY}/end_temperature", 20.99)),
        None,
    ),
    "air, warm enough": ("temperature-drift", several_at(*TIGHT, (f"{DECAY}/end_temperature", 21.01)), "warning"),
    "air, cold enough": ("temperature-drift", several_at(*TIGHT, (f"{DECAY}/end_temperature", 18.99)), "warning"),
    "air of one temperature only": ("temperature-drift", several_at(*TIGHT), None),
    "air in thin weather": (
        "temperature-drift",
        several_at(*TIGHT, (f"{DECAY}/end_temperature", 21.01), (f"{DECAY}/atmosphere", 95)),
        None,
    ),
}


@pytest.mark.parametrize("code, document, severity", THRESHOLDS.values(), ids=THRESHOLDS)
def test_each_finding_begins_where_it_must(shop, code, document, severity):
    found = [one["severity"] for one in of_code(judged(shop, document), code)]
    assert found == ([] if severity is None else [severity])


# Head and face diameter, band and face angle of the first port, with their standard uncertainties.
OUTER, INNER, FROM_EDGE = 36.0, 32.4, 1.0
MICROMETER, SCALE, PROTRACTOR = 0.0015, 0.02, 0.06
ANGLES = {
    "measured": (44.5, PROTRACTOR),
    # JCGM 100:2008, 4.3.7 (from memory): anywhere from 44 to 45 degrees.
    "as the profile has it": (44.5, 0.5 / np.sqrt(3)),
}


@pytest.mark.parametrize("angle, uncertainty", ANGLES.values(), ids=ANGLES)
@pytest.mark.parametrize("share, is_found", [(0.999, False), (1.001, True)])
def test_a_band_is_over_the_inner_edge_beyond_what_its_uncertainty_explains(
    shop, angle, uncertainty, share, is_found
):
    """Plane geometry: l = (Do - Di) / (2 cos a); first order: u2(l) = 2 (u / (2 cos a))2 + (l tan a u(a))2."""
    cosine, tangent = np.cos(np.radians(angle)), np.tan(np.radians(angle))
    length = (OUTER - INNER) / 2 / cosine
    of_the_face = 2 * (MICROMETER / 2 / cosine) ** 2 + (length * tangent * np.radians(uncertainty)) ** 2
    allowed = 3 * np.sqrt(of_the_face + 2 * SCALE**2)
    width = round(float(length - FROM_EDGE + share * allowed), 6)
    document = several_at(
        (f"{FIRST}/valve/face_inner_diameter", INNER),
        (f"{FIRST}/contact/marks/0", {"from_edge": FROM_EDGE, "width": width}),
    )
    if uncertainty != PROTRACTOR:
        document = take(document, f"{FIRST}/valve/face_angle")
    found = of_code(judged(shop, document), "contact-outside-face")
    assert [one["severity"] for one in found] == (["blocking"] if is_found else [])


# Mean width of four readings; outer diameter at 45 degrees and inner diameter 32; expanded uncertainties.
CONTRADICTIONS = {
    # Widths from diameters: (Do - Di) / 2 / cos 45 degrees. Of nothing known: a quarter of a millimetre.
    "unknown, just within": (1.55, 1.799, None, None),
    "unknown, just beyond": (1.55, 1.801, None, "blocking"),
    "unknown, just within below": (1.55, 1.301, None, None),
    "unknown, just beyond below": (1.55, 1.299, None, "blocking"),
    # Well known: a tenth of a millimetre; unusable beyond a quarter.
    "known, just within": (1.55, 1.649, 0.001, None),
    "known, just beyond": (1.55, 1.651, 0.001, "warning"),
    "known, just within below": (1.55, 1.451, 0.001, None),
    "known, just beyond below": (1.55, 1.449, 0.001, "warning"),
    "known, nearly a quarter": (1.55, 1.799, 0.001, "warning"),
    "known, more than a quarter": (1.55, 1.801, 0.001, "blocking"),
    # Known so far: three standard uncertainties of the difference, 0.17 mm.
    "fair, just within": (1.55, None, 0.1, None),
    "fair, just beyond": (1.55, None, 0.1, "warning"),
    # Poorly known: three standard uncertainties, more than a quarter.
    "poor, just within": (1.55, None, 0.2, None),
    "poor, just beyond": (1.55, None, 0.2, "blocking"),
}


@pytest.mark.parametrize("mean, width, expanded, severity", CONTRADICTIONS.values(), ids=CONTRADICTIONS)
def test_widths_contradict_diameters_beyond_what_their_uncertainty_explains(
    shop, mean, width, expanded, severity
):
    """Plane geometry: w = (Do - Di) / (2 cos 45 degrees); first order: u2(w) = 2 (u / (2 cos))2 + u2 / 4."""
    cosine = np.cos(np.radians(45))
    if width is None:
        u = expanded / 2
        spread = np.sqrt(2 * (u / (2 * cosine)) ** 2 + u**2 / 4)
        width = mean + 3 * spread * (0.999 if severity is None else 1.001)

    angle = 45 if expanded is None else {"value": 45, "expanded_uncertainty": 0}
    seat = {
        "seat_angle": angle,
        "widths": [known(round(mean + step, 3), expanded) for step in (-0.01, 0.01, -0.02, 0.02)],
        "inner_diameter": known(32, expanded),
        "outer_diameter": known(round(32 + 2 * width * cosine, 6), expanded),
    }
    document = small_set(intake={"seat": seat})
    evaluation = shop.evaluate(
        {"measurement_set": document, "profile": small_profile(limit("seat-width", upper=3))}
    )
    found = of_code(evaluation, "readings-contradict")
    assert [one["severity"] for one in found] == ([] if severity is None else [severity])
    judged_width = row(evaluation, "seat-width", "intake")
    assert judged_width["reason"] == ("blocked-by-finding" if severity == "blocking" else "inside-limits")


def known(value: float, expanded: float | None) -> object:
    return value if expanded is None else {"value": value, "expanded_uncertainty": expanded}


# Travel, expanded uncertainties.
ROCKING = {
    # Of nothing known: 0.03 mm of clearance.
    "unknown, just beyond": (0.0449, None, True),
    "unknown, just within": (0.0451, None, False),
    "unknown, much more": (0.2, None, False),
    # Well known: 0.01 mm.
    "known, just beyond": (0.0749, 0.0001, True),
    "known, just within": (0.0751, 0.0001, False),
    "known, much more": (0.2, 0.0001, False),
    # Less well known: three standard uncertainties of the difference.
    "fair, just beyond": (None, 0.01, True),
    "fair, just within": (None, 0.01, False),
}


@pytest.mark.parametrize("travel, expanded, is_found", ROCKING.values(), ids=ROCKING)
def test_rocking_contradicts_bores_only_when_the_stem_rocks_less_than_they_let_it(
    shop, travel, expanded, is_found
):
    """Plane geometry: t / (1 + 2 x / L) = t / 1.5; the bores leave 0.06 mm at the least.

    First order, x and L taken as exact: u2 = 2 u2 + (u / 1.5)2.
    """
    if travel is None:
        allowed = 3 * expanded / 2 * np.sqrt(2 + 1 / 1.5**2)
        travel = round(float(1.5 * (0.06 - allowed * (1.001 if is_found else 0.999))), 6)
    exact = None if expanded is None else 0
    guide = {
        "bores": {"top": [known(8.08, expanded)], "bottom": [known(8.06, expanded), known(8.07, expanded)]},
        "engaged_length": known(40, exact),
        "rocking": {"travel": known(travel, expanded), "distance_outside": known(10, exact)},
    }
    stem = {place: known(8, expanded) for place in ("top", "bottom")}
    blocks = {"guide": guide, "valve": {"stem": stem}}
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
