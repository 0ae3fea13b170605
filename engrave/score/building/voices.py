"""The lines that are printed: the reader's voices become voices numbers, four to a staff.

Enters: the raw bars. Leaves: ``Voices``, which answers for every item: 1 to 4 for the lines of the
first staff, 5 to 8 for those of the second. Knows no notation, and nothing of hands: a voice is the
copyist's, and does not say who plays it.

A voice that crosses staves is numbered with the staff on which most of its notes stand. Files that
count voices anew on each staff use one name for two voices at once; these are told apart by their
staff.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from itertools import combinations

from engrave.music.sheet import VOICES_PER_STAFF, first_voice
from engrave.music.units import Quarters, quarters
from engrave.score.formats.raw import RawBar, RawItem

VoiceKey = tuple[str, int]
"""A voice by the reader's name, and its staff where the name is used on two at once (else 0)."""


class Voices:
    """The voice number of every item of a part."""

    def __init__(self, bars: Sequence[RawBar]) -> None:
        self._doubled = _doubled(bars)
        notes: dict[VoiceKey, Counter[int]] = defaultdict(Counter)
        for bar in bars:
            for item in bar.items:
                notes[self._line(item.voice, item.staff)][item.staff] += _weight(item)
        self._staves = {
            line: min(staves, key=lambda staff: (-staves[staff], staff))
            for line, staves in notes.items()
        }
        self._numbers = [self._number(bar) for bar in bars]

    def of(self, bar: int, voice: str, staff: int) -> int:
        """The number of the reader's ``voice`` on ``staff`` in a bar."""
        line = self._line(voice, staff)
        home = self._staves.get(line, staff)
        return self._numbers[bar].get(line, first_voice(home))

    def _line(self, voice: str, staff: int) -> VoiceKey:
        return (voice, staff) if voice in self._doubled else (voice, 0)

    def _number(self, bar: RawBar) -> dict[VoiceKey, int]:
        here = {self._line(item.voice, item.staff) for item in bar.items}
        numbers = {}
        for staff in sorted(set(self._staves.values())):
            everywhere = sorted(
                (line for line in self._staves if self._staves[line] == staff), key=_order
            )
            lines = (
                everywhere
                if len(everywhere) <= VOICES_PER_STAFF
                else [x for x in everywhere if x in here]
            )
            for rank, line in enumerate(lines):
                numbers[line] = first_voice(staff) + min(rank, VOICES_PER_STAFF - 1)
        return numbers


def _weight(item: RawItem) -> int:
    """A rest decides only where there is no note."""
    return 1 if item.element.isRest else 1000


def _order(line: VoiceKey) -> tuple[int, int, str, int]:
    name, staff = line
    return (0, int(name), name, staff) if name.isdecimal() else (1, 0, name, staff)


def _doubled(bars: Iterable[RawBar]) -> set[str]:
    """The names under which notes of two staves sound at once."""
    doubled = set()
    for bar in bars:
        ends: dict[tuple[str, int], list[tuple[Quarters, Quarters]]] = defaultdict(list)
        for item in bar.items:
            if item.staves:
                continue  # one chord over two staves
            length = quarters(item.element.quarterLength)
            ends[item.voice, item.staff].append((item.offset, item.offset + length))
        for one, other in combinations(ends, 2):
            if one[0] == other[0] and _overlap(ends[one], ends[other]):
                doubled.add(one[0])
    return doubled


def _overlap(
    some: Iterable[tuple[Quarters, Quarters]], others: Sequence[tuple[Quarters, Quarters]]
) -> bool:
    return any(
        max(start, other_start) < min(end, other_end)
        for start, end in some
        for other_start, other_end in others
    )
