"""The score on the desk: every bar in one system, every beat and note where the ink is."""

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from engrave.desk.systems import Systems, checked_width
from engrave.machine.cache import NO_CACHE
from engrave.score import read_score
from tests.engraver.raster import drawn, pixels

DEMO = Path(__file__).resolve().parents[2] / "scores" / "lantern-rondo.musicxml"


@pytest.fixture(scope="module")
def systems() -> Systems:
    return Systems(read_score(DEMO), NO_CACHE)


@pytest.mark.parametrize("width", [90, 150, 230, 400])
def test_every_bar_and_every_beat_is_in_one_system(systems: Systems, width: int) -> None:
    bars = [index for line in systems.plan(width) for index in line]
    assert bars == list(range(len(systems.score.sheet.bars)))
    firsts = systems.first_beats(width)
    assert firsts[0] == 0
    assert firsts[-1] == len(systems.beats)
    assert all(before < after for before, after in pairwise(firsts))


def test_every_struck_note_of_the_score_is_shown_once_at_its_time(systems: Systems) -> None:
    width = 230
    shown = []
    for number in range(len(systems.plan(width))):
        shown += [(note.time, note.hand) for note in systems.system(width, number).notes]
    sheet = systems.score.sheet
    expected = [
        (time, str(event.hand))
        for time, _bar, event in sheet.timed()
        if not event.grace
        for _tone in event.tones
    ]  # fmt: skip
    assert sorted(shown) == sorted(expected)


def test_beats_begin_where_their_notes_are_drawn(systems: Systems) -> None:
    for number in (0, 3, 9):
        system = systems.system(230, number)
        assert list(system.edges) == sorted(system.edges)
        assert system.picture.width_mm == pytest.approx(230, abs=1)
        times = [beat.time for beat in systems.beats[system.first :]]
        for edge, time in zip(system.edges[:-1], times, strict=False):
            left = min((note.box[0] for note in system.notes if note.time == time), default=edge)
            assert edge <= left + 0.01


def test_meter_and_tempo_are_printed_where_the_score_has_them(systems: Systems) -> None:
    """Cut out, a line would print both again: the ink before the first note of a second line is as
    wide as brace, clef and key, without two figures."""
    first, second = systems.system(230, 0), systems.system(230, 1)
    assert second.edges[0] < first.edges[0]
    picture = second.picture
    ink = drawn(picture.svg, picture.width_mm, picture.height_mm, dpi=100)
    staff_top = pixels(picture.staff_tops_mm[0], 100)
    assert not ink[: max(0, staff_top - 30), : pixels(second.edges[0] - 2, 100)].any()


def test_beats_are_counted_as_a_player_does(systems: Systems) -> None:
    pickup, *rest = systems.beats
    assert (pickup.measure, pickup.number, pickup.is_first, pickup.time) == ("0", 1, True, 0)
    assert rest[0].time == systems.score.sheet.bars[0].length
    assert all(isinstance(beat.time, Fraction | int) for beat in rest)


@pytest.mark.parametrize(
    ("asked", "width"),
    [("230", 230), ("237", 230), ("5", 90), ("9999", 400), ("-1", None), ("x", None), ("²", None)],
)
def test_a_width_is_whole_and_sensible(asked: str, width: int | None) -> None:
    assert checked_width(asked) == width
