"""What is printed reaches whoever reads, and a reader that goes away is no traceback."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from engrave.cli.terminal import shown
from tests.pipeline.demo import lay_out


@pytest.fixture(scope="module")
def marks(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay_out(tmp_path_factory.mktemp("terminal"))


def run(script: str, marks: Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    engrave = f"'{sys.executable}' -m engrave"
    return subprocess.run(
        ["bash", "-c", f"set -o pipefail; {script.format(engrave=engrave, marks=marks)}"],
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
    )


@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize(
    ("script", "code"),
    [
        ("{engrave} check {marks} | true", 0),
        ("{engrave} check {marks} | head -1", 0),
        ("{engrave} check {marks} 2>&-", 0),
        ("{engrave} check {marks} >&-", 0),
        ("{engrave} check {marks} > /dev/full", 1),
    ],
)
def test_a_reader_that_goes_away(script: str, code: int, unbuffered: str, marks: Path) -> None:
    """Whether it is noticed at once, in the midst of the work, or at the end of it."""
    done = run(script, marks, PYTHONUNBUFFERED=unbuffered)
    assert b"Traceback" not in done.stderr
    assert b"Exception" not in done.stderr
    assert done.returncode == code
    assert (b"the output cannot be written" in done.stderr) == (code == 1)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_an_encoding_of_few_characters(encoding: str, marks: Path) -> None:
    done = run("{engrave} check {marks}", marks, PYTHONIOENCODING=encoding)
    assert done.returncode == 0
    assert b"39-40" in done.stdout
    assert b"?" not in done.stdout


def test_what_would_steer_a_terminal_is_shown_instead() -> None:
    assert shown("a\x1b[31mb\x9bc\rd\x00") == "a\\x1b[31mb\\x9bc\\x0dd\\x00"
    assert shown("Grüße\n\t♯ \udcff") == "Grüße\n\t♯ ?"


def test_a_name_that_is_no_text_leaves_no_file(tmp_path: Path) -> None:
    score = lay_out(tmp_path / "in").with_suffix(".musicxml")
    strange = os.fsencode(tmp_path) + b"/b\xff.musicxml"
    os.link(score, strange)
    command = [sys.executable.encode(), b"-m", b"engrave", b"new", strange]
    done = subprocess.run(command, capture_output=True, check=False)
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert b"is no text" in done.stderr
    assert [name for name in os.listdir(os.fsencode(tmp_path)) if name.endswith(b".yaml")] == []


@pytest.mark.parametrize("height", ["0", "-3", "nan", "90", "x"])
def test_a_staff_height_that_cannot_be_is_refused(height: str, marks: Path) -> None:
    done = run(f"{{engrave}} build {{marks}} --staff-mm={height}", marks)
    assert done.returncode == 2
    assert b"a number from 5 to 12" in done.stderr
