"""The command line: words in, lines and an exit code out; everything else is the pipeline's.

Mistakes are printed as ``file:line:column: error: …``; ``exits`` says what the exit codes mean.
"""

import argparse
import gc
import os
import signal
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import NoReturn

from engrave import __version__
from engrave.cli.build import add_build
from engrave.cli.check import add_check
from engrave.cli.exits import DONE, INPUT_MISTAKE, INTERRUPTED, TOOL_FAILURE
from engrave.cli.first import add_demo, add_help, run_help
from engrave.cli.log import add_log
from engrave.cli.pages import add_desk, add_watch
from engrave.cli.speaking import Parser, complete_files, describe, language_of, listen
from engrave.cli.survey import add_new, add_survey
from engrave.cli.telling import tell
from engrave.cli.terminal import refuse_gone, to_a_reader
from engrave.machine.leaving import leave
from engrave.machine.raised import failure, is_refused, mistakes_in


def run() -> NoReturn:
    """Run the command that was typed, and end the process with its exit code."""
    gc.disable()
    leave(main())


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    words = sys.argv[1:] if arguments is None else list(arguments)
    parser = parser_of()
    listen(parser, words)
    options = parser.parse_args(words)
    options.said_in = language_of(words)
    return _run(options)


def _run(options: argparse.Namespace) -> int:
    os.environ["PYTHONSAFEPATH"] = "1"  # our other processes run nothing from the user's folder
    code = DONE
    with to_a_reader():
        try:
            refuse_gone()
            with _without_sweeping(), _ending_in_order():
                code = options.run(options)
        except KeyboardInterrupt:
            code = INTERRUPTED
        except Exception as raised:
            mistakes = mistakes_in(raised)
            if not mistakes and (sys.flags.dev_mode or is_refused(raised)):
                raise
            code = INPUT_MISTAKE if mistakes else TOOL_FAILURE
            tell(mistakes or (failure(raised),), options.said_in)
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

    To look through all of it once more when it is done costs a fortieth; a program does not.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def parser_of() -> argparse.ArgumentParser:
    """All commands and their options."""
    parser: argparse.ArgumentParser = Parser(
        prog="engrave",
        description="Practice drills for pianists, cut from the full score and bound in a booklet.",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    parser.set_defaults(run=run_help, topic=None)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    add_build(commands)
    add_check(commands)
    add_watch(commands)
    add_desk(commands)
    add_survey(commands)
    add_new(commands)
    add_log(commands)
    add_demo(commands)
    add_help(commands)
    describe(parser)
    complete_files(parser)
    return parser
