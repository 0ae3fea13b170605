"""A second reader checks the notes: where the two differ, the user is told where and how."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.music.sheet import Moment
from engrave.music.units import Quarters
from engrave.score import read_score, read_twice
from engrave.score.held import hold
from engrave.score.second_reading import opinion as second_reading
from engrave.score.second_reading.opinion import (
    Difference,
    SecondReader,
    compare,
    notices,
    refusal,
    touched,
)
from tests.processes import children
from tests.score.build import back, document, grace, head, measure, note
from tests.works import SWEPT, Work

LOW = (back(4), note("C3", 4, voice=5, staff=2))
BODY = (
    measure(1, note("C4"), note("F#4"), note("Bb4", 2), *LOW, head=head()),
    measure(2, note("E4", 2), grace("D5"), note("G4", 2), note("Eb5", 2, chord=True), *LOW),
    measure("2a", note("E4", 2, staff=2), note("A4", 2, tie="start"), *LOW),
    measure(3, note("A4", 4, tie="stop"), *LOW),
)


def text(*measures: str) -> str:
    return document(("Piano", "".join(measures)))


def written(folder: Path, *measures: str, name: str = "piece.musicxml") -> Path:
    path = folder / name
    path.write_text(text(*measures), "utf-8")
    return path


def test_two_readings_of_one_file_agree(tmp_path: Path) -> None:
    twice = read_twice(written(tmp_path, *BODY))
    assert twice.differences == ()
    assert twice.score == read_score(tmp_path / "piece.musicxml")


@pytest.mark.parametrize("work", SWEPT[2:6], ids=lambda work: work.name)
def test_two_readings_of_real_works_agree(work: Work) -> None:
    assert read_twice(work.score).differences == ()


def test_no_file_beside_the_score_is_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Python looks for modules in the folder it is started in, unless it is told not to."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "json.py").write_text("open('run', 'w')", "utf-8")
    assert SecondReader(text(*BODY)).measures() is not None
    assert not (tmp_path / "run").exists()


def test_notes_that_one_reader_lost_are_found(tmp_path: Path) -> None:
    score = read_score(written(tmp_path, *BODY))
    changed = (
        BODY[0].replace("<step>F</step><alter>1</alter>", "<step>F</step><alter>0</alter>"),
        BODY[1].replace(note("Eb5", 2, chord=True), ""),
        BODY[2],
        BODY[3].replace("<step>C</step>", "<step>D</step>"),
    )
    heard = SecondReader(text(*changed)).measures()
    assert heard is not None
    found = compare(heard, score.sheet, score.staves)
    assert found == (
        Difference(0, "1", 1, (66,), (65,)),
        Difference(1, "2", 1, (75,), ()),
        Difference(3, "3", 2, (48,), (50,)),
    )
    (notice,) = notices(found, score.file)
    assert str(notice) == (
        "piece.musicxml: warning: two readers of the file find different notes in measure "
        "1 (upper staff), 2 (upper staff), 3 (lower staff): compare with the print; passages there "
        "are not built"
    )
    # error: the passage in measures 2 to 2a is refused, that in 2a is not
    marked = touched(found, Moment(1, Quarters(0)), Moment(2, Quarters(4)))
    assert refusal(marked).message == (
        "measure 2, upper staff: two readers of the score find different notes, and one has Eb5"
    )
    assert refusal(found[2:]).message == (
        "measure 3, lower staff: two readers of the score find different notes, and one has C3 "
        "and the other has D3"
    )
    assert touched(found, Moment(2, Quarters(0)), Moment(2, Quarters(4))) == ()


def test_a_measure_that_one_reader_lost_does_not_shift_the_others(tmp_path: Path) -> None:
    score = read_score(written(tmp_path, *BODY))
    heard = SecondReader(text(BODY[0], BODY[1], BODY[3])).measures()
    assert heard is not None
    found = compare(heard, score.sheet, score.staves)
    assert {(each.measure, each.staff) for each in found} == {("2a", 1), ("2a", 2)}


def test_the_piano_below_a_singer(tmp_path: Path) -> None:
    single = head()
    single = single[: single.index("<staves>")] + "<clef><sign>G</sign><line>2</line></clef>"
    path = tmp_path / "song.musicxml"
    song = ("Voice", measure(1, note("G5", 4), head=single)), ("Piano", BODY[0])
    path.write_text(document(*song), "utf-8")
    twice = read_twice(path)
    assert twice.score.staves == ((2,), (3,))
    assert twice.differences == ()


def test_a_later_movement(tmp_path: Path) -> None:
    first = BODY[0].replace("<step>C</step>", "<step>D</step>")
    path = written(tmp_path, first, BODY[1], BODY[0], BODY[1])
    twice = read_twice(path, movement=2)
    assert twice.score.first_bar == 2
    assert twice.differences == ()


@pytest.mark.parametrize("content", ["no score at all", ""])
def test_what_the_second_reader_cannot_read(content: str) -> None:
    assert SecondReader(content).measures() is None


def test_a_reader_that_does_not_come_to_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_reading, "PATIENCE_SECONDS", 0)
    assert SecondReader(text(*BODY)).measures() is None


def test_no_second_opinion_is_said_to_be_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(second_reading, "PATIENCE_SECONDS", 0)
    twice = read_twice(written(tmp_path, *BODY))
    assert [notice.message for notice in twice.score.notices] == [
        "the second reader was stopped before it had checked the notes of this file"
    ]


def test_a_reader_that_answers_that_it_cannot_is_heard_out() -> None:
    assert SecondReader("no score").came_to_its_end


def test_a_reader_that_cannot_begin_is_not_heard_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN))

    monkeypatch.setattr(subprocess, "Popen", refuse)
    reader = SecondReader("anything")
    reader.stop()
    assert (reader.came_to_its_end, reader.measures()) == (False, None)


def test_a_reader_that_was_killed_is_not_heard_out() -> None:
    reader = SecondReader(text(*BODY))
    reader.stop()
    assert reader.measures() is None
    assert not reader.came_to_its_end


def test_a_score_saved_while_it_is_read_is_read_as_it_was(tmp_path: Path) -> None:
    """What was held is what both readers get, and what the digest is of."""
    path = written(tmp_path, *BODY)
    held = hold(path)
    written(tmp_path, BODY[0].replace("<step>F</step>", "<step>G</step>"))
    twice = read_twice(held)
    assert twice.differences == ()
    assert twice.score.sha256 == held.sha256 != hold(path).sha256
    assert len(twice.score.sheet.bars) == len(BODY)


def test_what_another_process_reads_is_what_this_one_would(tmp_path: Path) -> None:
    """Also what it refuses; and what is left to this one is done meanwhile."""
    path = written(tmp_path, *BODY)
    done: list[str] = []
    assert read_twice(path, meanwhile=lambda: done.append("read")) == read_twice(path)
    path.write_text("<score-partwise>")
    with pytest.raises(EngraveError) as here:
        read_twice(path)
    with pytest.raises(EngraveError) as beside:
        read_twice(path, meanwhile=lambda: done.append("refused"))
    assert str(beside.value) == str(here.value)
    assert done == ["read", "refused"]


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere no process is copied")
def test_what_goes_wrong_meanwhile_ends_the_reading(tmp_path: Path) -> None:
    """The second reader is to keep no processor from the first, and is not begun before."""
    before = children()

    def fail() -> None:
        assert len(children() - before) == min(1, len(os.sched_getaffinity(0)) - 1)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        read_twice(written(tmp_path, *BODY), meanwhile=fail)
    assert children() <= before


def test_an_interrupt_ends_both_readers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also while the second is at work yet: here it would be for a minute."""
    before = children()
    slow = [sys.executable, "-c", "import sys, time; sys.stdin.read(); time.sleep(60)"]

    def interrupted(self: SecondReader) -> None:
        assert children() - before
        raise KeyboardInterrupt

    monkeypatch.setattr(
        second_reading,
        "_reader",
        lambda: subprocess.Popen(slow, stdin=subprocess.PIPE, stdout=subprocess.PIPE),
    )
    monkeypatch.setattr(SecondReader, "measures", interrupted)
    with pytest.raises(KeyboardInterrupt):
        read_twice(written(tmp_path, *BODY), meanwhile=lambda: None)
    assert children() <= before


def test_the_second_reader_loads_nothing_of_ours() -> None:
    """It is begun for every score, and waited for."""
    program = Path(second_reading.__file__).with_name("reader.py")
    assert "engrave" not in program.read_text("utf-8").partition('"""\n\n')[2]
