"""Clefs and octave lines as an editor sets them (common practice, no source)."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.drills import hands_apart
from engrave.drills.clefs import MOST_LEDGERS, ledgers, suited
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import BASS, TREBLE, ClefChange, Moment, Sheet
from tests.drills.builders import even, passage, sheet

Clefs = list[tuple[int, Fraction, str]]


def upper(music: Sheet) -> Sheet:
    """The upper staff alone."""
    bars = tuple(
        replace(
            bar,
            events=tuple(event for event in bar.events if event.staff == 1),
            clefs=tuple(change for change in bar.clefs if change.staff == 1),
        )
        for bar in music.bars
    )
    return replace(music, bars=bars, staves=(1,))


def clefs(music: Sheet) -> Clefs:
    return [
        (index, change.offset, change.clef.sign)
        for index, bar in enumerate(music.bars)
        for change in bar.clefs
    ]


def line(*groups: str) -> Sheet:
    return upper(sheet([note for group in groups for note in even(group, "1/4")]))


LOW, HIGH = "C3 D3 E3 F3", "C5 D5 E5 F5"
WAY_UP = "C7 D7 E7 F7"


def test_four_low_notes_from_a_beat_on_get_the_bass_clef() -> None:
    assert clefs(suited(line(HIGH, LOW, LOW, HIGH))) == [(0, 0, "G"), (0, 1, "F"), (1, 1, "G")]


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
        assert served >= 4 or (is_at_end and any(start <= time < end for time in far))
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
