"""What is heard of a sheet: to the fraction, the key and the finger's weight."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from engrave.music.drill import Ladder
from engrave.music.notes import Hand, Pitch, Value
from engrave.music.sheet import Direction, Event, Meter, Moment, Sheet, Span, Tone
from engrave.sound import Sounding, Stress, marks_ahead, timeline, unplayed
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
        (("spiccato",), Fraction(1, 2)),
        (("staccatissimo",), Fraction(1, 4)),
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


def test_a_tie_goes_on_in_its_own_voice_where_another_strikes_the_key() -> None:
    music = sheet([("C5", "1"), ("rest", "1")])
    bar = music.bars[0]
    first = replace(bar.events[0], tones=(Tone(Pitch.parse("C5"), tie_out=True),))
    goes_on = replace(first, offset=Fraction(1), tones=(Tone(Pitch.parse("C5"), tie_in=True),))
    struck = replace(first, offset=Fraction(1), voice=2, tones=(Tone(Pitch.parse("C5")),))
    for order in ((struck, goes_on), (goes_on, struck)):
        played = replace(music, bars=(replace(bar, events=(first, *order)),))
        assert times(played) == [(72, 0, 1), (72, 1, 1)]
        assert sorted(len(each.heads) for each in heard(played)) == [1, 2]


def test_a_tie_from_nowhere_is_struck() -> None:
    music = sheet([("C5", "1"), ("D5", "1")])
    tied = (Tone(Pitch.parse("C5"), tie_in=True),)
    assert times(changed(music, 0, tones=tied)) == [(72, 0, 1), (74, 1, 1)]


def test_tones_come_by_time_then_the_left_hand_then_from_below() -> None:
    music = sheet([("E5 C5", "1"), ("D5", "1")], [("G3 C3", "2")])
    assert [(each.hand, each.key) for each in heard(music)] == [
        ("left", 48), ("left", 55), ("right", 72), ("right", 76), ("right", 74),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("count", "step"),
    [(1, "1/8"), (4, "1/8"), (5, "1/16"), (9, "1/32"), (17, "1/64"), (40, "1/80")],
)
def test_grace_notes_leave_half_the_time_before_them(count: int, step: str) -> None:
    """Of a quarter: the slowest of an eighth of it and its halves that fits, else equal parts."""
    found = [
        start for _, start, _ in times(with_graces("E5 F5 " * (count // 2) + "G5 " * (count % 2)))
    ]
    graces = [start for start in found if 0 < start < 1]
    assert graces == [1 - n * Fraction(step) for n in range(count, 0, -1)]


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


STEPS = ("pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff")


def loud(*signs: str, spans: tuple[Span, ...] = (), at: int = 0, **event: object) -> int:
    """The velocity of the second of two quarters, the signs standing at its beginning."""
    music = changed(sheet(even("C5 D5", "1")), 1, **event)
    directions = tuple(dynamic(sign, str(at)) for sign in signs)
    bars = (replace(music.bars[0], directions=directions),)
    return heard(replace(music, bars=bars, spans=spans))[1].loudness


def test_each_sign_is_louder_than_the_one_before_it() -> None:
    """MIDI velocities are 1 to 127; without a sign it is mezzo-forte."""
    found = [loud(sign) for sign in STEPS]
    assert found == sorted(set(found))
    assert all(b - a >= 8 for a, b in pairwise(found))
    assert 1 <= found[0] < found[-1] <= 127
    assert loud() == loud("mf")


@pytest.mark.parametrize(
    ("sign", "level"), [("fp", "p"), ("pf", "f"), ("sfp", "p"), ("sfpp", "pp"), ("sfz", "mf")]
)
def test_what_is_sudden_is_loud_for_its_note_alone(sign: str, level: str) -> None:
    assert loud(sign) == loud(level)
    if sign != "pf":
        assert loud(sign, at=1) == 100 > loud("f", at=1)
    assert loud("fff", sign, at=1) >= loud("fff") or sign != "sfz"


@pytest.mark.parametrize(("sign", "more"), [("accent", 12), ("strong-accent", 18), ("tenuto", 0)])
def test_an_accent_is_louder_than_what_is_in_force(sign: str, more: int) -> None:
    assert loud("p", articulations=(sign,)) == loud("p") + more
    assert loud("ffff", articulations=(sign,)) == min(127, loud("ffff") + more)


def wedge(kind: str, begin: int, end: int) -> Span:
    return Span(kind, Moment(0, Fraction(begin)), Moment(0, Fraction(end)))


@pytest.mark.parametrize(("kind", "way"), [("crescendo", 1), ("diminuendo", -1)])
def test_a_wedge_to_no_sign_goes_one_level_on(kind: str, way: int) -> None:
    music = sheet(even("C5 D5 E5 F5", "1/2"))
    found = heard(replace(music, spans=(wedge(kind, 0, 1),)))
    assert [each.loudness for each in found] == [74, 74 + 7 * way, 74 + 14 * way, 74 + 14 * way]


def test_a_wedge_leads_to_a_sign_that_is_near_and_lies_its_way() -> None:
    music = sheet(even("C5 D5 E5 F5", "1/2"))
    for sign, second in (("ff", 89), ("p", 81), ("mf", 81)):
        bars = (replace(music.bars[0], directions=(dynamic(sign, "2"),)),)
        found = heard(replace(music, bars=bars, spans=(wedge("crescendo", 0, 1),)))
        assert found[1].loudness == second


def test_signs_hold_from_where_they_stand_in_whatever_order_they_are_told() -> None:
    music = sheet(even("C5 D5 E5 F5", "1/2"))
    told = (dynamic("f", "3/2"), dynamic("p", "1/2"))
    wedges = (wedge("diminuendo", 1, 2), wedge("crescendo", 0, 1))
    bars = (replace(music.bars[0], directions=told),)
    assert [each.loudness for each in heard(replace(music, bars=bars))] == [74, 50, 50, 88]
    grown = heard(replace(music, spans=wedges))
    assert [each.loudness for each in grown] == [74, 81, 88, 81]


def test_a_sign_ends_the_wedge_before_it() -> None:
    music = sheet(even("C5 D5 E5 F5", "1/2"))
    bars = (replace(music.bars[0], directions=(dynamic("p", "1"),)),)
    found = heard(replace(music, bars=bars, spans=(wedge("diminuendo", 0, 1),)))
    assert [each.loudness for each in found] == [74, 62, 50, 50]


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


def test_bars_of_another_length_than_the_first_begin_where_they_begin() -> None:
    """Beats are evenly apart; a bar's first click is another where a beat falls on the bar."""
    music = sheet(even("C5 " * 6, "1"), meter=Meter(3, 4))
    found = timeline(music, Ladder(Fraction(2), (60,)), 60).clicks
    assert [(each.time, each.stress) for each in found] == [
        (-4, Stress.BAR), (-2, Stress.BEAT), (0, Stress.BAR), (2, Stress.BEAT), (4, Stress.BEAT),
    ]  # fmt: skip
    assert timeline(music, Ladder(Fraction(2), (60,)), 60).end == 6


