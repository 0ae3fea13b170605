"""The fingering notes of one hand: thumb passes, black keys, moves of the hand, whose fingers.

Enters: fingered onsets and their hand positions. Leaves: facts, and ``Remark``s made of them. The
words stand in the word lists, table ``fingering``.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from engrave.fingering.keyboard import WHITE_MM, signed_mm
from engrave.music.drill import Remark
from engrave.music.notes import FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.positions import Position

NAMED_WIDTHS = (*range(1, 16), 21)
"""Letters of the intervals that have a name."""
MOST_NAMED = 5
"""Places that one note names; a longer list is counted."""
_WIDEST_PASS_MM = 5 * WHITE_MM
"""A thumb goes under as far as a fifth or so (widest arpeggios); further, the hand leaps."""
_PASSED = (2, 3, 4)
"""Fingers that the thumb passes under; beyond the little finger the whole hand moves."""


@dataclass(frozen=True, slots=True)
class ThumbPass:
    """Thumb and finger change sides between two single notes.

    ``onset`` is the index of the later one. ``under``: the thumb goes under ``finger``, onto
    ``pitch``; otherwise ``finger`` goes over the thumb, onto ``pitch``.
    """

    onset: int
    finger: int
    pitch: Pitch
    under: bool


def thumb_passes(onsets: Sequence[Onset], hand: Hand) -> tuple[ThumbPass, ...]:
    """Every pass of the thumb in a fingered line, in order."""
    found = []
    for number, (before, after) in enumerate(pairwise(onsets), 1):
        if len(before.tones) > 1 or len(after.tones) > 1 or before.pitches == after.pitches:
            continue
        first, second = _numbers(before)[0], _numbers(after)[0]
        if 1 not in (first, second) or max(first, second) not in _PASSED:
            continue
        outwards = signed_mm(before.pitches[0], after.pitches[0])
        outwards *= 1 if hand is Hand.RIGHT else -1
        under = second == 1
        if (outwards > 0) == under and abs(outwards) <= _WIDEST_PASS_MM:
            found.append(ThumbPass(number, max(first, second), after.pitches[0], under))
    return tuple(found)


def black_key_fingers(onsets: Sequence[Onset]) -> dict[Pitch, tuple[int, ...]]:
    """For each black key by name (spelled, octave 4) its fingers, the usual one first."""
    fingers: defaultdict[Pitch, Counter[int]] = defaultdict(Counter)
    for onset in onsets:
        for tone, number in zip(onset.tones, _numbers(onset), strict=True):
            if tone.pitch.is_black:
                fingers[Pitch(tone.pitch.step, tone.pitch.alter, 4)][number] += 1
    return {
        pitch: tuple(number for number, _ in sorted(seen.items(), key=lambda n: (-n[1], n[0])))
        for pitch, seen in sorted(fingers.items(), key=lambda item: item[0].midi)
    }


def origins(onsets: Sequence[Onset]) -> Counter[FingerOrigin]:
    """How many fingers the teacher, the score and this tool have set."""
    return Counter(tone.finger.origin for onset in onsets for tone in onset.tones if tone.finger)


def fingering_notes(
    onsets: Sequence[Onset], positions: Sequence[Position], hand: Hand
) -> tuple[Remark, ...]:
    """The fingering notes of a fingered line, in the order in which a player wants them."""
    return tuple(
        remark
        for remarks in (
            _pass_notes(onsets, hand),
            _black_notes(onsets, hand),
            _move_notes(onsets, positions, hand),
            _rolled_notes(onsets, positions, hand),
            _origin_notes(onsets, hand),
        )
        for remark in remarks
    )


def _pass_notes(onsets: Sequence[Onset], hand: Hand) -> Iterator[Remark]:
    passes = thumb_passes(onsets, hand)
    for under, key, place in (
        (True, "fingering.under", "fingering.under-place"),
        (False, "fingering.over", "fingering.over-place"),
    ):
        measures: defaultdict[tuple[int, Pitch], list[str]] = defaultdict(list)
        for each in passes:
            if each.under is under:
                measures[each.finger, each.pitch].append(onsets[each.onset].measure)
        yield from _listed(
            key,
            [
                Remark.of(place, finger=finger, pitch=pitch, measures=_names(found))
                for (finger, pitch), found in measures.items()
            ],
            hand,
        )


def _black_notes(onsets: Sequence[Onset], hand: Hand) -> Iterator[Remark]:
    keys = [
        Remark.of("fingering.black-key", pitch=pitch, fingers=fingers)
        for pitch, fingers in black_key_fingers(onsets).items()
    ]
    if keys:
        yield Remark.of("fingering.black", hand=hand, keys=tuple(keys))


def _move_notes(
    onsets: Sequence[Onset], positions: Sequence[Position], hand: Hand
) -> Iterator[Remark]:
    passed = {each.onset for each in thumb_passes(onsets, hand)}
    measures: defaultdict[int, list[str]] = defaultdict(list)
    for position in positions[1:]:
        if position.shift_white_keys and position.first not in passed:
            measures[position.shift_white_keys].append(onsets[position.first].measure)
    moves = [
        Remark.of(
            "fingering.move-up" if keys > 0 else "fingering.move-down",
            interval=interval_of(abs(keys)),
            count=abs(keys),
            measures=_names(found),
        )
        for keys, found in measures.items()
    ]
    yield from _listed("fingering.moves", moves, hand)


def interval_of(white_keys: int) -> Remark:
    """A distance in white keys by the name of its interval: ``an octave`` for 7."""
    name = next((width for width in NAMED_WIDTHS if white_keys + 1 <= width), "more")
    return Remark.of(f"survey.finding.interval.{name}")


def _rolled_notes(
    onsets: Sequence[Onset], positions: Sequence[Position], hand: Hand
) -> Iterator[Remark]:
    rolled = [onsets[position.first].measure for position in positions if not position.held]
    if rolled:
        yield Remark.of("fingering.rolled", count=len(rolled), hand=hand, measures=_names(rolled))


def _origin_notes(onsets: Sequence[Onset], hand: Hand) -> Iterator[Remark]:
    counts = origins(onsets)
    if set(counts) == {FingerOrigin.COMPUTED}:
        yield Remark.of("fingering.all-suggested", hand=hand)
        return
    whose = [
        Remark.of(f"fingering.by-{origin}", count=counts[origin])
        for origin in FingerOrigin
        if counts[origin]
    ]
    if whose:
        yield Remark.of("fingering.origins", hand=hand, whose=tuple(whose))


def _listed(key: str, places: list[Remark], hand: Hand) -> Iterator[Remark]:
    if len(places) > MOST_NAMED:
        rest = Remark.of("fingering.more", count=len(places) - MOST_NAMED + 1)
        places = [*places[: MOST_NAMED - 1], rest]
    if places:
        yield Remark.of(key, hand=hand, places=tuple(places))


def _names(measures: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(measures))


def _numbers(onset: Onset) -> tuple[int, ...]:
    if any(tone.finger is None for tone in onset.tones):
        raise ValueError(f"onset {onset.index} has a tone without a finger")
    return tuple(tone.finger.number for tone in onset.tones if tone.finger)
