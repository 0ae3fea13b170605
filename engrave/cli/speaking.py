"""The command line's help in the language of whoever reads it.

Enters: a parser made in English, and a language. Leaves: the same parser, its words looked up in
the catalogue of messages. Knows no command.
"""

import argparse
import re
import sys
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import NoReturn

from engrave.cli.exits import INPUT_MISTAKE
from engrave.machine import endings
from engrave.messages import ENGLISH, in_language, language_for
from engrave.words import LANGUAGES

FILES = {"bash": "_shtab_compgen_files", "zsh": "_files", "tcsh": "f"}
HEADINGS = ("usage:", "positional arguments:", "options:")
"""What argparse itself writes above its lists."""
OPTION = "--language"
SHORTENED = {OPTION[:count] for count in range(len("--l"), len(OPTION) + 1)}
"""argparse takes an option by its first letters too."""


_UNKNOWN = re.compile(
    r"argument .*: invalid choice: '(?P<word>.*)' \(choose from (?P<choices>.*)\)"
    r"|unrecognized arguments: (?P<option>--\S+).*"
)
"""What argparse says of words that it does not know."""


class Parser(argparse.ArgumentParser):
    """A parser that says its help and its mistakes in the language that its ``words`` ask for."""

    words: Sequence[str] = ()

    def format_help(self) -> str:
        """The whole help."""
        language = language_of(self.words)
        if language != ENGLISH:
            _translate(self, language)
        return _headed(super().format_help(), language)

    def format_usage(self) -> str:
        """The one line of it."""
        return _headed(super().format_usage(), language_of(self.words))

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the words of a command, what may be meant, and end."""
        language = language_of(self.words)
        if unknown := _UNKNOWN.fullmatch(message):
            message += self._meant(unknown)
        self.print_usage(sys.stderr)
        sign = in_language("error:", language)
        self.exit(INPUT_MISTAKE, f"{self.prog}: {sign} {in_language(message, language)}\n")

    def _meant(self, unknown: re.Match[str]) -> str:
        """What a word that nobody knows is most like, as a question."""
        word = (unknown["word"] or unknown["option"]).partition("=")[0]
        known = set(re.findall(r"'([^']+)'", unknown["choices"] or ""))
        if Path(word).suffix and not unknown["option"]:
            command = "build" if endings.is_marks(word) else "new"
            return f": did you mean 'engrave {command} {word}'?"
        if unknown["option"]:
            of_command = [each for each in parsers(self) if each.prog.split()[-1] in self.words]
            known = {name for each in of_command for name in each._option_string_actions}
        near = get_close_matches(word, sorted(known), n=1, cutoff=0.5)
        return f": did you mean {near[0]!r}?" if near else ""


def listen(parser: argparse.ArgumentParser, words: Sequence[str]) -> None:
    """Let a parser, and those of its commands, know the words that they will be given."""
    for each in parsers(parser):
        if isinstance(each, Parser):
            each.words = words


def _translate(parser: argparse.ArgumentParser, language: str) -> None:
    parser.description = parser.description and in_language(parser.description, language)
    for action in parser._actions:
        if action.help and action.help != argparse.SUPPRESS:
            action.help = in_language(action.help, language)
        for choice in getattr(action, "_choices_actions", ()):
            choice.help = in_language(choice.help, language)


def _headed(text: str, language: str) -> str:
    """With its headings in a language; lines of usage stay below the first, however it begins."""
    usage, gap, rest = text.partition("\n\n")
    further = " " * (len(in_language(HEADINGS[0], language)) - len(HEADINGS[0]))
    text = usage.replace("\n  ", f"\n{further}  ") + gap + rest
    for heading in HEADINGS:
        text = text.replace(heading, in_language(heading, language), 1)
    return text


def describe(parser: argparse.ArgumentParser) -> None:
    """Let the help of each command begin with what the help of all says of it."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for choice in action._choices_actions:
                action.choices[choice.dest].description = choice.help


def complete_files(parser: argparse.ArgumentParser) -> None:
    """Let a shell complete files where paths are wanted, by the marks that shtab looks for."""
    for each in parsers(parser):
        for action in each._actions:
            if action.type is Path:
                vars(action)["complete"] = FILES


def parsers(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """A parser, and those of its commands."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            yield from action.choices.values()


def language_of(arguments: Sequence[str]) -> str:
    """The language that the words of a command ask for, else that of this machine."""
    for word, following in zip(arguments, (*arguments[1:], ""), strict=False):
        name, equals, value = word.partition("=")
        asked = value if equals else following
        if name in SHORTENED and asked in LANGUAGES:
            return asked
    marks = next((Path(word) for word in arguments if endings.is_marks(word)), None)
    return language_for(marks)
