"""The command line: words in, lines and an exit code out; everything else is the pipeline's.

Exit codes: 0 done, 2 the input is wrong (every mistake printed as ``file:line:column: error: …``),
1 the tool failed at one of several files, 130 interrupted.
"""

import argparse
import atexit
import gc
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from engrave import __version__
from engrave.cli.check import listing
from engrave.cli.first import add_demo, add_help, run_demo, run_help
from engrave.cli.log import add_log, run_log
from engrave.cli.speaking import Parser, complete_files, listen
from engrave.cli.survey import add_new, add_survey, number_within, run_new, run_survey
from engrave.cli.telling import Progress, tell
from engrave.cli.terminal import refuse_gone, shown, to_a_reader
from engrave.errors import EngraveError, Mistakes
from engrave.messages import in_language, language_for

if TYPE_CHECKING:
    from engrave.pipeline.batch import Outcome
    from engrave.pipeline.styling import Job

INPUT_MISTAKE = 2
TOOL_FAILURE = 1
INTERRUPTED = 130

PRINTED = ("student", "stand", "masterclass")
EDITIONS = (*PRINTED, "screen")
PAPERS = ("a4", "letter")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    words = sys.argv[1:] if arguments is None else list(arguments)
    parser = parser_of()
    listen(parser, words)
    options = parser.parse_args(words)
    options.said_in = language_for(_path_of(options), getattr(options, "language", None))
    return _run(options)


def _path_of(options: argparse.Namespace) -> Path | None:
    """The file that a command is about, the first of several."""
    for name in ("marks", "path", "score"):
        found = getattr(options, name, None)
        if found:
            return Path(found[0] if isinstance(found, list) else found)
    return None


def _run(options: argparse.Namespace) -> int:
    command = {
        None: run_help,
        "build": _build,
        "check": _check,
        "watch": _watch,
        "desk": _desk,
        "survey": run_survey,
        "new": run_new,
        "log": run_log,
        "demo": run_demo,
        "help": run_help,
    }[options.command]
    os.environ["PYTHONSAFEPATH"] = "1"  # our other processes run nothing from the user's folder
    code = 0
    with to_a_reader():
        try:
            refuse_gone()
            with _without_sweeping(), _ending_in_order():
                code = command(options)
        except Mistakes as mistakes:
            code = INPUT_MISTAKE
            tell(mistakes.errors, options.said_in)
        except EngraveError as error:
            code = INPUT_MISTAKE
            tell([error], options.said_in)
        except KeyboardInterrupt:
            code = INTERRUPTED
    return code


@contextmanager
def _ending_in_order() -> Iterator[None]:
    """Be terminated as one is interrupted: else the processes at work here would go on."""
    before = signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


@contextmanager
def _without_sweeping() -> Iterator[None]:
    """A build makes much and drops little: looking for cycles costs a sixth of it, for nothing.

    At the end of the process, looking through all of it once more costs a tenth.
    """
    gc.disable()
    atexit.register(gc.freeze)
    try:
        yield
    finally:
        gc.enable()


