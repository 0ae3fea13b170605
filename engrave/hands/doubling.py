"""Further voices of a staff that move as the other staff does: notes moved there to be read easily.

Enters: strokes. Leaves nothing: such notes are told so. Their staff says less of them than of
others.
"""

from itertools import groupby

from engrave.hands.strokes import Note, Strokes

_Lines = dict[int, dict[int, list[Note]]]
"""The notes of a bar by staff and voice."""


def mark_doublings(strokes: Strokes) -> None:
    """Mark the notes of voices that begin and end with notes of another staff, bar by bar.

    Only where no other voice of its own staff moves so too: in a chorale all do.
    """
    for _, bar in groupby(strokes.all, key=lambda stroke: stroke.bar):
        lines: _Lines = {}
        for stroke in bar:
            for note in stroke.notes:
                lines.setdefault(note.staff, {}).setdefault(note.line, []).append(note)
        if any(len(voices) > 1 for voices in lines.values()) and len(lines) > 1:
            _mark(lines)


def _mark(lines: _Lines) -> None:
    spans = {
        staff: {line: {(note.start, note.end) for note in notes} for line, notes in voices.items()}
        for staff, voices in lines.items()
    }
    for staff, voices in lines.items():
        elsewhere = {
            span
            for other, theirs in spans.items()
            if other != staff
            for line in theirs.values()
            for span in line
        }
        for line, notes in voices.items():
            own = spans[staff][line]
            beside = (theirs for other, theirs in spans[staff].items() if other != line)
            if len(voices) > 1 and own <= elsewhere and all(own - theirs for theirs in beside):
                for note in notes:
                    note.doubling = True
