"""The commands ``survey`` and ``new``: words in, lines and an exit code out.

Enters: the parser to add them to, and the options it found. Everything else is the survey's.
"""

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from engrave.cli.exits import DONE
from engrave.cli.options import (
    PICTURE_MM,
    Commands,
    add_language,
    movement,
    number_within,
    whole_within,
)
from engrave.cli.telling import tell
from engrave.cli.terminal import shown
from engrave.errors import EngraveError, Notice, Source
from engrave.machine import endings
from engrave.machine.typed import as_typed
from engrave.messages import in_language

if TYPE_CHECKING:
    from engrave.music.notes import Hand
    from engrave.music.tempo import Goal
    from engrave.score.second_reading.twice import TwiceRead


def add_survey(commands: Commands) -> None:
    """``engrave survey SCORE``."""
    survey = commands.add_parser("survey", help="find the hardest measures of a score")
    _add_score(survey)
    survey.add_argument(
        "--count",
        type=whole_within(1, 999),
        default=6,
        metavar="N",
        help="how many hard spots (%(default)s)",
    )
    survey.add_argument(
        "--figures", action="store_true", help="what was measured too, and what it means"
    )
    survey.add_argument("--json", action="store_true", help="everything, for machines")
    survey.add_argument(
        "--picture", type=Path, metavar="FILE", help="draw the piece as a strip (SVG)"
    )
    survey.set_defaults(run=run_survey)


def add_new(commands: Commands) -> None:
    """``engrave new SCORE``."""
    new = commands.add_parser(
        "new", help="write a first marks file for a score; never over one that is there"
    )
    _add_score(new)
    new.add_argument(
        "--percent",
        type=number_within(0.1, 100),
        default=6.0,
        metavar="P",
        help="how many of a hundred measures to mark (%(default)g)",
    )
    new.add_argument(
        "--out",
        type=Path,
        metavar="MARKS",
        help="the marks file, - for the terminal; beside the score unless named",
    )
    new.set_defaults(run=run_new)


def _add_score(command: argparse.ArgumentParser) -> None:
    command.add_argument("score", type=Path, nargs="?", metavar="SCORE", help="the score file")
    command.add_argument("--part", help="the keyboard part, where the score has several")
    command.add_argument("--movement", type=movement, metavar="N", help="the movement, from 1")
    command.add_argument(
        "--goal", metavar="TEMPO", help="beats a minute: 96, or with their beat half=80"
    )
    command.add_argument(
        "--stretch-cm",
        type=_stretch,
        metavar="CM",
        help="thumb to little finger of the student's hand, opened wide (20.5)",
    )
    add_language(command, "language of words")


def _stretch(text: str) -> float:
    from engrave.marks.schema import STRETCH_CM

    return number_within(*STRETCH_CM)(text)


def run_survey(options: argparse.Namespace) -> int:
    """Print the hardest spots, and draw the picture."""
    _expect_score(options)
    from engrave.score import movements_of
    from engrave.survey import Wanted, survey
    from engrave.survey.answers import answered
    from engrave.survey.report import as_json, as_lines

    twice = _read(options)
    if len(movements_of(twice.score.sheet)) > 1:
        several = Notice("several movements: --movement 1 surveys the first alone")
        tell([several], options.said_in)
    found = survey(twice.score, _goal(options, twice), _hands(options), Wanted(count=options.count))
    found = answered(found, twice.score, twice.differences)
    if options.picture:
        from engrave.machine.signed import write_drawing
        from engrave.survey.picture import terrain_svg

        drawing = terrain_svg(found, PICTURE_MM, language=options.said_in)
        write_drawing(options.picture, drawing)
    if options.json:
        print(as_json(found), end="")
    else:
        for line in as_lines(found, options.said_in, options.figures):
            print(shown(line))
    return DONE


def run_new(options: argparse.Namespace) -> int:
    """Write a first marks file, or print it."""
    _expect_score(options)
    from engrave.survey.starting import already_there, first_marks, score_file, write_new

    printed = options.out == Path("-")
    beside = options.score.with_suffix(".yaml")
    path = beside if printed or options.out is None else options.out
    if not printed and path.exists():
        raise already_there(path)
    file = score_file(options.score, path, options.part or "", options.movement)
    twice = _read(options)
    text = first_marks(
        twice,
        file,
        options.percent / 100,
        _goal(options, twice),
        _hands(options),
        options.said_in,
    )
    if printed:
        print(text, end="")
    else:
        write_new(path, text)
        print(shown(str(path)))
        if sys.stderr.isatty():
            then = f"look at it, change what you like, then: engrave build {as_typed(path)}"
            print(in_language(then, options.said_in), file=sys.stderr)
    return DONE


def _expect_score(options: argparse.Namespace) -> None:
    if options.score and endings.is_marks(options.score):
        raise EngraveError(
            f"this is a marks file, and {options.command} takes a score",
            Source(str(options.score)),
            f"the booklet of these marks: engrave build {as_typed(options.score)}",
        )
    if options.score is None:
        raise EngraveError(
            "no score is named",
            hint="name one: engrave new rondo.musicxml writes rondo.yaml beside it; change that, "
            "then engrave build rondo.yaml",
        )
    if not options.score.exists():
        from engrave.score.held import absent

        raise absent(options.score)


def _read(options: argparse.Namespace) -> "TwiceRead":
    from engrave.hands import divide
    from engrave.score import movements_of
    from engrave.score.second_reading.twice import read_twice

    read = read_twice(options.score, part=options.part, movement=options.movement)
    twice = replace(read, score=divide(read.score, (), _hands(options)).score)
    tell(twice.score.notices, options.said_in)
    if options.movement not in (None, 1) and len(movements_of(read.score.sheet)) == 1:
        single = Notice(
            f"the score has one movement: --movement {options.movement} changes nothing"
        )
        tell([single], options.said_in)
    return twice


def _goal(options: argparse.Namespace, twice: "TwiceRead") -> "Goal | None":
    from engrave.survey.pace import goal_of

    return goal_of(options.goal, twice.score) if options.goal else None


def _hands(options: argparse.Namespace) -> "dict[Hand, float] | None":
    from engrave.music.notes import Hand

    return dict.fromkeys(Hand, options.stretch_cm * 10) if options.stretch_cm else None
