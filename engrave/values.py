"""Note values for exact lengths: which printed notes, tied, make a length at a place in a bar.

Enters: spans of time within one bar, and its meter. Leaves: ``Piece``s, each one printed value.
Knows no pitches. A beat is never obscured: what starts inside a beat and reaches beyond it is tied
over the beat, the plain off-beat syncopation (eighth, quarter, eighth) excepted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import lcm

from engrave.model import NOTE_TYPES, Meter, Tuplet, Value
from engrave.units import Quarters, is_dyadic

MAX_DOTS = 2
LARGEST_GRID = 24
"""The finest division of one beat that is still printed as a tuplet."""


class UnprintableError(ValueError):
    """A length that no notes and ties of this vocabulary can print."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One printed value: ``offset`` quarters into its bar, ``value``; the span it belongs to."""

    span: int
    offset: Quarters
    value: Value


@lru_cache(maxsize=4096)
def single(length: Quarters, tuplet: Tuplet | None = None, max_dots: int = 1) -> Value | None:
    """The one value that lasts ``length`` quarters, if there is one with so few dots."""
    for dots in range(max_dots + 1):
        for name in NOTE_TYPES:
            value = Value(name, dots, tuplet)
            if value.length == length:
                return value
    return None


def cell(meter: Meter) -> Quarters:
    """The stretch, in quarters, in which values and beams are grouped: the beat; 3/8 is one."""
    return meter.length if meter.beats == 3 and meter.beat_type >= 8 else meter.beat


def spell(spans: Sequence[tuple[Quarters, Quarters]], meter: Meter, lead: Quarters) -> list[Piece]:
    """Print consecutive spans ``(start, end)`` of one voice in one bar.

    ``lead`` is how far into a full bar the bar begins (a pickup of one quarter in 2/4 has lead 1),
    so that beats fall where a player counts them. Raises ``UnprintableError``.
    """
    size = cell(meter)
    grids = _grids(spans, size, lead)
    pieces = []
    for index, (start, end) in enumerate(spans):
        now = start + lead
        for value in _values(now, end + lead, size, grids):
            pieces.append(Piece(index, now - lead, value))
            now += value.length
    return pieces


def _grids(
    spans: Iterable[tuple[Quarters, Quarters]], size: Quarters, lead: Quarters
) -> dict[Quarters, Tuplet]:
    """For each beat, by its start, the tuplet that its notes need; beats with none are left out."""
    cuts: dict[Quarters, int] = {}
    for place in (edge + lead for span in spans for edge in span):
        if is_dyadic(place):
            continue
        width = _tuplet_width(size)
        start = place // width * width
        cuts[start] = lcm(cuts.get(start, 1), ((place - start) / width).denominator)
    tuplets = {}
    for start, grid in cuts.items():
        if grid > LARGEST_GRID:
            raise UnprintableError(f"a beat would have to be divided into {grid} parts")
        tuplets[start] = Tuplet(grid, 1 << (grid.bit_length() - 1))
    return tuplets


def _tuplet_width(size: Quarters) -> Quarters:
    """The stretch that one tuplet fills: a simple beat, or the third of a compound one."""
    return min(size, Fraction(1)) if size.numerator == 1 else size / 3


def _values(
    start: Quarters, end: Quarters, size: Quarters, grids: dict[Quarters, Tuplet]
) -> Iterable[Value]:
    now = start
    while now < end:
        value = _next_value(now, end, size, grids)
        yield value
        now += value.length


def _next_value(
    now: Quarters, end: Quarters, size: Quarters, grids: dict[Quarters, Tuplet]
) -> Value:
    tuplet_at = _tuplet_cell(now, grids, size)
    if tuplet_at is not None:
        start, width = tuplet_at
        stop = min(end, start + width)
        return _largest(stop - now, grids[start])
    beat = now // size * size
    stop = min([end, *(edge for edge in grids if now < edge < end)])
    if stop <= beat + size or _is_syncopation(now, stop, beat, size):
        return _largest(stop - now, None)
    if now != beat:
        return _largest(beat + size - now, None)
    if size.numerator == 1 and single(stop - now):
        return _largest(stop - now, None)
    cells = range((stop - now) // size, 0, -1)
    return next(value for n in cells if (value := single(n * size)))


def _tuplet_cell(
    now: Quarters, grids: dict[Quarters, Tuplet], size: Quarters
) -> tuple[Quarters, Quarters] | None:
    width = _tuplet_width(size)
    start = now // width * width
    return (start, width) if start in grids else None


def _is_syncopation(now: Quarters, stop: Quarters, beat: Quarters, size: Quarters) -> bool:
    return now == beat + size / 2 and stop - now == size and size.numerator == 1


def _largest(length: Quarters, tuplet: Tuplet | None) -> Value:
    """The one value that fills ``length``, or the longest that begins it."""
    whole = single(length, tuplet)
    if whole:
        return whole
    candidates = (
        value
        for name in NOTE_TYPES
        for value in (Value(name, 0, tuplet), Value(name, 1, tuplet))
        if value.length < length
    )
    best = max(candidates, key=lambda value: value.length, default=None)
    if best is None:
        raise UnprintableError(f"{length} quarters are shorter than any printed value")
    return best
