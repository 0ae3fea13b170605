"""What is seen where the tool itself fails."""

from pathlib import Path

import pytest

from engrave.pipeline.batch import Task
from engrave.pipeline.styling import Job
from engrave.watch import watching
from engrave.watch.stage import Showing, Stage


@pytest.mark.parametrize(
    ("failure", "said"),
    [
        (KeyError(7), "das Programm ist gescheitert: KeyError: 7"),
        (
            PermissionError("it may"),
            "das Programm ist gescheitert: PermissionError: it may",
        ),
        (PermissionError(13, "no way", "closed/x"), "nicht erreichbar: no way"),
    ],
)
def test_a_failure_is_told_in_the_language_of_the_marks(
    failure: Exception, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[Showing] = []

    def fail(*_: object, **__: object) -> None:
        raise failure

    marks = tmp_path / "rondo.yaml"
    marks.write_text("language: de\n", "utf-8")
    monkeypatch.setattr(watching, "check", fail)
    monkeypatch.setattr(watching, "saves", lambda folders, ended: iter([None]))
    monkeypatch.setattr(Stage, "show", lambda self, scene: seen.append(scene))
    watching.watch(marks, Task(tmp_path, Job(), None), 0, lambda address: None)
    (mistake,) = seen[0].mistakes
    assert mistake.message == said
