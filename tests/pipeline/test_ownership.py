"""Whose a file is: nothing that no build made, or that was changed since, is lost."""

import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.cli import main
from engrave.errors import EngraveError, Notice
from engrave.machine.writing import MARKER, write_folder
from engrave.pipeline.manifest import Output
from engrave.pipeline.ownership import Owner, change_of, output_name
from tests.pipeline.demo import edit, files_of
from tests.pipeline.studio import lay_out_studio

FIRST, SECOND, THIRD = date(2027, 2, 13), date(2027, 2, 20), date(2027, 2, 27)


class Folder:
    """The output folder of ``x.yaml``, written as a build writes it, without the music."""

    def __init__(self, root: Path) -> None:
        root.mkdir(parents=True, exist_ok=True)
        self.marks = root / "x.yaml"
        self.marks.touch()
        self.path = root / "out" / "x"

    def build(
        self, files: dict[str, bytes], lesson: date | None = None, marks: Path | None = None
    ) -> list[str]:
        owner, told = Owner(marks or self.marks, lesson), list[Notice]()

        def manifest(outputs: Sequence[Output]) -> bytes:
            listed = [{"path": o.path, "sha256": o.sha256, "lesson": o.lesson} for o in outputs]
            content = {"format": 2, "marks": owner.seen_from(self.path), "drills": []}
            return json.dumps({**content, "outputs": listed}).encode()

        def decide(there: Path) -> object:
            return change_of(there, owner, files, manifest, told.append)

        write_folder(self.path, decide)  # type: ignore[arg-type]
        return [notice.message for notice in told]

    def put(self, name: str, content: bytes) -> None:
        (self.path / name).parent.mkdir(parents=True, exist_ok=True)
        (self.path / name).write_bytes(content)

    @property
    def files(self) -> dict[str, bytes]:
        return {name: text for name, text in files_of(self.path).items() if name != MARKER}


def booklet(text: bytes) -> dict[str, bytes]:
    return {"x-student.pdf": text, "drills/a.svg": b"a", "passages/a.musicxml": b"a"}


