"""A first marks file for a score: the surveyed spots as passages, with comments that teach.

Enters: a survey whose spots are answered, and what is known of the score file. Leaves: the
text of a marks file. Our own few lines of YAML; the reader of marks files is not needed to write.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from textwrap import wrap

from engrave.machine.typed import as_typed
from engrave.music.notes import Hand
from engrave.music.sheet import Moment
from engrave.music.tempo import BEAT_UNITS
from engrave.music.units import Quarters
from engrave.remarks import Remark
from engrave.score import Score, tempo_at
from engrave.survey.model import Spot, Survey
from engrave.survey.pace import as_said
from engrave.survey.words import again, finding
from engrave.words import say

WIDTH = 100
COMMENT_COLUMN = 38

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
    """The marks file; raises ``ValueError`` for a survey without spots."""
    if not survey.spots:
        raise ValueError("a marks file needs a passage")
    lines = [
        *_head(survey, file, language),
        *_tempo(survey, score, language),
        "",
        f"# {_new('passages', language)}",
        f"# {_new('passages-more', language)}",
        "passages:",
    ]
    for number, spot in enumerate(survey.spots, 1):
        lines += _passage(number, spot, survey, score, language)
    return "\n".join(lines) + "\n"


def _new(key: str, language: str, **values: object) -> str:
    """A comment, on one line whatever stands in its values."""
    return _one_line(say(Remark.of(f"new.{key}", **values), language))


def _beside(line: str, key: str, language: str) -> str:
    """A line with a comment to its right."""
    return f"{line:<{COMMENT_COLUMN}}# {_new(key, language)}"


def _head(survey: Survey, file: ScoreFile, language: str) -> Iterator[str]:
    marks = as_typed(_one_line(file.marks))
    yield f"# {_new('first', language, score=file.path)}"
    for command in ("check", "build"):
        yield f"#   engrave {command} {marks}     {_new(command, language)}"
    yield f"# {_new('edit', language)}"
    yield ""
    yield from _piece(survey, file, language)
    yield f"score: {_quoted(file.path)}    # {_new('beside', language)}"
    if file.part:
        yield f"part: {_quoted(file.part)}"
    if language != "en":
        yield f"language: {language}"
    right, left = (survey.stretch_mm[hand] / 10 for hand in (Hand.RIGHT, Hand.LEFT))
    yield ""
    yield "student:"
    yield _beside("  # name: …", "name", language)
    yield f"  # {_new('stretch', language)}"
    yield f"  stretch_cm: {{left: {left:.1f}, right: {right:.1f}}}"
    yield "# teacher: …"
    yield _beside("# performance: 2030-05-31", "performance", language)
    yield _beside("# begin: 2030-05-03", "begin", language)
    yield _beside("practice: {minutes_a_day: 30}", "rest", language)


def _piece(survey: Survey, file: ScoreFile, language: str) -> Iterator[str]:
    """Title and composer as the score names them; the file's name is told to be one."""
    stem = file.path.rpartition("/")[2].rpartition(".")[0]
    piece = [f"title: {_text(survey.title or stem)}"]
    if survey.composer:
        piece.append(f"composer: {_text(survey.composer)}")
    if file.movement is not None:
        piece.append(f"movement: {file.movement}")
    said = "" if survey.title else f"    # {_new('untitled', language)}"
    yield f"piece: {{{', '.join(piece)}}}{said}"


def _tempo(survey: Survey, score: Score, language: str) -> Iterator[str]:
    """The goal of the whole file, or why there is none."""
    yield ""
    yield f"# {_new('goal', language, said=survey.pace.said)}"
    if _is_marked(survey):
        yield f"# {_new('holds', language)}"
        yield "# tempo: {beat: quarter, goal: 96, start: 48, step: 2}"
    else:
        first = survey.pace.changes[0][1]
        yield f"tempo: {_goal(first, score.sheet.bars[0].meter.beat, survey)}"
        yield f"# {_new('start', language)}"


def _is_marked(survey: Survey) -> bool:
    return survey.pace.said.key == "survey.tempo.marks"


def _needs_goal(spot: Spot, survey: Survey, score: Score) -> bool:
    """Whether neither the file's goal nor a mark of the score holds at the spot."""
    cell = survey.terrain.cells[spot.first]
    if _is_marked(survey):
        return tempo_at(score, Moment(cell.bar, Fraction(0))) is None
    return survey.pace.at(cell.start) != survey.pace.changes[0][1]


def _goal(quarters_per_minute: Fraction, beat: Quarters, survey: Survey) -> str:
    """``{beat: quarter, goal: 96}``; in quarters where the beat has no name.

    It is the tempo that the sentence above it says.
    """
    unit = beat if beat in _BEAT_NAMES else Fraction(1)
    goal = as_said(survey.pace.said.key, quarters_per_minute / unit)
    return f"{{beat: {_BEAT_NAMES[unit]}, goal: {max(10, round(goal))}}}"


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
        yield f"    tempo: {_goal(pace, score.sheet.bars[cell.bar].meter.beat, survey)}"
    if number == 1:
        yield f"    # {_new('drills', language)}"
        yield f"    # drills: [{', '.join(spot.drills)}]"
        yield f"    # {_new('fingering', language)}"
        yield f'    # fingering: {{"{cell.measure}.{cell.beat}": "1 2 . 1-3-5"}}'
        yield _beside("    # remarks: …", "remarks", language)
        yield _beside("    # status: learning", "status", language)


def _text(text: str) -> str:
    """A sentence or a title, its white space evened out."""
    return _quoted(_one_line(text))


def _quoted(text: str) -> str:
    """Text as a double-quoted scalar: JSON's strings are YAML's."""
    return json.dumps(text, ensure_ascii=False)


def _one_line(text: str) -> str:
    return " ".join(text.split())
