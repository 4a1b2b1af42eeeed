"""Sums that are linear in what is to be decided and in what may be missed, and rows of a linear program."""

from collections.abc import Iterable
from dataclasses import dataclass, field

Number = float | int
# Misses of cuts: they are not decided, and count with their worst sign.
MISS = "miss"


@dataclass(frozen=True)
class Linear:
    """A constant and what each variable adds to it."""

    constant: float = 0.0
    parts: dict = field(default_factory=dict)

    def __add__(self, other: "Linear | Number") -> "Linear":
        other = linear(other)
        parts = dict(self.parts)
        for name, factor in other.parts.items():
            parts[name] = parts.get(name, 0.0) + factor
        return Linear(self.constant + other.constant, parts)

    __radd__ = __add__

    def __mul__(self, factor: Number) -> "Linear":
        return Linear(self.constant * factor, {name: part * factor for name, part in self.parts.items()})

    __rmul__ = __mul__

    def __neg__(self) -> "Linear":
        return self * -1

    def __sub__(self, other: "Linear | Number") -> "Linear":
        return self + -linear(other)

    def __rsub__(self, other: Number) -> "Linear":
        return -self + other

    def __truediv__(self, divisor: Number) -> "Linear":
        return self * (1 / divisor)

    def aimed(self) -> "Linear":
        """Without what may be missed."""
        return Linear(self.constant, {name: part for name, part in self.parts.items() if not missed(name)})

    def missed_by(self, tolerances: dict) -> float:
        """How far it may be off when every miss takes its worst sign."""
        return sum(abs(part) * tolerances[name] for name, part in self.parts.items() if missed(name))

    def at(self, values: dict) -> float:
        return self.constant + sum(part * values.get(name, 0.0) for name, part in self.parts.items())


def missed(name: object) -> bool:
    return isinstance(name, tuple) and name[0] == MISS


def linear(value: Linear | Number) -> Linear:
    return value if isinstance(value, Linear) else Linear(float(value))


def variable(name: object) -> Linear:
    return Linear(0.0, {name: 1.0})


def total(parts: Iterable[Linear]) -> Linear:
    found = Linear()
    for part in parts:
        found = found + part
    return found


def copied(value: Linear, mark: tuple, pick: Linear) -> Linear:
    """A value of a course as part of a program of many: nothing where the course is not picked."""
    return Linear(0.0, {(mark, name): part for name, part in value.parts.items()}) + pick * value.constant


@dataclass
class Variable:
    least: float = 0.0
    most: float = float("inf")
    whole: bool = False


@dataclass
class Program:
    """Variables, rows that have to lie between two numbers, and what is to be made small."""

    variables: dict = field(default_factory=dict)
    rows: list = field(default_factory=list)
    price: Linear = field(default_factory=Linear)

    def decide(
        self, name: object, least: float = 0.0, most: float = float("inf"), whole: bool = False
    ) -> Linear:
        self.variables[name] = Variable(least, most, whole)
        return variable(name)

    def between(self, value: Linear, least: float | None, most: float | None, what: str = "") -> None:
        self.rows.append(
            (
                value,
                float("-inf") if least is None else least,
                float("inf") if most is None else most,
                what,
            )
        )

    def at_least(self, value: Linear, least: float, what: str = "") -> None:
        self.between(value, least, None, what)

    def at_most(self, value: Linear, most: float, what: str = "") -> None:
        self.between(value, None, most, what)
