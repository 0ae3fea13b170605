"""The command ``build``: one booklet, or several at a time.

Enters: the parser to add it to, and the options it found. Leaves: lines and an exit code. What is
made is the pipeline's affair.
"""

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from engrave.cli.exits import DONE, INPUT_MISTAKE, TOOL_FAILURE
from engrave.cli.options import (
    EDITIONS,
    Commands,
    add_cache_option,
    add_page_options,
    cache_folder,
    job,
    task,
    whole_within,
)
from engrave.cli.telling import WorkLine, tell
from engrave.cli.terminal import shown
from engrave.errors import EngraveError
from engrave.messages import in_language

if TYPE_CHECKING:
    from engrave.pipeline.batch import Outcome


def add_build(commands: Commands) -> None:
    """``engrave build MARKS …``."""
    build = commands.add_parser("build", help="make the booklets of marks files")
    build.add_argument(
        "marks", type=Path, nargs="*", metavar="MARKS", help="marks files (YAML), one or several"
    )
    add_page_options(build, EDITIONS)
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
        type=whole_within(1, 64),
        default=len(os.sched_getaffinity(0))
        if hasattr(os, "sched_getaffinity")
        else os.cpu_count(),
        metavar="N",
        help="of several marks files, how many to build at a time; all processors unless named",
    )
    add_cache_option(build)
    build.set_defaults(run=run_build)


def run_build(options: argparse.Namespace) -> int:
    """Make the booklet of each marks file."""
    from engrave.machine.cache import Cache
    from engrave.machine.workers import own_temporary_folder
    from engrave.pipeline.stages import build

    if not options.marks:
        raise EngraveError(
            "nothing to build",
            hint="name a marks file: engrave build rondo.yaml; a first one for a score: "
            "engrave new rondo.musicxml; to see what comes out: engrave demo",
        )
    if len(options.marks) > 1:
        return _build_several(options)
    (marks,) = options.marks
    progress = WorkLine(options.said_in)
    with own_temporary_folder():
        checked = build(marks, options.out, job(options), progress, Cache(cache_folder(options)))
    progress.clear()
    tell(checked.notices, options.said_in)
    print(shown(in_language(checked.made, options.said_in)))
    return DONE


def _build_several(options: argparse.Namespace) -> int:
    from engrave.pipeline.batch import build_all

    bar = _Bar(len(options.marks), options.said_in)
    outcomes = build_all(options.marks, task(options), options.jobs, bar.tell)
    bar.close()
    failed = [outcome for outcome in outcomes if not outcome.is_built]
    built = f"{len(outcomes) - len(failed)} of {len(outcomes)} booklets built"
    print(in_language(built, options.said_in))
    for outcome in failed:
        unbuilt = in_language(f"not built: {outcome.marks}", options.said_in)
        print(unbuilt, file=sys.stderr)
    if any(outcome.crash for outcome in failed):
        return TOOL_FAILURE
    return INPUT_MISTAKE if failed else DONE


class _Bar:
    """How far several builds have come, on one line of a terminal; elsewhere only what they say."""

    def __init__(self, total: int, language: str) -> None:
        self._total, self._done, self._language = total, 0, language
        self._line = WorkLine(language)
        self._said: set[str] = set()
        self._of_base: dict[str, list[str]] = {}
        self._draw("")

    def tell(self, outcome: "Outcome") -> None:
        """One has ended."""
        self._done += 1
        self.clear()
        for line in dict.fromkeys(outcome.of_base):
            self._of_base.setdefault(line, []).append(str(outcome.marks))
        for line in (*outcome.notices, *outcome.mistakes):
            if line not in self._said:  # what stands in the base of several marks is told once
                print(shown(line), file=sys.stderr)
                self._said.add(line)
        if outcome.crash:
            print(shown(outcome.crash), file=sys.stderr)
        self._draw(outcome.marks.name)

    def _draw(self, last: str) -> None:
        filled = 30 * self._done // self._total
        bar = "█" * filled + "·" * (30 - filled)
        self._line.show(f"{bar} {self._done}/{self._total} {last}")

    def clear(self) -> None:
        """Leave the line to others."""
        self._line.clear()

    def close(self) -> None:
        """All have ended: what stands in a base is told once, with those whom it is for."""
        self.clear()
        for line, files in self._of_base.items():
            whose = in_language(f"this is for {'; '.join(sorted(files))}", self._language)
            print(shown(line), shown(f"  {whose}"), sep="\n", file=sys.stderr)
