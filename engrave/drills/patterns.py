"""Rhythm patterns: relative lengths laid over a run, group after group.

Enters: a variant's name, or the teacher's own lengths. Leaves: ``Pattern``s. Knows no music.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from itertools import accumulate
from math import gcd

from engrave.errors import EngraveError
from engrave.music.sheet import Meter
from engrave.music.units import Quarters

TWO_FOUR, FOUR_FOUR, SIX_EIGHT = Meter(2, 4), Meter(4, 4), Meter(6, 8)


@dataclass(frozen=True, slots=True)
class Pattern:
    """Relative ``lengths`` of a group's notes; a group fills ``fills`` quarters of ``meter``.

    ``accent`` is the place in the group (from 0) that carries an accent, None for none.
    """

    name: str
    lengths: tuple[int, ...]
    fills: Quarters
    meter: Meter
    accent: int | None = None

    @property
    def size(self) -> int:
        """Notes in a group."""
        return len(self.lengths)

    @property
    def note_lengths(self) -> tuple[Quarters, ...]:
        """The group's note lengths in quarters."""
        unit = self.fills / sum(self.lengths)
        return tuple(length * unit for length in self.lengths)

    @property
    def shortest(self) -> Quarters:
        """The group's shortest note, in quarters."""
        return min(self.note_lengths)

    @property
    def offsets(self) -> tuple[Quarters, ...]:
        """Where each of the group's notes starts, in quarters from the start of the group."""
        return tuple(accumulate(self.note_lengths[:-1], initial=Fraction(0)))

    @property
    def long_places(self) -> frozenset[int]:
        """The places of the longest notes; none where all are alike."""
        longest = max(self.lengths)
        if min(self.lengths) == longest:
            return frozenset()
        return frozenset(i for i, length in enumerate(self.lengths) if length == longest)


def _in_quarter(name: str, *lengths: int, accent: int | None = None) -> Pattern:
    return Pattern(name, lengths, Fraction(1), TWO_FOUR, accent)


def _in_fours(long_place: int) -> Pattern:
    lengths = tuple(3 if place == long_place else 1 for place in range(4))
    return Pattern(f"in-fours-{long_place + 1}", lengths, Fraction(3, 2), SIX_EIGHT, long_place)


PATTERNS: dict[str, Pattern] = {
    pattern.name: pattern
    for pattern in (
        _in_quarter("long-short", 3, 1),
        _in_quarter("short-long", 1, 3),
        _in_quarter("short-short-long", 1, 1, 2),
        _in_quarter("long-short-short", 2, 1, 1),
        _in_quarter("short-long-short", 1, 2, 1),
        _in_quarter("in-threes", 1, 1, 1, accent=0),
        *(_in_fours(place) for place in range(4)),
    )
}
"""The table of rhythm variants, in the order in which they are named in a marks file."""

_OPPOSITES = (
    ("long-short", "short-long"),
    ("short-short-long", "long-short-short"),
    ("in-fours-1", "in-fours-4"),
    ("in-fours-2", "in-fours-3"),
)

_PAIRS = ("long-short", "short-long", "short-short-long", "long-short-short")

FOR_FOURS = (*_PAIRS, "in-threes")
"""What a run in fours gets unasked: the five that every teacher names (common practice)."""

FOR_THREES = (*_PAIRS, "in-fours-1", "in-fours-4")
"""The same for a run in threes, with its opposite beside in-fours-1 (common practice)."""

_PRINTABLE = (1, 2, 3, 4, 6, 8, 12)
_CUSTOM_METERS = {
    4: (Fraction(1), TWO_FOUR), 8: (Fraction(2), TWO_FOUR), 16: (Fraction(4), FOUR_FOUR),
    3: (Fraction(3, 2), SIX_EIGHT), 6: (Fraction(3, 2), SIX_EIGHT),
    12: (Fraction(3), SIX_EIGHT),
}  # fmt: skip
"""What a teacher's own group fills, and its meter, by the sum of its lengths: no length is shorter
than a sixteenth."""


def custom(lengths: tuple[int, ...]) -> Pattern:
    """The pattern of the teacher's own relative lengths, ``(3, 1, 2)``.

    Raises ``EngraveError`` where no meter lets a group of them fill whole beats in plain values, a
    sixteenth the shortest.
    """
    divisor = reduce(gcd, lengths)
    lengths = tuple(length // divisor for length in lengths)
    text, total = ", ".join(map(str, lengths)), sum(lengths)
    if len(set(lengths)) == 1:
        raise EngraveError(
            f"the pattern [{text}] makes all notes alike: that is the run as it is written",
            hint="make at least one length differ, as in [3, 1, 2]",
        )
    if total not in _CUSTOM_METERS:
        raise EngraveError(
            f"the pattern [{text}] adds up to {total}: no meter holds such groups in whole beats",
            hint=f"make them add up to one of {', '.join(map(str, sorted(_CUSTOM_METERS)))}",
        )
    odd = next((length for length in lengths if length not in _PRINTABLE), None)
    if odd is not None:
        raise EngraveError(
            f"the pattern [{text}] has a length of {odd}, which no single note value prints",
            hint=f"lengths that one note prints: {', '.join(map(str, _PRINTABLE))}",
        )
    fills, meter = _CUSTOM_METERS[total]
    return Pattern("custom-" + "-".join(map(str, lengths)), lengths, fills, meter)


def opposite(pattern: Pattern) -> Pattern | None:
    """The pattern's mirror, which it never comes without; None where it is its own."""
    for one, other in _OPPOSITES:
        if pattern.name in (one, other):
            return PATTERNS[other if pattern.name == one else one]
    mirrored = pattern.lengths[::-1]
    if pattern.name in PATTERNS or mirrored == pattern.lengths:
        return None
    return custom(mirrored)


def with_opposites(patterns: list[Pattern]) -> list[Pattern]:
    """Each pattern with its opposite beside it, every one once, in the order asked for."""
    result: list[Pattern] = []
    for pattern in patterns:
        for each in (pattern, opposite(pattern)):
            if each and each.name not in {known.name for known in result}:
                result.append(each)
    return result
