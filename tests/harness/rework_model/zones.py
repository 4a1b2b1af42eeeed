"""Where a characteristic has to end: its limits less what its gauge may be out."""

from dataclasses import dataclass

from scipy.optimize import brentq
from scipy.stats import norm

# Kept clear inside each end.
HAIR = 2e-6


def multiplier(probability: float, ratio: float | None) -> float | None:
    """How many standard uncertainties to keep off a limit so that the true value lies inside with this probability.

    `ratio` is the tolerance over the standard uncertainty, nothing for a limit on one side. The probability of lying
    inside is Phi(m') - Phi(-m) with m' = ratio - m (JCGM 106:2012, clause 7, from memory); where not even the middle
    reaches it there is no such number.
    """
    if ratio is None:
        return float(norm.ppf(probability))

    def short(m: float) -> float:
        return norm.cdf(ratio - m) - norm.cdf(-m) - probability

    if short(ratio / 2) < 0:
        return None
    # At the limit itself half of the distribution lies outside: less than any probability asked for, or just it.
    return 0.0 if short(0.0) >= 0 else float(brentq(short, 0.0, ratio / 2, xtol=1e-14))


@dataclass(frozen=True)
class Zone:
    lower: float | None
    upper: float | None

    def widened(self, value: float) -> "Zone":
        """Holding a value, too."""
        lower = None if self.lower is None else min(self.lower, value)
        return Zone(lower, None if self.upper is None else max(self.upper, value))

    def holds(self, value: float) -> bool:
        return (self.lower is None or value >= self.lower) and (self.upper is None or value <= self.upper)


def zone_of(row: dict, rule: dict) -> Zone | None:
    """The zone of an evaluation row with limits; nothing where its gauge can prove nothing."""
    lower, upper = row.get("lower"), row.get("upper")
    keep = HAIR
    if rule["rule"] == "guarded":
        if row.get("expanded_uncertainty") is None:
            return None
        u = row["expanded_uncertainty"] / 2
        both = lower is not None and upper is not None
        if u > 0:
            m = multiplier(rule["conformance_probability"], (upper - lower) / u if both else None)
            if m is None:
                return None
            keep += m * u
    return Zone(None if lower is None else lower + keep, None if upper is None else upper - keep)
