"""Blocks: an example worked out by hand, both steps, ladders, rolled chords, defaults."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from engrave.drills.block_cutting import Block
from engrave.drills.blocks import FAMILY
from engrave.errors import EngraveError
from engrave.fingering.keyboard import WHITE_MM
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import Event, Meter
from engrave.passage.model import Passage
from engrave.passage.positions import Position
from engrave.remarks import Remark
from engrave.words import say
from tests.drills import sources
from tests.drills.builders import even, heard, passage
from tests.drills.fingers import fingered, suggested

ARPEGGIO = "C4 E4 G4 C5 E5 G5 C6"
ALBERTI = "C3 G3 E3 G3 C3 G3 E3 G3 F3 C4 A3 C4 F3 C4 A3 C4"


def made(source: Passage, **options: Any) -> dict[str, Drill]:
    return {drill.variant: drill for drill in FAMILY.make(source, FAMILY.options(**options)).drills}


def lengths(drill: Drill) -> list[tuple[str, str]]:
    return [(name, str(length)) for name, _, length in heard(drill)]


def struck(drill: Drill) -> list[Event]:
    return [event for bar in drill.sheet.bars for event in bar.events if event.is_struck]


def fingers(event: Event) -> list[int]:
    return [tone.finger.number for tone in event.tones if tone.finger]


def test_what_is_no_broken_chord_before_them_is_no_block() -> None:
    """Slow notes, then an Alberti bass, and the note on which it arrives."""
    slow = [("A3", "2"), ("F3", "1"), ("A3", "1")]
    notes = [*slow, *even(ALBERTI, "1/4"), ("B2", "2")]
    source = suggested(passage(left=notes, hands=(Hand.LEFT,)))
    for drill in FAMILY.unasked(source).drills:
        names = [name for name, _ in lengths(drill)]
        assert (names[0], names[-1]) == ("C3 E3 G3", "B2")
        assert [note.pitches[0].spelling for note in drill.source][:2] == ["C3", "G3"]
        assert drill.blocks[0].source == tuple(range(8))
        assert drill.blocks[0].shift_mm == 0
        assert "3 notes or chords before or after the broken chords" in map(say, drill.left_out)


def test_worked_example() -> None:
    """An arpeggio, worked out by hand, to the note."""
    drill = made(sources.ARPEGGIO)["step-1"]
    assert lengths(drill) == [("C4 E4 G4", "1"), ("C5 E5 G5 C6", "1")]
    assert [fingers(event) for event in struck(drill)] == [[1, 2, 3], [1, 2, 3, 5]]
    assert drill.written == ((0, 1, 2), (3, 4, 5, 6))
    assert [block.source for block in drill.blocks] == [(0, 1, 2), (3, 4, 5, 6)]
    assert drill.meter == Meter(2, 4)
    assert all(bar.is_full for bar in drill.sheet.bars)


def test_a_block_a_beat_and_the_last_to_the_end_of_its_bar() -> None:
    source = passage(even("C3 E3 G3 C4 E4 G4 C5 E5 G5", "1/4"))
    drill = made(fingered(source, Hand.RIGHT, "1 2 3 " * 3))["step-1"]
    assert [(name, str(time), str(length)) for name, time, length in heard(drill)] == [
        ("C3 E3 G3", "0", "1"), ("C4 E4 G4", "1", "1"), ("C5 E5 G5", "2", "2"),
    ]  # fmt: skip


def test_the_shift_is_an_octave_of_white_keys() -> None:
    """An octave is seven white keys, 165 mm (keyboard table: Boyle and others 2015)."""
    first, second = made(sources.ARPEGGIO)["step-1"].blocks
    assert (first.shift_white_keys, first.shift_mm) == (0, 0)
    assert second.shift_white_keys == 7
    assert second.shift_mm == pytest.approx(165.0)
    assert second.shift_mm == pytest.approx(7 * WHITE_MM)


def test_block_then_unfold() -> None:
    drill = made(sources.ARPEGGIO)["step-2"]
    assert lengths(drill) == [
        ("C4 E4 G4", "1"), ("C4", "1/4"), ("E4", "1/4"), ("G4", "1/2"),
        ("C5 E5 G5 C6", "1"), ("C5", "1/4"), ("E5", "1/4"), ("G5", "1/4"), ("C6", "5/4"),
    ]  # fmt: skip
    assert drill.written[:5] == ((0, 1, 2), (0,), (1,), (2,), (3, 4, 5, 6))
    assert [bar.length for bar in drill.sheet.bars] == [2, 3]
    assert not any(bar.meter_shown for bar in drill.sheet.bars)
    assert all(bar.is_full for bar in drill.sheet.bars)
    assert [fingers(event) for event in struck(drill)][1:4] == [[1], [2], [3]]


def test_positions_change_as_often_as_in_the_passage() -> None:
    """Blocks are three sixteenths apart: four of them in three quarters, 160 a minute at 120."""
    drill = made(sources.ARPEGGIO)["step-1"]
    assert drill.ladder.beat_unit == 1
    assert drill.ladder.marks[-1] == 160


def test_the_speed_is_explained() -> None:
    told = {step: drill.remarks[-1].key for step, drill in made(sources.ARPEGGIO).items()}
    assert told == {"step-1": "blocks.as-often", "step-2": "blocks.as-fast"}
    own = made(sources.ARPEGGIO, goal=Fraction(60)).values()
    assert not any(remark.key == "blocks.as-often" for drill in own for remark in drill.remarks)


def test_moves_are_said_by_interval_and_in_white_keys() -> None:
    told = [say(remark) for remark in made(sources.ARPEGGIO)["step-1"].remarks]
    assert any("up an octave (7 white keys)" in each for each in told), told


def test_unfolding_is_never_faster_than_the_passage() -> None:
    """A measure of two beats a position would need 320; the passage's own notes go at 120."""
    assert made(sources.ARPEGGIO)["step-2"].ladder.marks[-1] == 120


