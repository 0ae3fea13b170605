"""A marks file begun at the desk begins as one that ``engrave new`` writes."""

import shutil
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import cast

import pytest

from engrave.cli import main
from engrave.desk.beginning import ToBegin, beginning
from engrave.desk.board import Board
from engrave.desk.manuscript import Edit, Manuscript
from engrave.desk.opening import opened
from engrave.desk.working import Work
from engrave.machine.cache import NO_CACHE
from engrave.music.sheet import Moment
from engrave.pipeline.styling import Job
from engrave.score import Score, TempoMark, TempoOrigin
from engrave.survey.beginning import ScoreFile
from tests.survey.pieces import easy, score
from tests.works import corpus

GUESS = {
    "en": "The goal: no tempo in the score, taken as quarter note = 100.",
    "de": "Das Ziel: kein Tempo in den Noten, angenommen Viertelnote = 100.",
}


def work_at(path: Path, language: str = "en") -> Work:
    start = opened(path, language=language)
    manuscript = Manuscript(start.marks, start.first_text)
    return Work(manuscript, Board(), Job(), NO_CACHE, start.begun)


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_score_without_a_tempo_is_marked_at_once(
    language: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The polonaise names neither title nor composer nor tempo."""
    path = Path(shutil.copy(corpus() / "schumann_clara" / "polonaise_op1n1.mxl", tmp_path))
    assert main(["new", str(path), "--out", "-", "--language", language]) == 0
    written = capsys.readouterr().out.split("\n\n# ")
    head = "\n\n# ".join(written[:2]).splitlines()
    work = work_at(path, language)
    work.once()
    assert work.board.part("notices") == [GUESS[language]]
    begun = work.manuscript.text
    assert begun.splitlines()[1:-1] == head[1:]
    assert "tempo: {beat: quarter, goal: 100}" in head
    assert path.name in begun.splitlines()[0]
    assert not path.with_suffix(".yaml").exists()

    edit = Edit(("passages", 0), {"measures": "6-8", "hand": "right"})
    work.manuscript.change([edit], work.manuscript.version)
    work.once()
    assert work.board.part("mistakes") == []
    assert work.board.part("drills")
    assert GUESS[language] in cast("list[str]", work.board.part("notices"))
    assert work.manuscript.text == f"{begun}passages:\n  - measures: 6-8\n    hand: right\n"
    capsys.readouterr()
    assert main(["check", str(path.with_suffix(".yaml"))]) == 0

    goal = Edit(("tempo", "goal"), "88")
    work.manuscript.change([goal], work.manuscript.version)
    work.once()
    assert GUESS[language] not in cast("list[str]", work.board.part("notices"))


def begun(piece: Score) -> str:
    return beginning(piece, ToBegin(ScoreFile("song.musicxml", "song.yaml"))).text


def test_title_and_composer_are_the_scores() -> None:
    assert 'piece:\n  title: "Hedge Song"\n  composer: "Ida Fennimore"\n' in begun(score(easy(8)))


def test_tempos_that_the_score_has_are_left_to_it() -> None:
    """A goal at the top would win over all of them."""
    piece = score(easy(16), None)
    words = [
        TempoMark(Moment(bar, Fraction(0)), Fraction(1), Fraction(mark), origin=TempoOrigin.WORDS)
        for bar, mark in ((0, 96), (8, 60))
    ]
    assert "\ntempo: {beat: quarter, goal: 96}\n" in begun(replace(piece, tempos=(words[0],)))
    assert "\ntempo:" not in begun(replace(piece, tempos=tuple(words)))
    assert "\ntempo: {beat: quarter, goal: 100}\n" in begun(replace(piece, tempos=(words[1],)))
    assert "\ntempo:" not in begun(score(easy(8)))


def test_what_mends_a_missing_goal_is_named(tmp_path: Path) -> None:
    path = Path(shutil.copy(corpus() / "schumann_clara" / "polonaise_op1n1.mxl", tmp_path))
    marks = path.with_suffix(".yaml")
    marks.write_text(f"score: {path.name}\npassages:\n  - {{measures: 6-8, hand: rigth}}\n")
    work = work_at(marks)
    work.once()
    both = cast("list[dict[str, object]]", work.board.part("mistakes"))
    assert sorted(map(str, (each["missing"] for each in both))) == ["['tempo', 'goal']", "[]"]
    marks.write_text(f"score: {path.name}\npassages:\n  - {{measures: 6-8, hand: right}}\n")
    work.manuscript.look()
    work.once()
    (mistake,) = cast("list[dict[str, object]]", work.board.part("mistakes"))
    assert "there is no goal" in str(mistake["message"])
    assert mistake["missing"] == ["tempo", "goal"]
