"""The leaps that the teacher names: places of the passage, and what the hand does there.

Enters: the option ``at``, ranges of measures and beats. Leaves: leaps, however far the hand
is displaced.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from engrave.drills.family import meter_at
from engrave.drills.leaps.options import LeapOptions
from engrave.errors import EngraveError, Together
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.ranges import MeasureRange
from engrave.music.units import Quarters
from engrave.passage.leaps import Leap, flag_worst, leap_between, leaps
from engrave.passage.model import Passage

MOST_SHOWN = 8
WORTH_NAMING = 3
"""White keys: a fourth."""

DROP = "drop leaps from this passage's drills, or widen its measures"

InMeasure = tuple[int, Quarters]
"""Index of the first bar of a measure in the passage, and quarters from the measure's start."""


def named(passage: Passage, options: LeapOptions) -> Mapping[Hand, tuple[Leap, ...]] | None:
    """The leaps at the places of the option ``at``, by hand; None where it was not given.

    A place means the leaps that land there; a range of several beats means those that begin and
    land in it. Where none is a leap, the widest move is meant. Raises ``Mistakes`` with
    every place at which no marked hand moves.
    """
    if options.at is None:
        return None
    starts_by_hand: dict[Hand, set[int]] = {hand: set() for hand in passage.hands}
    told = Together()
    for place in options.at:
        at = {hand: _starts(passage, hand, place) for hand in passage.hands}
        for hand, starts in at.items():
            starts_by_hand[hand].update(starts)
        with told:
            if not any(at.values()):
                message = f"leaps: no marked hand moves to another key at {place}"
                raise EngraveError(message, options.place("at"), _landings(passage))
    told.raise_all()
    return {
        hand: flag_worst(
            leap_between(passage.lines[hand], start, start + 1, hand) for start in sorted(starts)
        )
        for hand, starts in starts_by_hand.items()
    }


def suggestion(passage: Passage) -> str:
    """A hint for passages in which no hand leaps: the widest move, if it is a fourth or more."""
    far = []
    for hand in passage.hands:
        line = passage.lines[hand]
        moves = [n for n in range(1, len(line)) if line[n].pitches != line[n - 1].pitches]
        for number in _widest(line, moves, hand):
            leap = leap_between(line, number - 1, number, hand)
            if leap.moved.letters >= WORTH_NAMING:
                far.append((leap.moved.mm, line[number].place_in(passage.sheet)))
    if not far:
        return DROP
    return f"{DROP}; or name the beat of its widest move: {{leaps: {{at: [{max(far)[1]}]}}}}"


def _landings(passage: Passage) -> str:
    """Where the marked hands land: after leaps where there are any, else after any move."""
    moves, far = [], []
    for hand in passage.hands:
        line = passage.lines[hand]
        ends = {leap.end for leap in leaps(line, hand)}
        for number, (before, onset) in enumerate(pairwise(line), 1):
            if onset.pitches != before.pitches:
                moves.append(onset)
                far += [onset] if number in ends else []
    landings = sorted(far or moves, key=lambda onset: onset.time)
    if not landings:
        return DROP
    beats = dict.fromkeys(onset.place_in(passage.sheet) for onset in landings)
    shown = [*list(beats)[:MOST_SHOWN], *(["…"] if len(beats) > MOST_SHOWN else [])]
    return f"name the beat on which the hand lands; here it does at {', '.join(shown)}"


def _starts(passage: Passage, hand: Hand, place: MeasureRange) -> set[int]:
    """The onsets from which the hand leaps to the place, or within it."""
    line = passage.lines[hand]
    first, end = _bounds(passage, place)
    one_beat = place.first == place.last and (
        place.first_beat is not None and place.first_beat == place.last_beat
    )
    landings = [
        number
        for number in range(1, len(line))
        if first <= _place(passage, line[number]) < end
        and (one_beat or first <= _place(passage, line[number - 1]))
        and line[number].pitches != line[number - 1].pitches
    ]
    far = {leap.end for leap in leaps(line, hand)}
    wide = [number for number in landings if number in far] or _widest(line, landings, hand)
    return {number - 1 for number in wide}


def _widest(line: Sequence[Onset], landings: Sequence[int], hand: Hand) -> list[int]:
    def distance(number: int) -> float:
        return leap_between(line, number - 1, number, hand).moved.mm

    return [max(landings, key=distance)] if landings else []


def _bounds(passage: Passage, place: MeasureRange) -> tuple[InMeasure, InMeasure]:
    """Where a range begins, and where it has ended; past the passage where it has no such bar."""
    names = [bar.name for bar in passage.sheet.bars]
    beyond = len(names)
    first = names.index(place.first) if place.first in names else beyond
    last = names.index(place.last) if place.last in names else beyond
    start, end = Fraction(0), Fraction(0)
    if place.first_beat is not None and first < beyond:
        start = (place.first_beat - 1) * meter_at(passage, first).beat
    if place.last_beat is None:
        return (first, start), (last + 1, end)
    if last < beyond:
        end = place.last_beat * meter_at(passage, last).beat
    return (first, start), (last, end)


def _place(passage: Passage, onset: Onset) -> InMeasure:
    return [bar.name for bar in passage.sheet.bars].index(onset.measure), onset.offset
