"""What several models have in common."""

import itertools

import numpy as np


def seen(read: dict, *keys: str) -> dict:
    """Readings under the names that the document has for them."""
    return {name: read[key] for name, _, key in (pair.partition("=") for pair in keys)}


def slant(wide: np.ndarray, narrow: np.ndarray, degrees: np.ndarray) -> np.ndarray:
    """Along a cone from diameter to diameter: the hypotenuse over half their difference."""
    across = (wide - narrow) / 2
    return np.sign(across) * np.hypot(across, across * np.tan(np.radians(degrees)))


def remainder(readings: np.ndarray, design: np.ndarray) -> np.ndarray:
    """The range of what a least-squares fit leaves."""
    return np.ptp(readings - design @ (np.linalg.pinv(design) @ readings), axis=0)


def least_zone(rows: np.ndarray, heights: np.ndarray) -> np.ndarray:
    """The least range about a plane or limaçon: the most that any four points force (duality of linear programs).

    Of four points there is one combination of heights that no plane changes; twice its size over the sum of its
    coefficients' sizes is the width that they force.
    """
    widths = np.zeros(heights.shape[1])
    for four in map(list, itertools.combinations(range(len(rows)), 4)):
        unchanged = np.linalg.svd(rows[four].T)[2][-1]
        forced = 2 * abs(unchanged @ heights[four]) / abs(unchanged).sum()
        widths = np.maximum(widths, forced)
    return widths
