"""What each step of a leap plays: which notes of its chords, and which leaps it is made of.

Enters: a hand's onsets and its leaps. Leaves: ``Step``s of ``Strike``s, the onsets that are played
with the tones that are kept. Knows no time and no paper.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Tone
from engrave.music.units import Quarters
from engrave.passage.leaps import Leap

STEPS = (1, 2, 3, 4)
"""To the chord's outer note that the little finger takes; to the thumb's; to both; to the chord."""

MOST_BETWEEN = 2
"""Onsets between two leaps that are kept, so that the accompaniment does not fall to pieces."""

Pitches = tuple[Pitch, ...]


@dataclass(frozen=True, slots=True)
class Strike:
    """An onset as a step plays it: ``kept`` are indices into its tones, low to high.

    ``is_end``: a leap begins or ends here; otherwise the onset only joins two leaps.
    """

    onset: Onset
    kept: tuple[int, ...]
    is_end: bool = True

    @property
    def reduced(self) -> Onset:
        """The onset with the tones that are struck."""
        return replace(self.onset, tones=tuple(self.onset.tones[index] for index in self.kept))

    @property
    def is_whole(self) -> bool:
        """Whether all of its tones are struck."""
        return len(self.kept) == len(self.onset.tones)

    @property
    def pitches(self) -> Pitches:
        """What is struck, low to high."""
        return self.reduced.pitches

    @property
    def tones(self) -> tuple[Tone, ...]:
        """What is struck, with its fingers."""
        return tuple(Tone(tone.pitch, tone.finger) for tone in self.reduced.tones)

    @property
    def length(self) -> Quarters:
        """How long the longest note kept sounds, in quarters."""
        return self.reduced.length


@dataclass(frozen=True, slots=True)
class Step:
    """The leaps that a step drills, and what it plays for them, in order."""

    number: int
    leaps: tuple[Leap, ...]
    strikes: tuple[Strike, ...]


def steps_of(line: Sequence[Onset], leaps: Sequence[Leap], hand: Hand) -> dict[int, Step]:
    """The steps for the leaps of a line, by their numbers; one without leaps plays nothing."""
    chords = _chords(line, leaps, hand)
    steps = {}
    for number in STEPS:
        drilled = _drilled(line, leaps, hand, number, chords)
        steps[number] = Step(number, drilled, _strikes(line, drilled, hand, number, chords))
    return steps


def _drilled(
    line: Sequence[Onset], leaps: Sequence[Leap], hand: Hand, step: int, chords: frozenset[int]
) -> tuple[Leap, ...]:
    """The leaps that a step drills: all in the first, those from or to a chord in the others.

    Not those of which the step leaves nothing but a key that is struck again.
    """
    return tuple(
        leap
        for leap in leaps
        if (step == 1 or leap.start in chords or leap.end in chords)
        and len({_played(line[end], hand, step, end not in chords) for end in _ends(leap)}) > 1
    )


def _ends(leap: Leap) -> tuple[int, int]:
    return leap.start, leap.end


def _played(onset: Onset, hand: Hand, step: int, whole: bool) -> Pitches:
    """What a step strikes of an onset."""
    return tuple(onset.pitches[index] for index in _kept(onset, hand, step, whole))


def _strikes(
    line: Sequence[Onset], leaps: Sequence[Leap], hand: Hand, step: int, chords: frozenset[int]
) -> tuple[Strike, ...]:
    """What ``step`` plays, in order: both ends of its ``leaps``, and what joins them.

    Bass notes, an octave bass among them, stay whole; chords are reduced as the step asks. What
    lies between two leaps is played where it is little, or goes on with the same chords; what is
    struck again on the spot is struck again.
    """
    ends = sorted({end for leap in leaps for end in _ends(leap)})
    like = {number: end for end in ends for number in _on_the_spot(line, end)}
    like |= {end: end for end in ends}
    between = {n for before, after in pairwise(ends) for n in _between(line, before, after)}
    return tuple(
        Strike(
            line[number],
            _kept(line[number], hand, step, number in like and like[number] not in chords),
            number in ends,
        )
        for number in sorted(between | set(like))
    )


def _on_the_spot(line: Sequence[Onset], end: int) -> Iterator[int]:
    """The onsets next to ``end`` that strike the same keys in the same bar."""
    for step in (-1, 1):
        number = end + step
        while (
            0 <= number < len(line)
            and line[number].bar == line[end].bar
            and line[number].pitches == line[end].pitches
        ):
            yield number
            number += step


def _between(line: Sequence[Onset], before: int, after: int) -> range:
    """The onsets between two ends of leaps where the accompaniment goes on: a few, or chords."""
    between = range(before + 1, after)
    goes_on = len(between) <= MOST_BETWEEN or all(
        len(line[number].tones) > 1 or line[number].pitches == line[before].pitches
        for number in between
    )
    return between if goes_on else range(0)


def _kept(onset: Onset, hand: Hand, step: int, whole: bool) -> tuple[int, ...]:
    """Which tones a step keeps of an onset: all of a bass note's, of a chord those it asks for."""
    last = len(onset.tones) - 1
    if whole:
        return tuple(range(last + 1))
    little = 0 if hand is Hand.LEFT else last
    return {
        1: (little,),
        2: (last - little,),
        3: tuple(sorted({0, last})),
        4: tuple(range(last + 1)),
    }[step]


def _chords(line: Sequence[Onset], leaps: Sequence[Leap], hand: Hand) -> frozenset[int]:
    """The ends of leaps that are chords and no bass notes."""
    ends = {end for leap in leaps for end in _ends(leap)}
    return frozenset(end for end in ends if not _is_bass(end, line, leaps, hand))


def _is_bass(number: int, line: Sequence[Onset], leaps: Sequence[Leap], hand: Hand) -> bool:
    """A single note, or an octave outside the chords to which alone the hand leaps from it."""
    onset = line[number]
    if len(onset.tones) == 1:
        return True
    partners = [line[other] for other in _partners(number, leaps)]
    return _is_octave(onset) and not any(
        len(other.tones) == 1 or _is_octave(other) or not _is_outside(onset, other, hand)
        for other in partners
    )


def _partners(number: int, leaps: Sequence[Leap]) -> Iterator[int]:
    for leap in leaps:
        if leap.start == number:
            yield leap.end
        if leap.end == number:
            yield leap.start


def _is_octave(onset: Onset) -> bool:
    pitches = onset.pitches
    return len(pitches) == 2 and pitches[1].midi - pitches[0].midi == 12


def _is_outside(onset: Onset, other: Onset, hand: Hand) -> bool:
    """Whether ``onset`` lies wholly on the little finger's side of ``other``."""
    if hand is Hand.LEFT:
        return onset.pitches[-1].midi < other.pitches[0].midi
    return onset.pitches[0].midi > other.pitches[-1].midi
