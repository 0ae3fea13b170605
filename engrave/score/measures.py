"""The measures of a sheet as a player counts them.

Enters: a sheet. Leaves: ``Measure``s: one name, the bars that carry it, its beats. A measure that
a repeat sign splits is two bars under one name. Repeats are not unfolded. Knows no files.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from engrave.music.sheet import Bar, Moment, Sheet
from engrave.music.units import Quarters

NAME = re.compile(r"(\d{1,9})([A-Za-z]?)")


@dataclass(frozen=True, slots=True)
class Measure:
    """A measure: ``bars`` are indices into the sheet, ``length`` in quarters, over all of them."""

    name: str
    bars: range
    length: Quarters
    beat: Quarters
    """The meter's own beat, in quarters."""

    @property
    def beats(self) -> int:
        """How many beats begin in the measure."""
        return max(ceil(self.length / self.beat), 1)


def measures_of(sheet: Sheet) -> tuple[Measure, ...]:
    """The measures in order."""
    return tuple(_measures(sheet.bars))


def _measures(bars: tuple[Bar, ...]) -> Iterator[Measure]:
    first = 0
    for index in range(1, len(bars) + 1):
        if index == len(bars) or bars[index].name != bars[first].name:
            span = range(first, index)
            length = sum((bars[i].length for i in span), Fraction(0))
            yield Measure(bars[first].name, span, length, bars[first].meter.beat)
            first = index


def moment_in(sheet: Sheet, measure: Measure, offset: Quarters, ends: bool = False) -> Moment:
    """The moment ``offset`` quarters into ``measure``; with ``ends`` in the bar that it ends."""
    for index in measure.bars:
        length = sheet.bars[index].length
        if offset < length or (ends and offset == length) or index == measure.bars[-1]:
            return Moment(index, min(offset, length))
        offset -= length
    raise ValueError("a measure has at least one bar")


def offset_in_measure(sheet: Sheet, moment: Moment) -> tuple[str, Quarters]:
    """The measure of ``moment`` and how many quarters into it the moment lies."""
    name, offset = sheet.bars[moment.bar].name, moment.offset
    for index in range(moment.bar - 1, -1, -1):
        if sheet.bars[index].name != name:
            break
        offset += sheet.bars[index].length
    return name, offset


def measure_and_beat(sheet: Sheet, moment: Moment, ends: bool = False) -> tuple[str, int]:
    """The measure, and the beat in it, from 1, that begins at ``moment`` or that ends there."""
    if ends and moment.offset == 0 and moment.bar > 0:
        moment = Moment(moment.bar - 1, sheet.bars[moment.bar - 1].length)
    name, offset = offset_in_measure(sheet, moment)
    beats = offset / sheet.bars[moment.bar].meter.beat
    return name, ceil(beats) if ends else int(beats) + 1


def place_name(sheet: Sheet, moment: Moment, ends: bool = False) -> str:
    """``12.3``: ``measure_and_beat`` as a marks file names them."""
    name, beat = measure_and_beat(sheet, moment, ends)
    return f"{name}.{beat}"


def is_restart(before: str, name: str) -> bool:
    """Whether measure numbers begin anew at ``name``: a new movement."""
    numbers = [NAME.fullmatch(text) for text in (before, name)]
    if not all(numbers):
        return False
    previous, this = (int(found[1]) for found in numbers if found)
    return this <= 1 and previous > this and (previous, this) != (1, 0)


def movements_of(sheet: Sheet) -> tuple[range, ...]:
    """The bars of each movement: stretches in which measure numbers do not begin anew."""
    names = [bar.name for bar in sheet.bars]
    starts = [0, *(i for i in range(1, len(names)) if is_restart(names[i - 1], names[i]))]
    return tuple(
        range(first, last) for first, last in zip(starts, [*starts[1:], len(names)], strict=True)
    )
