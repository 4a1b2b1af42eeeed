"""Values worked out of uncertain readings, modelled in numpy beside the service, and draws of the readings."""

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from harness.documents import limit, row, small_profile, small_set

# Names under which each kind of reading stands in a budget, and its unit there.
UNITS = {
    "length": "mm",
    "angle": "deg",
    "force": "N",
    "volume": "mL",
    "pressure": "kPa",
    "temperature": "Cel",
    "time": "s",
    "ratio": "1",
}
# The grids on which the service states its values.
GRIDS = {"mm": 1e-10, "deg": 1e-9, "N": 1e-8, "mL": 1e-8, "kPa": 1e-9, "1": 1e-10, "Pa.m3/s": 1e-10}
GRIDS |= {"N/mm": 1e-8, "Hz": 1e-6, "K": 1e-6}


@dataclass(frozen=True)
class Given:
    """One reading, or several of a kind, each of this standard uncertainty."""

    values: float | tuple[float, ...]
    u: float
    kind: str = "length"
    # What the budget calls it, when not as the case does.
    label: str | None = None
    # Some readings choose the value without being part of it.
    in_budget: bool = True

    @property
    def is_list(self) -> bool:
        return isinstance(self.values, tuple)

    def array(self) -> np.ndarray:
        return np.atleast_1d(np.array(self.values, dtype=float))


@dataclass(frozen=True)
class Spread:
    """What is known without being read: evenly spread about a middle."""

    middle: float
    half_width: float
    kind: str

    @property
    def u(self) -> float:
        return self.half_width / np.sqrt(3)


Values = dict[str, np.ndarray]


@dataclass(frozen=True)
class Case:
    """A row that is worked out, with readings to work it out of and a model of it in numpy."""

    characteristic: str
    given: dict[str, Given]
    # From readings as they are posted to what `small_set` takes.
    build: Callable[[dict], dict]
    # From readings, drawn or not, to values: a list of readings comes as rows.
    model: Callable[[Values], np.ndarray]
    spreads: dict[str, Spread] = field(default_factory=dict)
    # Other limits of the profile, and what its own limit says beside its bounds.
    limits: tuple[dict, ...] = ()
    own_limit: dict = field(default_factory=dict)
    # On which side the limit lies: the least of several values is the worst below a lower one.
    side: str = "upper"
    service: str | None = "intake"
    # How far first order may be off, as a part of the uncertainty.
    tolerance: float = 0.002
    # How far the model's own value may be off, as a part of it.
    accuracy: float = 1e-11

    def values(self) -> Values:
        read = {key: one.array() for key, one in self.given.items()}
        return read | {key: np.array([one.middle], dtype=float) for key, one in self.spreads.items()}

    def uncertainties(self) -> Values:
        return {
            key: np.full_like(self.values()[key], one.u) for key, one in (self.given | self.spreads).items()
        }

    def worked_out(self, values: Values) -> float:
        """The model at one set of values."""
        return float(np.squeeze(self.model(self.shaped({key: of[:, None] for key, of in values.items()}))))

    def shaped(self, rows: Values) -> Values:
        """Single readings without a row of their own."""
        return {
            key: of if key in self.given and self.given[key].is_list else of[0] for key, of in rows.items()
        }

    def drawn(self, random: np.random.Generator, draws: int, correlation: float) -> Values:
        """Readings about those given; those of a kind share so much of their errors."""
        shared = {one.kind: random.standard_normal(draws) for one in self.given.values()}
        rows = {}
        for key, one in self.given.items():
            array = one.array()[:, None]
            rho = correlation if one.kind != "ratio" else 0.0
            own = random.standard_normal((len(array), draws))
            rows[key] = array + one.u * (np.sqrt(rho) * shared[one.kind] + np.sqrt(1 - rho) * own)
        for key, one in self.spreads.items():
            rows[key] = random.uniform(one.middle - one.half_width, one.middle + one.half_width, (1, draws))
        return self.shaped(rows)

    def shaken(self, random: np.random.Generator) -> "Case":
        """The same with other readings nearby and other uncertainties."""

        def shake(one: Given) -> Given:
            moved = np.round(one.array() + one.u * random.uniform(-5, 5, one.array().shape), 7).tolist()
            values = tuple(moved) if one.is_list else moved[0]
            return replace(one, values=values, u=float(f"{one.u * random.uniform(0.3, 3):.3g}"))

        return replace(self, given={key: shake(one) for key, one in self.given.items()})

    def document(self, values: Values, correlation: float | None) -> dict:
        """The measurement set with these values; with a correlation, a gauge for every kind of reading."""
        posted = {}
        for key, one in self.given.items():
            stated = {"expanded_uncertainty": round(2 * one.u, 12), "coverage_factor": 2}
            if correlation is not None and one.kind != "ratio":
                stated["instrument"] = gauge_of(one.kind)
            readings = [{"value": round(value, 10), **stated} for value in values[key].tolist()]
            posted[key] = readings if one.is_list else readings[0]
        kinds = {one.kind for one in self.given.values()} - {"ratio"}
        gauges = [gauge(gauge_of(kind), kind, correlation) for kind in sorted(kinds)]
        return small_set(
            **copy.deepcopy(self.build(posted)), instruments=[] if correlation is None else gauges
        )

    def judged(
        self, shop, correlation: float | None = None, values: Values | None = None, **own_limit
    ) -> dict:
        """The row, with its budget."""
        bound = {"upper": 900_000} if self.side == "upper" else {"lower": -900_000}
        own = limit(self.characteristic, **(bound | own_limit), **self.own_limit)
        request = {
            "measurement_set": self.document(values or self.values(), correlation),
            "profile": small_profile(own, *self.limits),
            "budgets": True,
        }
        return row(shop.evaluate(request), self.characteristic, self.service)

    def inputs(self) -> Iterator[tuple[str, str, int]]:
        """What the budget calls each reading, and its place in the case."""
        for key, one in self.given.items():
            label = one.label or key
            for index in range(len(one.array())):
                yield (f"{label} {index + 1}" if one.is_list else label), key, index
        for key in self.spreads:
            yield key, key, 0

    def lines(self, budget: list[dict]) -> dict[tuple[str, int], dict]:
        """The lines of a budget by the readings they are about; of lines of one name, in order."""
        waiting: dict[str, list[tuple[str, int]]] = {}
        for label, key, index in self.inputs():
            if key not in self.given or self.given[key].in_budget:
                waiting.setdefault(label, []).append((key, index))
        return {waiting[line["input"]].pop(0): line for line in budget}


