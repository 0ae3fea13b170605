"""The README's commands do what it says; its YAML and its pictures are there."""

import re
import shlex
import shutil
import time
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.cli.commands import parser_of
from engrave.drills import OPTIONS
from tests.pipeline.demo import SCORES

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")
COMMANDS = [
    shlex.split(found[1], comments=True)
    for block in re.findall(r"```console\n(.*?)```", README, re.DOTALL)
    for found in re.finditer(r"(?m)^\$ (.*)$", block)
]
ENGRAVE = [words[1:] for words in COMMANDS if words[0] == "engrave"]


def test_there_are_commands() -> None:
    assert {words[0] for words in ENGRAVE} >= {"new", "build", "check", "desk", "log", "help"}
    assert [words for words in COMMANDS if words[0] not in ("engrave", "make")] == []


@pytest.mark.parametrize("words", ENGRAVE, ids=" ".join)
def test_every_command_is_one(words: list[str]) -> None:
    assert parser_of().parse_args(words).command == words[0]


def test_make_knows_its_targets() -> None:
    makefile = (ROOT / "Makefile").read_text("utf-8")
    for words in COMMANDS:
        if words[0] == "make":
            assert re.search(rf"(?m)^{words[1]}:", makefile)


def test_a_first_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """From a score never seen to its booklet in two commands, and no edit between."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    shutil.copy(SCORES / "lantern-rondo.musicxml", "rondo.musicxml")
    begin = time.monotonic()
    first = [words for words in ENGRAVE if words[0] in ("new", "build")][:2]
    for words in first:
        assert main(words) == 0
    seconds = time.monotonic() - begin
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "rondo.yaml"
    assert said[1].startswith("output/rondo/rondo-student.pdf: ")
    assert len(said) == 2  # a line each
    with capsys.disabled():
        print(f"\nfirst booklet: the machine took {seconds:.1f} s")


def test_the_commands_that_follow(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All others but those that open a browser or build once more on paper."""
    monkeypatch.chdir(tmp_path)
    for name in ("lantern-rondo.musicxml", "nell.log.yaml"):
        shutil.copy(SCORES / name, name)
    shutil.copy(SCORES / "lantern-rondo.yaml", "rondo.yaml")
    shutil.copy("nell.log.yaml", "nell-sent.log.yaml")
    for words in ENGRAVE:
        if words[0] in ("check", "log", "help") or "--sound" in words:
            assert main(words) == 0, words


def test_pictures_and_files_are_there() -> None:
    for target in re.findall(r"\]\((?!https?:)([^)#]+)\)", README):
        assert (ROOT / target).is_file(), target


def test_every_family_is_shown() -> None:
    for family in OPTIONS:
        assert f"`{family}`" in README, family


def test_the_example_is_right(tmp_path: Path) -> None:
    examples = re.findall(r"```yaml\n(piece:.*?)```", README, re.DOTALL)
    (example,) = examples
    marks = tmp_path / "rondo.yaml"
    marks.write_text(example, "utf-8")
    shutil.copy(SCORES / "lantern-rondo.musicxml", tmp_path)
    assert main(["check", str(marks)]) == 0
