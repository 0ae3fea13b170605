"""One staff is blank, without a rest: both hands play on the other one.

Enters: a sheet of two staves and its strokes. Leaves nothing: the notes of the line nearer to the
blank staff are told that they are expected in its hand. Where a rest stands anywhere meanwhile it
may be that hand's, and nothing is said.
"""

from collections.abc import Sequence

from engrave.hands.strokes import Strokes
from engrave.music.notes import home_hand
from engrave.music.sheet import Bar, Event, Sheet


def expect_from_blank(sheet: Sheet, strokes: Strokes) -> None:
    """Tell the notes of such lines where they are expected."""
    if strokes.staves != 2:
        return
    for number, bar in enumerate(sheet.bars):
        for staff in (1, 2):
            lines = {e.voice for e in bar.events if e.staff == staff and e.tones and not e.grace}
            if len(lines) > 1:
                _tell(number, bar, staff, strokes)


def _tell(number: int, bar: Bar, staff: int, strokes: Strokes) -> None:
    for index, event in enumerate(bar.events):
        if event.staff != staff or not event.tones or event.grace:
            continue
        if _is_blank(bar.events, event, 3 - staff) and _is_nearer(bar.events, event):
            for note in strokes.by_event.get((number, index), ()):
                if not note.beamed:
                    note.home, note.blank = home_hand(3 - staff, 2), True


def _is_blank(events: Sequence[Event], event: Event, staff: int) -> bool:
    """Whether nothing stands on ``staff`` when the event begins, nor a rest on any."""
    return not any(
        (other.staff == staff or other.is_rest)
        and other.offset <= event.offset < other.end
        and not (other.is_rest and other.silent)
        for other in events
    )


def _is_nearer(events: Sequence[Event], event: Event) -> bool:
    """Whether another line of its staff sounds beyond the event, seen from the other staff."""
    beyond = [
        other
        for other in events
        if other.staff == event.staff
        and other.voice != event.voice
        and other.tones
        and other.offset <= event.offset < other.end
    ]
    low, high = event.tones[0].pitch.midi, event.tones[-1].pitch.midi
    if event.staff == 1:
        return any(other.tones[0].pitch.midi > high for other in beyond)
    return any(other.tones[-1].pitch.midi < low for other in beyond)