def test_unfolding_ends_where_positions_change_as_often() -> None:
    """Eight beats a position in the passage, four here: 120 there is 60 here."""
    source = passage(left=even(ALBERTI[:24] + ALBERTI, "1/2"), hands=(Hand.LEFT,))
    drill = made(fingered(source, Hand.LEFT, "5 1 3 1 " * 6))["step-2"]
    assert [bar.length for bar in drill.sheet.bars] == [4, 4]
    assert drill.ladder.marks[-1] * drill.ladder.beat_unit == 60


def test_a_figure_that_comes_round_again_is_unfolded_once() -> None:
    drill = made(sources.ALBERTI)["step-2"]
    assert [name for name, _ in lengths(drill)][:5] == ["C3 E3 G3", "C3", "G3", "E3", "G3"]
    assert drill.written[:5] == (tuple(range(8)), (0, 4), (1, 5), (2, 6), (3, 7))


def test_repeated_notes_are_struck_once() -> None:
    drill = made(sources.ALBERTI)["step-1"]
    assert lengths(drill) == [("C3 E3 G3", "1"), ("F3 A3 C4", "3")]
    assert drill.written == (tuple(range(8)), tuple(range(8, 16)))


@pytest.mark.parametrize(
    ("meter", "beat", "measure"),
    [(Meter(6, 8), "3/2", "3"), (Meter(3, 8), "1/2", "3/2"), (Meter(2, 2), "2", "4")],
)
def test_a_block_a_beat_in_the_passages_meter(meter: Meter, beat: str, measure: str) -> None:
    drill = made(sources.alberti(meter))["step-1"]
    assert drill.meter == meter
    assert drill.sheet.bars[0].length == Fraction(measure)
    assert heard(drill)[1][1] == Fraction(beat)


