"""The command line: words in, lines and an exit code out; everything else is the pipeline's.

Exit codes: 0 done, 2 the input is wrong (every mistake printed as ``file:line:column: error: …``).
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from engrave import __version__
from engrave.errors import EngraveError, Mistakes

if TYPE_CHECKING:
    from engrave.pipeline.stages import Checked

INPUT_MISTAKE = 2

EDITIONS = ("student", "stand", "masterclass")
PAPERS = ("a4", "letter")
LANGUAGES = ("de", "en")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    options = _parser().parse_args(arguments)
    try:
        if options.command == "build":
            _build(options)
        else:
            _check(options)
    except Mistakes as mistakes:
        for error in mistakes.errors:
            print(error, file=sys.stderr)
        return INPUT_MISTAKE
    except EngraveError as error:
        print(error, file=sys.stderr)
        return INPUT_MISTAKE
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="engrave",
        description="Practice drills for pianists, cut from the full score and bound in a booklet.",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    build = commands.add_parser("build", help="make the booklet of a marks file")
    build.add_argument("marks", type=Path, metavar="MARKS", help="the marks file (YAML)")
    build.add_argument("--out", type=Path, default=Path("output"), help="folder for the output")
    build.add_argument(
        "--edition",
        action="append",
        choices=EDITIONS,
        help="what the booklet is for, student unless named; may be given several times",
    )
    build.add_argument("--paper", choices=PAPERS, help="paper, instead of the marks file's")
    build.add_argument(
        "--language", choices=LANGUAGES, help="language, instead of the marks file's"
    )
    build.add_argument("--staff-mm", type=float, metavar="MM", help="staff height in millimetres")
    build.add_argument(
        "--imposed",
        action="store_true",
        help="add a second PDF, two pages a side in folding order",
    )
    check = commands.add_parser("check", help="say what would be made, and what is wrong")
    check.add_argument("marks", type=Path, metavar="MARKS", help="the marks file (YAML)")
    return parser


def _build(options: argparse.Namespace) -> None:
    from engrave.pipeline.stages import Job, build

    job = Job(
        editions=tuple(dict.fromkeys(options.edition or EDITIONS[:1])),
        paper=options.paper,
        language=options.language,
        staff_mm=options.staff_mm,
        imposed=options.imposed,
    )
    checked = build(options.marks, options.out, job, _progress)
    _print_notices(checked)


def _check(options: argparse.Namespace) -> None:
    from engrave.pipeline.stages import check

    checked = check(options.marks, tell=_progress)
    _print_notices(checked)
    for drilled in checked.passages:
        passage = drilled.passage
        count = len(drilled.drills)
        print(f"{passage.id}: measures {passage.label}, {count} drill{'s' * (count != 1)}")
        for drill in drilled.drills:
            notes = len(drill.source)
            marks = drill.ladder.marks
            print(f"  {drill.id}: {notes} onsets, {marks[0]} to {marks[-1]}")


def _print_notices(checked: "Checked") -> None:
    for notice in checked.notices:
        print(notice, file=sys.stderr)


def _progress(stage: str) -> None:
    if sys.stderr.isatty():
        print(f"· {stage}", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
