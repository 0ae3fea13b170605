"""Note values for exact lengths: which printed notes, tied, make a length at a place in a bar.

Enters: spans of time within one bar, and its meter. Leaves: ``PrintedValue``s. Knows no
pitches. A beat is never obscured: what starts inside a beat and reaches beyond it is tied over the
beat, the plain off-beat syncopation (eighth, quarter, eighth) excepted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import lcm

from engrave.music.notes import NOTE_TYPES, Tuplet, Value
from engrave.music.sheet import Bar, Meter
from engrave.music.units import Quarters, is_dotted, is_dyadic
from engrave.remarks import Remark

FINEST_TUPLET = 12
"""The finest division of one beat that is still printed as a tuplet."""

_PLAIN_TUPLET = 9
"""A finer division is printed as two tuplets, of half a beat each, where no note lies across."""

_MOST_BEATS, _MOST = 4, Fraction(3, 4)
"""The widest tuplet, and how much of one is struck at least (judgements). What divides no beat may
divide several, ``_PLAIN_TUPLET`` parts a beat at most: thirteen notes over two beats."""


class UnprintableError(ValueError):
    """A length that no notes and ties of this vocabulary can print; ``told`` says why in words.

    ``offset`` is where, in quarters from where its bar would begin if it were full; ``measure``
    the printed name of the measure that the notes come from, once it is known.
    """

    def __init__(
        self, message: str, kind: str, offset: Quarters = Fraction(0), measure: str = ""
    ) -> None:
        super().__init__(message)
        self.kind, self.offset, self.measure = kind, offset, measure

    @property
    def told(self) -> Remark:
        """Why nothing was printed, and of which measure, as the word lists say it."""
        reason = Remark.of(f"unprintable.{self.kind}")
        if not self.measure:
            return reason
        return Remark.of("unprintable.in-measure", reason=reason, measure=self.measure)

    def of(self, measure: str) -> "UnprintableError":
        """The same, of the notes of a measure."""
        return UnprintableError(str(self), self.kind, self.offset, measure)


@dataclass(frozen=True, slots=True)
class PrintedValue:
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


def bar_rest(bar: Bar) -> tuple[Value, bool]:
    """The value of the rest that fills a bar, and whether it is a whole bar's.

    In a part of a bar (a pickup) it is a rest of that length, if one value has it.
    """
    plain = single(bar.length) if bar.implicit and not bar.is_full else None
    return plain or Value("whole"), plain is None


def cell(meter: Meter) -> Quarters:
    """The part of a bar, in quarters, by which values and beams go: the beat; 3/8 is one."""
    return meter.length if meter.beats == 3 and meter.beat_type >= 8 else meter.beat


def spell(
    spans: Sequence[tuple[Quarters, Quarters]], meter: Meter, lead: Quarters
) -> list[PrintedValue]:
    """Print consecutive spans ``(start, end)`` of one voice in one bar.

    ``lead`` is how far into a full bar the bar begins (a pickup of one quarter in 2/4 has lead 1),
    so that beats fall where a player counts them. Raises ``UnprintableError``.
    """
    size = cell(meter)
    divided = _divided(sorted({edge + lead for span in spans for edge in span}), size)
    pieces = []
    for index, (start, end) in enumerate(spans):
        now = start + lead
        for value in _values(now, end + lead, size, divided):
            pieces.append(PrintedValue(index, now - lead, value))
            now += value.length
    return pieces


@dataclass(frozen=True, slots=True)
class _Divided:
    """A part of a bar that a tuplet fills."""

    start: Quarters
    width: Quarters
    tuplet: Tuplet

    @property
    def end(self) -> Quarters:
        return self.start + self.width


def _divided(edges: Sequence[Quarters], size: Quarters) -> list[_Divided]:
    """The parts that need tuplets, beat by beat, or third by third of a compound beat."""
    width = size / 3 if is_dotted(size) else min(size, Fraction(1))
    starts = sorted({edge // width * width for edge in edges if not is_dyadic(edge)})
    parts: list[_Divided] = []
    for start in starts:
        free = parts[-1].end if parts else edges[0]
        if parts and start < free:
            continue
        try:
            parts += _divide(edges, start, width)
        except UnprintableError:
            wider = _over_beats(edges, start, width, free)
            if wider is None:
                raise
            parts.append(wider)
    return parts


def _over_beats(
    edges: Sequence[Quarters], start: Quarters, width: Quarters, free: Quarters
) -> _Divided | None:
    """A tuplet over several beats, that at ``start`` among them, as few as will do.

    It begins at ``free`` or later, ends before the bar does, and has most of its notes: two of
    thirteen nobody can count.
    """
    for beats in range(2, _MOST_BEATS + 1):
        for before in range(beats):
            first, whole = start - before * width, beats * width
            if first < free or first + whole > edges[-1]:
                continue
            inside = [edge for edge in edges if first < edge < first + whole]
            grid = lcm(*(((edge - first) / whole).denominator for edge in inside))
            if grid <= beats * _PLAIN_TUPLET and len(inside) + 1 >= _MOST * grid:
                return _Divided(first, whole, Tuplet(grid, _normal(whole, grid)))
    return None


def _normal(whole: Quarters, grid: int) -> int:
    """In the time of how many plain notes ``grid`` notes fill so many quarters."""
    return next(n for n in range(grid - 1, 0, -1) if whole / n in NOTE_TYPES.values())


def _divide(edges: Sequence[Quarters], start: Quarters, width: Quarters) -> list[_Divided]:
    inside = [edge for edge in edges if start < edge < start + width]
    if all(is_dyadic(edge) for edge in inside):
        return []
    grid = lcm(*(((edge - start) / width).denominator for edge in inside))
    half = width / 2
    if grid > _PLAIN_TUPLET and start + half in inside:
        return _divide(edges, start, half) + _divide(edges, start + half, half)
    if grid > FINEST_TUPLET:
        raise UnprintableError(
            f"a beat would have to be divided into {grid} parts", "divided", start
        )
    return [_Divided(start, width, Tuplet(grid, 1 << (grid.bit_length() - 1)))]


def _values(
    start: Quarters, end: Quarters, size: Quarters, divided: Sequence[_Divided]
) -> Iterable[Value]:
    now = start
    while now < end:
        value = _next_value(now, end, size, divided)
        yield value
        now += value.length


def _next_value(now: Quarters, end: Quarters, size: Quarters, divided: Sequence[_Divided]) -> Value:
    within = next((part for part in divided if part.start <= now < part.end), None)
    if within is not None:
        return _largest(now, min(end, within.end) - now, within.tuplet)
    beat = now // size * size
    stop = min([end, *(part.start for part in divided if now < part.start < end)])
    if stop <= beat + size or _is_syncopation(now, stop, beat, size):
        return _largest(now, stop - now, None)
    if now != beat:
        return _largest(now, beat + size - now, None)
    if not is_dotted(size) and single(stop - now):
        return _largest(now, stop - now, None)
    cells = range((stop - now) // size, 0, -1)
    return next(value for n in cells if (value := single(n * size)))


def _is_syncopation(now: Quarters, stop: Quarters, beat: Quarters, size: Quarters) -> bool:
    return now == beat + size / 2 and stop - now == size and not is_dotted(size)


def _largest(now: Quarters, length: Quarters, tuplet: Tuplet | None) -> Value:
    """The one value that fills ``length`` from ``now`` on, or the longest that begins it."""
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
        raise UnprintableError(
            f"{length} quarters are shorter than any printed value", "short", now
        )
    return best
