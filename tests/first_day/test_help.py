"""The command line's help and mistakes, in English and in German."""

import argparse
import tomllib
from collections.abc import Iterator

import pytest

from engrave.booklet import FOLDED, Edition
from engrave.cli import main
from engrave.cli.commands import parser_of
from engrave.cli.options import EDITIONS, PAPERS, PRINTED
from engrave.cli.speaking import HEADINGS, parsers
from engrave.marks import schema
from engrave.pipeline.screening import SCREEN
from engrave.words import TEMPLATES

GERMAN = {
    english
    for table in tomllib.loads((TEMPLATES / "messages/de.toml").read_text("utf-8")).values()
    for english in table
}


def helps() -> Iterator[str]:
    """Every sentence of the help."""
    for parser in parsers(parser_of()):
        yield from filter(None, [parser.description])
        for action in parser._actions:
            if action.help and action.help != argparse.SUPPRESS:
                yield action.help
            yield from (choice.help for choice in getattr(action, "_choices_actions", ()))


def test_every_sentence_of_the_help_has_german() -> None:
    missing = sorted({*helps(), *HEADINGS} - GERMAN)
    assert not missing, "add these to templates/messages/de.toml:\n" + "\n".join(missing)


@pytest.mark.parametrize("command", [["--help"], ["build", "--help"], ["log", "-h"]])
def test_help_is_in_the_language_of_the_machine(
    command: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for language, heading in (("de_DE.UTF-8", "Aufruf: "), ("C.UTF-8", "usage: ")):
        monkeypatch.setenv("LC_ALL", language)
        with pytest.raises(SystemExit) as ended:
            main(command)
        assert ended.value.code == 0
        told = capsys.readouterr().out
        assert told.startswith(f"{heading}engrave")
        assert ("show this help" in told) == (heading == "usage: ")
        usage = told.partition("\n\n")[0].splitlines()
        begin = usage[0].index("[-h]")
        assert all(len(line) - len(line.lstrip()) == begin for line in usage[1:])


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (["dudel", "--language=de"], "den Befehl „dudel“ gibt es nicht; es gibt"),
        (["build", "--edition", "x", "--language", "de"], "--edition: „x“ geht hier nicht;"),
        (["new", "--language", "de", "--count"], "unbekannt: --count"),
        (["check", "--language", "de"], "es fehlt: MARKS"),
        (["check", "--lang=de"], "es fehlt: MARKS"),
        (["R.YAML", "--lang=de"], "den Befehl „R.YAML“ gibt es nicht: war „engrave build R.YAML“"),
    ],
)
def test_mistakes_in_a_command_are_told_in_its_language(
    command: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(command)
    assert ended.value.code == 2
    assert f"Fehler: {said}" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "least", "most"),
    [
        (["desk", "rondo.musicxml", "--movement", "0"], "1", "99"),
        (["desk", "rondo.musicxml", "--movement", "100"], "1", "99"),
        (["survey", "rondo.musicxml", "--movement", "-1"], "1", "99"),
        (["desk", "rondo.musicxml", "--port", "65536"], "0", "65535"),
        (["build", "rondo.yaml", "--jobs", "٣"], "1", "64"),
        (["new", "rondo.musicxml", "--stretch-cm", "11"], "12", "30"),
    ],
)
def test_numbers_that_cannot_be_are_refused_alike(
    words: list[str], least: str, most: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main([*words, "--language=en"])
    assert ended.value.code == 2
    assert capsys.readouterr().err.endswith(f"{words[-2]}: it is a number from {least} to {most}\n")


def test_what_can_be_chosen_is_what_there_is() -> None:
    assert tuple(Edition) == PRINTED
    assert (*PRINTED, SCREEN) == EDITIONS
    assert tuple(FOLDED) == PAPERS == schema.PAPERS


def test_the_reference_is_told_in_the_language_asked_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["help", "marks", "--language", "de"]) == 0
    assert capsys.readouterr().out.startswith("# Die Datei mit den Markierungen\n")
