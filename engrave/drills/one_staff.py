"""What one hand plays on one staff, wherever the score prints it.

Enters: a sheet of one hand's notes over several staves. Leaves: the same on the hand's own staff,
or as it was where that could not be read. Knows no fingers.
"""

from dataclasses import replace

from engrave.drills.clefs import LINES, OCTAVE, ledgers, suited
from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Clef, ClefChange, Direction, Event, Sheet

MOST_LEDGERS = 5
"""Of a chord in the better clef; what needs more is easier to read on two staves."""


def on_one_staff(sheet: Sheet, hand: Hand) -> Sheet:
    """``sheet``, its staves drawn together where every chord can be read so."""
    if len(sheet.staves) == 1:
        return suited(sheet)
    if not all(_can_be_read(bar) for bar in sheet.bars):
        return suited(sheet)
    force: dict[int, Clef] = {}
    bars = tuple(_bar(bar, hand.staff, force) for bar in sheet.bars)
    spans = tuple(
        replace(span, staff=hand.staff)
        for span in sheet.spans
        if not span.kind.startswith("octave")
    )
    return suited(Sheet(bars, spans, (hand.staff,)))


def _can_be_read(bar: Bar) -> bool:
    for offset in {event.offset for event in bar.events if event.tones}:
        heights = [
            tone.pitch.diatonic
            for event in bar.events
            if event.offset == offset
            for tone in event.tones
        ]
        if not any(_reads(min(heights), max(heights), clef) for clef in LINES):
            return False
    return True


def _reads(low: int, high: int, clef: Clef) -> bool:
    """Whether a chord can be read in a clef, under an octave line if need be."""
    bottom, _ = LINES[clef]
    if ledgers(low, high, clef) <= MOST_LEDGERS:
        return True
    return low - OCTAVE >= bottom and ledgers(low - OCTAVE, high - OCTAVE, clef) <= MOST_LEDGERS


def _bar(bar: Bar, staff: int, force: dict[int, Clef]) -> Bar:
    """The bar on one staff, with the clef in which the score has each of its notes."""
    changes: list[ClefChange] = []
    coming = sorted(bar.clefs, key=lambda change: change.offset)
    for event in sorted(bar.events, key=lambda event: event.offset):
        while coming and coming[0].offset <= event.offset:
            change = coming.pop(0)
            force[change.staff] = change.clef
        if event.tones and event.staff in force:
            changes.append(ClefChange(event.offset, staff, force[event.staff]))
    for change in coming:
        force[change.staff] = change.clef
    sounding = [event for event in bar.events if event.tones and not event.grace]
    return replace(
        bar,
        events=tuple(
            replace(
                event,
                staff=staff,
                stem=None,
                silent=event.silent or (event.is_rest and _is_covered(event, sounding)),
            )
            for event in bar.events
        ),
        clefs=tuple(changes),
        directions=_directions(bar, staff),
    )


def _is_covered(rest: Event, sounding: list[Event]) -> bool:
    """Whether another voice of the hand sounds while this one rests."""
    return any(
        other.voice != rest.voice and other.offset < rest.end and rest.offset < other.end
        for other in sounding
    )


def _directions(bar: Bar, staff: int) -> tuple[Direction, ...]:
    """The words and signs of all staves, each once."""
    return tuple(dict.fromkeys(replace(sign, staff=staff) for sign in bar.directions))
