"""The marks file on the desk: saved at every step, undone to the byte, never over others' work."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from engrave.desk.manuscript import Edit, Manuscript
from engrave.errors import EngraveError
from engrave.machine.saving import Changed, save

TEXT = "# mine\r\nscore: a.musicxml   # beside\r\npassages:\r\n- measures: 3\r\n  hand: 'left'\r\n"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    marks = tmp_path / "a.yaml"
    marks.write_bytes(TEXT.encode())
    return marks


def hand(value: str | None) -> list[Edit]:
    return [Edit(("passages", 0, "hand"), value)]


def test_every_step_is_saved_and_undone_to_the_byte(path: Path) -> None:
    marks = Manuscript(path)
    states = [path.read_bytes()]
    for value in ("right", "both", None):
        marks.change(hand(value), marks.version)
        states.append(path.read_bytes())
    assert states[1] == TEXT.replace("'left'", "'right'").encode()
    for state in reversed(states[:-1]):
        marks.undo(marks.version)
        assert path.read_bytes() == state
    assert not marks.can_undo
    for state in states[1:]:
        marks.redo(marks.version)
        assert path.read_bytes() == state
    assert not marks.can_redo


def test_a_byte_order_mark_stays(path: Path) -> None:
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.encode())
    marks = Manuscript(path)
    marks.change(hand("right"), marks.version)
    assert path.read_bytes().startswith(b"\xef\xbb\xbf# mine")


def test_no_file_is_made_before_the_first_change(tmp_path: Path) -> None:
    path = tmp_path / "new.yaml"
    marks = Manuscript(path, "score: a.krn\n")
    assert not path.exists()
    marks.change([Edit(("passages", 0), {"measures": "1-2", "hand": "right"})], 0)
    assert path.read_text() == "score: a.krn\npassages:\n  - measures: 1-2\n    hand: right\n"
    marks.undo(marks.version)
    assert path.read_text() == "score: a.krn\n"


def test_what_others_wrote_is_shown_and_not_overwritten(path: Path) -> None:
    marks = Manuscript(path)
    theirs = TEXT.replace("measures: 3", "measures: 5").encode()
    path.write_bytes(theirs)
    with pytest.raises(Changed):
        marks.change(hand("right"), marks.version)
    assert path.read_bytes() == theirs
    assert "measures: 5" in marks.text
    marks.change(hand("right"), marks.version)
    assert path.read_bytes() == theirs.replace(b"'left'", b"'right'")


def test_steps_outlive_what_others_write_elsewhere_in_the_file(path: Path) -> None:
    marks = Manuscript(path)
    marks.change(hand("right"), marks.version)
    path.write_bytes(path.read_bytes() + b"# theirs\r\n")
    assert marks.look()
    marks.undo(marks.version)
    assert path.read_bytes() == TEXT.encode() + b"# theirs\r\n"
    marks.redo(marks.version)
    path.write_bytes(path.read_bytes().replace(b"'right'", b"both"))
    marks.look()
    with pytest.raises(EngraveError, match="meanwhile"):
        marks.undo(marks.version)


def test_a_page_that_has_not_seen_the_last_step_is_refused(path: Path) -> None:
    marks = Manuscript(path)
    seen = marks.version
    marks.change(hand("right"), seen)
    with pytest.raises(Changed):
        marks.change(hand("both"), seen)


def test_a_file_made_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    marks = Manuscript(tmp_path / "new.yaml", "score: a.krn\n")
    (tmp_path / "new.yaml").write_text("mine\n")
    with pytest.raises(Changed):
        marks.change([Edit(("teacher",), "T. Q.")], marks.version)
    assert (tmp_path / "new.yaml").read_text() == "mine\n"


def test_what_cannot_be_saved_is_told_and_the_file_is_as_it_was(path: Path) -> None:
    marks = Manuscript(path)
    path.parent.joinpath("gone").mkdir()
    lost = Manuscript(path.parent / "gone" / "b.yaml", "score: a.krn\n")
    path.parent.joinpath("gone").rmdir()
    with pytest.raises(EngraveError, match="cannot be saved"):
        lost.change([Edit(("teacher",), "T. Q.")], 0)
    assert lost.problem is not None
    assert marks.problem is None
    assert sorted(each.name for each in path.parent.iterdir()) == ["a.yaml"]


def test_a_link_leads_to_the_file_that_is_saved_and_keeps_its_permissions(path: Path) -> None:
    path.chmod(0o640)
    link = path.with_name("link.yaml")
    link.symlink_to(path)
    marks = Manuscript(link)
    marks.change(hand("right"), marks.version)
    assert link.is_symlink()
    assert path.stat().st_mode & 0o777 == 0o640
    assert b"'right'" in path.read_bytes()


def test_a_new_file_may_be_read_by_whom_the_user_lets(tmp_path: Path) -> None:
    before = os.umask(0o077)
    try:
        save(tmp_path / "a.yaml", b"whole", None)
    finally:
        os.umask(before)
    assert (tmp_path / "a.yaml").stat().st_mode & 0o777 == 0o600


KILLED = """
import sys, itertools
from pathlib import Path
from engrave.machine.saving import save
path, old, new = Path(sys.argv[1]), b"a" * 400_000, b"b" * 400_000
print("on", flush=True)
for one, other in itertools.cycle([(old, new), (new, old)]):
    save(path, other, one)
"""


@pytest.mark.parametrize("milliseconds", [1, 4, 9, 15, 24])
def test_killed_during_a_save_the_file_is_old_or_new(tmp_path: Path, milliseconds: int) -> None:
    path = tmp_path / "a.yaml"
    save(path, b"a" * 400_000, None)
    process = subprocess.Popen([sys.executable, "-c", KILLED, path], stdout=subprocess.PIPE)
    assert process.stdout
    process.stdout.readline()
    try:
        process.wait(milliseconds / 1000)
    except subprocess.TimeoutExpired:
        os.kill(process.pid, signal.SIGKILL)
    process.wait()
    assert path.read_bytes() in (b"a" * 400_000, b"b" * 400_000)


def test_what_a_killed_save_left_is_cleared_away_by_a_later_one(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    old, young = (tmp_path / f".a.yaml.x{n}.engrave-half" for n in (1, 2))
    for each in (old, young):
        each.write_bytes(b"half")
    os.utime(old, (0, 0))
    save(path, b"whole", None)
    assert sorted(each.name for each in tmp_path.iterdir()) == [young.name, "a.yaml"]
