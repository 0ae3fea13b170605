"""The beats of a score, one after another, with the seconds that each lasts at the goal.

Enters: a sheet and a pace. Leaves: ``Cell``s, and seconds for any time. Knows no notes.
"""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate

from engrave.music.sheet import Sheet
from engrave.music.units import Quarters
from engrave.score import measures_of
from engrave.survey.model import Cell, Pace


class Clock:
    """Seconds from the start of the score, for times in quarters."""

    def __init__(self, pace: Pace) -> None:
        self._times = [float(time) for time, _ in pace.changes]
        self._rates = [60 / float(tempo) for _, tempo in pace.changes]
        spans = [b - a for a, b in zip(self._times, self._times[1:], strict=False)]
        passed = (span * rate for span, rate in zip(spans, self._rates, strict=False))
        self._seconds = [0.0, *accumulate(passed)]

    def seconds(self, time: Quarters) -> float:
        """Seconds up to ``time``."""
        now = float(time)
        index = max(bisect_right(self._times, now) - 1, 0)
        return self._seconds[index] + (now - self._times[index]) * self._rates[index]


def cells_of(sheet: Sheet, clock: Clock) -> tuple[Cell, ...]:
    """The beats of every measure, the last as long as the measure lasts."""
    cells: list[Cell] = []
    starts = sheet.starts
    for measure in measures_of(sheet):
        start = starts[measure.bars[0]]
        end = start + measure.length
        for number in range(measure.beats):
            begins = start + number * measure.beat
            ends = min(begins + measure.beat, end)
            if begins >= end:
                break
            bar = max(index for index in measure.bars if starts[index] <= begins)
            cells.append(
                Cell(
                    start=begins,
                    end=ends,
                    seconds=clock.seconds(ends) - clock.seconds(begins),
                    bar=bar,
                    measure=measure.name,
                    beat=number + 1,
                    opens=number == 0,
                    closes=ends == end,
                )
            )
    return tuple(cells)


def cell_at(starts: Sequence[Quarters], time: Quarters) -> int:
    """The index of the cell in which ``time`` lies, given the cells' starts."""
    return max(bisect_right(starts, time) - 1, 0)
