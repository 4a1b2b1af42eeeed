"""Seat inserts: interference against published fits, shrinking in against thermal figures, and the pressure
that holds an insert against the differential equation of a ring, solved by scipy.

Expansions and moduli: Callister, Materials Science and Engineering, tables B.6 and B.2. Poisson's ratios from
memory.
"""

from decimal import Decimal

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from harness.counts import count, reached
from harness.documents import INCH, METRIC, limit, put, small_profile
from harness.large_heads import MOST_PORTS, large_set, rows_by_port

# Linear expansion per kelvin.
EXPANSION = {"steel": 11.7e-6, "iron": 11.4e-6, "beryllium-copper": 16.7e-6}
HEAD_EXPANSION = {"cast-iron": 11.4e-6, "aluminium": 21.5e-6}
# Young's modulus in N/mm2, of irons the middle of the grades in question, and Poisson's ratio.
ELASTIC = {"steel": (207e3, 0.29), "iron": ((90e3 + 138e3) / 2, 0.26)}
HEAD_ELASTIC = {"cast-iron": ((66e3 + 138e3) / 2, 0.26), "aluminium": (72.4e3, 0.33)}

NAMES = ("insert-interference", "insert-chill", "insert-head-warming", "insert-pressure")


def judged(shop, seats: list[dict], *limits: dict, material: str = "cast-iron", units=METRIC) -> list[dict]:
    """The rows of each of these seats by characteristic, under these limits or such as hold nothing."""
    limits = limits or [limit(name, lower=-999_999, upper=999_999) for name in NAMES]
    profile, found = small_profile(*limits, units=units), []
    for start in range(0, len(seats), MOST_PORTS):
        some = [{"seat": seat} for seat in seats[start : start + MOST_PORTS]]
        document = put(large_set(some, units), "/head/material", material)
        evaluation = shop.evaluate({"measurement_set": document, "profile": profile})
        found += rows_by_port(evaluation)[: len(some)]
    return found


def insert(diameter, counterbore, material: str | None = "steel", wall=None, **seat) -> dict:
    block = {"diameter": float(diameter), "counterbore_diameter": float(counterbore)}
    block |= {} if material is None else {"material": material}
    block |= {} if wall is None else {"wall_left": float(wall)}
    return {"insert": block, **seat}


# US Army TM 5-6115-400-35, table 2.1, in inches: insert least and greatest, counterbore least and greatest, and
# the interference that is printed.
PUBLISHED = {
    "intake": ("1.6445", "1.6455", "1.6415", "1.6425", "0.0020", "0.0040"),
    "exhaust": ("1.6105", "1.6110", "1.6075", "1.6085", "0.0020", "0.0035"),
}


@pytest.mark.parametrize(
    "least, greatest, narrow, wide, printed_least, printed_greatest", PUBLISHED.values(), ids=PUBLISHED
)
def test_published_fits_have_their_printed_interference_and_conform_to_it_exactly(
    shop, least, greatest, narrow, wide, printed_least, printed_greatest
):
    fit = limit("insert-interference", lower=float(printed_least), upper=float(printed_greatest))
    step = Decimal("0.0001")
    cases = [
        (Decimal(least), Decimal(wide), "conforms"),
        (Decimal(greatest), Decimal(narrow), "conforms"),
        (Decimal(least), Decimal(wide) + step, "does-not-conform"),
        (Decimal(greatest) + step, Decimal(narrow), "does-not-conform"),
    ]
    seats = [insert(diameter, bore) for diameter, bore, _ in cases]
    for (diameter, bore, verdict), rows in zip(cases, judged(shop, seats, fit, units=INCH), strict=True):
        found = rows["insert-interference"]
        assert found["measured"] == float((diameter - bore) * Decimal("25.4"))
        assert found["verdict"] == verdict, (diameter, bore)
    inches = judged(shop, seats[:2], fit, units=INCH)
    printed = [float(Decimal(printed) * Decimal("25.4")) for printed in (printed_least, printed_greatest)]
    assert [rows["insert-interference"]["measured"] for rows in inches] == printed


