"""Several students from one base: a mistake in the base is told once, in the base."""

from pathlib import Path

import pytest

from engrave.cli import main
from tests.pipeline.demo import edit, lay_out
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


def test_a_warning_in_the_base_says_whose_booklets_it_is_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Once, with all that it is for; what stands in a student's own marks names them itself."""
    base = lay_out(tmp_path)
    edit(base, "tempo: {step: 2} ", "tempo: {step: 2, goal: 97} ")
    text = base.read_text("utf-8")
    base.write_text(text.partition("  # 2. ")[0], "utf-8")
    students = [base.with_name(f"{name}.yaml") for name in ("ella", "tam", "own")]
    for each in students:
        each.write_text(f"from: {base.name}\nstudent: {{name: {each.stem}}}\n", "utf-8")
    students[2].write_text(f"from: {base.name}\ntempo: {{goal: 98}}\n", "utf-8")
    command = ["build", *map(str, students), "--out", str(tmp_path / "out")]
    assert main([*command, "--language", "de"]) == 0
    said = capsys.readouterr().err.splitlines()
    (at,) = (number for number, line in enumerate(said) if "97 liegt zwischen" in line)
    assert said[at].startswith(f"{base}:")
    assert said[at + 1] == f"  das gilt für {students[0]}; {students[1]}"
    (at,) = (number for number, line in enumerate(said) if "98 liegt zwischen" in line)
    assert said[at].startswith(f"{students[2]}:")
    assert "das gilt" not in "".join(said[at + 1 : at + 2])
