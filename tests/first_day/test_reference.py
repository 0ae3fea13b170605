"""The reference of the marks file holds every key and option that the code reads."""

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from engrave.cli.reference import reference
from engrave.drills import OPTIONS
from engrave.marks.options import readers_of
from engrave.words import TEMPLATES

LADDER = ("reached", "goal", "start", "step")
"""Options that every family has."""
MARKS = Path(__file__).resolve().parents[2] / "engrave/marks"
HELD = tomllib.loads((TEMPLATES / "reference/marks.toml").read_text("utf-8"))
SECTIONS = {
    "reader._marks": "file",
    "reader._passages_of": "file",
    "reader._piece": "piece",
    "reader._student": "student",
    "reader._practice": "practice",
    "passages.passage": "passage",
    "tempos._tempo": "tempo",
    "tempos.tempo": "tempo",
    "tempos.file_tempo": "tempo",
    "reached.reached_mark": "reached",
}


def asked() -> Iterator[tuple[str, str]]:
    """Every key that a function of ``marks`` asks a mapping for, and the function."""
    for path in sorted(MARKS.glob("*.py")):
        for function in ast.parse(path.read_text("utf-8")).body:
            if not isinstance(function, ast.FunctionDef):
                continue
            for node in ast.walk(function):
                if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                    continue
                is_form = isinstance(node.func.value, ast.Name) and node.func.value.id == "form"
                if is_form and node.func.attr in ("get", "require", "node") and node.args:
                    key = node.args[0]
                    if isinstance(key, ast.Constant):
                        yield f"{path.stem}.{function.name}", str(key.value)
                    elif isinstance(key, ast.Name) and key.id == "FROM":
                        yield f"{path.stem}.{function.name}", "from"


def test_every_key_is_explained_and_no_other() -> None:
    found: dict[str, set[str]] = {}
    for function, key in asked():
        assert function in SECTIONS, f"{function} reads {key!r}: name its section here"
        found.setdefault(SECTIONS[function], set()).add(key)
    assert found == {section: set(HELD[section]) for section in HELD["titles"]}


def test_every_option_is_explained_and_no_other() -> None:
    own = {
        family: {name for name in readers_of(kind) if name not in LADDER}
        for family, kind in OPTIONS.items()
    }
    explained = {family: set(options) for family, options in HELD["options"].items()}
    assert explained == {family: options for family, options in own.items() if options}
    assert set(HELD["ladder"]) == set(LADDER)


def test_every_family_is_explained_in_playing_order() -> None:
    assert list(HELD["families"]) == list(OPTIONS)


def choices(reader: object) -> Iterator[str]:
    """The words that a reader knows, as they stand in what it closes over."""
    for cell in getattr(reader, "__closure__", None) or ():
        held = cell.cell_contents
        if isinstance(held, dict) and all(isinstance(key, str) for key in held):
            if all(key == value for key, value in held.items()):
                yield from held
        elif callable(held):
            yield from choices(held)


@pytest.mark.parametrize("family", OPTIONS)
def test_every_word_of_an_option_is_there(family: str) -> None:
    lines = list(reference())
    begin = next(i for i, line in enumerate(lines) if line.startswith(f"### {family} "))
    section = "\n".join(lines[begin:]).partition("\n### ")[0]
    for reader in readers_of(OPTIONS[family]).values():
        for word in choices(reader):
            assert word in section


def test_words_of_the_file_are_there() -> None:
    from engrave.marks.schema import PAPERS, STATUSES, WEEKDAYS
    from engrave.music.tempo import BEAT_UNITS
    from engrave.words import LANGUAGES

    text = "\n".join(reference())
    for word in (*PAPERS, *STATUSES, *WEEKDAYS, *BEAT_UNITS, *LANGUAGES, *OPTIONS):
        assert word in text


def keys_of(table: dict[str, object], before: str = "") -> Iterator[str]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from keys_of(value, f"{before}{key}.")
        else:
            yield before + key


def test_the_german_reference_explains_the_same() -> None:
    german = tomllib.loads((TEMPLATES / "reference/marks.de.toml").read_text("utf-8"))
    assert sorted(keys_of(german)) == sorted(keys_of(HELD))


def test_the_german_reference_has_every_key_as_it_is_written() -> None:
    keys = [line for line in reference() if line.startswith("- `")]
    german = list(reference("de"))
    assert [each.partition(":")[0] for each in german if each.startswith("- `")] == [
        each.partition(":")[0] for each in keys
    ]
    assert "### rhythms (Rhythmen)" in german
    assert not any(re.search(r"\b(the|Left out|measures are)\b", each) for each in german)