# ISO 286-2 as a public package has it (pressfit 0.1.0), in um: sizes over and up to, H7 of the counterbore, the
# zone of the insert, and what interference they leave. A size on the edge belongs to the band below.
ISO_FITS = {
    "30-50 H7/p6": ((30, 50), (0, 25), (26, 42), (1, 42)),
    "30-50 H7/s6": ((30, 50), (0, 25), (43, 59), (18, 59)),
    "50-65 H7/p6": ((50, 65), (0, 30), (32, 51), (2, 51)),
    "50-65 H7/s6": ((50, 65), (0, 30), (53, 72), (23, 72)),
    "65-80 H7/p6": ((65, 80), (0, 30), (32, 51), (2, 51)),
    "65-80 H7/s6": ((65, 80), (0, 30), (59, 78), (29, 78)),
}


@pytest.mark.parametrize("band, bore, outside, interference", ISO_FITS.values(), ids=ISO_FITS)
def test_iso_fits_leave_their_tabled_interference(shop, band, bore, outside, interference):
    random = np.random.default_rng(286)
    micrometre = Decimal("0.001")
    cases = []
    for number in range(80):
        nominal = Decimal(
            band[1] * 1000 if number < 4 else int(random.integers(band[0] * 1000 + 1, band[1] * 1000))
        )
        # The four corners of both zones first.
        deviations = (bore[number % 2], outside[number // 2 % 2])
        if number >= 4:
            deviations = (
                int(random.integers(bore[0], bore[1] + 1)),
                int(random.integers(outside[0], outside[1] + 1)),
            )
        cases.append(((nominal + deviations[1]) * micrometre, (nominal + deviations[0]) * micrometre))
    fit = limit("insert-interference", lower=interference[0] / 1000, upper=interference[1] / 1000)
    found = [rows["insert-interference"] for rows in judged(shop, [insert(*case) for case in cases], fit)]
    for (diameter, counterbore), row in zip(cases, found, strict=True):
        assert row["measured"] == float(diameter - counterbore)
        assert row["verdict"] == "conforms"
    extremes = {row["measured"] for row in found}
    assert (min(extremes), max(extremes)) == tuple(micrometres / 1000 for micrometres in interference)


# Diameter, interference in mm, material, and the difference in temperature in K, worked in numpy.
CHILLS = [
    (40, 0.10, "steel", 213.675),
    (40, 0.10, "iron", 219.298),
    # From 20 to -79 C a steel insert of 40 mm loses .046332 mm, to -196 C .101088 mm.
    (40, 0.046332, "steel", 99),
    (40, 0.101088, "steel", 216),
]
WARMINGS = [
    (40, 0.10, "aluminium", 116.279),
    (40, 0.10, "cast-iron", 219.298),
    # What dry ice leaves of .12 mm, for an aluminium head.
    (40, 0.018912, "aluminium", 21.99070),
]


def test_worked_temperatures_to_slip_an_insert_in(shop):
    seats = [insert(d, round(d - i, 6), material) for d, i, material, _ in CHILLS]
    for (*_, expected), rows in zip(CHILLS, judged(shop, seats), strict=True):
        assert rows["insert-chill"]["measured"] == pytest.approx(expected, abs=6e-4)
        assert rows["insert-chill"]["unit"] == "K"
    for bore, interference, material, expected in WARMINGS:
        found = judged(shop, [insert(round(bore + interference, 6), bore)], material=material)[0]
        assert found["insert-head-warming"]["measured"] == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize("material", HEAD_EXPANSION)
def test_chilled_or_warmed_by_so_much_random_inserts_just_fit(shop, material):
    """Each part grown with its own expansion: then both have one diameter. Loose inserts need less than nothing."""
    random = np.random.default_rng(1020)
    cases = []
    for number in range(count(80, 1000)):
        bore = round(random.uniform(20, 70), 3)
        diameter = round(bore + random.uniform(-0.02, 0.15), 3)
        cases.append((diameter, bore, list(EXPANSION)[number % 3]))
    worst = {"insert-chill": 0.0, "insert-head-warming": 0.0}
    found = judged(shop, [insert(*case) for case in cases], material=material)
    for (diameter, bore, of), rows in zip(cases, found, strict=True):
        chill, warming = (rows[name]["measured"] for name in worst)
        # Temperatures are stated on a grid of 1e-6 K.
        assert diameter * (1 - EXPANSION[of] * chill) == pytest.approx(bore, abs=1e-9)
        assert bore * (1 + HEAD_EXPANSION[material] * warming) == pytest.approx(diameter, abs=1e-9)
        per_kelvin = (EXPANSION[of] * diameter, HEAD_EXPANSION[material] * bore)
        for name, kelvin, growth in zip(worst, (chill, warming), per_kelvin):
            expected = (diameter - bore) / growth
            assert kelvin == pytest.approx(expected, abs=0.6e-6)
            worst[name] = max(worst[name], abs(kelvin - expected) / max(abs(expected), 1))
    for name, difference in worst.items():
        reached(f"{name}, {material}", f"{len(cases)}, greatest relative difference {difference:.1e}")


def by_differential_equation(inner, interface, outer, interference, ring, around) -> float:
    """N/mm2: u'' + u'/r - u/r2 = 0 in two rings that are free at either end; where they meet they have one stress,
    and the displacement jumps by half the interference. Both are mapped on 0 to 1.

    Plane stress: sigma = E / (1 - nu^2) (u' + nu u / r)."""
    (ri, rm, ro), half = np.array([inner, interface, outer]) / 2, interference / 2
    spans, starts = np.array([rm - ri, ro - rm]), np.array([ri, rm])

    def stress(u, slope, r, material):
        modulus, poisson = material
        return modulus / (1 - poisson**2) * (slope + poisson * u / r)

    # Displacements in units of the jump, so that the solver's tolerance means the same for every fit.
    def equation(s, y):
        rows = []
        for span, start, u, slope in zip(spans, starts, y[::2], y[1::2]):
            r = start + span * s
            rows += [slope * span, (u / r**2 - slope / r) * span]
        return np.vstack(rows)

    def ends(at_0, at_1):
        scale = ring[0]
        return np.array(
            [
                stress(at_0[0], at_0[1], ri, ring) / scale,
                stress(at_1[2], at_1[3], ro, around) / scale,
                (stress(at_1[0], at_1[1], rm, ring) - stress(at_0[2], at_0[3], rm, around)) / scale,
                at_0[2] - at_1[0] - 1,
            ]
        )

    solved = solve_bvp(equation, ends, np.linspace(0, 1, 11), np.zeros((4, 11)), tol=1e-9, max_nodes=20_000)
    assert solved.success, solved.message
    at_1 = solved.sol(1.0)
    return -stress(at_1[0], at_1[1], rm, ring) * half


def by_lame(inner, interface, outer, interference, ring, around) -> float:
    """N/mm2, in closed form."""
    ri, rm, ro = inner / 2, interface / 2, outer / 2
    head = ((ro**2 + rm**2) / (ro**2 - rm**2) + around[1]) / around[0]
    own = ((rm**2 + ri**2) / (rm**2 - ri**2) - ring[1]) / ring[0]
    return interference / 2 / (rm * (head + own))


def test_the_differential_equation_gives_a_worked_pressure():
    """A check of the check: 40 mm, bore 32, ring 70, .10 mm, steel in three metals, worked in numpy."""
    steel = (207e3, 0.292)
    for around, expected in (
        (steel, 79.30727554),
        ((100e3, 0.211), 58.95690180),
        ((72.4e3, 0.33), 47.74577214),
    ):
        case = (32, 40, 70, 0.10, steel, around)
        assert by_lame(*case) == pytest.approx(expected, abs=1e-7)
        assert by_differential_equation(*case) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("material", HEAD_ELASTIC)
@pytest.mark.parametrize("of", ELASTIC)
def test_random_inserts_are_held_by_the_pressure_of_the_differential_equation(shop, of, material):
    random = np.random.default_rng(1833)
    cases = []
    for _ in range(count(40, 320)):
        bore = round(random.uniform(24, 60), 3)
        throat, wall = round(bore - random.uniform(4, 12), 2), round(random.uniform(2, 15), 2)
        cases.append((round(bore + random.uniform(0.01, 0.15), 3), bore, throat, wall))
    worst = 0.0
    seats = [insert(d, bore, of, wall, throat_diameter=throat) for d, bore, throat, wall in cases]
    found = judged(shop, seats, material=material)
    for (d, bore, throat, wall), rows in zip(cases, found, strict=True):
        rings = (throat, bore, bore + 2 * wall, d - bore, ELASTIC[of], HEAD_ELASTIC[material])
        expected = by_differential_equation(*rings) * 1000
        pressure = rows["insert-pressure"]
        assert pressure["unit"] == "kPa"
        assert pressure["measured"] == pytest.approx(expected, rel=1e-9), (d, bore, throat, wall)
        worst = max(worst, abs(pressure["measured"] / expected - 1))
    reached(
        f"pressures against solve_bvp, {of} in {material}",
        f"{len(cases)}, greatest relative difference {worst:.1e}",
    )


def test_what_is_not_known_of_an_insert_is_not_made_up(shop):
    whole = insert(40.08, 40, "steel", 15, throat_diameter=32)
    without = {
        "no insert": {"throat_diameter": 32},
        "no material": insert(40.08, 40, None, 15, throat_diameter=32),
        "hard alloy": insert(40.08, 40, "hard-alloy", 15, throat_diameter=32),
        "beryllium copper": insert(40.08, 40, "beryllium-copper", 15, throat_diameter=32),
        "no throat": insert(40.08, 40, "steel", 15),
        "no wall": insert(40.08, 40, "steel", throat_diameter=32),
        "no counterbore": {"insert": {"material": "steel", "diameter": 40.08}, "throat_diameter": 32},
        "no metal around": insert(40.08, 40, "steel", 0, throat_diameter=32),
        "no metal inside": insert(40.08, 40, "steel", 15, throat_diameter=40),
        "loose": insert(39.99, 40, "steel", 15, throat_diameter=32),
    }
    missing, impossible = "reading-missing", "not-computable"
    expected = {
        "no insert": dict.fromkeys(NAMES, missing),
        "no material": {"insert-chill": missing, "insert-pressure": missing},
        "hard alloy": {"insert-chill": impossible, "insert-pressure": impossible},
        "beryllium copper": {"insert-pressure": impossible},
        "no throat": {"insert-pressure": missing},
        "no wall": {"insert-pressure": missing},
        "no counterbore": dict.fromkeys(NAMES, missing),
        "no metal around": {"insert-pressure": impossible},
        "no metal inside": {"insert-pressure": impossible},
        # What does not touch is not pressed.
        "loose": {},
    }
    found = judged(shop, [whole, *without.values()])
    assert all("measured" in found[0][name] for name in NAMES)
    for what, rows in zip(without, found[1:], strict=True):
        for name in NAMES:
            reason = expected[what].get(name)
            assert ("measured" in rows[name]) == (reason is None), (what, name)
            if reason is not None:
                assert (rows[name]["verdict"], rows[name]["reason"]) == ("not-measured", reason), (what, name)
    assert found[-1]["insert-pressure"]["measured"] == 0


def test_inserts_in_inches_are_held_as_those_in_millimetres(shop):
    inches = insert(1.6455, 1.6415, "iron", 0.5, throat_diameter=1.3)
    millimetres = insert(41.7957, 41.6941, "iron", 12.7, throat_diameter=33.02)
    in_inches, in_millimetres = judged(shop, [inches], units=INCH)[0], judged(shop, [millimetres])[0]
    for name in NAMES:
        assert in_inches[name]["measured"] == in_millimetres[name]["measured"], name
