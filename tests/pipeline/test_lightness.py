"""What needs no library loads none: how soon a command answers is how much it loads."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.pipeline.demo import edit, lay_out

HEAVY = ("music21", "verovio", "weasyprint", "jinja2", "numpy", "converter21", "pikepdf", "asyncio")

_SHOW = """
import sys
from engrave.cli import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
print("loaded:", *(name for name in sys.modules if "." not in name), file=sys.stderr)
"""


def loaded(*arguments: str) -> set[str]:
    ran = subprocess.run(
        [sys.executable, "-c", _SHOW, *arguments], capture_output=True, text=True, check=True
    )
    return set(ran.stderr.splitlines()[-1].split()) & set(HEAVY)


@pytest.mark.parametrize("arguments", [("--help",), ("build", "--help"), ("--version",)])
def test_help_loads_nothing(arguments: tuple[str, ...]) -> None:
    assert loaded(*arguments) == set()


def test_check_of_a_bad_file_loads_no_more_than_its_score(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And that once: what else is wrong with it is held against the score that was kept."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    marks = lay_out(tmp_path)
    edit(marks, "hand: both", "hnad: both")
    assert loaded("check", str(marks)) == {"music21"}
    assert loaded("check", str(marks)) == set()
    marks.write_text("passages: [")
    assert loaded("check", str(marks)) == set()
    assert loaded("build", str(tmp_path / "none.yaml"), "--out", str(tmp_path)) == set()


def test_check_loads_what_reads_the_score_and_of_a_known_file_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    marks = lay_out(tmp_path)
    assert loaded("check", str(marks)) == {"music21"}
    assert loaded("check", str(marks)) == set()
