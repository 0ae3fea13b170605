"""Options that several commands share: added to a parser, and read back.

Enters: a command's parser, and what argparse found. Leaves: what the pipeline takes. Knows no
command.
"""

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from engrave.words import LANGUAGES

if TYPE_CHECKING:
    from engrave.pipeline.batch import Task
    from engrave.pipeline.styling import Job

PRINTED = ("student", "stand", "masterclass")
EDITIONS = (*PRINTED, "screen")
PAPERS = ("a4", "letter")
"""As the booklet has them, which is not loaded for a command's help; a test holds them to it."""

PICTURE_MM = 180.0
"""Width of pictures that go into no booklet."""

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
"""What a command is added to; its parser's ``run`` is called with what was found."""


def add_page_options(command: argparse.ArgumentParser, editions: Sequence[str] = PRINTED) -> None:
    """Where booklets go, and what they are like."""
    command.add_argument("--out", type=Path, default=Path("output"), help="folder for the output")
    command.add_argument(
        "--edition",
        action="append",
        choices=editions,
        help="what the booklet is for, student unless named; may be given several times",
    )
    command.add_argument("--paper", choices=PAPERS, help="paper, instead of the marks file's")
    add_language(command)
    command.add_argument(
        "--staff-mm", type=_staff_mm, metavar="MM", help="staff height in millimetres"
    )


def add_language(
    command: argparse.ArgumentParser, meaning: str = "language, instead of the marks file's"
) -> None:
    """The language in which a command speaks."""
    command.add_argument("--language", choices=LANGUAGES, help=meaning)


def add_cache_option(command: argparse.ArgumentParser) -> None:
    """Whether anything is kept for the next time."""
    command.add_argument(
        "--no-cache",
        action="store_true",
        help="make everything anew, and keep nothing for the next time",
    )


def _staff_mm(text: str) -> float:
    from engrave.marks.schema import STAFF_MM

    return number_within(*STAFF_MM)(text)


def number_within(least: float, most: float) -> Callable[[str], float]:
    """Reads a number from ``least`` to ``most``; what else it is, the command line refuses."""

    def read(text: str) -> float:
        try:
            number = float(text.replace(",", "."))
        except ValueError:
            number = least - 1
        if not least <= number <= most:
            raise _not_within(least, most)
        return number

    return read


def whole_within(least: int, most: int) -> Callable[[str], int]:
    """Reads a whole number from ``least`` to ``most``."""

    def read(text: str) -> int:
        is_whole = text.isascii() and text.isdecimal() and len(text) <= len(str(most))
        if not is_whole or not least <= int(text) <= most:
            raise _not_within(least, most)
        return int(text)

    return read


def _not_within(least: float, most: float) -> argparse.ArgumentTypeError:
    return argparse.ArgumentTypeError(f"it is a number from {least:g} to {most:g}")


movement = whole_within(1, 99)
"""A movement's number, as ``piece:`` of the marks has it."""


def cache_folder(options: argparse.Namespace) -> Path | None:
    """Where results are kept, if they are."""
    from engrave.machine.cache import user_folder

    return None if options.no_cache else user_folder()


def job(options: argparse.Namespace) -> "Job":
    """What is asked for of each booklet."""
    from engrave.pipeline.styling import Job

    return Job(
        editions=tuple(dict.fromkeys(options.edition or EDITIONS[:1])),
        paper=options.paper,
        language=options.language,
        staff_mm=options.staff_mm,
        imposed=getattr(options, "imposed", False),
        sound=getattr(options, "sound", False),
        audio=getattr(options, "audio", False),
    )


def task(options: argparse.Namespace) -> "Task":
    """What is done with each marks file."""
    from engrave.pipeline.batch import Task

    return Task(options.out, job(options), cache_folder(options))
