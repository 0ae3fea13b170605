"""The tempo that a survey goes by, and what it says of it."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.errors import EngraveError
from engrave.music.sheet import Direction, Moment
from engrave.music.tempo_words import tempo_of_words
from engrave.remarks import Remark
from engrave.score import Score, TempoMark
from engrave.score.building.tempos import tempos_of
from engrave.survey.cells import Clock
from engrave.survey.model import Pace
from engrave.survey.pace import goal_of, pace_of
from engrave.words import LANGUAGES, say
from tests.sheets import bar
from tests.survey.pieces import easy, score


def with_words(piece: Score, *places: tuple[int, str]) -> Score:
    bars = list(piece.sheet.bars)
    for index, text in places:
        bars[index] = replace(
            bars[index], directions=(Direction(Fraction(0), 1, "words", text=text),)
        )
    return told(replace(piece, sheet=replace(piece.sheet, bars=tuple(bars))))


def told(piece: Score) -> Score:
    return replace(piece, tempos=tempos_of(piece.sheet, (), [piece.title]))


def test_the_marks_of_the_score_hold_from_where_they_stand() -> None:
    piece = score(easy(8), 96)
    later = TempoMark(Moment(4, Fraction(0)), Fraction(3, 2), Fraction(60))
    pace = pace_of(replace(piece, tempos=(*piece.tempos, later)))
    assert pace.changes == ((0, 96), (16, 90))
    assert [pace.at(Fraction(time)) for time in (0, 15, 16, 31)] == [96, 96, 90, 90]


def test_a_goal_moves_all_marks_in_proportion() -> None:
    piece = score(easy(8), 96)
    later = TempoMark(Moment(4, Fraction(0)), Fraction(1), Fraction(48))
    goal = goal_of("half=72", piece)
    pace = pace_of(replace(piece, tempos=(*piece.tempos, later)), goal)
    assert pace.changes == ((0, 144), (16, 72))
    assert say(pace.said) == "as asked, half note = 72"


def test_words_stand_for_a_tempo_in_the_middle_of_its_range() -> None:
    """Metronome dials: andante 76 to 108, allegro 120 to 168 (from memory)."""
    assert 76 <= tempo_of_words("Andante", Fraction(1)) <= 108  # type: ignore[operator]
    assert 120 <= tempo_of_words("Allegro con spirito", Fraction(1)) <= 168  # type: ignore[operator]
    both = tempo_of_words("Allegro moderato", Fraction(1))
    assert both is not None
    assert 104 < both < 134
    assert tempo_of_words("cantabile", Fraction(1)) is None


def test_a_longer_beat_goes_slower_but_not_as_much() -> None:
    quarter, half = (tempo_of_words("Allegro", Fraction(beat)) for beat in (1, 2))
    assert quarter is not None
    assert half is not None
    assert quarter < half < 2 * quarter


def test_words_of_the_score_come_before_those_of_its_title() -> None:
    piece = told(score(easy(16), None, title="Presto"))
    assert pace_of(piece).changes[0][1] == 178
    worded = with_words(piece, (0, "Adagio"), (4, "Allegro"), (10, "Tempo I"))
    assert [mark for _, mark in pace_of(worded).changes] == [60, 134, 60]


def test_words_on_the_way_alone_say_nothing_of_the_beginning() -> None:
    pace = pace_of(with_words(score(easy(8), None), (6, "Adagio")))
    assert pace.said.key == "survey.tempo.default"
    assert pace.changes == ((0, 100),)


def test_a_default_asks_nothing_that_nobody_plays() -> None:
    quick = bar("C4:32 D4:32 E4:32 F4:32 G4:32 F4:32 E4:32 D4:32 " * 4, "R:1", meter="4/4")
    pace = pace_of(score([quick] * 4, None))
    assert pace.changes[0][1] * 8 / 60 == 8


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("meter", ["4/4", "2/2", "6/8", "3/8", "3/16", "4/32"])
def test_every_source_of_a_tempo_is_said(language: str, meter: str) -> None:
    piece = score([bar("C4:32", "R:1", meter=meter)], None)
    goal = goal_of("80", piece)
    for each in (piece, told(replace(piece, title="Allegro"))):
        assert say(pace_of(each).said, language)
        assert "80" in say(pace_of(each, goal).said, language) or meter == "4/32"


@pytest.mark.parametrize("text", ["", "fast", "breve=60", "half=", "9", "601", "0", "1/0", "-3"])
def test_what_is_no_tempo_is_an_error(text: str) -> None:
    with pytest.raises(EngraveError, match="not a tempo"):
        goal_of(text, score(easy(1)))


@pytest.mark.parametrize(
    ("text", "expected"),
    [("Nicht schnell", 104), ("Nicht zu langsam", 104), ("Più lento", None), ("Allegro", 134)],
)
def test_what_is_denied_is_moderate_and_what_is_relative_is_none(
    text: str, expected: int | None
) -> None:
    assert tempo_of_words(text, Fraction(1)) == expected


def test_seconds_are_counted_from_tempo_to_tempo() -> None:
    """Eight quarters at 60 last eight seconds, two and a half at 120 one and a quarter."""
    marks = ((0, 60), (8, 120), (12, 40))
    changes = tuple((Fraction(time), Fraction(mark)) for time, mark in marks)
    clock = Clock(Pace(changes, Remark("")))
    assert clock.seconds(Fraction(3)) == 3
    assert clock.seconds(Fraction(8)) == 8
    assert clock.seconds(Fraction(21, 2)) == 9.25
    assert clock.seconds(Fraction(14)) == 13