@pytest.mark.parametrize(
    ("length", "is_implicit", "bars", "count_in"),
    [("1", True, 2, 3), ("1", False, 2, 2), ("1", True, 1, 2), ("2", True, 2, 2)],
)
def test_a_short_bar_is_a_pickup_where_others_follow_that_it_is_not_counted_with(
    length: str, is_implicit: bool, bars: int, count_in: int
) -> None:
    """MusicXML 4.0, ``measure/@implicit``: a bar that is not counted, as a pickup is not."""
    music = sheet(even("C5 " * 4, "1"))
    first = replace(
        music.bars[0], length=Fraction(length), implicit=is_implicit,
        events=tuple(each for each in music.bars[0].events if each.offset < Fraction(length)),
    )  # fmt: skip
    played = replace(music, bars=(first, *music.bars[1:])[:bars])
    assert timeline(played, QUARTERS, 96).count_in == count_in


def test_one_click_alone_counts_nothing_in() -> None:
    music = sheet(even("C5 D5", "1/2"), meter=Meter(1, 4))
    assert timeline(music, QUARTERS, 96).count_in == 2


def test_marks_ahead_begin_with_the_one_in_the_heavy_frame() -> None:
    marks = (60, 66, 72, 80)
    assert marks_ahead(Ladder(Fraction(1), marks)) == marks
    assert marks_ahead(Ladder(Fraction(1), marks, 66)) == (72, 80)
    assert marks_ahead(Ladder(Fraction(1), marks, 80)) == (80,)


def test_what_is_printed_and_not_played_is_said_once_a_kind() -> None:
    music = sheet(even("C5 D5", "1"))
    bar = music.bars[0]
    first, second = (replace(each, tremolo="3") for each in bar.events[:2])
    pedal = Span("pedal", Moment(0, Fraction(0)), Moment(0, Fraction(1)))
    bars = (replace(bar, events=(first, second, *bar.events[2:]), repeat_end=True),)
    found = unplayed(replace(music, bars=bars, spans=(pedal,)))
    assert [each.key for each in found] == [
        "unplayed.tremolo", "unplayed.repeat", "unplayed.pedal",
    ]  # fmt: skip
    assert unplayed(music) == ()


def test_what_is_not_played_is_said() -> None:
    music = changed(sheet(even("C5 D5", "1")), 0, ornaments=("trill-mark",), fermata=True)
    assert [each.key for each in unplayed(music)] == [
        "unplayed.ornament", "unplayed.fermata",
    ]  # fmt: skip
