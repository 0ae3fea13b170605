"""Whose hand plays what: the reader's voices become voices 1–4 of the right hand, 5–8 of the left.

Enters: the raw bars. Leaves: ``Voices``, which answers for every item. Knows no notation.

A note that crosses staves belongs to the hand that its voice belongs to, and a voice belongs to the
hand on whose staff most of its notes stand. Files that count voices anew on each staff use one
name for two voices at once; these are told apart by their staff.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from engrave.music.notes import Hand
from engrave.music.units import Quarters, quarters
from engrave.score.formats.raw import Item, RawBar

PER_HAND = 4

Line = tuple[str, int]
"""A voice by the reader's name, and its staff where the name is used on both at once (else 0)."""


class Voices:
    """The hand and the voice number of every item of a part."""

    def __init__(self, bars: Sequence[RawBar]) -> None:
        self._doubled = _doubled(bars)
        notes: dict[Line, Counter[int]] = defaultdict(Counter)
        for bar in bars:
            for item in bar.items:
                notes[self._line(item.voice, item.staff)][item.staff] += _weight(item)
        self._hands = {
            line: Hand.LEFT if staves[2] > staves[1] else Hand.RIGHT
            for line, staves in notes.items()
        }
        self._numbers = [self._number(bar) for bar in bars]

    def of(self, bar: int, voice: str, staff: int) -> tuple[Hand, int]:
        """The hand and the number of the reader's ``voice`` on ``staff`` in a bar."""
        line = self._line(voice, staff)
        hand = self._hands.get(line, Hand.RIGHT if staff == 1 else Hand.LEFT)
        first = 1 if hand is Hand.RIGHT else 1 + PER_HAND
        return hand, self._numbers[bar].get(line, first)

    def _line(self, voice: str, staff: int) -> Line:
        return (voice, staff) if voice in self._doubled else (voice, 0)

    def _number(self, bar: RawBar) -> dict[Line, int]:
        here = {self._line(item.voice, item.staff) for item in bar.items}
        numbers = {}
        for hand, first in ((Hand.RIGHT, 1), (Hand.LEFT, 1 + PER_HAND)):
            everywhere = sorted(
                (line for line in self._hands if self._hands[line] is hand), key=_order
            )
            lines = (
                everywhere if len(everywhere) <= PER_HAND else [x for x in everywhere if x in here]
            )
            for rank, line in enumerate(lines):
                numbers[line] = first + min(rank, PER_HAND - 1)
        return numbers


def _weight(item: Item) -> int:
    """A rest decides only where there is no note."""
    return 1 if item.element.isRest else 1000


def _order(line: Line) -> tuple[int, int, str, int]:
    name, staff = line
    return (0, int(name), name, staff) if name.isdecimal() else (1, 0, name, staff)


def _doubled(bars: Iterable[RawBar]) -> set[str]:
    """The names under which notes of both staves sound at once."""
    doubled = set()
    for bar in bars:
        ends: dict[tuple[str, int], list[tuple[Quarters, Quarters]]] = defaultdict(list)
        for item in bar.items:
            length = quarters(item.element.quarterLength)
            ends[item.voice, item.staff].append((item.offset, item.offset + length))
        for (voice, staff), spans in ends.items():
            if staff == 1 and _overlap(spans, ends.get((voice, 2), [])):
                doubled.add(voice)
    return doubled


def _overlap(
    some: Iterable[tuple[Quarters, Quarters]], others: Sequence[tuple[Quarters, Quarters]]
) -> bool:
    return any(
        max(start, other_start) < min(end, other_end)
        for start, end in some
        for other_start, other_end in others
    )
