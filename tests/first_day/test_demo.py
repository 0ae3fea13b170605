"""What a reader is told to type works where it is read, whatever the files are called."""

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.cli.commands import parser_of
from engrave.machine.typed import as_typed
from tests.pipeline.demo import SCORES


def commands(text: str) -> list[list[str]]:
    """The commands in the comments of a file, without what is said of them."""
    told = re.findall(r"(?m)^# +engrave (.*?)(?: {3,}.*)?$", text)
    return [shlex.split(each) for each in told]


@pytest.mark.parametrize("folder", ["demo", "a b/c"])
def test_the_demo_names_its_own_files(
    folder: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["demo", folder]) == 0
    _, _, then = capsys.readouterr().out.strip().partition(": now engrave build ")
    assert shlex.split(then) == [f"{folder}/lantern-rondo.yaml"]
    for path in Path(folder).glob("*.yaml"):
        text = path.read_text("utf-8")
        assert "scores/" not in text
        for name in re.findall(rf"{folder}/[\w.-]+\.yaml", text):
            assert Path(name).is_file()
    assert main(["demo", folder]) == 0  # the same again is nothing new


def test_a_first_marks_file_names_itself_as_one_types_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(SCORES / "lantern-rondo.musicxml", "my rondo.musicxml")
    assert main(["new", "my rondo.musicxml"]) == 0
    told = commands(Path("my rondo.yaml").read_text("utf-8"))
    assert [words[0] for words in told] == ["check", "build"]
    for words in told:
        assert str((parser_of().parse_args(words)).marks).count("my rondo.yaml") == 1


@pytest.mark.skipif(shutil.which("sh") is None, reason="no shell")
@pytest.mark.parametrize("name", ["rondo.yaml", "a b.yaml", 'a "b".yaml', "$5 `x`.yaml", "ü.krn"])
def test_a_shell_reads_what_is_to_be_typed(name: str) -> None:
    command = ["sh", "-c", f"printf %s {as_typed(name)}"]
    assert subprocess.run(command, capture_output=True, text=True, check=True).stdout == name
    assert as_typed(Path("scores/rondo.yaml")) == "scores/rondo.yaml"
