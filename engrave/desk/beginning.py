"""What a marks file begins with that is begun at the desk.

Enters: the score that lies there, and how a file is to name it. Leaves: a ``FirstMarks``, its text
by the code of ``engrave new``.
"""

from dataclasses import dataclass

from engrave.score import Score
from engrave.survey.beginning import (
    ScoreFile,
    first_lines,
    goal_lines,
    goal_sentence,
    is_guessed,
    is_marked,
)
from engrave.survey.pace import pace_of


@dataclass(frozen=True, slots=True)
class ToBegin:
    """The file that is to be begun, and the language of its first words."""

    file: ScoreFile
    language: str = "en"


@dataclass(frozen=True, slots=True)
class FirstMarks:
    """The text, and what is to be told of a goal in it that nobody named."""

    text: str
    guess: str = ""


def beginning(score: Score, begun: ToBegin) -> FirstMarks:
    """The text before the first passage.

    Where the score goes by several tempos of its own, they are left to it: whoever marks at the
    desk marks anywhere, and one goal for all would win over them.
    """
    language = begun.language
    lines = list(first_lines(score, begun.file, language, "desk"))
    if not score.sheet.bars:
        return FirstMarks("\n".join(lines) + "\n")
    pace = pace_of(score)
    is_one = len(pace.changes) == 1 or is_guessed(pace)
    is_written = is_one and not is_marked(pace)
    lines += goal_lines(score, pace, language, is_written)
    guess = goal_sentence(pace, language) if is_written else ""
    return FirstMarks("\n".join([*lines, "", ""]), guess)
