"""On a terminal the passage in work is named on one line; what was made stands at the end."""

import os
import pty
import re
import subprocess
import sys
from pathlib import Path

from tests.pipeline.demo import lay_out


def on_a_terminal(arguments: list[str], folder: Path) -> str:
    """What a terminal hears of a command."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "engrave", *arguments],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=folder,
        env={**os.environ, "LC_ALL": "C.UTF-8", "COLUMNS": "100", "PYTHONPATH": os.getcwd()},
    ):
        os.close(theirs)
        heard = b""
        while True:
            try:
                more = os.read(ours, 4096)
            except OSError:  # the other side is closed
                break
            if not more:
                break
            heard += more
    os.close(ours)
    return heard.decode()


def test_progress_names_the_passage_and_leaves_one_line(tmp_path: Path) -> None:
    marks = lay_out(tmp_path)
    heard = on_a_terminal(["check", marks.name], tmp_path)
    assert "· drills, climbing-chords" in heard
    left = re.split(r"\r\x1b\[2K", heard)[-1]  # what stands after the last clearing of the line
    assert "·" not in left
    assert "\x1b" not in left
    assert left.splitlines()[-1].startswith("4 passages, ")
