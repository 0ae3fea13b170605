"""A bar that comes again is divided as the first time.

Enters: strokes and the hands that were found. Leaves: the hands, those of a bar that strikes the
same keys at the same places as an earlier one taken from there. What is bound stays.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from engrave.hands.search import Hands
from engrave.hands.strokes import Stroke, Strokes


def as_before(strokes: Strokes, hands: Sequence[Hands], changed: Sequence[bool]) -> list[Hands]:
    """The hands; bars in which nothing has ``changed`` from what the staves say need no look."""
    result = list(hands)
    first: dict[object, range] = {}
    for bar in _bars(strokes.all):
        figure = tuple(_figure(strokes.all[n], strokes.starts) for n in bar)
        known = first.setdefault(figure, bar)
        if known is bar or not any(changed[n] for n in (*bar, *known)):
            continue
        bound = any(note.bound for n in (*bar, *known) for note in strokes.all[n].notes)
        if not bound:
            result[bar.start : bar.stop] = result[known.start : known.stop]
    return result


def _bars(strokes: Sequence[Stroke]) -> Iterator[range]:
    """The numbers of the strokes of each bar."""
    start = 0
    for _, bar in groupby(strokes, key=lambda stroke: stroke.bar):
        count = sum(1 for _ in bar)
        yield range(start, start + count)
        start += count


def _figure(stroke: Stroke, starts: Sequence[int]) -> object:
    """Where in its bar the stroke is, and its keys as they are printed."""
    notes = tuple((note.key, note.staff, note.line, note.end - note.start) for note in stroke.notes)
    return stroke.time - starts[stroke.bar], notes
