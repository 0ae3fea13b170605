"""One staff is blank, without a rest: both hands play on the other one.

Enters: a sheet of two staves and its strokes. Leaves nothing: of the lines that share the other
staff the notes of the one that belongs to the blank staff are told that they are expected in its
hand. Where a voice of the blank staff rests meanwhile, wherever the rest stands, nothing is said.
"""

from collections.abc import Collection, Sequence

from engrave.hands.strokes import Strokes, home_staff
from engrave.music.notes import home_hand
from engrave.music.sheet import Bar, Event, Sheet


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
    returning = {e.voice for e in bar.events if e.staff != staff and e.tones and not e.grace}
    for index, event in enumerate(bar.events):
        if event.staff != staff or not event.tones or event.grace or (number, index) in across:
            continue
        if _is_blank(bar.events, event, 3 - staff) and _is_meant(bar.events, event, returning):
            for note in strokes.by_event.get((number, index), ()):
                note.home, note.blank = home_hand(3 - staff, 2), True


def _is_blank(events: Sequence[Event], event: Event, staff: int) -> bool:
    """Whether nothing stands on ``staff`` when the event begins, nor a rest of its voices."""
    return not any(
        (other.staff == staff or (other.is_rest and home_staff(other.voice) == staff))
        and other.offset <= event.offset < other.end
        and not (other.is_rest and other.silent)
        for other in events
    )


def _is_meant(events: Sequence[Event], event: Event, returning: set[int]) -> bool:
    """Whether of the lines that sound there the event's is the one that is away from its staff.

    It is the one that stands on the other staff in the same bar; else the one nearer to it.
    """
    sounding = [
        other
        for other in events
        if other.staff == event.staff and other.tones and other.offset <= event.offset < other.end
    ]
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
