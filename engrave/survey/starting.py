"""From a score to its first marks file.

Enters: a score read twice and what is wanted. Leaves: the text of a marks file, or a file that was
not there before.
"""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from engrave.errors import EngraveError
from engrave.music.notes import Hand
from engrave.music.tempo import Goal
from engrave.score import movements_of
from engrave.score.second_reading.twice import TwiceRead
from engrave.survey.answers import answer
from engrave.survey.model import Stretch, Survey
from engrave.survey.new_marks import ScoreFile, marks_text
from engrave.survey.stretches import Wanted
from engrave.survey.surveying import survey


def score_file(score: Path, marks: Path, part: str = "", movement: int | None = None) -> ScoreFile:
    """How a marks file names its score; raises ``EngraveError`` for one not below its folder."""
    folder = marks.resolve().parent
    if not score.resolve().is_relative_to(folder):
        raise EngraveError(
            f"{score} does not lie in the folder of {marks}",
            hint="a marks file stands beside its score",
        )
    path = score.resolve().relative_to(folder).as_posix()
    return ScoreFile(path, str(marks), part, movement)


def first_marks(
    twice: TwiceRead,
    file: ScoreFile,
    share: float,
    goal: Goal | None = None,
    stretch_mm: Mapping[Hand, float] | None = None,
    language: str = "en",
) -> str:
    """A marks file with the hardest ``share`` (0 to 1) of the measures, one passage at least.

    Raises ``EngraveError`` where no measure can be drilled, and for a score of several movements.
    """
    score = twice.score
    if len(movements_of(score.sheet)) > 1:
        raise EngraveError(
            f"{score.file} has several movements", hint="name one, as in --movement 1"
        )
    known = survey(score, goal, stretch_mm, Wanted(share=1.0))
    chosen = _within(known, twice, share)
    if not chosen:
        raise EngraveError(
            f"no measures of {score.file} could be chosen",
            hint="mark passages by hand, as in passages: [{measures: 1-4}]",
        )
    return marks_text(replace(known, stretches=chosen), score, file, language)


def _within(known: Survey, twice: TwiceRead, share: float) -> tuple[Stretch, ...]:
    """The hardest stretches with drills, as long as half of one fits; the first always does."""
    chosen: list[Stretch] = []
    left = share * len(known.terrain.cells)
    for stretch in known.stretches:
        if chosen and left <= 0:
            break
        if chosen and stretch.beats / 2 > left:
            continue
        drilled = answer(stretch, known, twice.score, twice.differences)
        if drilled.drills:
            chosen.append(drilled)
            left -= stretch.beats
    return tuple(chosen)


def write_new(path: Path, text: str) -> None:
    """Write ``text`` to ``path``; raises ``EngraveError`` where there is a file already."""
    try:
        with path.open("x", encoding="utf-8") as stream:
            stream.write(text)
    except FileExistsError:
        raise already_there(path) from None
    except OSError as error:
        raise EngraveError(f"{path} cannot be written: {error.strerror}") from None


def already_there(path: Path) -> EngraveError:
    """The error for a marks file that exists: what a teacher wrote is never written over."""
    return EngraveError(f"{path} is there already", hint="name another with --out, or move it away")