def gauge_of(kind: str) -> str:
    return f"gauge of {kind}"


def gauge(name: str, kind: str, correlation: float | None) -> dict:
    stated = {} if correlation is None else {"correlation": correlation}
    return {
        "id": name,
        "description": "an invented gauge",
        "measures": kind,
        "expanded_uncertainty": 1,
        "coverage_factor": 2,
        **stated,
    }


def derivatives(case: Case) -> Values:
    """Partials of the model to each reading, by central differences."""
    values, found = case.values(), {}
    for key, u in case.uncertainties().items():
        found[key] = np.zeros_like(u)
        # What counts as known without error has a derivative, too.
        steps = np.where(u > 0, u / 100, 1e-6 * abs(values[key]))
        for index, step in enumerate(steps):
            ends = []
            for sign in (1, -1):
                moved = {name: of.copy() for name, of in values.items()}
                moved[key][index] += sign * step
                ends.append(case.worked_out(moved))
            found[key][index] = (ends[0] - ends[1]) / (2 * step)
    return found


def propagated(case: Case, correlation: float) -> float:
    """The standard uncertainty to first order (JCGM 100:2008, 5.2.2, equation 13, from memory)."""
    partials, squares, shared = derivatives(case), 0.0, {}
    for key, one in (case.given | case.spreads).items():
        parts = partials[key] * one.u
        rho = correlation if key in case.given and one.kind != "ratio" else 0.0
        squares += (1 - rho) * (parts**2).sum()
        shared[one.kind] = shared.get(one.kind, 0.0) + np.sqrt(rho) * parts.sum()
    return float(np.sqrt(squares + sum(part**2 for part in shared.values())))
