"""The command ``log``: what was practised, taken in and shown.

Enters: the parser to add it to, and the options it found. Leaves: lines and an exit code. The log
itself is the pipeline's affair.
"""

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from engrave.cli.exits import DONE
from engrave.cli.options import PICTURE_MM, Commands
from engrave.cli.telling import tell
from engrave.cli.terminal import shown
from engrave.errors import EngraveError, counted
from engrave.machine.cache import Cache, user_folder
from engrave.messages import in_language
from engrave.music.ranges import measures_text

if TYPE_CHECKING:
    from engrave.pipeline.checking import Checked
    from engrave.pipeline.story import Story


def add_log(commands: Commands) -> None:
    """``engrave log MARKS [FILE …]``."""
    log = commands.add_parser(
        "log", help="show what was practised; take in logs that a screen or another device wrote"
    )
    log.add_argument("marks", type=Path, metavar="MARKS", help="the marks file (YAML)")
    log.add_argument(
        "files",
        type=Path,
        nargs="*",
        default=[],
        metavar="FILE",
        help="logs to take in, in any order",
    )
    log.add_argument(
        "--rest", action="store_true", help="take in what can be read, though not all can"
    )
    log.add_argument(
        "--others", action="store_true", help="also entries of another piece or student"
    )
    log.add_argument(
        "--lesson", action="store_true", help="note that the lesson of the marks took place"
    )
    log.add_argument(
        "--picture", type=Path, metavar="FILE", help="draw the marks over the days (SVG)"
    )
    log.set_defaults(run=run_log)


def run_log(options: argparse.Namespace) -> int:
    """Take in, note, draw; with none of these, show."""
    from engrave.pipeline.checking import read
    from engrave.pipeline.means import Means
    from engrave.pipeline.progress import keys_for
    from engrave.pipeline.taking_in import log_path, note_lesson, take_in

    cache = Cache(user_folder())
    if (options.rest or options.others) and not options.files:
        raise EngraveError("nothing to take in", hint="name the files: engrave log MARKS FILE …")
    if options.files or options.lesson:
        opened = read(options.marks, Means(cache=cache))
        keys, name = keys_for(opened.marks, opened.score), log_path(opened.marks)
        if options.files:
            taken = take_in(opened.marks, keys, options.files, options.rest, options.others)
            tell(taken.refused, options.said_in)
            entries = counted(taken.new, "entry", "entries")
            said = f"{name}: {entries} taken in, {taken.known} known already"
            print(shown(in_language(said, options.said_in)))
        if options.lesson:
            is_new = note_lesson(opened.marks, keys)
            day = opened.marks.lesson.value if opened.marks.lesson else ""
            said = f"{name}: the lesson of {day} {'noted' if is_new else 'stands there already'}"
            print(shown(in_language(said, options.said_in)))
    if options.picture:
        _draw(_drilled(options.marks, cache), options.picture)
    if not (options.files or options.lesson or options.picture):
        checked = _drilled(options.marks, cache)
        log_path(checked.marks)
        tell(checked.notices, options.said_in)
        print(*map(shown, _lines(checked, options.said_in)), sep="\n")
    return DONE


def _drilled(marks: Path, cache: Cache) -> "Checked":
    """The marks with their log; all of their passages may be done."""
    from engrave.pipeline.checking import drill, read
    from engrave.pipeline.means import Means

    means = Means(cache=cache)
    return drill(read(marks, means), means, may_be_done=True)


def _draw(checked: "Checked", path: Path) -> None:
    from engrave.log.picture import marks_picture
    from engrave.machine.signed import write_drawing
    from engrave.marks.placed import value_of
    from engrave.pipeline.story import curves

    marks = checked.marks
    drawn = marks_picture(
        curves(checked),
        value_of(marks.lesson),
        PICTURE_MM,
        value_of(marks.performance),
        marks.language,
    )
    write_drawing(path, drawn.svg)
    print(shown(str(path)))


def _lines(checked: "Checked", language: str) -> Iterator[str]:
    """A line a passage: its number, where it stands, what was done on it."""
    from engrave.pipeline.story import stories

    for story in stories(checked):
        measures = in_language(measures_text(story.measures), language)
        yield f"{story.number} {story.id}: {measures}, {_standing(story, language)}"


def _standing(story: "Story", language: str) -> str:
    def say(text: str) -> str:
        return in_language(text, language)

    if story.done:
        return say("done" + (f" since {story.done_on}" if story.done_on else ""))
    at = f"at {story.reached} of {story.goal}" if story.reached else f"not yet at {story.first}"
    said = [say(at)]
    if story.days:
        parts = [counted(len(story.days), "day")]
        if story.minutes:
            count = float(story.minutes)
            parts.append(f"{count:g} minute{'s' * (count != 1)}")
        parts.append(f"last on {story.days[-1]}")
        said.append(", ".join(map(say, parts)))
    else:
        said.append(say("not in the log"))
    if story.word:
        said.append(say(f"“{story.word}”"))
    return "; ".join(said)
