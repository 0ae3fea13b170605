"""A first marks file for a score: the surveyed stretches as passages, with comments that teach.

Enters: a survey whose stretches are answered, and what is known of the score file. Leaves: the
text of a marks file. Our own few lines of YAML; the reader of marks files is not needed to write.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.sheet import Moment
from engrave.music.tempo import BEAT_UNITS
from engrave.music.units import Quarters
from engrave.score import Score, tempo_at
from engrave.survey.model import Stretch, Survey
from engrave.survey.words import trouble
from engrave.words import say

SHARE = 0.06
"""The share of a score's measures that a first marks file takes, where nothing else is asked."""

_BEAT_NAMES = {unit: name for name, unit in BEAT_UNITS.items()}


@dataclass(frozen=True, slots=True)
class ScoreFile:
    """How the marks file is to name its score: ``path`` from the marks file's folder, ``part`` and
    ``movement`` where they have to be named."""

    path: str
    marks: str
    part: str = ""
    movement: int | None = None


def marks_text(survey: Survey, score: Score, file: ScoreFile, language: str = "en") -> str:
    """The marks file; raises ``ValueError`` for a survey without stretches that can be drilled."""
    stretches = [stretch for stretch in survey.stretches if stretch.drills]
    if not stretches:
        raise ValueError("a marks file needs a passage")
    lines = [
        *_head(survey, file, language),
        *_tempo(survey, score, language),
        "",
        "# The passages, hardest first. What stands here is what the figures say: change it, drop",
        "# passages, add those that you hear.",
        "passages:",
    ]
    for number, stretch in enumerate(stretches, 1):
        lines += _passage(number, stretch, survey, score, language)
    return "\n".join(lines) + "\n"


def _head(survey: Survey, file: ScoreFile, language: str) -> Iterator[str]:
    marks = _one_line(file.marks)
    yield f"# First marks for {_one_line(file.path)}, found by its difficulty."
    yield f"#   engrave check {marks}     says what would be made, and what is wrong"
    yield f"#   engrave build {marks}     makes the booklet"
    yield "# Edit it after every lesson and build again."
    yield ""
    title = survey.title or file.path.rpartition("/")[2].rpartition(".")[0]
    piece = [f"title: {_text(title)}"]
    if survey.composer:
        piece.append(f"composer: {_text(survey.composer)}")
    if file.movement is not None:
        piece.append(f"movement: {file.movement}")
    yield f"piece: {{{', '.join(piece)}}}"
    yield f"score: {_quoted(file.path)}    # beside this file"
    if file.part:
        yield f"part: {_quoted(file.part)}"
    if language != "en":
        yield f"language: {language}"
    right, left = (survey.stretch_mm[hand] / 10 for hand in (Hand.RIGHT, Hand.LEFT))
    yield ""
    yield "student:"
    yield "  # name: …                          # printed in the lesson booklet alone"
    yield "  # how far each hand opens, thumb to little finger:"
    yield f"  stretch_cm: {{left: {left:.1f}, right: {right:.1f}}}"
    yield "# teacher: …"
    yield "# performance: 2030-05-31            # the practice plan leads up to this day"
    yield "# begin: 2030-05-03                  # its first day; else four weeks before"
    yield "practice: {minutes_a_day: 30}        # and rest_days: [sunday], say"


def _tempo(survey: Survey, score: Score, language: str) -> Iterator[str]:
    """The goal of the whole file, or why there is none."""
    yield ""
    yield f"# The goal: {_one_line(say(survey.pace.said, language))}."
    if _is_marked(survey):
        yield "# The score's marks hold unless a goal is written here or in a passage:"
        yield "# tempo: {beat: quarter, goal: 96, start: 48, step: 2, reached: 60}"
    else:
        first = survey.pace.changes[0][1]
        yield f"tempo: {_goal(first, score.sheet.bars[0].meter.beat)}"
        yield "# Beside the goal: start: 48, where to begin, and reached: 60, what is clean."


def _is_marked(survey: Survey) -> bool:
    return survey.pace.said.key == "survey.tempo.marks"


def _needs_goal(stretch: Stretch, survey: Survey, score: Score) -> bool:
    """Whether neither the file's goal nor a mark of the score holds at the stretch."""
    cell = survey.terrain.cells[stretch.first]
    if _is_marked(survey):
        return tempo_at(score, Moment(cell.bar, Fraction(0))) is None
    return survey.pace.at(cell.start) != survey.pace.changes[0][1]


def _goal(quarters_per_minute: Fraction, beat: Quarters) -> str:
    """``{beat: quarter, goal: 96}``; in quarters where the beat has no name."""
    unit = beat if beat in _BEAT_NAMES else Fraction(1)
    return f"{{beat: {_BEAT_NAMES[unit]}, goal: {max(10, round(quarters_per_minute / unit))}}}"


def _passage(
    number: int, stretch: Stretch, survey: Survey, score: Score, language: str
) -> Iterator[str]:
    cell = survey.terrain.cells[stretch.first]
    yield ""
    again = f"; the same again in {', '.join(stretch.others)}" if stretch.others else ""
    yield f"  # {number}. Height {stretch.height:.0f}{again}."
    yield f"  - measures: {stretch.measures}"
    yield f"    hand: {stretch.hand}"
    yield f"    trouble: {_text(trouble(stretch, language))}"
    yield f"    drills: [{', '.join(stretch.drills)}]"
    if _needs_goal(stretch, survey, score):
        pace = survey.pace.at(cell.start)
        yield f"    tempo: {_goal(pace, score.sheet.bars[cell.bar].meter.beat)}"
    if number == 1:
        yield "    # From a beat on, a word an onset; a dot leaves one open, hyphens make a chord:"
        yield f'    # fingering: {{"{cell.measure}.{cell.beat}": "1 2 . 1-3-5"}}'
        yield "    # remarks: …                     # shown to all; private: … to the student alone"
        yield "    # status: learning               # or warm-up, or done: left out"


def _text(text: str) -> str:
    """A sentence or a title, its white space evened out."""
    return _quoted(_one_line(text))


def _quoted(text: str) -> str:
    """Text as a double-quoted scalar: JSON's strings are YAML's."""
    return json.dumps(text, ensure_ascii=False)


def _one_line(text: str) -> str:
    return " ".join(text.split())
