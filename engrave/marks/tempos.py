"""Tempo marks: what the file says for all passages, and what a passage says instead.

Enters: a mapping of beat, goal, start, step and reached. Leaves: a ``MarkedTempo`` that does not
contradict itself. The score's own metronome mark it does not know.
"""

from fractions import Fraction

from engrave.errors import EngraveError
from engrave.marks import schema
from engrave.marks.model import MarkedTempo, Placed
from engrave.marks.nodes import Node, Text
from engrave.marks.reached import Reached, reached_mark
from engrave.marks.readers import Errors, Form, placed, value
from engrave.marks.scalars import choice
from engrave.marks.tables import BEATS
from engrave.music.tempo import BEAT_UNITS

_beat = placed(value(choice("beat", BEAT_UNITS, BEATS)))
_mark = placed(schema.mark)
_step = placed(schema.step)


def tempo(node: Node, errors: Errors) -> MarkedTempo:
    """The tempo of a passage as it stands in the file; a number alone is the goal."""
    if isinstance(node, Text):
        return MarkedTempo(goal=_mark(node, errors))
    with Form(node, errors, hint="{beat: quarter, goal: 120}") as form:
        reached = form.get("reached", reached_mark, None)
        read = _tempo(form, reached)
    _hold_together(read, errors)
    return read


def file_tempo(node: Node, errors: Errors) -> MarkedTempo:
    """The tempo of all passages as it stands in the file; nothing is reached in all of them.

    A number alone is the goal.
    """
    if isinstance(node, Text):
        return MarkedTempo(goal=_mark(node, errors))
    with Form(node, errors, hint="{beat: quarter, goal: 120}") as form:
        if form.node("reached"):
            errors.append(
                EngraveError(
                    "what was reached belongs to a passage or a drill: here it would tick boxes "
                    "of passages that were never played",
                    form.place("reached"),
                    "write it where it was reached, as in - {measures: 41-44, tempo: "
                    "{reached: 66}}",
                )
            )
        read = _tempo(form, None)
    _hold_together(read, errors)
    return read


def _tempo(form: Form, reached: Reached | None) -> MarkedTempo:
    return MarkedTempo(
        beat=form.get("beat", _beat, None),
        goal=form.get("goal", _mark, None),
        start=form.get("start", _mark, None),
        step=form.get("step", _step, None),
        reached=reached.mark if reached else None,
        reached_on=reached.day if reached else None,
    )


def _hold_together(tempo: MarkedTempo, errors: Errors) -> None:
    below_goal("start", tempo.start, tempo.goal, errors)
    below_goal("reached", tempo.reached, tempo.goal, errors)
    not_below_start(tempo.reached, tempo.start, errors)


def passage_tempo(own: MarkedTempo, file: MarkedTempo, errors: Errors) -> MarkedTempo:
    """The tempo of a passage: its ``own``, and the file's where it says nothing.

    The file's marks can be told in another beat only when the file names theirs.
    """
    whole = own.over(file)
    marks = (
        ("goal", own.goal, file.goal),
        ("start", own.start, file.start),
    )
    inherited = [name for name, here, there in marks if there and not here]
    if own.beat and not file.beat and inherited:
        message = "this beat and the beat of the file's tempo cannot be compared"
        hint = f"name the beat of the file's tempo, or give this passage {' and '.join(inherited)}"
        errors.append(EngraveError(message, own.beat.source, hint))
        return whole
    if not own.start:
        not_below_start(own.reached, whole.start, errors)
    if not own.goal:
        below_goal("start", own.start, whole.goal, errors)
        below_goal("reached", own.reached, whole.goal, errors)
    elif not own.start and whole.start and whole.start.value > own.goal.value:
        message = f"goal {_told(own.goal)} is below the start {_told(whole.start)} of the file"
        hint = f"the start stands in line {_line(whole.start)}; give this passage one of its own"
        errors.append(EngraveError(message, own.goal.source, hint))
    return whole


def below_goal(
    what: str, mark: Placed[Fraction] | None, goal: Placed[Fraction] | None, errors: Errors
) -> None:
    """Tell a ``mark`` that lies above the ``goal``."""
    if mark and goal and mark.value > goal.value:
        message = f"{what} {_told(mark)} is above the goal {_told(goal)}"
        hint = f"the goal stands in line {_line(goal)}"
        errors.append(EngraveError(message, mark.source, hint))


def not_below_start(
    reached: Placed[Fraction] | None, start: Placed[Fraction] | None, errors: Errors
) -> None:
    """Tell a mark that is ``reached`` although it lies below the ``start``."""
    if reached and start and reached.value < start.value:
        message = f"reached {_told(reached)} is below the start {_told(start)}"
        hint = f"the start stands in line {_line(start)}; start lower, or leave reached out"
        errors.append(EngraveError(message, reached.source, hint))


def _told(mark: Placed[Fraction]) -> str:
    return f"{float(mark.value):g}"


def _line(mark: Placed[Fraction]) -> int:
    return mark.source.line
