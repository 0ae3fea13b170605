"""The manual page of the command line, in roff, from the words of its parsers.

Enters: nothing. Leaves: ``templates/reference/engrave.1``, which the wheel carries and which
``python -m engrave.cli.manual`` writes anew. Laid out as man-pages(7) says.
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from engrave import __version__
from engrave.cli.commands import parser_of
from engrave.cli.exits import MEANINGS
from engrave.cli.first import STEPS, WHAT
from engrave.cli.speaking import parsers

PAGE = Path(__file__).resolve().parents[2] / "templates/reference/engrave.1"


def manual() -> str:
    """The page."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    main, *commands = parsers(parser_of())
    yield f'.TH ENGRAVE 1 "" "engrave {__version__}" "User Commands"'
    yield from (".SH NAME", f"engrave \\- {_plain(_first_words(main.description or ''))}")
    yield from (".SH SYNOPSIS", ".B engrave", r"\fICOMMAND\fR [\fIOPTION\fR ...]")
    yield from (".SH DESCRIPTION", _plain(WHAT))
    yield from (".PP", "A first day, in order:", ".PP", ".nf")
    yield from (_plain(f"{command:<32}{what}") for command, what in STEPS)
    yield from (".fi", ".PP", "Every key of a marks file is told by", '.BR "engrave help marks" .')
    yield ".SH COMMANDS"
    helps = dict(_helps(main))
    for command in commands:
        yield from _command(command, helps[command.prog])
    yield ".SH EXIT STATUS"
    for code, meaning in MEANINGS.items():
        yield from (".TP", f".B {code}", _plain(meaning))
    yield ".SH FILES"
    for path, meaning in (
        ("output/NAME/index.html", "What a build of NAME.yaml made, in the booklet's order."),
        ("~/.cache/engrave", "Results kept between builds; may be deleted at any time."),
    ):
        yield from (".TP", f".I {_plain(path)}", _plain(meaning))


def _helps(main: argparse.ArgumentParser) -> Iterator[tuple[str, str]]:
    for action in main._actions:
        for choice in getattr(action, "_choices_actions", ()):
            yield f"{main.prog} {choice.dest}", choice.help or ""


def _command(parser: argparse.ArgumentParser, what: str) -> Iterator[str]:
    actions = [each for each in parser._actions if each.help and each.dest != "help"]
    places = [each for each in actions if not each.option_strings]
    words = (
        rf"[\fI{_plain(_name(each))}\fR]" if each.nargs else rf"\fI{_plain(_name(each))}\fR"
        for each in places
    )
    yield f".SS {' '.join((parser.prog.split()[-1], *words))}"
    yield _sentence(what)
    for each in actions:
        if each.option_strings:
            value = "" if each.nargs == 0 else rf" \fI{_plain(_name(each))}\fR"
            names = ", ".join(rf"\fB{_plain(name)}\fR" for name in each.option_strings)
            yield from (".TP", f"{names}{value}")
        else:
            yield from (".TP", rf"\fI{_plain(_name(each))}\fR")
        yield _sentence((each.help or "") % {"default": each.default})


def _name(action: argparse.Action) -> str:
    """What stands for a value: its name, or the words that it can be."""
    if isinstance(action.metavar, str):
        return action.metavar
    if action.choices:
        return "|".join(map(str, action.choices))
    return action.dest.upper()


def _first_words(text: str) -> str:
    return text[:1].lower() + text[1:].rstrip(".")


def _sentence(text: str) -> str:
    said = text[:1].upper() + text[1:]
    return _plain(said if said.endswith(".") else said + ".")


def _plain(text: str) -> str:
    """Text as roff prints it: signs that mean something to it are escaped."""
    text = text.replace("\\", r"\e").replace("-", r"\-").replace("'", r"\(aq")
    return rf"\&{text}" if text.startswith(".") else text


if __name__ == "__main__":
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(manual(), "utf-8")
    sys.stdout.write(f"{PAGE.name}\n")