def test_what_a_build_made_is_replaced_without_a_word(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    assert folder.build(booklet(b"one") | {"drills/b.svg": b"b"}) == []
    assert folder.build(booklet(b"two")) == []
    assert folder.files == booklet(b"two")


def test_what_no_build_made_stays_wherever_it_lies(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build(booklet(b"one"))
    mine = {"drills/mine.svg": b"1", "passages/deep/er.txt": b"2", "x-notes.pdf": b"3", "n": b"4"}
    for name, content in mine.items():
        folder.put(name, content)
    (told,) = folder.build({"x-student.pdf": b"two"})
    assert folder.files == {"x-student.pdf": b"two", **mine}
    assert all(name in told for name in mine)


def test_what_was_changed_since_stays_beside_what_takes_its_place(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build(booklet(b"one"))
    folder.put("x-student.pdf", b"with my pencil marks")
    folder.put("drills/a.svg", b"drawn over")
    told = folder.build({"x-student.pdf": b"two"})
    assert folder.files == {
        "x-student.pdf": b"two",
        "earlier/x-student.pdf": b"with my pencil marks",
        "drills/a.svg": b"drawn over",
    }
    assert len(told) == 2
    folder.put("x-student.pdf", b"again")
    folder.build({"x-student.pdf": b"three"})
    assert folder.files["earlier/x-student.pdf"] == b"with my pencil marks"
    assert folder.files["earlier/x-student-2.pdf"] == b"again"


def test_what_stands_where_a_folder_is_to_be_is_kept(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build({"x-student.pdf": b"one"})
    folder.put("drills", b"a file")
    folder.put("passages/a.musicxml/in-it", b"a folder")
    (folder.path / "earlier").symlink_to(tmp_path)
    folder.build(booklet(b"two"))
    kept = {"earlier-2/drills": b"a file", "earlier-2/passages/a.musicxml/in-it": b"a folder"}
    assert {name: folder.files[name] for name in kept} == kept
    assert booklet(b"two").items() <= folder.files.items()
    assert (folder.path / "earlier").is_symlink()


def test_a_folder_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build(booklet(b"one"))
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "a.svg").write_bytes(b"a")
    for name in ("a.svg",):
        (folder.path / "drills" / name).unlink()
    (folder.path / "drills").rmdir()
    (folder.path / "drills").symlink_to(tmp_path / "elsewhere")
    folder.build(booklet(b"two"))
    assert (tmp_path / "elsewhere" / "a.svg").read_bytes() == b"a"
    assert (folder.path / "earlier" / "drills").is_symlink()
    assert not (folder.path / "drills").is_symlink()


def test_editions_not_asked_for_stay_and_are_told(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build({"x-student.pdf": b"one", "x-stand.pdf": b"stand"})
    for _ in range(2):
        (told,) = folder.build({"x-student.pdf": b"two"})
        assert "x-stand.pdf" in told
    assert folder.files == {"x-student.pdf": b"two", "x-stand.pdf": b"stand"}
    assert folder.build({"x-student.pdf": b"two", "x-stand.pdf": b"new"}) == []


def test_booklets_of_earlier_lessons_stay_by_their_day(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build({"x-student.pdf": b"first", "x-stand.pdf": b"stand"}, FIRST)
    folder.build({"x-student.pdf": b"first, mended"}, FIRST)
    (told,) = folder.build({"x-student.pdf": b"second"}, SECOND)  # the other edition of the first
    assert "is now lessons/2027-02-13/x-stand.pdf" in told
    assert folder.build({"x-student.pdf": b"third"}, THIRD) == []
    lessons = {
        "lessons/2027-02-13/x-student.pdf": b"first, mended",
        "lessons/2027-02-13/x-stand.pdf": b"stand",
        "lessons/2027-02-20/x-student.pdf": b"second",
    }
    assert folder.files == {"x-student.pdf": b"third", **lessons}
    listed = json.loads((folder.path / MARKER).read_text())["outputs"]
    assert {each["path"]: each["lesson"] for each in listed} == {
        "x-student.pdf": "2027-02-27",
        **{name: name.split("/")[1] for name in lessons},
    }


def test_a_lesson_that_comes_again_replaces_its_own_earlier_booklet(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    for text, day in ((b"1", FIRST), (b"2", SECOND), (b"1, mended", FIRST), (b"2, mended", SECOND)):
        folder.build({"x-student.pdf": text}, day)
    assert folder.files == {
        "x-student.pdf": b"2, mended",
        "lessons/2027-02-13/x-student.pdf": b"1, mended",
        "lessons/2027-02-20/x-student.pdf": b"2",
    }
    folder.put("lessons/2027-02-20/x-student.pdf", b"2, with notes")
    folder.build({"x-student.pdf": b"3"}, THIRD)
    assert folder.files["lessons/2027-02-20/x-student.pdf"] == b"2, mended"
    assert folder.files["earlier/lessons/2027-02-20/x-student.pdf"] == b"2, with notes"


def test_under_the_first_format_only_what_would_be_written_is_ours(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.put(MARKER, b'{"format": 1, "score": {}, "drills": []}')
    old = {"drills/a.svg": b"a", "drills/b.svg": b"b", "x-student.pdf": b"old", "x-n.pdf": b"n"}
    for name, content in {**old, "notes.txt": b"mine"}.items():
        folder.put(name, content)
    told = folder.build(booklet(b"new"))
    moved = {f"earlier/{name}": text for name, text in old.items() if name != "drills/a.svg"}
    assert folder.files == {**booklet(b"new"), **moved, "notes.txt": b"mine"}
    assert len(told) == 2
    assert "3 files" in told[0]
    assert len(folder.build(booklet(b"new"))) == 1


@pytest.mark.parametrize(
    "content",
    ["", "{", "[]", '{"format": 1}', '{"manifest_version": 3}', '{"format": 2, "drills": []}',
     '{"format": 2, "drills": [], "marks": "x", "outputs": [{"path": 1}]}'],
)  # fmt: skip
def test_a_manifest_of_others_makes_no_folder_ours(tmp_path: Path, content: str) -> None:
    folder = Folder(tmp_path)
    folder.put(MARKER, content.encode())
    folder.put("thesis.pdf", b"years")
    with pytest.raises(EngraveError, match="no build of this tool made"):
        folder.build(booklet(b"one"))
    assert folder.files == {"thesis.pdf": b"years"}


def test_what_a_newer_version_made_is_left_to_it(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.put(MARKER, b'{"format": 3, "score": {}, "drills": []}')
    with pytest.raises(EngraveError, match="newer version"):
        folder.build(booklet(b"one"))


def test_a_listed_path_that_leads_out_of_the_folder_is_nothing(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.build(booklet(b"one"))
    (tmp_path / "victim").write_bytes(b"v")
    manifest = json.loads((folder.path / MARKER).read_text())
    digest = "4c94485e0c21ae6c41ce1dfe7b6bfaceea5ab68e40a2476f50208e526f506080"
    for path in ("../../victim", str(tmp_path / "victim")):
        manifest["outputs"].append({"path": path, "sha256": digest, "lesson": None})
    (folder.path / MARKER).write_text(json.dumps(manifest))
    folder.build(booklet(b"two"))
    assert (tmp_path / "victim").read_bytes() == b"v"


def test_two_marks_files_of_one_name_refuse_each_other(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    other = tmp_path / "other" / "x.yaml"
    other.parent.mkdir()
    other.touch()
    folder.build(booklet(b"one"))
    with pytest.raises(EngraveError, match="other marks") as refused:
        folder.build(booklet(b"two"), marks=other)
    assert "--out" in refused.value.hint
    assert folder.files == booklet(b"one")
    folder.marks.unlink()  # renamed: nobody else's booklet is lost
    folder.build(booklet(b"two"), marks=other)
    assert folder.files == booklet(b"two")


@pytest.mark.parametrize("name", ["...yaml", "..yaml", ". .yaml"])
def test_a_name_that_leads_elsewhere_is_refused(name: str) -> None:
    with pytest.raises(EngraveError, match="cannot be called"):
        output_name(Path(name))


NAMES = st.sampled_from(
    ["x-student.pdf", "x-stand.pdf", "drills", "drills/a.svg", "drills/b/c.svg", "passages/a",
     "earlier", "earlier/x-student.pdf", "lessons/2027-02-13/x-student.pdf", "notes.txt"]
)  # fmt: skip
BUILDS = st.tuples(
    st.sets(st.sampled_from(["x-student.pdf", "x-stand.pdf", "drills/a.svg", "passages/a"])),
    st.sampled_from([None, FIRST, SECOND]),
)


@settings(max_examples=40)
@given(st.lists(st.one_of(NAMES, BUILDS), max_size=12))
def test_whatever_comes_nothing_of_others_is_lost(
    tmp_path_factory: pytest.TempPathFactory, steps: list[object]
) -> None:
    """Builds, and files of the user's put anywhere between them, over each other and over ours."""
    folder = Folder(tmp_path_factory.mktemp("any"))
    users: set[bytes] = set()
    for number, step in enumerate(steps):
        if isinstance(step, str):
            if not folder.path.exists():
                continue
            path, content = folder.path / step, b"user %d" % number
            if path.is_dir() or any(parent.is_file() for parent in path.parents):
                continue
            users.discard(path.read_bytes() if path.is_file() else b"")
            users.add(content)
            folder.put(step, content)
        elif isinstance(step, tuple):
            names, lesson = step
            files = dict.fromkeys(names, b"build %d" % number)
            folder.build(files, lesson)
            assert files.items() <= folder.files.items()
        if folder.path.exists():
            assert users <= set(folder.files.values())


def test_the_command_tells_and_keeps(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    base, _ = lay_out_studio(tmp_path / "scores", 0)
    base.write_text(f"{base.read_text('utf-8')}lesson: 2027-02-13\n", "utf-8")
    out = tmp_path / "out"
    assert main(["build", str(base), "--out", str(out)]) == 0
    first = (out / "weir" / "weir-student.pdf").read_bytes()
    edit(base, "lesson: 2027-02-13\n", "lesson: 2027-02-20\n")
    (out / "weir" / "weir-mine.pdf").write_bytes(b"mine")
    capsys.readouterr()
    assert main(["build", str(base), "--out", str(out)]) == 0
    assert "weir-mine.pdf" in capsys.readouterr().err
    kept = out / "weir" / "lessons" / "2027-02-13" / "weir-student.pdf"
    assert kept.read_bytes() == first
    other, _ = lay_out_studio(tmp_path / "others", 0)
    assert main(["build", str(other), "--out", str(out)]) == 2
    assert "other marks" in capsys.readouterr().err
    strange = base.with_name("...yaml")
    strange.write_text(base.read_text("utf-8"), "utf-8")
    assert main(["build", str(strange), "--out", str(out)]) == 2
    assert {each.name for each in tmp_path.iterdir()} == {"scores", "others", "out"}