def test_chords_that_the_fingers_reach_without_moving_are_blocks_of_their_own() -> None:
    """Tonic, dominant seventh, tonic over five fingers that lie still, as Alberti basses go."""
    notes = even("C4 G4 E4 G4 C4 G4 E4 G4 D4 G4 F4 G4 C4 G4 E4 G4", "1/2")
    source = fingered(
        passage(left=notes, meter=Meter(4, 4), hands=(Hand.LEFT,)),
        Hand.LEFT, "5 1 3 1 5 1 3 1 4 1 2 1 5 1 3 1",
    )  # fmt: skip
    drill = made(source)["step-1"]
    assert [name for name, _ in lengths(drill)] == ["C4 E4 G4", "D4 F4 G4", "C4 E4 G4"]
    assert [fingers(event) for event in struck(drill)] == [[5, 3, 1], [4, 2, 1], [5, 3, 1]]
    assert [block.shift_mm for block in drill.blocks] == [0, 0, 0]


def test_chords_one_a_bar_over_fingers_that_lie_still() -> None:
    """No beat strikes three keys, every bar does."""
    notes = even("C4 G4 E4 G4 D4 G4 F4 G4 C4 G4 E4 G4", "1/2")
    source = fingered(passage(left=notes, hands=(Hand.LEFT,)), Hand.LEFT, "5 1 3 1 4 1 2 1 5 1 3 1")
    assert [name for name, _ in lengths(made(source)["step-1"])] == [
        "C4 E4 G4", "D4 F4 G4", "C4 E4 G4",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("third", "fingering", "chords"),
    [
        # Half of the second bar lies under the fingers of the first, half under those of the third.
        ("F4 A4 C5 A4", "2 4 5 4", ["C4 E4 G4", "C4 E4 A4 C5", "F4 A4 C5"]),
        # A bar of two keys is no chord: then it goes as the hand does.
        ("A4 C5 A4 C5 F4 A4 C5 A4", "4 5 4 5 2 4 5 4", ["C4 E4 G4", "F4 A4 C5"]),
    ],
)
def test_chords_one_a_bar_where_the_hand_moves_inside_the_bar(
    third: str, fingering: str, chords: list[str]
) -> None:
    notes = even(f"C4 E4 G4 E4 C4 E4 A4 C5 {third}", "1/2")
    source = fingered(passage(notes), Hand.RIGHT, f"1 2 4 2 1 2 4 5 {fingering}")
    assert [name for name, _ in lengths(made(source)["step-1"])] == chords


def test_chords_one_a_beat_between_beats_that_are_not_full() -> None:
    """The first beat strikes two keys and the last one; those between strike three each."""
    notes = even("E4 G4 D4 G4 F4 G4 C4 G4 E4 G4 D4", "1/4")
    source = passage([("rest", "1/2"), *notes], meter=Meter(4, 4))
    drill = made(fingered(source, Hand.RIGHT, "3 5 2 5 4 5 1 5 3 5 2"))["step-1"]
    assert [name for name, _ in lengths(drill)] == ["E4 G4", "D4 F4 G4", "C4 E4 G4", "D4"]


def test_double_notes_move_by_their_lower_key() -> None:
    """C and D by turns are steps, though F above the one is a third from the other."""
    line = passage([("C4 F4", "1/4"), ("D4", "1/4"), ("C4 F4", "1/4"), ("D4", "1/4")])
    keys = tuple(Pitch.parse(name) for name in ("C4", "D4", "F4"))
    block = Block(Position(0, 3, keys, (1, 2, 4)), line.lines[Hand.RIGHT])
    assert not block.is_broken_chord


@pytest.mark.parametrize(
    ("notes", "broken"),
    [
        ("C4 E4 F4 A4", True),  # two of three moves are thirds
        ("C4 E4 F4 A4 B4", False),  # two of four
        ("C4 E4 G4", True),
        ("C4 D4 E4 G4", False),
        ("C4 E4 C4 E4 C4", False),  # two keys
        ("C4 E4 E4 G4", True),  # a key that is struck again is no move
    ],
)
def test_a_broken_chord_goes_mostly_by_thirds_and_more(notes: str, broken: bool) -> None:
    names = notes.split()
    keys = tuple(sorted({Pitch.parse(name) for name in names}, key=lambda pitch: pitch.midi))
    line = passage(even(notes, "1/4")).lines[Hand.RIGHT]
    block = Block(Position(0, len(line) - 1, keys, (1,) * len(keys)), line)
    assert block.is_broken_chord is broken


