"""The README's commands do what it says; its YAML and its pictures are there."""

import re
import shlex
import shutil
import subprocess
import sys
import time
import urllib.request
import webbrowser
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.cli.commands import parser_of
from engrave.drills import OPTIONS
from tests.pictures import SHOWN
from tests.pipeline.demo import SCORES

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")
COMMANDS = [
    shlex.split(found[1], comments=True)
    for block in re.findall(r"```console\n(.*?)```", README, re.DOTALL)
    for found in re.finditer(r"(?m)^\$ (.*)$", block)
]
ENGRAVE = [words[1:] for words in COMMANDS if words[0] == "engrave"]
INLINE = [
    shlex.split(found[1])[1:]
    for found in re.finditer(r"`(engrave [^`]+)`", README)
    if "…" not in found[1]
]


def test_there_are_commands() -> None:
    assert {words[0] for words in ENGRAVE} >= {"new", "build", "check", "desk", "log", "help"}
    assert [words for words in COMMANDS if words[0] not in ("engrave", "make", "source")] == []


@pytest.mark.parametrize("words", [*ENGRAVE, *INLINE], ids=" ".join)
def test_every_command_is_one(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    if "--help" in words:
        with pytest.raises(SystemExit) as ended:
            parser_of().parse_args(words)
        assert ended.value.code == 0
        told = capsys.readouterr().out
        for option in ("--out", "--paper", "--language", "--staff-mm"):
            assert option in told
    else:
        assert parser_of().parse_args(words).command == words[0]


def test_the_command_works_in_every_folder_once_it_is_activated(tmp_path: Path) -> None:
    activate = Path(sys.prefix) / "bin/activate"
    if not (activate.is_file() and shutil.which("bash")):
        pytest.skip("no environment to activate, or no bash")
    assert ["source", ".venv/bin/activate"] in COMMANDS
    command = ["bash", "-c", 'source "$1" && engrave --version', "bash", str(activate)]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True)
    assert done.stdout.startswith("engrave ")


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
    """All others: what opens a browser shows its page there, and is interrupted."""
    monkeypatch.chdir(tmp_path)
    shutil.copy(SCORES / "lantern-rondo.musicxml", "rondo.musicxml")
    for name in ("nell.log.yaml", "nell-sent.log.yaml"):
        shutil.copy(SCORES / "nell.log.yaml", name)
    marks = example().replace("lantern-rondo.musicxml", "rondo.musicxml")
    Path("rondo.yaml").write_text(marks + "log: nell.log.yaml\n", "utf-8")
    pages = []

    def look(address: str) -> None:
        with urllib.request.urlopen(address, timeout=60) as page:
            pages.append(page.read())
        raise KeyboardInterrupt

    monkeypatch.setattr(webbrowser, "open", look)
    for words in (*ENGRAVE, *INLINE):
        if words[0] != "new" and "--help" not in words:
            assert main(words) in (0, None), words
    assert len(pages) == 2
    assert all(b"<script" in page for page in pages)
    made = {path.name for path in Path("output/rondo").iterdir()}
    assert made >= {f"rondo-{name}" for name in ("student.pdf", "screen.html", "stand.pdf")}


def example() -> str:
    """The marks file of the README."""
    (found,) = re.findall(r"```yaml\n(piece:.*?)```", README, re.DOTALL)
    return str(found)


def test_pictures_and_files_are_there() -> None:
    for target in re.findall(r"\]\((?!https?:)([^)#]+)\)", README):
        assert (ROOT / target).is_file(), target


@pytest.mark.parametrize("family", [name for name in OPTIONS if name != "as-written"])
def test_every_family_is_shown(family: str) -> None:
    """A row says what it does and has a picture, which ``tests.pictures`` draws of its drill."""
    row = re.search(
        rf"(?m)^\| `{family}` \| \w.* \| !\[\]\(scores/pictures/(.*)\.png\) \|$", README
    )
    assert row, family
    assert SHOWN[row[1]].split(".")[1] == family


def test_a_mistake_is_told_as_the_page_shows_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (shown,) = re.findall(r"```text\n(.*?)```", README, re.DOTALL)
    shutil.copy(SCORES / "lantern-rondo.musicxml", tmp_path)
    Path("rondo.yaml").write_text(example().replace("measures:", "mesures:"), "utf-8")
    assert main(["check", "rondo.yaml"]) == 2
    assert capsys.readouterr().err == shown


def test_the_example_is_right(tmp_path: Path) -> None:
    marks = tmp_path / "rondo.yaml"
    marks.write_text(example(), "utf-8")
    shutil.copy(SCORES / "lantern-rondo.musicxml", tmp_path)
    assert main(["check", str(marks)]) == 0
