"""One staff is blank, without a rest: both hands play on the other one.

Enters: a sheet of two staves and its strokes. Leaves nothing: of the lines that share the other
staff the notes of the one that belongs to the blank staff are told that they are expected in its
hand. Where a voice of the blank staff rests meanwhile, wherever the rest stands, nothing is said.
"""

from collections.abc import Collection, Sequence

from engrave.hands.strokes import Strokes
from engrave.music.notes import home_hand
from engrave.music.sheet import Bar, Event, Sheet, home_staff


def expect_from_blank(sheet: Sheet, strokes: Strokes, across: Collection[tuple[int, int]]) -> None:
    """Tell the notes of such lines where they are expected.

    Not those of the events ``across``: a beam that goes across the staves says more.
    """
    if strokes.staves != 2:
        return
    for number, bar in enumerate(sheet.bars):
        for staff in (1, 2):
            lines = {e.voice for e in bar.events if e.staff == staff and e.tones and not e.grace}
            if len(lines) > 1:
                _tell(number, bar, staff, strokes, across)


def _tell(
    number: int, bar: Bar, staff: int, strokes: Strokes, across: Collection[tuple[int, int]]
) -> None:
    spans = [(event.offset, event.end, event) for event in bar.events if not event.grace]
    covered = [
        (start, end)
        for start, end, event in spans
        if (event.staff != staff or (event.is_rest and home_staff(event.voice) != staff))
        and not (event.is_rest and event.silent)
    ]
    own = [span for span in spans if span[2].staff == staff and span[2].tones]
    returning = {event.voice for _, _, event in spans if event.staff != staff and event.tones}
    for index, event in enumerate(bar.events):
        if event.staff != staff or not event.tones or event.grace or (number, index) in across:
            continue
        at = event.offset
        if any(start <= at < end for start, end in covered):
            continue
        sounding = [other for start, end, other in own if start <= at < end]
        if _is_meant(sounding, event, returning):
            for note in strokes.by_event.get((number, index), ()):
                note.home, note.blank = home_hand(3 - staff, 2), True


def _is_meant(sounding: Sequence[Event], event: Event, returning: set[int]) -> bool:
    """Whether of the lines that sound there the event's is the one that is away from its staff.

    It is the one that stands on the other staff in the same bar; else the one nearer to it.
    """
    lines = {other.voice for other in sounding}
    if len(lines) < 2:
        return False
    away = lines & returning
    if away:
        return away == {event.voice}
    others = [other for other in sounding if other.voice != event.voice]
    if event.staff == 1:
        return any(o.tones[0].pitch.midi > event.tones[-1].pitch.midi for o in others)
    return any(o.tones[-1].pitch.midi < event.tones[0].pitch.midi for o in others)
