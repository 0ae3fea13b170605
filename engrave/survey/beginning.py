"""How a first marks file begins: the piece, its score, the student, the goal.

Enters: what is known of a score file and its music. Leaves: lines of YAML, with comments that
teach. The passages are whoever's who marks them.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from engrave.machine.typed import as_typed
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.tempo import BEAT_UNITS
from engrave.music.units import Quarters
from engrave.remarks import Remark
from engrave.score import Score
from engrave.score.titles import title_of_file
from engrave.survey.model import Pace
from engrave.survey.pace import as_said
from engrave.words import say

COMMENT_COLUMN = 38

_BEAT_NAMES = {unit: name for name, unit in BEAT_UNITS.items()}

USUAL_STRETCH_MM = dict.fromkeys(Hand, STRETCH_MM)


@dataclass(frozen=True, slots=True)
class ScoreFile:
    """How the marks file is to name its score: ``path`` from the marks file's folder, ``part`` and
    ``movement`` where they have to be named."""

    path: str
    marks: str
    part: str = ""
    movement: int | None = None


def first_lines(
    score: Score,
    file: ScoreFile,
    language: str,
    begun: str,
    stretch_mm: Mapping[Hand, float] = USUAL_STRETCH_MM,
) -> Iterator[str]:
    """What stands before the goal; ``begun`` names the sentence of who begins the file."""
    marks = as_typed(one_line(file.marks))
    yield f"# {comment(begun, language, score=file.path)}"
    for command in ("check", "build"):
        yield f"#   engrave {command} {marks}     {comment(command, language)}"
    yield f"# {comment('edit', language)}"
    yield ""
    yield from _piece(score, file, language)
    yield from score_lines(file, language)
    right, left = (stretch_mm[hand] / 10 for hand in (Hand.RIGHT, Hand.LEFT))
    yield ""
    yield "student:"
    yield beside("  # name: …", "name", language)
    yield f"  # {comment('stretch', language)}"
    yield f"  stretch_cm: {{left: {left:.1f}, right: {right:.1f}}}"
    yield "# teacher: …"
    yield beside("# performance: 2030-05-31", "performance", language)
    yield beside("# begin: 2030-05-03", "begin", language)
    yield beside("practice: {minutes_a_day: 30}", "rest", language)


def score_lines(file: ScoreFile, language: str) -> Iterator[str]:
    """Which score it is, and in which language: known before that is read."""
    yield f"score: {_quoted(file.path)}    # {comment('beside', language)}"
    if file.part:
        yield f"part: {_quoted(file.part)}"
    if language != "en":
        yield f"language: {language}"


def _piece(score: Score, file: ScoreFile, language: str) -> Iterator[str]:
    """Title and composer as the score names them; the file's name is told to be one."""
    stem = title_of_file(file.path.rpartition("/")[2].rpartition(".")[0])
    said = "" if score.title else f"    # {comment('untitled', language)}"
    yield "piece:"
    yield f"  title: {_text(score.title or stem)}{said}"
    yield f"  composer: {_text(score.composer)}" if score.composer else "  # composer: …"
    if file.movement is not None:
        yield f"  movement: {file.movement}"


def goal_lines(score: Score, pace: Pace, language: str, is_written: bool) -> Iterator[str]:
    """The goal of the whole file, with where it comes from; or why none ``is_written``."""
    yield ""
    yield f"# {goal_sentence(pace, language)}"
    if is_written:
        first = pace.changes[0][1]
        yield f"tempo: {goal_text(pace, first, score.sheet.bars[0].meter.beat)}"
        yield f"# {comment('start', language)}"
    else:
        yield f"# {comment('holds', language)}"
        yield "# tempo: {beat: quarter, goal: 96, start: 48, step: 2}"


def goal_sentence(pace: Pace, language: str) -> str:
    """Where the goal comes from."""
    return comment("goal", language, said=pace.said)


def is_marked(pace: Pace) -> bool:
    """Whether the score prints its tempo."""
    return pace.said.key == "survey.tempo.marks"


def is_guessed(pace: Pace) -> bool:
    """Whether the score says nothing of its tempo, at its beginning at least."""
    return pace.said.key == "survey.tempo.default"


def goal_text(pace: Pace, quarters_per_minute: Fraction, beat: Quarters) -> str:
    """``{beat: quarter, goal: 96}``; in quarters where the beat has no name.

    It is the tempo that the sentence above it says.
    """
    unit = beat if beat in _BEAT_NAMES else Fraction(1)
    goal = as_said(pace.said.key, quarters_per_minute / unit)
    return f"{{beat: {_BEAT_NAMES[unit]}, goal: {max(10, round(goal))}}}"


def comment(key: str, language: str, **values: object) -> str:
    """A comment, on one line whatever stands in its values."""
    return one_line(say(Remark.of(f"new.{key}", **values), language))


def beside(line: str, key: str, language: str) -> str:
    """A line with a comment to its right."""
    return f"{line:<{COMMENT_COLUMN}}# {comment(key, language)}"


def one_line(text: str) -> str:
    """Text with its white space evened out."""
    return " ".join(text.split())


def _text(text: str) -> str:
    """A sentence or a title, its white space evened out."""
    return _quoted(one_line(text))


def _quoted(text: str) -> str:
    """Text as a double-quoted scalar: JSON's strings are YAML's."""
    return json.dumps(text, ensure_ascii=False)
