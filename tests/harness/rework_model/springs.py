"""At which installed heights the springs of a valve carry what they shall."""

from dataclasses import dataclass

import numpy as np

from harness.rework_model.zones import Zone


@dataclass(frozen=True)
class Spring:
    """Loads in N at heights in mm, and how much its own seat shortens its height."""

    heights: tuple[float, ...]
    loads: tuple[float, ...]
    step: float = 0.0

    @property
    def rate(self) -> float:
        """The slope of the least-squares line through its loads."""
        middle = np.mean(self.heights)
        return float(np.polyfit(np.array(self.heights) - middle, self.loads, 1)[0])

    @property
    def reach(self) -> tuple[float, float]:
        """The installed heights at which its load is known: a tenth of the span of its readings outside."""
        least, most = min(self.heights), max(self.heights)
        tenth = (most - least) / 10
        return least - tenth + self.step, most + tenth + self.step

    def load(self, installed: float) -> float:
        height = installed - self.step
        order = np.argsort(self.heights)
        heights, loads = np.array(self.heights)[order], np.array(self.loads)[order]
        if height < heights[0]:
            return float(loads[0] + self.rate * (height - heights[0]))
        if height > heights[-1]:
            return float(loads[-1] + self.rate * (height - heights[-1]))
        return float(np.interp(height, heights, loads))


def load(springs: list[Spring], installed: float) -> float:
    return sum(spring.load(installed) for spring in springs)


def reach(springs: list[Spring]) -> tuple[float, float]:
    return max(spring.reach[0] for spring in springs), min(spring.reach[1] for spring in springs)


def heights_for(springs: list[Spring], zone: Zone) -> Zone:
    """Installed heights at which all springs together carry a load of this zone, inside the reach of the readings.

    The load falls with the height, in straight pieces between the heights at which any of them was read.
    """
    least, most = reach(springs)
    # Nested springs were read at the same installed heights, but for what decimals of another unit lose.
    corners = {round(height + spring.step, 9) for spring in springs for height in spring.heights}
    places = sorted({least, most} | {corner for corner in corners if least < corner < most})
    loads = [load(springs, place) for place in places]
    falling = all(a > b for a, b in zip(loads, loads[1:]))
    assert falling, (springs, places, loads)
    if (zone.lower is not None and loads[0] < zone.lower) or (zone.upper is not None and loads[-1] > zone.upper):
        return Zone(1.0, 0.0)

    def where(wanted: float) -> float:
        return float(np.interp(-wanted, [-one for one in loads], places))

    return Zone(
        least if zone.upper is None else where(zone.upper), most if zone.lower is None else where(zone.lower)
    )
