"""Other hand: the same notes, octaves apart where needed, with the other hand's own fingers."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.drills.other_hand import FAMILY
from engrave.music.drill import Drill
from engrave.music.notes import FingerOrigin, Hand
from engrave.music.sheet import BASS, TREBLE, Meter, Moment, Span
from engrave.passage.model import Passage
from tests.drills.builders import even, heard, passage
from tests.drills.fingers import fingered, suggested

SCALE = "C5 D5 E5 F5 G5 A5 B5 C6"
SCALE_BELOW = "C3 D3 E3 F3 G3 A3 B3 C4"


def made(source: Passage) -> Drill:
    (drill,) = FAMILY.unasked(source).drills
    return drill


def scale() -> Passage:
    source = passage(even(SCALE, "1/2"), even("C3 E3 G3 E3", "1"))
    return fingered(source, Hand.RIGHT, "1 2 3 1 2 3 4 5")


def test_the_left_hand_plays_it_octaves_lower() -> None:
    drill = made(scale())
    assert drill.octaves == -2
    assert [name for name, _, _ in heard(drill)] == SCALE_BELOW.split()
    assert drill.hands == (Hand.LEFT,)
    assert drill.sheet.staves == (2,)
    assert {event.hand for bar in drill.sheet.bars for event in bar.events} == {Hand.LEFT}


def test_the_fingers_are_the_left_hands_own() -> None:
    """C major, left hand rising (handbook table): 5 4 3 2 1 3 2 1."""
    drill = made(scale())
    tones = [tone for bar in drill.sheet.bars for event in bar.events for tone in event.tones]
    assert [tone.finger.number for tone in tones if tone.finger] == [5, 4, 3, 2, 1, 3, 2, 1]
    assert {tone.finger.origin for tone in tones if tone.finger} == {FingerOrigin.COMPUTED}


def test_the_source_keeps_the_scores_facts() -> None:
    drill = made(scale())
    assert [note.pitches[0].spelling for note in drill.source] == SCALE.split()
    assert {note.hand for note in drill.source} == {Hand.RIGHT}
    assert [finger.number for note in drill.source for finger in note.fingers if finger] == [
        1, 2, 3, 1, 2, 3, 4, 5,
    ]  # fmt: skip
    assert drill.written == tuple((index,) for index in range(8))


@pytest.mark.parametrize(
    ("hand", "line", "octaves", "clef"),
    [
        (Hand.RIGHT, "C4 E4 G4 E4", -1, BASS),
        (Hand.RIGHT, "C4 B3 A3 B3", 0, BASS),
        (Hand.LEFT, "C3 E3 G3 E3", 1, TREBLE),
        (Hand.LEFT, "C2 E2 G2 E2", 2, TREBLE),
        (Hand.LEFT, "C4 E4 G4 E4", 0, TREBLE),
        (Hand.RIGHT, "C8 B7 A7 B7", -4, BASS),
        # The left hand's half is C2 to C4, the right one's C4 to C6: what lies there stays.
        (Hand.RIGHT, "C4 C4 C4 C4", 0, BASS),
        (Hand.RIGHT, "C#4 C#4 C#4 C#4", -1, BASS),
        (Hand.RIGHT, "C5 C5 C5 C5", -1, BASS),
        (Hand.RIGHT, "C#5 C#5 C#5 C#5", -2, BASS),
        (Hand.RIGHT, "C2 C2 C2 C2", 0, BASS),
        (Hand.RIGHT, "B1 B1 B1 B1", 1, BASS),
        (Hand.LEFT, "C4 C4 C4 C4", 0, TREBLE),
        (Hand.LEFT, "B3 B3 B3 B3", 1, TREBLE),
        (Hand.LEFT, "C3 C3 C3 C3", 1, TREBLE),
        (Hand.LEFT, "B2 B2 B2 B2", 2, TREBLE),
        (Hand.LEFT, "C6 C6 C6 C6", 0, TREBLE),
        (Hand.LEFT, "C#6 C#6 C#6 C#6", -1, TREBLE),
    ],
)
def test_octaves_only_where_needed(hand: Hand, line: str, octaves: int, clef: object) -> None:
    both = {"right": even(line, "1/2")} if hand is Hand.RIGHT else {"left": even(line, "1/2")}
    drill = made(passage(**both, hands=(hand,)))  # type: ignore[arg-type]
    assert drill.octaves == octaves
    assert drill.sheet.bars[0].clefs[0].clef == clef


def test_each_marked_hand_goes_to_the_other() -> None:
    both = (Hand.RIGHT, Hand.LEFT)
    source = replace(scale(), hands=both)
    drills = FAMILY.unasked(source).drills
    assert [drill.id for drill in drills] == [
        "turn.other-hand.in-time.left", "turn.other-hand.in-time.right",
    ]  # fmt: skip


def test_slurs_go_with_the_voice_and_octave_lines_stay_behind() -> None:
    source = scale()
    slur = Span("slur", Moment(0, Fraction(0)), Moment(0, Fraction(1)), placement="above")
    octave = Span("octave-up", Moment(0, Fraction(0)), Moment(1, Fraction(0)))
    drill = made(replace(source, sheet=replace(source.sheet, spans=(slur, octave))))
    (span,) = drill.sheet.spans
    assert (span.kind, span.staff, span.voice, span.end_voice) == ("slur", 2, 1, 1)


chords = st.lists(st.integers(28, 48), min_size=1, max_size=3, unique=True).map(
    lambda letters: " ".join(f"{'CDEFGAB'[each % 7]}{each // 7}" for each in sorted(letters))
)
notes = st.tuples(st.one_of(chords, st.just("rest")), st.sampled_from(["1/4", "1/2", "1", "3/2"]))


@given(st.lists(notes, min_size=2, max_size=16), st.sampled_from(list(Hand)))
@settings(max_examples=40, deadline=None)
def test_whatever_the_line(line: list[tuple[str, str]], hand: Hand) -> None:
    both = {"right": line} if hand is Hand.RIGHT else {"left": line}
    source = suggested(passage(**both, meter=Meter(3, 4), hands=(hand,)))  # type: ignore[arg-type]
    if not source.lines[hand]:
        return
    drill = made(source)
    assert all(bar.is_full for bar in drill.sheet.bars)
    for (name, time, length), (index,), onset in zip(
        heard(drill), drill.written, source.lines[hand], strict=True
    ):
        moved = [pitch.shifted(drill.octaves) for pitch in drill.source[index].pitches]
        assert name.split() == [pitch.spelling for pitch in moved]
        assert (time, length) == (onset.time, onset.length)
