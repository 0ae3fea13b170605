"""Accents: the runs as written, an accent on each note of the group in turn.

Enters: a passage. Leaves: for every marked hand with runs, variants ``accent-1``, ``accent-2`` … to
the size of the source's own groups.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from engrave.drills.as_printed import as_printed
from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    nothing_to_drill,
    option,
    runs_by_hand,
)
from engrave.drills.sifting import fewer_than_six
from engrave.drills.signs import ARTICULATION
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import name
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Bar, Event, Sheet
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.passage.runs import Run
from engrave.remarks import Remark

_STRESSES = frozenset({"accent", "strong-accent", "tenuto"})


NOTES = {f"accent-{note}": note for note in range(1, 8)}
"""Which note of the group each variant accents; no group has more."""

VARIANTS = tuple(NOTES)


@dataclass(frozen=True, slots=True, kw_only=True)
class AccentOptions(Options):
    """Which notes of the group take the accent; without ``variants`` each in turn."""

    variants: tuple[str, ...] | None = option(list_of(value(name("variant", VARIANTS))), None)


def make(passage: Passage, options: AccentOptions) -> Made:
    """A drill for every place of the group that the accent can take."""
    by_hand = runs_by_hand(passage, "accents")
    asked = VARIANTS if options.variants is None else options.variants
    drills = [
        _drill(passage, options, hand, runs, variant)
        for hand, runs in by_hand.items()
        for variant, note in NOTES.items()
        if note <= runs[0].group and variant in asked
    ]
    refused = [
        Remark.of("accents.refused", hand=hand, count=runs[0].group)
        for hand, runs in by_hand.items()
        if any(NOTES[name] > runs[0].group for name in options.variants or ())
    ]
    if not drills:
        groups = max(runs[0].group for runs in by_hand.values())
        raise nothing_to_drill(
            passage,
            "accents",
            f"its groups have {groups} notes, and {' and '.join(asked)} asks for another",
            f"ask for accent-1 to accent-{groups}",
            options.place("variants"),
        )
    return Made(tuple(drills), tuple(refused))


def _drill(
    passage: Passage, options: AccentOptions, hand: Hand, hand_runs: Sequence[Run], variant: str
) -> Drill:
    printed, place = as_printed(passage, (hand,)), NOTES[variant] - 1
    accented = {
        at
        for run in hand_runs
        for number, note in enumerate(run.notes)
        if (run.place_in_beat + number) % run.group == place
        for at in _places(note)
    }
    touched = {at for run in hand_runs for note in run.notes for at in _places(note)}
    bars = tuple(
        _accent(bar, start, touched, accented)
        for start, bar in zip(printed.sheet.starts, printed.sheet.bars, strict=True)
    )
    sheet = Sheet(bars, printed.sheet.spans, printed.sheet.staves)
    return drill_of(
        passage,
        options,
        ("accents", variant),
        (hand,),
        sheet,
        printed.source,
        of=hand,
        worth=place,
        on_purpose=(ARTICULATION,),
    )


_Place = tuple[Quarters, int]
"""When something is struck, and in which voice."""


def _places(note: Onset) -> Iterator[_Place]:
    return ((note.time, tone.voice) for tone in note.tones)


def _accent(bar: Bar, start: Quarters, touched: set[_Place], accented: set[_Place]) -> Bar:
    def event(old: Event) -> Event:
        at = start + old.offset, old.voice
        if old.grace or not old.is_struck or at not in touched:
            return old
        kept = tuple(name for name in old.articulations if name not in _STRESSES)
        return replace(old, articulations=(*kept, "accent") if at in accented else kept)

    return replace(bar, events=tuple(event(old) for old in bar.events))


FAMILY = Family("accents", make, AccentOptions, never=fewer_than_six, variants=VARIANTS)
