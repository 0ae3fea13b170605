"""The map from the time of the score to the time of a drill: piecewise linear, exact.

Enters: pairs of times that belong together. Leaves: the image of any time between. Knows no music.
"""

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction

from engrave.music.units import Quarters


@dataclass(frozen=True, slots=True)
class TimeMap:
    """``knots`` are pairs (time in the score, time in the drill), rising in both."""

    knots: tuple[tuple[Quarters, Quarters], ...]

    @property
    def start(self) -> Quarters:
        """The first time of the score that the map knows."""
        return self.knots[0][0]

    @property
    def end(self) -> Quarters:
        """The last time of the score that the map knows."""
        return self.knots[-1][0]

    def __call__(self, time: Quarters) -> Quarters:
        """The drill time of a time between ``start`` and ``end`` (clamped to them)."""
        clamped = min(max(time, self.start), self.end)
        index = min(bisect_right(self.knots, clamped, key=lambda k: k[0]), len(self.knots) - 1)
        (a, fa), (b, fb) = self.knots[index - 1], self.knots[index]
        return fa + (clamped - a) * Fraction(fb - fa) / (b - a)
