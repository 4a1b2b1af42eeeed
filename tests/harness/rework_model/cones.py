"""A seat in a section through its axis: heights over radii, three lines, and a valve laid on them (plane geometry).

Heights count towards the chamber, from the present outer edge of the seat. Metal lies under the throat line (steepest),
the seat line and the top line (flattest); each cutter brings its own line down.
"""

import math
from dataclasses import dataclass

from harness.rework_model.algebra import Linear, linear


def tan(degrees: float) -> float:
    return math.tan(math.radians(degrees))


def cos(degrees: float) -> float:
    return math.cos(math.radians(degrees))


@dataclass(frozen=True)
class Line:
    """A cone: its height is that at radius zero and rises with its slope."""

    height: Linear
    slope: float

    @classmethod
    def through(cls, radius: float, height: Linear | float, slope: float) -> "Line":
        return cls(linear(height) - radius * slope, slope)

    def lowered(self, feed: Linear | float) -> "Line":
        return Line(self.height - feed, self.slope)

    def at(self, radius: Linear | float) -> Linear:
        return self.height + linear(radius) * self.slope

    def meets(self, other: "Line") -> Linear:
        """The radius at which two lines of different slopes cross."""
        return (other.height - self.height) / (self.slope - other.slope)


@dataclass(frozen=True)
class Angles:
    seat: float
    top: float
    throat: float

    @property
    def in_order(self) -> bool:
        return self.top < self.seat < self.throat


@dataclass(frozen=True)
class Seat:
    """A seat as it is: radii of its edges and its angles."""

    outer: float
    inner: float
    angles: Angles

    @property
    def line(self) -> Line:
        return Line.through(self.outer, 0.0, tan(self.angles.seat))

    @property
    def top(self) -> Line:
        return Line.through(self.outer, 0.0, tan(self.angles.top))

    @property
    def throat(self) -> Line:
        return Line.through(self.inner, self.line.at(self.inner), tan(self.angles.throat))

    def first_touch(self, angle: float) -> Line:
        """A seat cutter of this angle as it comes down on the seat: on the outer edge unless it is steeper."""
        radius = self.inner if angle > self.angles.seat else self.outer
        return Line.through(radius, self.line.at(radius), tan(angle))


def rest(line: Line, outer: Linear | float, inner: Linear | float, face_angle: float, head: float) -> Linear:
    """The height of the outer edge of a valve's face, radius `head`, that rests on a seat.

    A face that is not steeper than the seat rests on the seat's outer edge, a steeper one on its inner edge.
    """
    radius = outer if tan(face_angle) <= line.slope else inner
    return line.at(radius) + (head - linear(radius)) * tan(face_angle)
