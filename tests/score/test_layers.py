"""A staff written as one voice, and a hand with more voices than can be engraved."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.music.sheet import Event, Moment, Sheet
from engrave.music.units import Quarters
from engrave.notation import musicxml
from engrave.score import cut
from tests.score.build import back, grace, head, measure, note, piano

BASS = (back(4), note("C3", 4, voice=5, staff=2))


def voices(sheet: Sheet) -> dict[int, list[str]]:
    """What each voice of the first bar plays, ``r`` for rests."""
    found: dict[int, list[str]] = {}
    for event in sheet.bars[0].events:
        found.setdefault(event.voice, []).append(spelled(event))
    return found


def spelled(event: Event) -> str:
    return " ".join(tone.pitch.spelling for tone in event.tones) or "r"


def test_what_sounds_at_once_in_one_voice_becomes_two(tmp_path: Path) -> None:
    upper = [note("G5", 2), note("A5", 2)]
    lower = [grace("F5"), note("E5"), note("D5"), note("C5", 2)]
    score = piano(tmp_path, measure(1, *upper, back(4), *lower, *BASS, head=head()))
    assert voices(score.sheet) == {1: ["G5", "A5"], 2: ["F5", "E5", "D5", "C5"], 5: ["C3"]}
    assert score.notices == ()
    assert musicxml(score.sheet)


def test_rests_under_notes_of_their_own_voice_go_and_are_told(tmp_path: Path) -> None:
    upper = [note("r", 2), note("A5", 2)]
    lower = [note("E5"), note("r"), note("C5", 2)]
    score = piano(tmp_path, measure(1, *upper, back(4), *lower, *BASS, head=head()))
    assert voices(score.sheet) == {1: ["E5", "r", "A5"], 2: ["C5"], 5: ["C3"]}
    assert [notice.message for notice in score.notices] == [
        "not read: rests under notes of their own voice (1), in measure 1"
    ]


def test_a_fifth_voice_of_a_hand_is_refused_where_it_is_marked(tmp_path: Path) -> None:
    five = [part for number in range(5) for part in (note(f"{'CDEFG'[number]}5", 4), back(4))]
    plain = measure(2, note("C5", 4), *BASS)
    crowded = measure(1, *five, note("C3", 4, voice=5, staff=2), head=head())
    score = piano(tmp_path, crowded, plain)
    with pytest.raises(EngraveError, match=r"measure 1 .* one staff has more than 4 voices"):
        cut(score, Moment(0, Quarters(0)), Moment(0, Quarters(4)))
    assert cut(score, Moment(1, Quarters(0)), Moment(1, Quarters(4))).bars[0].events


def test_a_second_staff_that_no_attribute_announces(tmp_path: Path) -> None:
    silent = head().replace("<staves>2</staves>", "")
    score = piano(tmp_path, measure(1, note("C5", 4), *BASS, head=silent))
    assert score.sheet.staves == (1, 2)
