"""A bench in numpy: a seat as heights over a fine grid of radii, cutters lowered on it, and a valve laid on it.

Nothing here knows a formula for an edge or a sink. Metal is what lies under a profile; a cutter is a slanted line that
comes down until metal stops it, is fed on, and leaves whatever lies under it.
"""

from dataclasses import dataclass

import numpy as np

# Radii are this far apart, in mm.
GRID = 2e-5
# How far the profile reaches beyond the seat on either side, in mm.
AROUND = 2.0
# Two heights that are as near to each other are the same: doubles of a few hundred mm lose less.
SAME = 1e-9


def slope(degrees: float) -> float:
    return float(np.tan(np.radians(degrees)))


@dataclass
class Bench:
    """Heights of the metal over radii, and where the seat's ring lies."""

    radii: np.ndarray
    metal: np.ndarray
    ring: np.ndarray

    @classmethod
    def of(cls, inner: float, outer: float, seat: float, top: float, throat: float) -> "Bench":
        """A seat between two radii, its angles in degrees; heights count from its outer edge."""
        radii = np.arange(inner - AROUND, outer + AROUND, GRID)
        line = slope(seat) * (radii - outer)
        inside = slope(seat) * (inner - outer) + slope(throat) * (radii - inner)
        metal = np.minimum(np.minimum(line, slope(top) * (radii - outer)), inside)
        return cls(radii, metal, (radii >= inner) & (radii <= outer))

    def touch(self, degrees: float) -> float:
        """Where a cutter stands when it comes down on the seat's ring: its height over radius zero.

        It comes down in steps, each time that metal would stop it in smaller ones.
        """
        line = slope(degrees) * self.radii[self.ring]
        metal, height, step = self.metal[self.ring], 1000.0, 100.0
        while step > SAME / 10:
            while np.all(line + height - step >= metal):
                height -= step
            step /= 10
        return height

    def cut(self, degrees: float, height: float) -> None:
        self.metal = np.minimum(self.metal, slope(degrees) * self.radii + height)

    def find_ring(self, degrees: float, height: float) -> None:
        """The ring is now what a seat cutter left, as far as nothing else took it away again."""
        self.ring = np.abs(self.metal - slope(degrees) * self.radii - height) < SAME

    def edges(self) -> tuple[float, float]:
        """Inner and outer radius of the ring."""
        found = self.radii[self.ring]
        return float(found[0]), float(found[-1])

    def rest(self, degrees: float, inner: float | None, outer: float) -> float:
        """The height of the outer edge of a face that ends at these radii and comes down until it rests."""
        under = (self.radii <= outer) & (self.radii >= (inner if inner is not None else 0))
        gap = self.metal[under] - slope(degrees) * (self.radii[under] - outer)
        return float(gap.max())
