"""What a hand strikes: a sheet's printed events turned into onsets, ties merged.

Enters: a ``Sheet``. Leaves: ``Onset``s of one hand. Grace notes are no onsets: they take their
time from others. Knows nothing of drills.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.onset import Onset, Struck
from engrave.music.sheet import Event, Sheet, Tone
from engrave.music.units import Quarters


@dataclass(slots=True)
class _Sounding:
    """A key that is down: where it went down, and how long it has sounded so far."""

    time: Quarters
    bar: int
    event: Event
    tone: Tone
    end: Quarters


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a bar of a cut begins, in quarters: in its printed measure, and in a full measure.

    The two differ in a pickup, whose first note stands at 0 of its measure and on the last beat.
    """

    in_measure: Quarters = Fraction(0)
    in_meter: Quarters = Fraction(0)


def onsets(
    sheet: Sheet, hand: Hand, origins: Mapping[int, Origin] | None = None
) -> tuple[Onset, ...]:
    """The onsets of ``hand`` in order; ``origins`` of the bars that do not begin their measure.

    Tones that two voices strike together are one; the longer of the two is kept. A tie that nothing
    leads into (a second ending, a note that was left to ring) strikes.
    """
    struck = _merge_unisons(_sounding(sheet, hand))
    starts = sheet.starts
    graces = Counter(time for time, _, e in sheet.timed() if e.grace and e.hand is hand)
    result: list[Onset] = []
    for time, keys in struck:
        bar = keys[0].bar
        tones = tuple(
            Struck(key.tone.pitch, key.end - key.time, key.event.voice, key.tone.finger)
            for key in keys
        )
        here = [key.event for key in keys]
        origin = (origins or {}).get(bar, Origin())
        result.append(
            Onset(
                index=len(result),
                time=time,
                hand=hand,
                bar=bar,
                measure=sheet.bars[bar].name,
                offset=time - starts[bar] + origin.in_measure,
                metric=time - starts[bar] + origin.in_meter,
                tones=tones,
                staff=keys[0].event.staff,
                articulations=_names(event.articulations for event in here),
                ornaments=_names(event.ornaments for event in here),
                graces=graces.get(time, 0),
            )
        )
    return tuple(result)


def _names(groups: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for group in groups for name in group))


def _sounding(sheet: Sheet, hand: Hand) -> list[_Sounding]:
    keys: list[_Sounding] = []
    tied: defaultdict[tuple[int, Quarters], list[_Sounding]] = defaultdict(list)
    for time, bar, event in sorted(_played(sheet, hand), key=lambda item: item[0]):
        for tone in event.tones:
            before = tied[tone.pitch.midi, time]
            if tone.tie_in and before:
                key = before.pop(0)
            else:
                key = _Sounding(time, bar, event, tone, time)
                keys.append(key)
            key.end = time + event.length
            if tone.tie_out:
                tied[tone.pitch.midi, key.end].append(key)
    return keys


def _played(sheet: Sheet, hand: Hand) -> Iterator[tuple[Quarters, int, Event]]:
    for time, bar, event in sheet.timed():
        if event.hand is hand and event.tones and not event.grace:
            yield time, bar, event


def _merge_unisons(sounding: list[_Sounding]) -> list[tuple[Quarters, list[_Sounding]]]:
    """What is struck at each moment, low to high, every key once."""
    moments: dict[Quarters, dict[int, _Sounding]] = {}
    for key in sounding:
        at = moments.setdefault(key.time, {})
        twin = at.get(key.tone.pitch.midi, key)
        kept, other = (key, twin) if key.end > twin.end else (twin, key)
        kept.tone = replace(kept.tone, finger=kept.tone.finger or other.tone.finger)
        at[key.tone.pitch.midi] = kept
    return [(time, [keys[midi] for midi in sorted(keys)]) for time, keys in sorted(moments.items())]
