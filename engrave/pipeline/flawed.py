"""What of a marks file with mistakes can be held against its score all the same.

Enters: the marks as far as they are legible. Leaves: marks that say nothing of what a mistake may
have changed, so that nothing is told that would not be wrong without it. Knows no score.
"""

from dataclasses import replace
from fractions import Fraction

from engrave.marks import Marks, PassageMark
from engrave.marks.model import MarkedTempo, Placed
from engrave.marks.schema import STRETCH_CM
from engrave.music.notes import Hand

_WHICH_NOTES = frozenset({"score", "part", "piece", "hands"})
"""Keys that say which music it is and who plays what: without them no count of notes is sure."""


def sure(marks: Marks | None) -> Marks | None:
    """``marks`` without what is doubtful; None where nothing is sure.

    Fingers stand as they are, counted against the score whatever the tempo; the drills of a passage
    are asked for where its hand is known. A hand that may be larger than is said reaches anything.
    """
    if marks is None or marks.flawed & _WHICH_NOTES:
        return None
    if any("hands" in each.flawed for each in marks.passages):
        return None
    student, drilled = marks.student, "student" not in marks.flawed
    if not drilled:
        student = replace(student, stretch_mm=dict.fromkeys(Hand, 10.0 * STRETCH_CM[1]))
    timed = "tempo" not in marks.flawed
    passages = tuple(_sure(each, drilled, timed) for each in marks.passages)
    return replace(marks, student=student, passages=passages)


def _sure(mark: PassageMark, drilled: bool, timed: bool) -> PassageMark:
    requests, tempo = mark.drills, mark.tempo
    if not timed or "tempo" in mark.flawed:
        tempo = MarkedTempo(goal=Placed(Fraction(96), mark.source))
        requests = requests and tuple(
            replace(each, options=each.options.without_ladder()) for each in requests
        )
    if not drilled or mark.flawed & {"hand", "drills"}:
        requests = None
    hands = tuple(Hand) if "hand" in mark.flawed else mark.hands
    return replace(mark, tempo=tempo, drills=requests, hands=hands)
