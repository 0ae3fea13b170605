"""The commands ``watch`` and ``desk``: pages in a browser of this machine.

Enters: the parser to add them to, and the options it found. Leaves: an exit code, once the page's
server ends.
"""

import argparse
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from engrave.cli.exits import DONE
from engrave.cli.options import (
    Commands,
    add_cache_option,
    add_page_options,
    movement,
    task,
    whole_within,
)


def add_watch(commands: Commands) -> None:
    """``engrave watch MARKS``."""
    watch = commands.add_parser(
        "watch", help="show the booklet in a browser of this machine, renewed at every save"
    )
    watch.add_argument("marks", type=Path, metavar="MARKS", help="the marks file (YAML)")
    add_page_options(watch)
    _add_address(watch)
    add_cache_option(watch)
    watch.set_defaults(run=run_watch)


def add_desk(commands: Commands) -> None:
    """``engrave desk SCORE|MARKS``."""
    desk = commands.add_parser("desk", help="mark the score by hand, in a browser of this machine")
    desk.add_argument("path", type=Path, metavar="SCORE|MARKS", help="a score, or its marks file")
    desk.add_argument("--part", help="the keyboard part, where a score without marks has several")
    desk.add_argument("--movement", type=movement, metavar="N", help="the movement, counted from 1")
    add_page_options(desk)
    _add_address(desk)
    add_cache_option(desk)
    desk.set_defaults(run=run_desk)


def _add_address(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--port",
        type=whole_within(0, 65535),
        default=0,
        help="port of the page, any free one if not given",
    )
    command.add_argument("--no-browser", action="store_true", help="only say where the page is")


def run_watch(options: argparse.Namespace) -> int:
    """Show the booklet until interrupted."""
    from engrave.marks.text import read_text
    from engrave.watch import watch

    read_text(options.marks)  # what is no text now will not become marks by saving
    with suppress(KeyboardInterrupt):
        watch(options.marks, task(options), options.port, _teller(options.no_browser))
    return DONE


def run_desk(options: argparse.Namespace) -> int:
    """Show the score to be marked, until the page is closed or the command interrupted."""
    from engrave.desk import desk, opened

    start = opened(options.path, options.part, options.movement, options.said_in)
    with suppress(KeyboardInterrupt):
        desk(start, task(options), options.port, _teller(options.no_browser))
    return DONE


def _teller(is_alone: bool) -> Callable[[str], None]:
    """Says where a page is, and opens it unless it is to be left alone."""

    def tell(address: str) -> None:
        print(address, flush=True)
        if not is_alone:
            import webbrowser

            webbrowser.open(address)

    return tell
