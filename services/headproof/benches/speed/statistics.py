"""Times numpy and scipy on the values that the benchmark wrote: statistics.py FILE HEADS PORTS CHARACTERISTICS.

The file has 64-bit counts by head, characteristic and port. Prints one JSON object: the seconds, the most memory beyond
what the libraries take themselves, and for each characteristic and service mean, standard deviation of all and within
heads, and F between cutters, in the order of the service within that of the characteristic as the benchmark has it.
"""

import json
import resource
import sys
import time

import numpy as np
from scipy import integrate, stats

GRID = 1e10
# The mean range of eight standard normal values (Tippett 1925).
D2 = integrate.quad(lambda x: 1 - stats.norm.cdf(x) ** 8 - stats.norm.sf(x) ** 8, -12, 12, epsabs=1e-13)[0]


def used() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def spread(values: np.ndarray) -> np.ndarray:
    """Values that repeat, spread evenly over the step about them."""
    distinct, counts = np.unique(values, return_counts=True)
    rank = np.arange(len(values)) - np.repeat(np.cumsum(counts) - counts, counts)
    place = (rank + 0.5) / np.repeat(counts, counts) - 0.5
    return np.repeat(distinct, counts) + np.diff(distinct).min() * place


def study(values: np.ndarray, when: np.ndarray) -> list[float]:
    """What the benchmark makes of the values of each head, 8 in a row."""
    flat = values.ravel()
    mean, s = flat.mean(), flat.std(ddof=1)
    np.histogram(flat, bins=40)
    stats.normaltest(flat)
    stats.anderson(spread(flat), method="interpolate")
    means, ranges = values.mean(axis=1), np.ptp(values, axis=1)
    sigma = ranges.mean() / D2
    np.abs(means - mean) > 3 * sigma / np.sqrt(values.shape[1])
    between = stats.f_oneway(*(means[part::3] for part in range(3)))
    stats.f_oneway(*(means[part::2] for part in range(2)))
    for parts in (1, 2, 3):
        for part in range(parts):
            stats.linregress(when[part::parts], means[part::parts])
    return [mean, s, sigma, between.statistic]


def main() -> None:
    heads, ports, columns = map(int, sys.argv[2:])
    before = used()
    begin = time.perf_counter()
    values = np.fromfile(sys.argv[1], dtype="<i8").reshape(heads, columns, ports) / GRID
    when = np.arange(heads) * 600.0
    answers = [study(np.ascontiguousarray(values[:, column, side::2]), when) for column in range(columns) for side in (0, 1)]
    seconds = time.perf_counter() - begin
    print(json.dumps({"seconds": seconds, "mebibytes": used() - before, "answers": answers}))


if __name__ == "__main__":
    main()
