"""Several students from one base: a mistake in the base is told once, in the base."""

from pathlib import Path

import pytest

from engrave.cli import main
from tests.pipeline.demo import edit
from tests.pipeline.studio import lay_out_studio


def test_a_mistake_in_the_base_is_told_once_and_there(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    base, students = lay_out_studio(tmp_path, 3)
    edit(base, "hand: right", "handed: right")
    edit(students[1], "minutes_a_day", "minuts_a_day")
    assert main(["build", *map(str, students), "--out", str(tmp_path / "out")]) == 2
    told = [line for line in capfd.readouterr().err.splitlines() if ": error: " in line]
    assert len(told) == 2
    assert sum(line.startswith(f"{base}:") for line in told) == 1
    assert sum(line.startswith(f"{students[1]}:") for line in told) == 1
    assert not (tmp_path / "out").exists()
