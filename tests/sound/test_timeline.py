"""What is heard of a sheet: to the fraction, the key and the finger's weight."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.music.drill import Ladder
from engrave.music.notes import Hand, Pitch, Value
from engrave.music.sheet import Direction, Event, Meter, Moment, Sheet, Span, Tone
from engrave.sound import Sounding, Stress, timeline, unplayed
from tests.drills.builders import even, sheet

QUARTERS = Ladder(Fraction(1), (40, 96))


def heard(music: Sheet, mark: int = 96) -> tuple[Sounding, ...]:
    return timeline(music, QUARTERS, mark).soundings


def times(music: Sheet) -> list[tuple[int, Fraction, Fraction]]:
    return [(each.key, each.start, each.length) for each in heard(music)]


def changed(music: Sheet, index: int, **changes: object) -> Sheet:
    """With another event ``index`` of the first bar."""
    bar = music.bars[0]
    events = list(bar.events)
    events[index] = replace(events[index], **changes)  # type: ignore[arg-type]
    return replace(music, bars=(replace(bar, events=tuple(events)), *music.bars[1:]))


def test_ties_are_one_sound_with_all_its_heads() -> None:
    music = sheet([("C5", "1"), ("E5", "3"), ("G5", "1/2")])
    assert times(music) == [(72, 0, 1), (76, 1, 3), (79, 4, Fraction(1, 2))]
    assert [len(each.heads) for each in heard(music)] == [1, 2, 1]


@pytest.mark.parametrize(
    ("articulations", "part"),
    [
        ((), 1),
        (("staccato",), Fraction(1, 2)),
        (("detached-legato",), Fraction(3, 4)),
        (("staccato", "tenuto"), Fraction(3, 4)),
        (("tenuto",), 1),
        (("accent", "staccato"), Fraction(1, 2)),
    ],
)
def test_articulation_is_how_long_a_key_is_down(
    articulations: tuple[str, ...], part: Fraction
) -> None:
    music = changed(sheet(even("C5 D5", "1")), 0, articulations=articulations)
    assert heard(music)[0].length == part
    assert heard(music)[0].loudness == 74 + (12 if "accent" in articulations else 0)


def with_graces(names: str, at: int = 1) -> Sheet:
    music = sheet(even("C5 D5", "1"))
    bar = music.bars[0]
    graces = tuple(
        Event(
            bar.events[at].offset, Fraction(0), Value("eighth"), (Tone(Pitch.parse(name)),),
            grace=True,
        )
        for name in names.split()
    )  # fmt: skip
    events = (*bar.events[:at], *graces, *bar.events[at:])
    return replace(music, bars=(replace(bar, events=events),))


def test_grace_notes_come_short_before_the_beat() -> None:
    found = times(with_graces("E5 F5"))
    eighth = Fraction(1, 8)
    assert found == [(72, 0, 1), (76, Fraction(3, 4), eighth), (77, Fraction(7, 8), eighth),
                     (74, 1, 1)]  # fmt: skip


def test_grace_notes_at_the_very_beginning_fall_into_the_count_in() -> None:
    assert times(with_graces("E5", 0))[0] == (76, Fraction(-1, 8), Fraction(1, 8))


def test_many_grace_notes_leave_the_note_before_half_its_time() -> None:
    starts = [start for _, start, _ in times(with_graces("E5 F5 G5 A5 B5 C6"))]
    assert min(starts[1:]) >= Fraction(1, 2)


def test_a_rolled_chord_goes_up_from_the_beat_and_ends_together() -> None:
    music = changed(sheet([("C4 E4 G4", "2")]), 0, arpeggio=True)
    found = heard(music)
    assert [each.key for each in found] == [60, 64, 67]
    assert [each.start for each in found] == [0, Fraction(1, 8), Fraction(1, 4)]
    assert {each.end for each in found} == {2}
    assert {each.onset for each in found} == {0}


def test_a_key_struck_again_in_another_voice_goes_up_first() -> None:
    music = sheet([("C5", "2")])
    bar = music.bars[0]
    second = Event(Fraction(1), Fraction(1), Value("quarter"), (Tone(Pitch.parse("C5")),), voice=2)
    music = replace(music, bars=(replace(bar, events=(*bar.events, second)),))
    assert times(music) == [(72, 0, 1), (72, 1, 1)]


def test_what_two_voices_strike_together_is_struck_once() -> None:
    music = sheet([("C5", "1")])
    bar = music.bars[0]
    held = Event(Fraction(0), Fraction(2), Value("half"), (Tone(Pitch.parse("C5")),), voice=2)
    music = replace(music, bars=(replace(bar, events=(*bar.events, held)),))
    (only,) = heard(music)
    assert (only.length, len(only.heads)) == (2, 2)


def dynamic(text: str, offset: str = "0", staff: int = 1) -> Direction:
    return Direction(Fraction(offset), staff, "dynamic", text, "below")


def test_signs_of_one_staff_hold_for_both_and_wedges_grow_between_them() -> None:
    music = sheet(even("C5 D5 E5 F5 G5", "1/2"), even("C3 D3", "1"))
    first, *others = music.bars
    bars = (replace(first, directions=(dynamic("p"), dynamic("f", "2"))), *others)
    wedge = Span("crescendo", Moment(0, Fraction(0)), Moment(1, Fraction(0)))
    found = heard(replace(music, bars=bars, spans=(wedge,)))
    right = [each.loudness for each in found if each.hand is Hand.RIGHT]
    assert right == [50, 60, 69, 78, 88]
    assert [each.loudness for each in found if each.hand is Hand.LEFT] == [50, 69]


def test_two_staves_with_signs_of_their_own_follow_their_own() -> None:
    music = sheet(even("C5 D5", "1"), even("C3 D3", "1"))
    bars = (replace(music.bars[0], directions=(dynamic("pp"), dynamic("f", "0", 2))),)
    found = heard(replace(music, bars=bars))
    assert {(each.hand, each.loudness) for each in found} == {("right", 38), ("left", 88)}


def test_the_hand_that_plays_is_not_the_staff_of_print() -> None:
    music = changed(sheet(even("C5 D5", "1")), 0, hand=Hand.LEFT)
    assert [each.hand for each in heard(music)] == ["left", "right"]


def test_under_fifty_a_soft_click_stands_between() -> None:
    clicks = timeline(sheet(even("C5 D5", "1")), QUARTERS, 40).clicks
    assert [each.stress for each in clicks[:4]] == [
        Stress.BAR, Stress.BETWEEN, Stress.BEAT, Stress.BETWEEN,
    ]  # fmt: skip
    assert Stress.BETWEEN not in {
        each.stress for each in timeline(sheet(even("C5 D5", "1")), QUARTERS, 50).clicks
    }


def test_compound_time_clicks_its_beats() -> None:
    music = sheet(even("C5 " * 6, "1/2"), meter=Meter(6, 8))
    found = timeline(music, Ladder(Fraction(3, 2), (60,)), 60)
    assert [each.time for each in found.clicks] == [-3, Fraction(-3, 2), 0, Fraction(3, 2)]


def test_what_is_not_played_is_said() -> None:
    music = changed(sheet(even("C5 D5", "1")), 0, ornaments=("trill-mark",), fermata=True)
    assert [each.key for each in unplayed(music)] == [
        "unplayed.ornament", "unplayed.fermata",
    ]  # fmt: skip
