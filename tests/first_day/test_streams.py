"""What is printed reaches whoever reads it, or ends without a traceback."""

import os
import subprocess
import sys
from pathlib import Path
from typing import IO

import pytest

RUN = [sys.executable, "-m", "engrave"]


def run(
    arguments: list[str], stdout: int | IO[bytes] = subprocess.PIPE, **set_: str
) -> "subprocess.CompletedProcess[bytes]":
    return subprocess.run(
        [*RUN, *arguments],
        stdout=stdout,
        stderr=subprocess.PIPE,
        env={**os.environ, "LC_ALL": "C.UTF-8", **set_},
        check=False,
    )


def test_a_reader_that_goes_away_is_no_mistake() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = run(["help", "marks"], writing)
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_a_full_disk_is_told() -> None:
    with Path("/dev/full").open("wb") as full:
        done = run(["help", "marks"], full)
    assert done.returncode == 1
    assert done.stderr.startswith(b"error: the output cannot be written: ")
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_letters_that_a_terminal_lacks(encoding: str, tmp_path: Path) -> None:
    marks = tmp_path / "rondo.yaml"
    marks.write_text("language: de\npassages: [{mesures: 4}]\n")
    done = run(["check", str(marks)], PYTHONIOENCODING=encoding)
    assert done.returncode == 2
    text = done.stderr.decode(encoding)
    assert "Schlüssel" in text if encoding == "latin-1" else "Schluessel" in text
    assert '"mesures"' in text


@pytest.mark.parametrize(
    ("command", "said"),
    [
        ([], b"engrave new rondo.musicxml"),
        (["help"], b"engrave new rondo.musicxml"),
        (["build"], b"engrave new rondo.musicxml"),
        (["new"], b"engrave new rondo.musicxml"),
        (["survey"], b"no score is named"),
    ],
)
def test_without_a_file_it_says_what_to_do(command: list[str], said: bytes) -> None:
    done = run(command)
    assert said in done.stdout + done.stderr
    assert done.returncode == (0 if command in ([], ["help"]) else 2)


def test_the_machine_chooses_the_language() -> None:
    assert "die Noten" not in run([]).stdout.decode()
    assert "ein Beispiel zum Ausprobieren" in run([], LC_ALL="de_DE.UTF-8").stdout.decode()