def parser_of() -> argparse.ArgumentParser:
    """All commands and their options."""
    parser: argparse.ArgumentParser = Parser(
        prog="engrave",
        description="Practice drills for pianists, cut from the full score and bound in a booklet.",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    _add_build(commands)
    _add_check(commands)
    _add_watch(commands)
    _add_desk(commands)
    add_survey(commands)
    add_new(commands)
    add_log(commands)
    add_demo(commands)
    add_help(commands)
    complete_files(parser)
    return parser


def _add_build(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    build = commands.add_parser("build", help="make the booklets of marks files")
    build.add_argument(
        "marks", type=Path, nargs="*", metavar="MARKS", help="marks files (YAML), one or several"
    )
    _add_page_options(build, EDITIONS)
    build.add_argument(
        "--imposed",
        action="store_true",
        help="add a second PDF, two pages a side in folding order",
    )
    build.add_argument(
        "--sound",
        action="store_true",
        help="add a MIDI file of every drill and passage, with the metronome",
    )
    build.add_argument(
        "--audio",
        action="store_true",
        help="add an MP3 file of every drill at today's marks (pip install numpy soundfile)",
    )
    build.add_argument(
        "--jobs",
        type=_jobs,
        default=len(os.sched_getaffinity(0))
        if hasattr(os, "sched_getaffinity")
        else os.cpu_count(),
        metavar="N",
        help="of several marks files, how many to build at a time; all processors unless named",
    )
    _add_cache_option(build)


def _add_check(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    check = commands.add_parser("check", help="say what would be made, and what is wrong")
    check.add_argument("marks", type=Path, metavar="MARKS", help="the marks file (YAML)")
    check.add_argument(
        "--why", metavar="ID", help="explain the fingering of one passage, rule by rule"
    )
    check.add_argument(
        "--hands",
        action="store_true",
        help="tell of the whole score which notes the other staff's hand plays",
    )
    _add_language(check)
    _add_cache_option(check)


def _add_watch(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    watch = commands.add_parser(
        "watch", help="show the booklet in a browser of this machine, renewed at every save"
    )
    watch.add_argument("marks", type=Path, metavar="MARKS", help="the marks file (YAML)")
    _add_page_options(watch)
    watch.add_argument(
        "--port", type=int, default=0, help="port of the page, any free one if not given"
    )
    watch.add_argument("--no-browser", action="store_true", help="only say where the page is")
    _add_cache_option(watch)


def _add_desk(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    desk = commands.add_parser("desk", help="mark the score by hand, in a browser of this machine")
    desk.add_argument("path", type=Path, metavar="SCORE|MARKS", help="a score, or its marks file")
    desk.add_argument("--part", help="the keyboard part, where a score without marks has several")
    desk.add_argument("--movement", type=int, metavar="N", help="the movement, counted from 1")
    _add_page_options(desk)
    desk.add_argument(
        "--port", type=int, default=0, help="port of the page, any free one if not given"
    )
    desk.add_argument("--no-browser", action="store_true", help="only say where the page is")
    _add_cache_option(desk)


def _add_page_options(command: argparse.ArgumentParser, editions: Sequence[str] = PRINTED) -> None:
    command.add_argument("--out", type=Path, default=Path("output"), help="folder for the output")
    command.add_argument(
        "--edition",
        action="append",
        choices=editions,
        help="what the booklet is for, student unless named; may be given several times",
    )
    command.add_argument("--paper", choices=PAPERS, help="paper, instead of the marks file's")
    _add_language(command)
    command.add_argument(
        "--staff-mm", type=_staff_mm, metavar="MM", help="staff height in millimetres"
    )


def _add_language(command: argparse.ArgumentParser) -> None:
    from engrave.words import LANGUAGES

    command.add_argument(
        "--language", choices=LANGUAGES, help="language, instead of the marks file's"
    )


def _add_cache_option(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--no-cache",
        action="store_true",
        help="make everything anew, and keep nothing for the next time",
    )


def _staff_mm(text: str) -> float:
    from engrave.marks.schema import STAFF_MM

    return number_within(text, *STAFF_MM)


def _jobs(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 64:
        raise argparse.ArgumentTypeError("it is a number from 1 to 64")
    return int(text)


def _cache_folder(options: argparse.Namespace) -> Path | None:
    from engrave.machine.cache import user_folder

    return None if options.no_cache else user_folder()


def _job(options: argparse.Namespace) -> "Job":
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


def _build(options: argparse.Namespace) -> int:
    from engrave.machine.cache import Cache
    from engrave.pipeline.stages import build

    if not options.marks:
        raise EngraveError(
            "nothing to build",
            hint="name a marks file: engrave build rondo.yaml; a first one for a score: "
            "engrave new rondo.musicxml; to see what comes out: engrave demo",
        )
    job, progress = _job(options), Progress(options.said_in)
    if len(options.marks) > 1:
        return _build_several(options, job)
    (marks,) = options.marks
    checked = build(marks, options.out, job, progress, Cache(_cache_folder(options)))
    progress.clear()
    tell(checked.notices, options.said_in)
    print(shown(in_language(checked.made, options.said_in)))
    return 0


def _build_several(options: argparse.Namespace, job: "Job") -> int:
    from engrave.pipeline.batch import Task, build_all

    bar = _Bar(len(options.marks))
    task = Task(options.out, job, _cache_folder(options))
    outcomes = build_all(options.marks, task, options.jobs, bar.tell)
    bar.clear()
    failed = [outcome for outcome in outcomes if not outcome.is_built]
    built = f"{len(outcomes) - len(failed)} of {len(outcomes)} booklets built"
    print(in_language(built, options.said_in))
    for outcome in failed:
        print(f"not built: {outcome.marks}", file=sys.stderr)
    if any(outcome.crash for outcome in failed):
        return TOOL_FAILURE
    return INPUT_MISTAKE if failed else 0


class _Bar:
    """How far several builds have come, on one line of a terminal; elsewhere only what they say."""

    def __init__(self, total: int) -> None:
        self.total, self.done = total, 0
        self._said: set[str] = set()
        self.is_shown = sys.stderr.isatty()
        self._draw("")

    def tell(self, outcome: "Outcome") -> None:
        """One has ended."""
        self.done += 1
        self.clear()
        for line in (*outcome.notices, *outcome.mistakes):
            if line not in self._said:  # what stands in the base of several marks is told once
                print(shown(line), file=sys.stderr)
                self._said.add(line)
        if outcome.crash:
            print(f"{outcome.marks}: the tool failed: {outcome.crash}", file=sys.stderr)
        self._draw(outcome.marks.name)

    def _draw(self, last: str) -> None:
        if self.is_shown:
            filled = 30 * self.done // self.total
            bar = "█" * filled + "·" * (30 - filled)
            print(f"{bar} {self.done} of {self.total} {last}", end="", file=sys.stderr, flush=True)

    def clear(self) -> None:
        """Leave the line to others."""
        if self.is_shown:
            print("\r\x1b[2K", end="", file=sys.stderr, flush=True)


def _check(options: argparse.Namespace) -> int:
    from engrave.machine.cache import Cache
    from engrave.pipeline.checking import check

    progress = Progress(options.said_in)
    checked = check(options.marks, progress, Cache(_cache_folder(options)))
    progress.clear()
    tell(checked.notices, options.said_in)
    if options.why:
        from engrave.pipeline.explaining import why

        print(*map(shown, why(checked, options.why, options.said_in)), sep="\n")
        return 0
    print(*map(shown, listing(checked, options.said_in, options.hands)), sep="\n")
    return 0


def _watch(options: argparse.Namespace) -> int:
    from engrave.pipeline.batch import Task
    from engrave.watch import watch

    task = Task(options.out, _job(options), _cache_folder(options))
    with suppress(KeyboardInterrupt):
        watch(options.marks, task, options.port, _teller(options.no_browser))
    return 0


def _desk(options: argparse.Namespace) -> int:
    from engrave.desk import desk, opened
    from engrave.pipeline.batch import Task

    start = opened(options.path, options.part, options.movement)
    task = Task(options.out, _job(options), _cache_folder(options))
    with suppress(KeyboardInterrupt):
        desk(start, task, options.port, _teller(options.no_browser))
    return 0


def _teller(is_alone: bool) -> "Callable[[str], None]":
    """Says where a page is, and opens it unless it is to be left alone."""

    def tell(address: str) -> None:
        print(address, flush=True)
        if not is_alone:
            import webbrowser

            webbrowser.open(address)

    return tell