@pytest.mark.parametrize(("count", "of", "worth"), [(2, 4, True), (2, 5, False), (1, 1, False)])
def test_blocks_of_which_half_and_two_are_chords(count: int, of: int, worth: bool) -> None:
    (drill,) = made(sources.ARPEGGIO, steps=(1,)).values()
    full, thin = replace(drill.blocks[0], source=(0, 1, 2)), replace(drill.blocks[0], source=(0,))
    blocks = (*[full] * count, *[thin] * (of - count))
    why = FAMILY.never(replace(drill, blocks=blocks))
    assert (why is None) is worth
    assert why is None or why == Remark.of("never.thin", count=count, of=of)


def test_five_fingers_in_a_row_are_one_block() -> None:
    notes = even("C4 D4 E4 F4 G4 F4 E4 D4 C4 E4 D4 F4 E4 G4 F4 D4", "1/4")
    drill = made(fingered(passage(notes), Hand.RIGHT, "1 2 3 4 5 4 3 2 1 3 2 4 3 5 4 2"))["step-1"]
    assert [name for name, _ in lengths(drill)] == ["C4 D4 E4 F4 G4"]


def test_a_block_begins_at_the_stronger_place() -> None:
    """The C on the third beat could still be held with the chord before it: fingers 5 1 3 1."""
    notes = even("C4 A4 F4 A4 C4 G4 E4 G4 B3 G4 D4 G4 C4 G4 E4 G4", "1/2")
    source = passage(left=notes, meter=Meter(4, 4), hands=(Hand.LEFT,))
    drill = made(fingered(source, Hand.LEFT, "5 1 3 1 5 1 3 1 5 1 4 1 5 1 3 1"))["step-1"]
    assert [block.source[0] for block in drill.blocks] == [0, 4, 8, 12]


def test_compound_beats_unfold_into_compound_measures() -> None:
    source = suggested(passage(even(ARPEGGIO[:-3] + " E5 C5", "1/2"), meter=Meter(6, 8)))
    drill = made(source)["step-2"]
    assert all(bar.meter.beat == Fraction(3, 2) for bar in drill.sheet.bars)
    assert all(bar.length % Fraction(3, 2) == 0 for bar in drill.sheet.bars)


def test_what_the_hand_cannot_take_at_once_is_rolled_and_said() -> None:
    """A twelfth is beyond a stretch of 20.5 cm (Boyle and others 2015: 24 cm for a tenth)."""
    source = suggested(passage([("C4 E4 G4", "1"), ("C4 G4 G5", "1"), ("C5 E5 G5", "1")]))
    drill = made(source)["step-1"]
    assert [event.arpeggio for event in struck(drill)] == [False, True, False]
    assert "blocks.rolled" in [remark.key for remark in drill.remarks]


def test_spelling_is_kept() -> None:
    source = suggested(passage([*even("F#4 A#4 C#5", "1/4"), *even("Gb4 Bb4 Db5 Gb5", "1/4")]))
    drill = made(source)["step-1"]
    assert "A#4" in heard(drill)[0][0]
    assert "Gb5" in heard(drill)[-1][0]


def test_measure_numbers_stand_above_the_first_block_of_each_measure() -> None:
    labels = [event.label for event in struck(made(sources.ALBERTI)["step-1"])]
    assert labels == ["41", "42"]


def test_a_key_struck_again_by_another_finger_is_no_new_block() -> None:
    notes = even("C4 C4 C4 E4 G4 C5 E5 G5", "1/4")
    drill = made(fingered(passage(notes), Hand.RIGHT, "1 2 1 2 3 1 2 3"))["step-1"]
    assert [block.source for block in drill.blocks] == [(0, 1, 2, 3, 4), (5, 6, 7)]
    assert fingers(struck(drill)[0]) == [1, 2, 3]


def test_steps_on_request() -> None:
    assert list(made(sources.ARPEGGIO, steps=(2,))) == ["step-2"]


def test_a_line_without_blocks_is_refused() -> None:
    with pytest.raises(EngraveError, match="41–42") as error:
        made(suggested(passage(even("C2 C4 C6 C4", "1"))))
    assert error.value.hint


