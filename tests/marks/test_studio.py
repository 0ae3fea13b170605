"""Marks of a student taken from those of the studio: one line for each thing that differs."""

from pathlib import Path

import pytest

from engrave.drills import OPTIONS as FAMILIES
from engrave.marks import Marks, MarksMistakes, read_marks
from engrave.music.notes import Hand

BASE = """piece: {title: Rondo, composer: Ida Vell}
score: rondo.musicxml
teacher: Mrs Lunde
student: {name: Nobody}
performance: 2027-03-14
tempo: {beat: quarter, goal: 120, start: 60}
passages:
  - id: run
    measures: 1-2
    hand: right
    drills: [rhythms: {reached: 60}]
    fingering: {"1.1": "1 2 3"}
    tempo: {goal: 100, reached: 88}
    private: for nobody else
    status: done
  - measures: 3-4
  - 7-8
"""


def studio(folder: Path, own: str, base: str = BASE, place: str = "pupils/nell") -> Path:
    (folder / place).mkdir(parents=True, exist_ok=True)
    (folder / "studio.yaml").touch()
    (folder / "rondo.musicxml").touch()
    (folder / "rondo.yaml").write_text(base, "utf-8")
    marks = folder / place / "nell.yaml"
    marks.write_text(own, "utf-8")
    return marks


def read(folder: Path, own: str, base: str = BASE) -> Marks:
    return read_marks(studio(folder, "from: ../../rondo.yaml\n" + own, base), FAMILIES)


def mistakes(folder: Path, own: str, base: str = BASE) -> list[str]:
    with pytest.raises(MarksMistakes) as found:
        read(folder, own, base)
    return [str(error).replace(str(folder), "S") for error in found.value.errors]


def test_one_line_is_enough(tmp_path: Path) -> None:
    marks = read(tmp_path, "student: {name: Nell}\n")
    assert (marks.piece.title, marks.teacher, marks.student.name) == ("Rondo", "Mrs Lunde", "Nell")
    assert marks.score.value.resolve() == tmp_path / "rondo.musicxml"
    assert [each.id for each in marks.passages] == ["run", "m3-4", "m7-8"]
    assert marks.performance is None


def test_what_is_one_students_own_does_not_come_along(tmp_path: Path) -> None:
    run = read(tmp_path, "").passages[0]
    assert (run.tempo.reached, run.private, run.status) == (None, "", "learning")
    assert run.drills is not None
    assert run.drills[0].options.reached is None
    assert run.tempo.goal is not None
    assert run.tempo.goal.value == 100


def test_each_thing_that_differs_is_a_line(tmp_path: Path) -> None:
    marks = read(
        tmp_path,
        "tempo: {goal: 90}\npassages: [m7-8, {id: run, tempo: {reached: 66}, fingering: "
        '{"2.1": "1"}, status: warm-up}, {measures: 20, hand: left}]\n',
    )
    seven, run, new = marks.passages
    assert [each.id for each in marks.passages] == ["m7-8", "run", "m20"]
    assert [each.number for each in marks.passages] == [1, 2, 3]
    assert seven.tempo.goal is not None
    assert seven.tempo.goal.value == 90
    assert run.tempo.goal is not None
    assert run.tempo.reached is not None
    assert (run.tempo.goal.value, run.tempo.reached.value) == (100, 66)
    assert {(each.measure, each.words) for each in run.fingering} == {
        ("1", ((1,), (2,), (3,))),
        ("2", ((1,),)),
    }
    assert run.status == "warm-up"
    assert new.hands == (Hand.LEFT,)


def test_a_mistake_names_the_file_in_which_it_stands(tmp_path: Path) -> None:
    base = BASE.replace("hand: right", "handed: right").replace("goal: 100", "goal: 700")
    found = mistakes(tmp_path, "passages: [{id: run, drills: [rythms]}, m3-4]\n", base)
    assert len(found) == 4  # the fingers miss their hand, too
    own = [each for each in found if each.startswith("S/pupils/nell/nell.yaml:2:")]
    assert len(own) == 1
    rest = [each for each in found if each not in own]
    assert all(each.startswith("S/rondo.yaml:1") for each in rest)


def test_a_passage_that_is_not_there_is_told_with_the_nearest(tmp_path: Path) -> None:
    for own in ("passages: [runn]\n", "passages: [{id: runn, tempo: {reached: 66}}]\n"):
        (told,) = mistakes(tmp_path, own)
        assert "there is no passage 'runn' in" in told
        assert "did you mean 'run'?" in told


@pytest.mark.parametrize(
    ("base", "said"),
    [
        ("../rondo.yaml", "no file"),
        ("nell.yaml", "from themselves"),
        ("/etc/passwd", "nor above"),
        ("C:\\rondo.yaml", "nor above"),
        ("../../../elsewhere.yaml", "above the studio"),
        ("../tom/tom.yaml", "nor above"),
        ("../../nowhere.yaml", "no file"),
        ("link/rondo.yaml", "nor above"),
        ("[a]", "a file is wanted"),
    ],
)
def test_a_base_stands_beside_or_above_within_the_studio(
    tmp_path: Path, base: str, said: str
) -> None:
    top = tmp_path / "top"
    marks = studio(top, f"from: {base}\nscore: x\n")
    (tmp_path / "elsewhere.yaml").write_text(BASE, "utf-8")
    (top / "pupils" / "tom").mkdir()
    (top / "pupils" / "tom" / "tom.yaml").write_text(BASE, "utf-8")
    (marks.parent / "link").symlink_to(top / "pupils" / "tom")
    (top / "pupils" / "tom" / "rondo.yaml").write_text(BASE, "utf-8")
    with pytest.raises(MarksMistakes) as found:
        read_marks(marks, FAMILIES)
    assert any(said in str(error) for error in found.value.errors)


def test_without_a_studio_nothing_above_is_read(tmp_path: Path) -> None:
    marks = studio(tmp_path, "from: ../../rondo.yaml\n")
    (tmp_path / "studio.yaml").unlink()
    with pytest.raises(MarksMistakes) as found:
        read_marks(marks, FAMILIES)
    assert "studio.yaml" in found.value.errors[0].hint
    beside = tmp_path / "nell.yaml"
    beside.write_text("from: rondo.yaml\n", "utf-8")
    assert len(read_marks(beside, FAMILIES).passages) == 3


def test_a_base_takes_from_no_other(tmp_path: Path) -> None:
    (told,) = mistakes(tmp_path, "", BASE + "from: other.yaml\n")
    assert "a base takes from no other" in told


def test_passages_without_an_id_of_their_own_are_called_by_their_measures(tmp_path: Path) -> None:
    own = "passages: [{id: m7-8, hand: left}, {id: m3-4, hand: right, remarks: slow}]\n"
    seven, three = read(tmp_path, own).passages
    assert (str(seven.measures.value), seven.hands) == ("7-8", (Hand.LEFT,))
    assert (str(three.measures.value), three.hands) == ("3-4", (Hand.RIGHT,))
    assert (seven.remarks, three.remarks) == ("", "slow")
