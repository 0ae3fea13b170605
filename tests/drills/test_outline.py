"""Outline: the first note of each hand position at its own time, in the passage's own bars."""

from fractions import Fraction

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from engrave.drills.outline import FAMILY
from engrave.errors import EngraveError
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Meter
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from tests.drills.builders import even, heard, passage
from tests.drills.fingers import fingered, suggested

SCALE = "C4 D4 E4 F4 G4 A4 B4 C5"
SCALE_FINGERS = "1 2 3 1 2 3 4 5"


def made(source: Passage) -> Drill:
    (drill,) = FAMILY.unasked(source).drills
    return drill


def scale(goal: Goal = Goal(Fraction(1), Fraction(120))) -> Passage:
    return fingered(passage(even(SCALE, "1/2"), goal=goal), Hand.RIGHT, SCALE_FINGERS)


def test_the_first_note_of_each_position_in_time() -> None:
    """C major with its handbook fingers has two positions: thumb on C, thumb on F."""
    drill = made(scale())
    assert heard(drill) == [("C4", 0, Fraction(3, 2)), ("F4", Fraction(3, 2), Fraction(5, 2))]
    assert drill.written == ((0,), (1,))
    assert [note.offset for note in drill.source] == [0, Fraction(3, 2)]
    assert drill.id == "turn.outline.in-time"


def test_bars_meter_and_ladder_are_the_passages() -> None:
    drill = made(scale(Goal(Fraction(1), Fraction(96))))
    assert [bar.length for bar in drill.sheet.bars] == [2, 2]
    assert drill.meter == Meter(2, 4)
    assert (drill.ladder.beat_unit, drill.ladder.marks[-1]) == (1, 96)


def test_a_note_on_a_dotted_beat_is_one_dotted_note() -> None:
    """Two positions a bar of 6/8, each for a dotted quarter; in the second bar too."""
    notes = even("C4 E4 G4 C5 E5 G5 C4 E4 G4 C5 E5 G5", "1/2")
    source = passage(notes, meter=Meter(6, 8), goal=Goal(Fraction(3, 2), Fraction(60)))
    drill = made(fingered(source, Hand.RIGHT, "1 3 5 " * 4))
    values = [
        (event.value.type, event.value.dots) for bar in drill.sheet.bars for event in bar.events
    ]
    assert values == [("quarter", 1)] * 4


def test_a_first_chord_is_played_whole() -> None:
    notes = [("C4 E4", "1"), ("G4", "1"), ("C5 E5", "1"), ("G5", "1")]
    drill = made(fingered(passage(notes), Hand.RIGHT, "1-2 5 1-2 5"))
    assert [name for name, _, _ in heard(drill)] == ["C4 E4", "C5 E5"]


def test_rests_before_the_first_note_stay() -> None:
    notes = [("rest", "1/2"), *even("C4 E4 G4 C5 E5 G5 C6", "1/2")]
    drill = made(fingered(passage(notes), Hand.RIGHT, "1 2 3 1 2 3 5"))
    assert [time for _, time, _ in heard(drill)] == [Fraction(1, 2), 2]


def test_a_pickup_stays_a_pickup() -> None:
    notes = even("C4 E4 G4 C5 E5 G5 C6 G5", "1/2")
    source = passage(notes, meter=Meter(3, 4), pickup=Fraction(1))
    drill = made(fingered(source, Hand.RIGHT, "1 2 3 1 2 3 5 3"))
    first = drill.sheet.bars[0]
    assert (first.length, first.implicit) == (1, True)


def test_one_position_has_no_outline() -> None:
    with pytest.raises(EngraveError, match="41–42"):
        made(fingered(passage(even("C4 D4 E4 F4", "1")), Hand.RIGHT, "1 2 3 4"))


names = st.sampled_from([f"{step}{octave}" for octave in (3, 4, 5) for step in "CDEFGAB"])
notes = st.tuples(st.one_of(names, st.just("rest")), st.sampled_from(["1/4", "1/3", "1/2", "1"]))
meters = st.sampled_from([Meter(2, 4), Meter(3, 4), Meter(6, 8), Meter(3, 8)])


@given(st.lists(notes, min_size=2, max_size=20), meters, st.sampled_from(list(Hand)))
@settings(max_examples=60, deadline=None)
def test_whatever_the_line(line: list[tuple[str, str]], meter: Meter, hand: Hand) -> None:
    both = {"right": line} if hand is Hand.RIGHT else {"left": line}
    source = suggested(passage(**both, meter=meter, hands=(hand,)))  # type: ignore[arg-type]
    try:
        drill = made(source)
    except EngraveError:
        reject()
    times = {onset.time: onset for onset in source.lines[hand]}
    assert all(bar.is_full for bar in drill.sheet.bars)
    assert [index for (index,) in drill.written] == list(range(len(drill.source)))
    for name, time, _ in heard(drill):
        assert name == " ".join(pitch.spelling for pitch in times[time].pitches)
