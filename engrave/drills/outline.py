"""Outline: the first note of each hand position, in time, held until the next.

Enters: a passage whose onsets have their fingers. Leaves: a drill for each marked hand that moves.
Where the hand is, ``positions`` says.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.drills.barring import Room, Written, bar_up
from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    key_at,
    nothing_to_drill,
    source_note,
    written_note,
)
from engrave.drills.sifting import fewer_than_six
from engrave.drills.signs import ARTICULATION
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Sheet
from engrave.passage.model import Passage
from engrave.passage.positions import positions
from engrave.remarks import Remark


def make(passage: Passage, options: Options) -> Made:
    """A drill for every marked hand with at least two positions."""
    drills = []
    for hand in passage.hands:
        line = passage.lines[hand]
        firsts = [line[at.first] for at in positions(line, hand, passage.stretch_mm[hand])]
        if len(firsts) > 1:
            drills.append(_drill(passage, hand, firsts, options))
    if not drills:
        raise nothing_to_drill(
            passage,
            "outline",
            "the hand stays in one position",
            "drop outline from this passage's drills, or widen its measures",
        )
    return Made(tuple(drills))


def _drill(passage: Passage, hand: Hand, firsts: Sequence[Onset], options: Options) -> Drill:
    sheet = bar_up(
        [list(_held(passage, firsts))],
        list(_rooms(passage, firsts[0])),
        key_at(passage, 0),
        (hand.staff,),
    )
    sheet = _with_keys(passage, sheet)
    return drill_of(
        passage,
        options,
        ("outline", "in-time"),
        (hand,),
        sheet,
        map(source_note, firsts),
        of=hand,
        remarks=[Remark.of("outline.how")],
        on_purpose=(ARTICULATION,),
    )


def _held(passage: Passage, firsts: Sequence[Onset]) -> Iterator[Written]:
    """Each first note from its own time to the next one's, the last to the passage's end."""
    ends = [*(onset.time for onset in firsts[1:]), passage.sheet.length]
    for number, (onset, end) in enumerate(zip(firsts, ends, strict=True)):
        yield written_note(passage, onset, number, onset.time, end - onset.time)


def _rooms(passage: Passage, first: Onset) -> Iterator[Room]:
    """The passage's own bars; a first one that is short begins as far in as its music does."""
    for number, bar in enumerate(passage.sheet.bars):
        lead = Fraction(0)
        if number == 0 and bar.length < bar.meter.length:
            heard = first.bar == 0
            lead = first.metric - first.time if heard else bar.missing
        yield Room(bar.length, bar.meter, lead, bar.meter_shown, bar.implicit)


def _with_keys(passage: Passage, sheet: Sheet) -> Sheet:
    bars = zip(sheet.bars, passage.sheet.bars, strict=True)
    return replace(sheet, bars=tuple(replace(bar, key=printed.key) for bar, printed in bars))


FAMILY = Family("outline", make, Options, never=fewer_than_six)
