"""Which keys go down, when, for how long and how loud.

Enters: a ``Sheet``. Leaves: ``Sounding``s in order of time. Ties are one sound; grace notes come
short before the beat; a rolled chord goes up quickly from the beat; what both voices of a hand
strike together is struck once. Knows no tempo.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.sheet import Event, Sheet
from engrave.music.units import Quarters
from engrave.sound.loudness import Loudness
from engrave.sound.model import Head, Sounding

_SHORT = (Fraction(1, 8), Fraction(1, 16), Fraction(1, 32), Fraction(1, 64))
"""What a grace note takes, in quarters, or the next tone of a rolled chord waits: the first that
leaves half of the time there is to the others."""

_HELD = {
    frozenset({"staccato"}): Fraction(1, 2),
    frozenset({"spiccato"}): Fraction(1, 2),
    frozenset({"staccatissimo"}): Fraction(1, 4),
    frozenset({"detached-legato"}): Fraction(3, 4),
    frozenset({"staccato", "tenuto"}): Fraction(3, 4),
}
"""How much of its length a note sounds, by its articulation (common practice, no source)."""
_SHORTENING = frozenset({"staccato", "spiccato", "staccatissimo", "detached-legato", "tenuto"})


@dataclass(slots=True)
class _KeyDown:
    """A key that is down, tied heads put together as they come."""

    key: int
    event: Event
    onset: Quarters
    end: Quarters
    heads: list[Head] = field(default_factory=list)


def soundings(sheet: Sheet) -> tuple[Sounding, ...]:
    """All that is struck, by time, the left hand first, low to high."""
    loudness = Loudness(sheet)
    sounded: list[Sounding] = []
    for hand in Hand:
        plain = _plain(sheet, hand, loudness)
        sounded += _damped([*_rolled(sheet, hand, plain), *_graces(sheet, hand, plain, loudness)])
    return tuple(sorted(sounded, key=lambda each: (each.start, each.hand, each.key)))


def _plain(sheet: Sheet, hand: Hand, loudness: Loudness) -> list[Sounding]:
    """Every key as printed, in time."""
    keys: list[_KeyDown] = []
    tied: defaultdict[tuple[int, Quarters], list[_KeyDown]] = defaultdict(list)
    for time, event, place in sorted(_played(sheet, hand), key=lambda each: each[0]):
        for number, tone in enumerate(event.tones):
            before = tied[tone.pitch.midi, time]
            if tone.tie_in and before:
                key = before.pop(0)
            else:
                key = _KeyDown(tone.pitch.midi, event, time, time)
                keys.append(key)
            key.end = time + event.length
            key.heads.append(replace(place, tone=number))
            if tone.tie_out:
                tied[tone.pitch.midi, key.end].append(key)
    return [_sounding(key, hand, loudness) for key in _once(keys)]


def _played(sheet: Sheet, hand: Hand) -> Iterator[tuple[Quarters, Event, Head]]:
    for bar, (start, printed) in enumerate(zip(sheet.starts, sheet.bars, strict=True)):
        for number, event in enumerate(printed.events):
            if event.hand is hand and event.tones and not event.grace:
                yield start + event.offset, event, Head(bar, number, 0)


def _once(keys: Sequence[_KeyDown]) -> list[_KeyDown]:
    """A key that two voices strike together is one, and held as the longer says."""
    struck: dict[tuple[Quarters, int], _KeyDown] = {}
    for key in keys:
        twin = struck.setdefault((key.onset, key.key), key)
        if twin is not key:
            twin.heads += key.heads
            if key.end > twin.end:
                twin.end, twin.event = key.end, key.event
    return list(struck.values())


def _sounding(key: _KeyDown, hand: Hand, loudness: Loudness) -> Sounding:
    held = _HELD.get(_SHORTENING.intersection(key.event.articulations), Fraction(1))
    return Sounding(
        key=key.key,
        hand=hand,
        onset=key.onset,
        start=key.onset,
        length=(key.end - key.onset) * held,
        loudness=loudness.of(key.onset, hand, key.event.articulations),
        heads=tuple(key.heads),
    )


def _rolled(sheet: Sheet, hand: Hand, plain: Sequence[Sounding]) -> Iterator[Sounding]:
    """The same, chords under a wavy line from the bottom, all ending as they would."""
    moments = {
        time for time, event, _ in _played(sheet, hand) if event.arpeggio and event.is_struck
    }
    for time in moments:
        chord = sorted((each for each in plain if each.onset == time), key=lambda each: each.key)
        step = _shortest(min(each.length for each in chord), len(chord)) if chord else Fraction(0)
        for number, each in enumerate(chord):
            later = number * step
            yield replace(each, start=time + later, length=each.length - later)
    yield from (each for each in plain if each.onset not in moments)


def _graces(
    sheet: Sheet, hand: Hand, plain: Sequence[Sounding], loudness: Loudness
) -> Iterator[Sounding]:
    """Grace notes one after the other, each voice's own, ending where their note begins."""
    groups: defaultdict[tuple[Quarters, int], list[tuple[Event, Head]]] = defaultdict(list)
    for bar, (start, printed) in enumerate(zip(sheet.starts, sheet.bars, strict=True)):
        for number, event in enumerate(printed.events):
            if event.grace and event.tones and event.hand is hand:
                groups[start + event.offset, event.voice].append((event, Head(bar, number, 0)))
    for (time, _), group in groups.items():
        before = max((each.onset for each in plain if each.onset < time), default=None)
        step = _shortest(Fraction(1) if before is None else time - before, len(group))
        for back, (event, place) in zip(range(len(group), 0, -1), group, strict=True):
            for number, tone in enumerate(event.tones):
                yield Sounding(
                    key=tone.pitch.midi,
                    hand=hand,
                    onset=time,
                    start=time - back * step,
                    length=step,
                    loudness=loudness.of(time, hand, ()),
                    heads=(replace(place, tone=number),),
                )


def _shortest(room: Quarters, count: int) -> Quarters:
    return next((step for step in _SHORT if step * count * 2 <= room), room / (2 * count))


def _damped(sounded: Sequence[Sounding]) -> Iterator[Sounding]:
    """A key that is struck again while it is down goes up first."""
    again: dict[int, Quarters] = {}
    for each in sorted(sounded, key=lambda each: each.start, reverse=True):
        stop = again.get(each.key, each.end)
        again[each.key] = each.start
        if stop > each.start:
            yield replace(each, length=min(each.length, stop - each.start))
