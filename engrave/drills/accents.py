"""Accents: the runs as written, an accent on each note of the group in turn.

Enters: a passage. Leaves: for every marked hand with runs, variants ``accent-1`` to ``accent-4``
(to ``accent-3`` for runs in threes).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.drills.as_printed import as_printed
from engrave.drills.family import (
    Family,
    Made,
    Options,
    no_runs,
    nothing_to_drill,
    played,
    runs_of,
    scaled_ladder,
    suffix,
)
from engrave.music.drill import Drill, Remark
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Bar, Event, Sheet
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.passage.runs import Run

_STRESSES = frozenset({"accent", "strong-accent", "tenuto"})


def make(passage: Passage, options: Options) -> Made:
    """A drill for every place of the group that the accent can take."""
    found = {hand: runs for hand in passage.hands if (runs := runs_of(passage, hand))}
    if not found:
        raise no_runs(passage, "accents")
    asked = options.words("variants")
    drills = [
        _drill(passage, options, hand, runs, place)
        for hand, runs in found.items()
        for place in range(runs[0].group)
        if asked is None or f"accent-{place + 1}" in asked
    ]
    refused = [
        Remark.of("accents.refused", hand=hand)
        for hand, runs in found.items()
        if runs[0].in_threes and asked and "accent-4" in asked
    ]
    if not drills:
        raise nothing_to_drill(
            passage,
            "accents",
            f"its groups have three notes, and {' and '.join(asked or ())} asks for another",
            "ask for accent-1, accent-2 or accent-3",
            options.sources.get("variants"),
        )
    return Made(tuple(drills), tuple(refused))


def _drill(
    passage: Passage, options: Options, hand: Hand, found: Sequence[Run], place: int
) -> Drill:
    printed = as_printed(passage, (hand,))
    accented = {
        at
        for run in found
        for number, note in enumerate(run.notes)
        if (run.place + number) % run.group == place
        for at in _places(note)
    }
    touched = {at for run in found for note in run.notes for at in _places(note)}
    bars = tuple(
        _accent(bar, start, touched, accented)
        for start, bar in zip(printed.sheet.starts, printed.sheet.bars, strict=True)
    )
    return Drill(
        passage=passage.id,
        family="accents",
        variant=f"accent-{place + 1}",
        hands=(hand,),
        sheet=Sheet(bars, printed.sheet.spans, printed.sheet.staves),
        ladder=scaled_ladder(passage, options, Fraction(1), passage.goal.beat),
        source=printed.source,
        written=played(printed.sheet),
        suffix=suffix(passage, hand),
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


FAMILY = Family("accents", make)
