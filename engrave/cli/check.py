"""The command ``check``: what would be made of a marks file, and what is wrong with it.

Enters: the parser to add it to, and the options it found. Leaves: lines and an exit code.
"""

import argparse
from pathlib import Path

from engrave.cli.exits import DONE
from engrave.cli.listing import listing
from engrave.cli.options import Commands, add_cache_option, add_language, cache_folder
from engrave.cli.telling import WorkLine, tell
from engrave.cli.terminal import shown


def add_check(commands: Commands) -> None:
    """``engrave check MARKS``."""
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
    add_language(check)
    add_cache_option(check)
    check.set_defaults(run=run_check)


def run_check(options: argparse.Namespace) -> int:
    """Say what would be made, or why one passage has its fingers."""
    from engrave.machine.cache import Cache
    from engrave.pipeline.checking import check

    progress = WorkLine(options.said_in)
    checked = check(options.marks, progress, Cache(cache_folder(options)), alone=False)
    progress.clear()
    tell(checked.notices, options.said_in)
    if options.why:
        from engrave.pipeline.explaining import why

        print(*map(shown, why(checked, options.why, options.said_in)), sep="\n")
        return DONE
    print(*map(shown, listing(checked, options.said_in, options.hands)), sep="\n")
    return DONE
