"""Every kind of mistake in a marks file, told where it stands.

The expected errors stand as comments above the line that causes them: see ``tests/told.py``.
"""

import pickle
from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import EngraveError, Mistakes, Source
from engrave.marks import read_marks
from tests.told import expected, told_at

FILES = sorted(Path(__file__).with_name("mistakes").glob("*.yaml"))


def test_there_are_mistakes_to_tell() -> None:
    assert len(FILES) > 20
    assert all(expected(path) for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_mistakes_are_told_where_they_stand(path: Path) -> None:
    with pytest.raises(Mistakes) as caught:
        read_marks(path, OPTIONS)
    assert told_at(path, caught.value.errors) == expected(path)


def test_five_mistakes_are_five_errors() -> None:
    with pytest.raises(Mistakes) as caught:
        read_marks(Path(__file__).with_name("mistakes") / "five.yaml", OPTIONS)
    assert len(caught.value.errors) == 5


def test_mistakes_come_whole_from_another_process() -> None:
    """Pickled, as a process that drills hands them to the one that tells them."""
    first = EngraveError("no such measure", Source("song.yaml", 4, 2), "name one that there is")
    told = pickle.loads(pickle.dumps(Mistakes([first, EngraveError("no tempo")])))
    assert [str(each) for each in told.errors] == [
        "error: no tempo",
        "song.yaml:4:2: error: no such measure\n  hint: name one that there is",
    ]
