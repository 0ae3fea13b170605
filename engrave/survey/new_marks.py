"""A first marks file for a score: the surveyed spots as passages, with comments that teach.

Enters: a survey whose spots are answered, and what is known of the score file. Leaves: the
text of a marks file. Our own few lines of YAML; the reader of marks files is not needed to write.
"""

from collections.abc import Iterator
from fractions import Fraction
from textwrap import wrap

from engrave.music.sheet import Moment
from engrave.score import Score, tempo_at
from engrave.survey.beginning import (
    ScoreFile,
    beside,
    comment,
    first_lines,
    goal_lines,
    goal_text,
    is_marked,
)
from engrave.survey.model import Spot, Survey
from engrave.survey.words import again, finding

WIDTH = 100


def marks_text(survey: Survey, score: Score, file: ScoreFile, language: str = "en") -> str:
    """The marks file; raises ``ValueError`` for a survey without spots."""
    if not survey.spots:
        raise ValueError("a marks file needs a passage")
    lines = [
        *first_lines(score, file, language, "first", survey.stretch_mm),
        *goal_lines(score, survey.pace, language, not is_marked(survey.pace)),
        "",
        f"# {comment('passages', language)}",
        f"# {comment('passages-more', language)}",
        "passages:",
    ]
    for number, spot in enumerate(survey.spots, 1):
        lines += _passage(number, spot, survey, score, language)
    return "\n".join(lines) + "\n"


def _needs_goal(spot: Spot, survey: Survey, score: Score) -> bool:
    """Whether neither the file's goal nor a mark of the score holds at the spot."""
    cell = survey.terrain.cells[spot.first]
    if is_marked(survey.pace):
        return tempo_at(score, Moment(cell.bar, Fraction(0))) is None
    return survey.pace.at(cell.start) != survey.pace.changes[0][1]


def _passage(number: int, spot: Spot, survey: Survey, score: Score, language: str) -> Iterator[str]:
    cell = survey.terrain.cells[spot.first]
    yield ""
    cells = survey.terrain.cells
    sentences = [*finding(spot, language), *again(spot, cells, language)]
    for index, sentence in enumerate(sentences):
        start = f"  # {number}. " if index == 0 else "  #    "
        yield from wrap(sentence, WIDTH, initial_indent=start, subsequent_indent="  #    ")
    yield f"  - measures: {spot.measures}"
    yield f"    hand: {spot.hand}"
    yield "    # trouble: …"
    if _needs_goal(spot, survey, score):
        pace = survey.pace.at(cell.start)
        yield f"    tempo: {goal_text(survey.pace, pace, score.sheet.bars[cell.bar].meter.beat)}"
    if number == 1:
        yield f"    # {comment('drills', language)}"
        yield f"    # drills: [{', '.join(spot.drills)}]"
        yield f"    # {comment('fingering', language)}"
        yield f'    # fingering: {{"{cell.measure}.{cell.beat}": "1 2 . 1-3-5"}}'
        yield beside("    # remarks: …", "remarks", language)
        yield beside("    # status: learning", "status", language)
