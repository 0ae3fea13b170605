"""The metronome: an even row of beats from the count-in to the end.

Enters: a sheet, the beat. Leaves: clicks. A metronome cannot wait: beats are evenly apart even
where bars are not so many of them; the bar's first click is different where a beat falls on it.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from engrave.music.sheet import Sheet
from engrave.music.units import Quarters
from engrave.sound.model import Click, Stress

SLOW = 50
"""Under this mark a soft click stands between (common practice, no source)."""

FEWEST = 2
"""Clicks that count in: one alone tells no tempo."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Beats from ``start`` (before 0) to before ``end``, ``unit`` quarters apart."""

    start: Quarters
    end: Quarters
    unit: Quarters


def counted(sheet: Sheet, unit: Quarters) -> Grid:
    """The beats of a sheet: one full bar counts in, and the part of a bar that a pickup lacks.

    Beats fall on the first bar line after a pickup, else on the beginning.
    """
    bar = sheet.bars[0].meter.length
    down = _down(sheet)
    beats = max(ceil(bar / unit), FEWEST)
    before = ceil(bar / unit) if down else 0
    after = ceil((sheet.length - down) / unit)
    return Grid(down - (beats + before) * unit, down + after * unit, unit)


def clicks(sheet: Sheet, grid: Grid, mark: int) -> tuple[Click, ...]:
    """Every click, in order."""
    bars = _bar_lines(sheet, grid)
    ticks = []
    time = grid.start
    while time < grid.end:
        ticks.append(Click(time, Stress.BAR if time in bars else Stress.BEAT))
        if mark < SLOW:
            ticks.append(Click(time + grid.unit / 2, Stress.BETWEEN))
        time += grid.unit
    return tuple(ticks)


def _down(sheet: Sheet) -> Quarters:
    """Where the first full bar begins: after a pickup, else at once."""
    first = sheet.bars[0]
    is_pickup = first.implicit and len(sheet.bars) > 1 and first.length < first.meter.length
    return first.length if is_pickup else Fraction(0)


def _bar_lines(sheet: Sheet, grid: Grid) -> set[Quarters]:
    """Where bars begin, those that are only counted included; what is counted first is one."""
    down = _down(sheet)
    lines = {grid.start, *(start for start in sheet.starts if start >= down)}
    line = down
    while line > grid.start:
        line -= sheet.bars[0].meter.length
        lines.add(line)
    return lines
