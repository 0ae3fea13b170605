"""Clefs and octave lines as an editor sets them (common practice, no source)."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.drills import hands_apart
from engrave.drills.clefs import MOST_LEDGERS, UNREADABLE, ledgers, suited
from engrave.drills.family import clef_at
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import BASS, TREBLE, Clef, ClefChange, Meter, Moment, Sheet, Span
from tests.drills.builders import even, passage, sheet

Clefs = list[tuple[int, Fraction, str]]


def upper(music: Sheet, staff: int = 1) -> Sheet:
    """The upper staff alone, or the one that is named."""
    bars = tuple(
        replace(
            bar,
            events=tuple(event for event in bar.events if event.staff == staff),
            clefs=tuple(change for change in bar.clefs if change.staff == staff),
        )
        for bar in music.bars
    )
    return replace(music, bars=bars, staves=(staff,))


def clefs(music: Sheet) -> Clefs:
    return [
        (index, change.offset, change.clef.sign)
        for index, bar in enumerate(music.bars)
        for change in bar.clefs
    ]


def line(*groups: str) -> Sheet:
    return upper(sheet([note for group in groups for note in even(group, "1/4")]))


def lower(*groups: str) -> Sheet:
    """A line of the left hand."""
    return upper(sheet(left=[note for group in groups for note in even(group, "1/4")]), 2)


def octaves(music: Sheet) -> list[tuple[str, Fraction, Fraction]]:
    """Octave lines: their kind, their first and their last moment in quarters."""
    return [
        (
            span.kind,
            music.starts[span.start.bar] + span.start.offset,
            music.starts[span.end.bar] + span.end.offset,
        )
        for span in music.spans
    ]


LOW, HIGH = "C3 D3 E3 F3", "C5 D5 E5 F5"


def test_four_low_notes_from_a_beat_on_get_the_bass_clef() -> None:
    assert clefs(suited(line(HIGH, LOW, LOW, HIGH))) == [(0, 0, "G"), (0, 1, "F"), (1, 1, "G")]


def test_four_low_notes_are_enough_and_four_not_so_low_are_not() -> None:
    """Two changes for four notes pay where they save four ledger lines twice and three twice."""
    assert clefs(suited(line(HIGH, LOW, HIGH, HIGH))) == [(0, 0, "G"), (0, 1, "F"), (1, 0, "G")]
    assert clefs(suited(line(HIGH, "C3 D3 E3 G3", HIGH, HIGH))) == [(0, 0, "G")]
    five = line(HIGH, "C3 D3 E3 G3 G3 C5 D5 E5", HIGH)
    assert clefs(suited(five)) == [(0, 0, "G")]


def test_where_a_change_saves_nothing_there_is_none() -> None:
    """Six, one, three and one ledger line cost just what two changes and the bass clef do."""
    assert clefs(suited(line(HIGH, "G2 B3 E3 B3", HIGH, HIGH))) == [(0, 0, "G")]
    assert len(clefs(suited(line(HIGH, "G2 E3 B3 A3", HIGH, HIGH)))) == 3
    # At the end one change costs what two, one, one and three lines in a foreign clef do.
    assert clefs(suited(line(LOW, LOW, "D4 E4 D4 G4"))) == [(0, 0, "F")]
    assert len(clefs(suited(line(LOW, LOW, "D4 E4 D4 B4")))) == 2


def test_the_left_hand_is_a_mirror() -> None:
    """Its own clef is the bass clef, also where no clef stands at the beginning."""
    above = lower(LOW, "B4 C5 D5 E5", "F5 E5 D5 C5", LOW)
    assert clefs(suited(above)) == [(0, 0, "F"), (0, 1, "G"), (1, 1, "F")]
    bare = replace(above, bars=tuple(replace(bar, clefs=()) for bar in above.bars))
    assert clefs(suited(bare)) == [(0, 0, "F"), (0, 1, "G"), (1, 1, "F")]
    silent = replace(bare, bars=tuple(replace(bar, events=()) for bar in bare.bars))
    assert clefs(suited(silent)) == [(0, 0, "F")]
    assert clefs(suited(replace(silent, staves=(1,)))) == [(0, 0, "G")]


def test_a_staff_on_which_nothing_is_played_keeps_its_own_clef() -> None:
    both = sheet([("C3", "2")], [("C3", "2")])
    clefs_there = (ClefChange(Fraction(0), 1, BASS), ClefChange(Fraction(0), 2, TREBLE))
    (bar,) = both.bars
    silent = replace(both, bars=(replace(bar, events=(), clefs=clefs_there),))
    assert [change.clef for change in suited(silent).bars[0].clefs] == [BASS, TREBLE]


def test_no_clef_changes_at_a_note_that_is_held() -> None:
    seven = even("C5 D5 E5 F5 C5 D5 E5", "1/4")
    rest = even("D3 E3 F3 C3 D3 E3 F3", "1/4")
    held = upper(sheet([*seven, ("C3", "1/2"), *rest]))
    assert clefs(suited(held)) == [(0, 0, "G"), (1, 1, "F")]
    struck = upper(sheet([*seven, ("F5", "1/4"), ("C3", "1/4"), *rest]))
    assert clefs(suited(struck)) == [(0, 0, "G"), (1, 0, "F")]


def test_beats_of_a_pickup_count_from_the_full_bar() -> None:
    pickup = Fraction(1, 4)
    on_beat = upper(sheet(even("C5 C5 D5 E5 F5 C3 D3 E3 F3 C3 D3 E3 F3", "1/4"), pickup=pickup))
    assert clefs(suited(on_beat)) == [(0, 0, "G"), (1, 1, "F")]
    inside = sheet(even(f"C5 {HIGH} {LOW} {LOW}", "1/4"), meter=Meter(4, 4), pickup=pickup * 9)
    assert clefs(suited(upper(inside))) == [(0, 0, "G"), (0, Fraction(5, 4), "F")]


@pytest.mark.parametrize(
    ("clef", "names", "counts"),
    [
        (TREBLE, "D4 E4 F5 G5", (0, 0, 0, 0)),
        (TREBLE, "C4 B3 A3 G3 F3 E3 D3 C3 B2", (1, 1, 2, 2, 3, 3, 4, 4, 5)),
        (TREBLE, "A5 B5 C6 D6 E6 F6 G6 A6 B6", (1, 1, 2, 2, 3, 3, 4, 4, 5)),
        (BASS, "F2 G2 A3 B3", (0, 0, 0, 0)),
        (BASS, "E2 D2 C2 B1 A1 G1 F1 E1 D1", (1, 1, 2, 2, 3, 3, 4, 4, 5)),
        (BASS, "C4 D4 E4 F4 G4 A4 B4 C5 D5", (1, 1, 2, 2, 3, 3, 4, 4, 5)),
    ],
)
def test_ledger_lines(clef: Clef, names: str, counts: tuple[int, ...]) -> None:
    """Middle C has one in either clef (any primer of notation)."""
    heights = [Pitch.parse(name).diatonic for name in names.split()]
    assert tuple(ledgers(height, height, clef) for height in heights) == counts


def test_fewer_than_four_do_not() -> None:
    music = suited(line("C5 D5 E5 F5", "C3 D3 E3 C5", "C5 D5 E5 F5"))
    assert clefs(music) == [(0, 0, "G")]


def test_no_clef_changes_inside_a_beat() -> None:
    """Five low notes begin on the last quarter of a beat: the clef comes with the next beat."""
    music = suited(line("C5 D5 E5 C3", LOW, LOW, HIGH))
    assert clefs(music) == [(0, 0, "G"), (0, 1, "F"), (1, 1, "G")]


def test_what_lies_low_throughout_begins_in_the_bass_clef() -> None:
    assert clefs(suited(line(LOW, LOW))) == [(0, 0, "F")]


def test_three_notes_beyond_four_ledger_lines_get_an_octave_line() -> None:
    """The strokes around them that need three or more go with them: E6 and those above it."""
    (span,) = suited(line(HIGH, "G5 B6 C7 D7", "G6 G5 F5 E5")).spans
    assert (span.kind, span.start, span.end) == (
        "octave-up", Moment(0, Fraction(5, 4)), Moment(1, Fraction(1, 4))
    )  # fmt: skip
    assert suited(line(HIGH, "B6 C7 A6 G6")).spans == ()


def test_an_octave_line_takes_in_its_phrase() -> None:
    """E6 and F6, with three ledger lines, on either side; not C6, with two."""
    up = suited(line("C6 F6 B6 C7 D7 E6 C6 C6", HIGH))
    assert octaves(up) == [("octave-up", Fraction(1, 4), Fraction(3, 2))]
    down = suited(lower("C2 A1 D1 C1 B0 A1 C2 C2", LOW))
    assert octaves(down) == [("octave-down", Fraction(1, 4), Fraction(3, 2))]
    between = suited(line("E6 B6 C7 C6 D7 E6 G5 G5", HIGH))  # C6 lies between two that need it
    assert octaves(between) == [("octave-up", 0, Fraction(3, 2))]
    whole = suited(line("E6 B6 C7 E6 D7 E6 E6 E6"))
    assert octaves(whole) == [("octave-up", 0, 2)]


def test_a_leap_played_again_ends_under_the_octave_line_as_before() -> None:
    leaps = sheet([("C7", "1"), ("Bb5", "1")] * 3 + [("A5", "1")])
    assert octaves(suited(upper(leaps))) == [("octave-up", 0, 6)]


def test_what_would_leave_the_staff_below_gets_no_octave_line() -> None:
    """The low notes of these chords would stand under the staff: C5, an octave down, is C4."""
    chords = upper(sheet([("C5 C7", "1/2"), ("D5 D7", "1/2"), ("C5 C7", "1/2"), ("D5 D7", "1/2")]))
    assert suited(chords).spans == ()
    near = upper(sheet([("E5 C7", "1/2"), ("E5 D7", "1/2"), ("E5 C7", "1/2"), ("E5 D7", "1/2")]))
    assert octaves(suited(near)) == [("octave-up", 0, 2)]


def test_octave_lines_of_the_score_stay_and_count() -> None:
    """What stands under one is read where it is printed: C4 under 8va, C5 under 15ma, as C3."""
    at = Moment(0, Fraction(1)), Moment(0, Fraction(2))
    printed_low = replace(line(HIGH, "C4 D4 E4 F4", HIGH), spans=(Span("octave-up", *at),))
    assert clefs(suited(printed_low)) == [(0, 0, "G"), (0, 1, "F"), (1, 0, "G")]
    low_by_two = replace(line(HIGH, "C5 D5 E5 F5", HIGH), spans=(Span("octave-up", *at, size=15),))
    assert clefs(suited(low_by_two)) == [(0, 0, "G"), (0, 1, "F"), (1, 0, "G")]
    first = Span("octave-up", Moment(0, Fraction(0)), Moment(0, Fraction(1)))
    beside = replace(line("B6 C7 B6 C7 D7 E7 D7 E7"), spans=(first,))
    assert octaves(suited(beside)) == [("octave-up", 0, 1), ("octave-up", 1, 2)]
    high = replace(line(HIGH, "C7 D7 E7 C7"), spans=(Span("octave-up", *at, size=15),))
    assert octaves(suited(high)) == [("octave-up", 1, 2)]
    deep = replace(lower(LOW, "A1 G1 A1 G1"), spans=(Span("octave-down", *at, staff=2),))
    assert octaves(suited(deep)) == [("octave-down", 1, 2)]
    treble = replace(line(HIGH, "C2 D2 E2 F2", HIGH), spans=(Span("octave-down", *at),))
    assert clefs(suited(treble)) == [(0, 0, "G"), (0, 1, "F"), (1, 0, "G")]


def test_a_clef_of_the_score_is_kept_where_both_read_well() -> None:
    middle = line("C4 D4 E4 D4", "C4 D4 E4 D4")
    assert clefs(suited(middle)) == [(0, 0, "G")]
    bass = replace(
        middle,
        bars=(replace(middle.bars[0], clefs=(ClefChange(Fraction(0), 1, BASS),)), *middle.bars[1:]),
    )
    assert clefs(suited(bass)) == [(0, 0, "F")]


def test_a_low_chord_before_a_line_in_the_treble_has_its_own_clef() -> None:
    """It would hang seven ledger lines below; one that needs no more than four does not."""
    low = upper(sheet([("F#2 C#3", "1"), *even("E5 G5 E5 D5 F5 D5 C5 E5", "1/4")]))
    assert clefs(suited(low)) == [(0, 0, "F"), (0, 1, "G")]
    near = upper(sheet([("A3 C4", "1"), *even("E5 G5 E5 D5 F5 D5 C5 E5", "1/4")]))
    assert clefs(suited(near)) == [(0, 0, "G")]


def test_a_low_chord_at_the_end_has_its_own_clef_and_one_in_the_middle_has_not() -> None:
    treble = even("E5 G5 E5 D5 F5 D5 C5 E5", "1/4")
    end = upper(sheet([*treble, ("F#1 C#2", "1"), ("F#1 C#2", "1")]))
    assert clefs(suited(end)) == [(0, 0, "G"), (1, 0, "F")]
    middle = upper(sheet([*treble, ("F#2 C#3", "1"), *treble]))
    assert clefs(suited(middle)) == [(0, 0, "G")]


def test_three_low_notes_at_the_beginning_have_no_clef_of_their_own() -> None:
    """Four have; the notes need no more than four ledger lines, so three can be read."""
    three = upper(sheet([*[("C3", "1")] * 3, *[("G5", "1")] * 5]))
    assert clefs(suited(three)) == [(0, 0, "G")]
    four = upper(sheet([*[("C3", "1")] * 4, *[("G5", "1")] * 4]))
    assert clefs(suited(four)) == [(0, 0, "F"), (2, 0, "G")]


def test_three_low_notes_in_the_middle_have_none_either() -> None:
    """They save more ledger lines than two changes cost, but are too few to change for."""
    for count, signs in ((3, "G"), (4, "GFG")):
        low = [("C3", "1"), ("D3", "1")] * 2
        notes = [*[("G5", "1")] * 4, *low[:count], *[("G5", "1")] * 4]
        assert "".join(sign for _, _, sign in clefs(suited(upper(sheet(notes))))) == signs


def test_two_notes_of_five_ledger_lines_are_excused_at_an_end_alone() -> None:
    """The first three strokes and the last three stand there; one of the two is enough."""
    for place in range(11):
        notes = [("G5", "1")] * 12
        notes[place : place + 2] = [("B2", "1"), ("A2", "1")]
        signs = "".join(sign for _, _, sign in clefs(suited(upper(sheet(notes)))))
        assert signs == (["FG", "GFG", "GFG", "G", "G", "G", "G", "G", "GFG", "GFG", "GF"])[place]


def test_a_note_that_nobody_could_count_has_its_own_clef() -> None:
    """A1 needs nine ledger lines in the treble clef; C3, which is near enough, four."""
    for place in range(8):
        notes = [("A1" if number == place else "G5", "1") for number in range(8)]
        signs = "".join(sign for _, _, sign in clefs(suited(upper(sheet(notes)))))
        assert signs == ("FG", *["GFG"] * 6, "GF")[place], place
        near = [("C3" if number == place else "G5", "1") for number in range(8)]
        assert clefs(suited(upper(sheet(near)))) == [(0, 0, "G")]


def test_a_hand_that_crosses_the_other_has_a_clef_on_either_side() -> None:
    """A5 in the bass clef would need seven ledger lines, C6 eight; one or two have their own."""
    music = suited(upper(sheet(left=even("F2 A5 F2 A5 C6 F2 A5 C3 D3 E3", "1")), 2))
    assert "".join(sign for _, _, sign in clefs(music)) == "FGFGFGF"


PITCHES = st.sampled_from([f"{step}{octave}" for octave in range(1, 8) for step in "CDEFGAB"])


@given(st.lists(PITCHES, min_size=4, max_size=48))
def test_every_clef_serves_four_strokes_and_begins_a_beat(names: list[str]) -> None:
    music = suited(line(" ".join(names)))
    changes = clefs(music)
    struck = [
        music.starts[index] + event.offset
        for index, bar in enumerate(music.bars)
        for event in bar.events
        if event.tones
    ]
    places = [music.starts[bar] + offset for bar, offset, _ in changes]
    heights = [Pitch.parse(name).diatonic for name in names]
    far = [
        time
        for time, height in zip(struck, heights, strict=True)
        if max(ledgers(height, height, clef) for clef in (BASS, TREBLE)) > MOST_LEDGERS
    ]
    for start, end in pairwise([*places[1:], music.length]):
        assert start % 1 == 0
        served = sum(start <= time < end for time in struck)
        is_at_end = end == music.length or start == places[0]
        # a single note that is beyond reading stands within, or on either side
        about = [height for time, height in zip(struck, heights, strict=True)
                 if start - 3 <= time <= end + 3]  # fmt: skip
        beyond = any(max(ledgers(h, h, BASS), ledgers(h, h, TREBLE)) > UNREADABLE for h in about)
        is_far = is_at_end and any(start <= time < end for time in far)
        assert served >= 4 or is_far or beyond
    assert [sign for _, _, sign in changes] == [
        sign for number, (_, _, sign) in enumerate(changes)
        if number == 0 or sign != changes[number - 1][2]
    ]  # fmt: skip


@pytest.mark.parametrize("hand", list(Hand))
def test_one_hand_over_two_staves_stands_on_one(hand: Hand) -> None:
    """Its second measure is printed on the other staff."""
    notes = even("E3 G3 C4 E4 G4 E4 C4 G3 E3 G3 C4 E4 G4 E4 C4 G3", "1/4")
    right, left = (notes, ()) if hand is Hand.RIGHT else ((), notes)
    source = passage(right, left, hands=(hand,))
    first, second = source.sheet.bars
    moved = tuple(
        replace(event, staff=hand.other.staff) if event.hand is hand else event
        for event in second.events
    )
    source = replace(
        source, sheet=replace(source.sheet, bars=(first, replace(second, events=moved)))
    )
    (drill,) = hands_apart.FAMILY.make(source, hands_apart.FAMILY.options()).drills
    assert drill.sheet.staves == (hand.staff,)
    assert {event.staff for _, _, event in drill.sheet.timed()} == {hand.staff}
    assert [clef for _, _, clef in clefs(drill.sheet)] == [
        (TREBLE if hand is Hand.RIGHT else BASS).sign
    ]


def test_two_notes_that_nobody_could_count_keep_the_clef_that_the_score_has_there() -> None:
    """In the middle of a line and inside a beat; C2 needs eight ledger lines in the treble clef."""
    notes = even("G5 F5 E5 D5 C5 G4 C3 C2", "1/4") + even("F5 E5 D5 C5 F5 E5 D5 C5", "1/4")
    music = upper(sheet(notes))
    first = (ClefChange(Fraction(0), 1, TREBLE), ClefChange(Fraction(3, 2), 1, BASS))
    second = (ClefChange(Fraction(0), 1, TREBLE),)
    bars = (replace(music.bars[0], clefs=first), replace(music.bars[1], clefs=second))
    assert clefs(suited(music)) == [(0, 0, "G")]
    as_printed = replace(music, bars=(*bars, *music.bars[2:]))
    assert clefs(suited(as_printed)) == [(0, 0, "G"), (0, Fraction(3, 2), "F"), (1, 0, "G")]


def test_a_chord_struck_again_is_read_once() -> None:
    """Five ledger lines in the treble clef, or three in the bass clef, four times the same."""
    beat = [("Bb2", "1"), *[("Bb3 F4 Ab4", "1/4")] * 4]
    assert clefs(suited(upper(sheet(beat * 2)))) == [(0, 0, "F")]


def test_a_clef_is_in_force_from_the_moment_at_which_it_stands() -> None:
    music = lower("C3 D3 E3 F3 C4 D4 E4 F4")
    first, *others = music.bars
    low, high = ClefChange(Fraction(0), 2, BASS), ClefChange(Fraction(1), 2, TREBLE)
    changed = replace(music, bars=(replace(first, clefs=(low, high)), *others))
    source = replace(passage(), sheet=changed)
    clef_then = [clef_at(source, 2, Fraction(eighths, 2)) for eighths in range(4)]
    assert clef_then == [BASS, BASS, TREBLE, TREBLE]
    assert clef_at(source, 1, Fraction(1)) is None
