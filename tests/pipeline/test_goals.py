"""Goals are marks of the metronome, or it is said why not."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.music.notes import Hand
from engrave.music.sheet import Moment
from engrave.music.tempo import SCALE
from engrave.notation import musicxml
from engrave.pipeline.checking import check
from engrave.score import TempoMark, TempoOrigin
from engrave.survey import survey
from engrave.survey.beginning import ScoreFile
from engrave.survey.new_marks import marks_text
from tests.survey.pieces import easy, score, with_hand


@pytest.mark.parametrize(
    ("goal", "said"),
    [
        ("112", None),
        ("141", "141 lies between two marks of the metronome, 138 and 144"),
        ("119", "119 lies between two marks of the metronome, 116 and 120"),
    ],
)
def test_a_goal_off_the_scale_stands_and_is_told_once(
    goal: str, said: str | None, tmp_path: Path
) -> None:
    sheet = score([*easy(8)], None).sheet
    (tmp_path / "song.musicxml").write_bytes(musicxml(sheet, title="Hedge Song"))
    marks = tmp_path / "song.yaml"
    marks.write_text(
        f"score: song.musicxml\ntempo: {{beat: quarter, goal: {goal}}}\n"
        "passages:\n  - {measures: 1-2}\n  - {measures: 5-6}\n",
        "utf-8",
    )
    found = check(marks)
    assert {each.written.ladder.marks[-1] for each in found.passages} == {int(goal)}
    told = [each.message for each in found.notices if "metronome" in each.message]
    assert len(told) == (1 if said else 0)
    assert all(said in each for each in told if said)


@pytest.mark.parametrize("mark", ["110", "119", "141", "62.5"])
def test_a_speed_at_which_a_file_plays_becomes_a_mark_of_the_metronome(mark: str) -> None:
    music = easy(16)
    music[4] = with_hand(music[4], Hand.RIGHT, "C4:16 E4:16 D4:16 F4:16 " * 4)
    plays = TempoMark(
        Moment(0, Fraction(0)), Fraction(1), Fraction(mark), origin=TempoOrigin.PLAYBACK
    )
    piece = replace(score(music, None), tempos=(plays,))
    text = marks_text(survey(piece), piece, ScoreFile("song.musicxml", "song.yaml"))
    (line,) = [line for line in text.splitlines() if line.startswith("tempo:")]
    goal = int(line.split("goal: ")[1].split("}")[0])
    assert goal in SCALE
    assert f"quarter note = {goal}" in text
