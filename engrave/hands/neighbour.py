"""A bar on one staff that stands on both in the bar beside it, octaves away: divided as that one.

Enters: strokes of a sheet of two staves. Leaves nothing: the notes of a voice that the bar beside
it has on the other staff are told that they are expected in that staff's hand, whatever rests
there. A figure that climbs out of the bass is one hand's all the way.
"""

from collections.abc import Sequence
from itertools import groupby

from engrave.hands.strokes import Note, Strokes
from engrave.music.notes import home_hand

_OCTAVE = 12


def expect_from_neighbour(strokes: Strokes) -> None:
    """Tell the notes of such voices where they are expected."""
    if strokes.staves != 2:
        return
    bars = {
        number: [note for stroke in bar for note in stroke.notes]
        for number, bar in groupby(strokes.all, key=lambda stroke: stroke.bar)
    }
    for number, notes in bars.items():
        if len({n.staff for n in notes}) == 1 and len({n.line for n in notes}) > 1:
            for beside in (number + 1, number - 1):
                if _tell(notes, strokes.starts[number], bars.get(beside, ()), strokes, beside):
                    break


def _tell(
    notes: Sequence[Note], start: int, others: Sequence[Note], strokes: Strokes, beside: int
) -> bool:
    """Whether ``others`` are the same notes on two staves; those on the other one are told so."""
    if len(notes) != len(others) or len({n.staff for n in others}) != 2:
        return False
    shift = min(n.key for n in others) - min(n.key for n in notes)
    there = strokes.starts[beside]
    staves = {(n.start - there, n.end - there, n.key - shift): n.staff for n in others}
    here: dict[int, set[int | None]] = {}
    for note in notes:
        place = note.start - start, note.end - start, note.key
        here.setdefault(note.line, set()).add(staves.get(place))
    found = {line: staff for line, (staff, *more) in here.items() if not more}
    if shift % _OCTAVE or len(found) < len(here) or {*found.values()} != {1, 2}:
        return False
    for note in notes:
        staff = found[note.line]
        if staff is not None and staff != note.staff:
            note.home, note.figure = home_hand(staff, 2), True
    return True