def test_both_hands_are_drilled_apart() -> None:
    source = suggested(
        passage(even(ARPEGGIO, "1/2"), even(ARPEGGIO, "1/2"), hands=(Hand.RIGHT, Hand.LEFT))
    )
    drills = FAMILY.unasked(source).drills
    assert [drill.id for drill in drills] == [
        f"turn.blocks.step-{step}.{hand}" for hand in ("right", "left") for step in (1, 2)
    ]


@pytest.mark.parametrize(
    ("notes", "length", "suited"),
    [
        (ARPEGGIO + " G5 E5 C5 G4", "1/4", True),
        (ALBERTI, "1/2", True),
        ("C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6", "1/4", False),
        ("C4 D4 E4 D4 C4 D4 E4 D4", "1/4", False),
    ],
)
def test_broken_chords_get_blocks_without_asking(notes: str, length: str, suited: bool) -> None:
    assert bool(FAMILY.need(suggested(passage(even(notes, length))))) is suited


def test_chords_already_blocked_are_not_unfolded() -> None:
    chords = [("C4 E4 G4", "1"), ("F4 A4 C5", "1"), ("G4 B4 D5", "1"), ("C5 E5 G5", "1")]
    assert list(made(suggested(passage(chords)))) == ["step-1"]


def test_chords_already_blocked_do_not_ask_for_blocks() -> None:
    chords = [("C4 E4 G4", "1"), ("F4 A4 C5", "1"), ("G4 B4 D5", "1"), ("C5 E5 G5", "1")]
    assert not FAMILY.need(suggested(passage(chords)))


names = st.sampled_from([f"{step}{octave}" for octave in (3, 4, 5) for step in "CDEFGAB"])
lines = st.lists(
    st.tuples(names, st.sampled_from(["1/4", "1/2", "1"])), min_size=2, max_size=24
)  # fmt: skip
meters = st.sampled_from([Meter(2, 4), Meter(3, 4), Meter(4, 4), Meter(6, 8), Meter(3, 8)])


@given(lines, meters, st.sampled_from(list(Hand)))
@settings(max_examples=60, deadline=None)
def test_whatever_the_line(notes: list[tuple[str, str]], meter: Meter, hand: Hand) -> None:
    both = {"right": notes} if hand is Hand.RIGHT else {"left": notes}
    source = suggested(passage(**both, meter=meter, hands=(hand,)))  # type: ignore[arg-type]
    try:
        drills = FAMILY.unasked(source).drills
    except EngraveError:
        reject()
    pitches = [onset.pitches for onset in source.lines[hand]]
    for drill in drills:
        assert all(bar.is_full for bar in drill.sheet.bars)
        assert sorted({index for onset in drill.written for index in onset}) == list(
            range(len(pitches))
        )
        for (name, _, _), onset in zip(heard(drill), drill.written, strict=True):
            asked = {pitch for index in onset for pitch in pitches[index]}
            assert {Pitch.parse(each) for each in name.split()} == asked
    assert len({drill.id for drill in drills}) == len(drills)


def test_a_ladder_of_positions_that_change_seldom_has_boxes_to_climb() -> None:
    """As often as in the passage would be one box, an eighth at 40."""
    source = sources.ARPEGGIO
    slow = made(replace(source, goal=replace(source.goal, per_minute=Fraction(20))))["step-1"]
    assert len(slow.ladder.marks) >= 5
    assert "blocks.as-often" not in {remark.key for remark in slow.remarks}


def test_the_need_is_the_share_of_beats_from_first_to_last_key_of_each_position() -> None:
    """Two positions of three quarters, each its own up to the last key, and two beats of rest:
    four of eight beats."""
    source = passage([*even("C3 E3 G3 C4 E4 G4", "1"), ("rest", "2")])
    found = FAMILY.need(fingered(source, Hand.RIGHT, "1 2 3 1 2 3"))
    assert found is not None
    assert found.share == Fraction(1, 2)
    assert found.hands == (Hand.RIGHT,)
