"""Spring loads against numpy.interp and published springs."""

import numpy as np
import pytest

from harness.counts import count, reached
from harness.documents import INCH, limit, row, small_profile, small_set

LIMITS = [
    limit("seat-load", upper=100000),
    limit("open-load", upper=100000),
    limit("coil-bind-margin", lower=-100),
]
POUND = 4.4482216152605


def loads(shop, installed, lift, points, units=None, **spring) -> dict[str, dict]:
    """The spring rows of a valve with one spring."""
    units = units or small_set()["units"]
    points = [{"height": height, "load": load} for height, load in points]
    pack = {"installed_height": installed, "lift": lift, "springs": [{"loads": points, **spring}]}
    document = small_set(units, intake={"spring_pack": pack})
    profile = small_profile(*LIMITS)
    evaluation = shop.evaluate({"measurement_set": document, "profile": profile})
    return {name: row(evaluation, name, "intake") for name in ("seat-load", "open-load", "coil-bind-margin")}


def test_a_published_spring_has_its_published_loads(shop):
    """US Army TM 9-2815-237-34, tables 2-2 and 2-3: 80 lb at 1.8 in, 230 lb at 1.39 in."""
    found = loads(shop, 1.8, 0.41, [(1.39, 230), (1.8, 80)], INCH)
    assert found["seat-load"]["measured"] == pytest.approx(80 * POUND, abs=1e-7)
    assert found["open-load"]["measured"] == pytest.approx(230 * POUND, abs=1e-7)
    # The manual prints 356 N and 1023 N.
    assert round(found["seat-load"]["measured"]) == 356
    assert round(found["open-load"]["measured"]) == 1023


@pytest.mark.parametrize("installed, lift", [(1.78, 0.3), (1.75, 0.36), (1.7, 0.1), (1.6, 0.2)])
def test_between_the_published_loads_the_line_is_that_of_numpy(shop, installed, lift):
    """The same spring at other heights."""
    found = loads(shop, installed, lift, [(1.39, 230), (1.8, 80)], INCH)
    closed, opened = np.interp([installed, installed - lift], [1.39, 1.8], [230, 80]) * POUND
    assert found["seat-load"]["measured"] == pytest.approx(closed, abs=1e-7)
    assert found["open-load"]["measured"] == pytest.approx(opened, abs=1e-7)


def test_random_springs_agree_with_numpy(shop):
    random = np.random.default_rng(13906)
    tried, worst = count(60, 2000), 0.0
    for _ in range(tried):
        size = int(random.integers(2, 9))
        heights = np.sort(random.choice(np.arange(280, 480), size, replace=False) / 10)
        newtons = np.sort(np.round(random.uniform(100, 1200, size), 1))[::-1]
        installed = round(random.uniform(heights[0], heights[-1]), 2)
        lift = round(random.uniform(0.01, max(installed - heights[0], 0.011)), 2)
        if installed - lift < heights[0]:
            continue
        order = random.permutation(size)
        found = loads(shop, installed, lift, list(zip(heights[order].tolist(), newtons[order].tolist())))
        expected = np.interp([installed, installed - lift], heights, newtons)
        for name, load in zip(("seat-load", "open-load"), expected):
            worst = max(worst, abs(found[name]["measured"] - load))
            assert found[name]["measured"] == pytest.approx(load, abs=1e-7), (
                heights,
                newtons,
                installed,
                lift,
            )
    reached("spring loads against numpy.interp", f"{tried}, greatest difference {worst:.1e} N")


def test_far_outside_the_readings_no_load_is_made_up(shop):
    found = loads(shop, 41.5, 10, [(30, 900), (40, 400)])
    assert (found["seat-load"]["verdict"], found["seat-load"]["reason"]) == ("not-measured", "not-computable")
    assert found["open-load"]["measured"] == pytest.approx(np.interp(31.5, [30, 40], [900, 400]))


def test_nested_springs_add_their_loads_each_at_its_own_height(shop):
    """US Army TM 9-2815-220-24: outer 85.4 lb at 2.26 in, 134.2 at 1.56; inner 26.2 at 2.07, 43.9 at 1.30."""
    outer = {"loads": [{"height": 2.26, "load": 85.4}, {"height": 1.56, "load": 134.2}], "solid_height": 1.47}
    inner = {"loads": [{"height": 2.07, "load": 26.2}, {"height": 1.30, "load": 43.9}], "solid_height": 1.28}
    pack = {"installed_height": 2.2, "lift": 0.5, "springs": [outer, inner | {"seat_step": 0.19}]}
    document = small_set(INCH, intake={"spring_pack": pack})
    evaluation = shop.evaluate({"measurement_set": document, "profile": small_profile(*LIMITS)})
    closed = np.interp(2.2, [1.56, 2.26], [134.2, 85.4]) + np.interp(2.2 - 0.19, [1.30, 2.07], [43.9, 26.2])
    opened = np.interp(1.7, [1.56, 2.26], [134.2, 85.4]) + np.interp(1.7 - 0.19, [1.30, 2.07], [43.9, 26.2])
    assert row(evaluation, "seat-load", "intake")["measured"] == pytest.approx(closed * POUND, abs=1e-7)
    assert row(evaluation, "open-load", "intake")["measured"] == pytest.approx(opened * POUND, abs=1e-7)
    margin = min(2.2 - 0.5 - 1.47, 2.2 - 0.5 - 0.19 - 1.28) * 25.4
    assert row(evaluation, "coil-bind-margin", "intake")["measured"] == pytest.approx(margin, abs=1e-9)
