"""The commands of a first day: ``demo`` lays the demo out, ``help`` says what a marks file holds.

Enters: the parser to add them to, and the options it found. Leaves: a folder, or lines.
"""

import argparse
import re
from collections.abc import Iterator
from pathlib import Path

from engrave.cli.exits import DONE
from engrave.cli.options import Commands, add_language
from engrave.errors import EngraveError
from engrave.machine.saving import cannot_save, replace
from engrave.machine.typed import as_typed
from engrave.messages import in_language

WHAT = "engrave marks passages of a piano score and binds practice drills for them in a booklet."
STEPS = (
    ("engrave demo", "lay out an example to try"),
    ("engrave new rondo.musicxml", "a first marks file for your score: rondo.yaml"),
    ("engrave desk rondo.musicxml", "or mark it by hand, in the browser"),
    ("engrave build rondo.yaml", "the booklet: output/rondo/"),
    ("engrave help marks", "everything that a marks file can hold"),
    ("engrave --help", "all commands"),
)

DEMO = ("lantern-rondo.musicxml", "lantern-rondo.yaml", "nell.log.yaml", "tam.yaml")

_PACKAGE = Path(__file__).resolve().parent.parent
_SCORES = _PACKAGE / "demo" if (_PACKAGE / "demo").is_dir() else _PACKAGE.parent / "scores"
"""The demo: inside the installed package, or at the top of the repository."""


def guide(language: str) -> Iterator[str]:
    """What to do first."""
    yield in_language(WHAT, language)
    yield ""
    for command, what in STEPS:
        yield f"  {command:<30}{in_language(what, language)}"


def add_demo(commands: Commands) -> None:
    """``engrave demo [FOLDER]``."""
    demo = commands.add_parser("demo", help="lay out an example, a score and its marks, to try")
    demo.add_argument(
        "folder", type=Path, nargs="?", default=Path("demo"), help="where to (%(default)s)"
    )
    demo.set_defaults(run=run_demo)


def add_help(commands: Commands) -> None:
    """``engrave help [marks]``."""
    help_ = commands.add_parser("help", help="say what to do first; help marks: all keys of a file")
    help_.add_argument("topic", nargs="?", choices=("marks",), help="the reference of marks files")
    add_language(help_, "language of words")
    help_.set_defaults(run=run_help)


def run_demo(options: argparse.Namespace) -> int:
    """Lay the demo out; never over a file that differs."""
    folder: Path = options.folder
    contents = {folder / name: _laid_out(name, folder) for name in DEMO}
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise cannot_save(folder, error) from None
    for path, content in contents.items():
        if path.exists() and path.read_bytes() != content:
            raise EngraveError(
                f"{path} is there already",
                hint="name another folder: engrave demo FOLDER",
            )
    for path, content in contents.items():
        replace(path, content)
    print(in_language(f"{folder}: now engrave build {as_typed(folder / DEMO[1])}", options.said_in))
    return DONE


def _laid_out(name: str, folder: Path) -> bytes:
    """A file of the demo; its comments name commands, which are typed where the folder lies."""
    content = (_SCORES / name).read_bytes()
    if name.endswith(".yaml"):
        beside = " ".join(f"{folder.as_posix()}/".split()).encode()
        content = re.sub(rb"\bscores/(?=[\w-]+\.yaml)", lambda _: beside, content)
    return content


def run_help(options: argparse.Namespace) -> int:
    """The guide, or the reference."""
    if options.topic is None:
        print(*guide(options.said_in), sep="\n")
        return DONE
    from engrave.cli.reference import reference

    print(*reference(options.said_in), sep="\n")
    return DONE
