"""What families of hands, positions and leaps write, to the note, as a teacher would by hand.

Each text was worked out from the rules named above it; ``paper`` says how to read it.
"""

from dataclasses import replace
from fractions import Fraction
from types import ModuleType

import pytest

from engrave.drills import (
    accents,
    against,
    as_written,
    blocks,
    bursts,
    chain,
    hands_apart,
    leaps,
    other_hand,
    outline,
    rhythms,
    staccato,
    voices,
)
from engrave.errors import EngraveError, Mistakes
from engrave.music.notes import Hand
from engrave.music.ranges import parse_range
from engrave.music.sheet import KeySignature, Meter
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from tests.drills.builders import Notes, even, passage
from tests.drills.fingers import fingered
from tests.drills.paper import lines, paper, told, written
from tests.drills.sources import (
    ALBERTI,
    ARPEGGIO,
    BOTH,
    CROSSING,
    DOTTED,
    IN_THREES,
    LANDED,
    LEFT_HAND,
    MARCH,
    ON_BARS,
    SECOND_VOICE_LATER,
    SHARED_VOICES,
    THREE_VOICES,
    TWO_HANDS,
    WALTZ,
    made,
    meeting,
)


def test_the_other_hand() -> None:
    """Two octaves lower the run lies in the left hand's half, and on the left hand's staff."""
    assert paper(made(other_hand.FAMILY, LANDED)) == lines(
        """
        in-time, 60–120 of 1: 2/4 v1: {F} [41] G2:5 1/4, A2:4 1/4, B2:3 1/4, C3:2 1/4, D3:1 1/4,
        E3:4 1/4, F#3:3 1/4, G3:2 1/4 | v1: [42] A3:1 2 |
        """
    )
    assert paper(made(other_hand.FAMILY, LEFT_HAND)) == lines(
        """
        in-time, 60–120 of 1: 2/4 v5: {G} [41] C4:1 1/4, D4:2 1/4, E4:3 1/4, F4:4 1/4, G4:1 1/4,
        A4:2 1/4, B4:3 1/4, C5:4 1/4 | v5: [42] D5:5 2 |
        """
    )


def test_leaps_of_a_bass() -> None:
    """The little finger's note, the thumb's, both, all; with a beat's wait, then in time."""
    assert paper(
        made(
            leaps.FAMILY,
            fingered(passage(left=MARCH, hands=(Hand.LEFT,)), Hand.LEFT, "5 5-3-1 5 5-3-1 5"),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {F} "I" [41] C2:5 1, - 1 | E3:5 1, - 1 | "!" G1:5 1, - 1 | "!"
        E3:5 1, - 1 | [42] C2:5 2 || ¶ "II" [41] C2:5 1/2, E3:5 1/2, G1:5 1/2, E3:5 1/2 | [42]
        C2:5 2 |]
        step-2, 60–120 of 1: 2/4 {F} "I" [41] C2:5 1, - 1 | C4:1 1, - 1 | "!" G1:5 1, - 1 | "!"
        C4:1 1, - 1 | [42] C2:5 2 || ¶ "II" [41] C2:5 1/2, C4:1 1/2, G1:5 1/2, C4:1 1/2 | [42]
        C2:5 2 |]
        step-3, 60–120 of 1: 2/4 {F} "I" [41] C2:5 1, - 1 | E3:5+C4:1 1, - 1 | "!" G1:5 1, - 1 |
        "!" E3:5+C4:1 1, - 1 | [42] C2:5 2 || ¶ "II" [41] C2:5 1/2, E3:5+C4:1 1/2, G1:5 1/2,
        E3:5+C4:1 1/2 | [42] C2:5 2 |]
        step-4, 60–120 of 1: 2/4 {F} "I" [41] C2:5 1, - 1 | E3:5+G3:3+C4:1 1, - 1 | "!" G1:5 1,
        - 1 | "!" E3:5+G3:3+C4:1 1, - 1 | [42] C2:5 2 || ¶ "II" [41] C2:5 1/2, E3:5+G3:3+C4:1
        1/2, G1:5 1/2, E3:5+G3:3+C4:1 1/2 | [42] C2:5 2 |]
        """
    )


def test_leaps_of_a_waltz() -> None:
    """A note a bar and two beats of waiting; what comes again is left out of the first round."""
    assert paper(
        made(leaps.FAMILY, passage(left=WALTZ, meter=Meter(3, 4), hands=(Hand.LEFT,)), steps=(1, 4))
    ) == lines(
        """
        step-1, 60–120 of 1: 3/4 {F} "I" [41] C2 1, - 1, - 1 | E3 1, - 1, - 1 | "!" [42] G1 1, -
        1, - 1 | "!" F3 1, - 1, - 1 | [43] C2 3 || ¶ "II" [41] C2 1, E3 1, E3 1 | [42] G1 1, F3
        1, F3 1 | [43] C2 1, E3 1, E3 1 |]
        step-4, 60–120 of 1: 3/4 {F} "I" [41] C2 1, - 1, - 1 | E3+G3+C4 1, - 1, - 1 | "!" [42]
        G1 1, - 1, - 1 | "!" F3+G3+B3 1, - 1, - 1 | [43] C2 3 || ¶ "II" [41] C2 1, E3+G3+C4 1,
        E3+G3+C4 1 | [42] G1 1, F3+G3+B3 1, F3+G3+B3 1 | [43] C2 1, E3+G3+C4 1, E3+G3+C4 1 |]
        """
    )


def test_leaps_of_a_pickup() -> None:
    """The second round's bars are full; a single leap is written once, both rounds in a line."""
    assert paper(
        made(
            leaps.FAMILY,
            passage(
                left=[*ON_BARS, *ON_BARS, ("C2", "1")],
                meter=Meter(3, 4),
                hands=(Hand.LEFT,),
                pickup=Fraction(1),
            ),
            steps=(1,),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 3/4 {F} "I" [41] C2 1, - 1, - 1 | [42] E3 1, - 1, - 1 | C2 3 || ¶
        "II" - 2, [41] C2 1 | [42] E3 1, E3 1, C2 1 |]
        """
    )


def test_leaps_of_a_single_line() -> None:
    """The scale after them is no part of them."""
    assert paper(
        made(
            leaps.FAMILY,
            passage(
                even("C4 C6 D4 D6 E4 E6 C4 D4 E4 F4 G4 A4", "1/2"), meter=Meter(6, 8), goal=DOTTED
            ),
        )
    ) == lines(
        """
        step-1, 40–80 of 3/2: 6/8 {G} "I" [41] C4 3/2, - 3/2 | "!" C6 3/2, - 3/2 | D4 3/2, - 3/2
        | D6 3/2, - 3/2 | E4 3/2, - 3/2 | E6 3/2, - 3/2 | "!" [42] C4 3 || ¶ "II" [41] C4 1/2,
        C6 1/2, D4 1/2, D6 1/2, E4 1/2, E6 1/2 | [42] C4 1/2, - 1, - 3/2 |]
        """
    )


def test_a_wait_of_several_beats_has_a_rest_a_beat() -> None:
    """In 9/8 it is two dotted quarters: a note, and the rest of the bar counted."""
    source = passage(even("C4 C6 D4 D6 E4 E6 C4 D4 E4", "1/2"), meter=Meter(9, 8), goal=DOTTED)
    assert paper(made(leaps.FAMILY, source)) == lines(
        """
        step-1, 40–80 of 3/2: 9/8 {G} "I" [41] C4 3/2, - 3/2, - 3/2 | "!" C6 3/2, - 3/2, - 3/2
        | D4 3/2, - 3/2, - 3/2 | D6 3/2, - 3/2, - 3/2 | E4 3/2, - 3/2, - 3/2 | E6 3/2, - 3/2,
        - 3/2 | "!" C4~ 3, ~C4 3/2 || ¶ "II" C4 1/2, C6 1/2, D4 1/2, D6 1/2, E4 1/2, E6 1/2,
        C4 1/2, - 1 |]
        """
    )


def test_blocks_of_an_arpeggio() -> None:
    """Positions change every three sixteenths: a beat each, 160 a minute at 120; unfolded they
    would have to be faster than the passage, so the passage's own mark is the last."""
    assert paper(made(blocks.FAMILY, ARPEGGIO)) == lines(
        """
        step-1, 80–160 of 1: 2/4 {G} [41] C4:1+E4:2+G4:3 1, C5:1+E5:2+G5:3+C6:5 1 |]
        step-2, 60–120 of 1: (2/4) {G} [41] C4:1+E4:2+G4:3 1, C4:1 1/4, E4:2 1/4, G4:3 1/2 |
        (3/4) C5:1+E5:2+G5:3+C6:5 1, C5:1 1/4, E5:2 1/4, G5:3 1/4, C6:5~ 1/4, ~C6 1 |]
        """
    )


def test_blocks_of_broken_chords() -> None:
    """A position a bar at 120 would be 30 beats a minute: eighths from 40 are counted instead."""
    assert paper(made(blocks.FAMILY, ALBERTI)) == lines(
        """
        step-1, 40–80 of 1/2: 4/4 {F} [41] C3:5+E3:3+G3:1 1, [42] F3:5+A3:3+C4:1 3 |]
        step-2, 60–120 of 1: (4/4) {F} [41] C3:5+E3:3+G3:1 1, C3:5 1/2, G3:1 1/2, E3:3 1/2,
        G3:1~ 1/2, ~G3 1 | [42] F3:5+A3:3+C4:1 1, F3:5 1/2, C4:1 1/2, A3:3 1/2, C4:1~ 1/2, ~C4 1
        |]
        """
    )


def test_blocks_that_the_hand_cannot_take_at_once_are_rolled() -> None:
    assert paper(
        made(
            blocks.FAMILY,
            fingered(
                passage([("C4 E4 G4", "1"), ("C4 G4 G5", "1"), ("C5 E5 G5", "1")]),
                Hand.RIGHT,
                "1-3-5 1-2-5 1-3-5",
            ),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {G} [41] C4:1+E4:3+G4:5 1, roll C4:1+G4:2+G5:5 1 | [42]
        C5:1+E5:3+G5:5 2 |]
        """
    )


def test_outline() -> None:
    """Each position's first note at its own time, held until the next."""
    assert paper(
        made(
            outline.FAMILY,
            fingered(
                passage(even("C4 D4 E4 F4 G4 A4 B4 C5", "1/2"), key=KeySignature(1)),
                Hand.RIGHT,
                "1 2 3 1 2 3 4 5",
            ),
        )
    ) == lines(
        """
        in-time, 60–120 of 1: 2/4 1# {G} [41] C4:1 3/2, F4:1~ 1/2 | ~F4 2 |]
        """
    )


def test_outline_of_a_pickup() -> None:
    """Values are divided where the beats of the full bar are, though the first is not full."""
    assert paper(
        made(
            outline.FAMILY,
            fingered(
                passage(
                    [("rest", "1/2"), *even("E4 G4 C5 E5 G5 C6 G5", "1/2")],
                    meter=Meter(3, 4),
                    pickup=Fraction(1),
                ),
                Hand.RIGHT,
                "1 2 1 2 3 5 3",
            ),
        )
    ) == lines(
        """
        in-time, 60–120 of 1: 3/4 [1] (uncounted) {G} - 1/2, [41] E4:1~ 1/2 | ~E4 1/2, [42]
        C5:1~ 1/2, ~C5 2 |]
        """
    )


def test_outline_of_a_pickup_that_begins_off_the_beat() -> None:
    """Three eighths before a bar of 2/4 begin on the half beat: an eighth tied to a quarter."""
    source = passage(even("C4 D4 E4 F4 G4 A4 B4", "1/2"), pickup=Fraction(3, 2))
    assert paper(made(outline.FAMILY, fingered(source, Hand.RIGHT, "1 2 3 1 2 3 4"))) == lines(
        """
        in-time, 60–120 of 1: 2/4 [3/2] (uncounted) {G} [41] C4:1~ 1/2, ~C4 1 | [42] F4:1 2 |]
        """
    )


def test_three_against_two() -> None:
    """Tapped on a grid of six, on one key each, then one beat four times, then each beat."""
    assert paper(made(against.FAMILY, meeting("C5 D5 E5", "1/3", "C3 D3", "1/2"))) == lines(
        """
        step-1, 60–120 of 1: (6/16) {G} "R" "L" [41] B4 1/2, "R" B4 1/4, "L" B4 1/4, "R" B4
        1/2 | "R" "L" B4 1/2, "R" B4 1/4, "L" B4 1/4, "R" B4 1/2 | "R" "L" B4 1/2, "R" B4 1/4,
        "L" B4 1/4, "R" B4 1/2 | "R" "L" B4 1/2, "R" B4 1/4, "L" B4 1/4, "R" B4 1/2 |]
        step-2, 60–120 of 1: (6/16) {G} [41] C5 1/2, C5 1/2, C5 1/2 // {F} C3 3/4, C3 3/4 | C5
        1/2, C5 1/2, C5 1/2 // C3 3/4, C3 3/4 | C5 1/2, C5 1/2, C5 1/2 // C3 3/4, C3 3/4 | C5
        1/2, C5 1/2, C5 1/2 // C3 3/4, C3 3/4 |]
        step-3, 60–120 of 1: 2/4 {G} [41] C5 1/3, D5 1/3, E5 1/3, C5 1 // {F} C3 1/2, D3 1/2, C3
        1 | C5 1/3, D5 1/3, E5 1/3, C5 1 // C3 1/2, D3 1/2, C3 1 | C5 1/3, D5 1/3, E5 1/3, C5 1
        // C3 1/2, D3 1/2, C3 1 | C5 1/3, D5 1/3, E5 1/3, C5 1 // C3 1/2, D3 1/2, C3 1 |]
        step-4, 60–120 of 1: 2/4 {G} [41] C5 1/3, D5 1/3, E5 1/3, C5 1 // {F} C3 1/2, D3 1/2, C3
        1 | C5 1/3, D5 1/3, E5 1/3, [42] C5 1 // C3 1/2, D3 1/2, C3 1 |]
        """
    )


def test_four_against_three() -> None:
    """Twelve steps, three quarters a bar: the slower hand's notes."""
    assert paper(
        made(against.FAMILY, meeting("C5 D5 E5 F5", "1/4", "C3 D3 E3", "1/3"), steps=(1, 2))
    ) == lines(
        """
        step-1, 60–120 of 1: (3/4) {G} "R" "L" [41] B4 3/4, "R" B4 1/4, "L" B4 1/2, "R" B4 1/2,
        "L" B4 1/4, "R" B4 3/4 | "R" "L" B4 3/4, "R" B4 1/4, "L" B4 1/2, "R" B4 1/2, "L" B4 1/4,
        "R" B4 3/4 |]
        step-2, 60–120 of 1: (3/4) {G} [41] C5 3/4, C5 3/4, C5 3/4, C5 3/4 // {F} C3 1, C3 1, C3
        1 | C5 3/4, C5 3/4, C5 3/4, C5 3/4 // C3 1, C3 1, C3 1 |]
        """
    )


def test_two_against_five() -> None:
    """Ten steps; a note of five steps is tied, as no single value prints it."""
    assert paper(
        made(against.FAMILY, meeting("C5 D5", "1/2", "C3 D3 E3 F3 G3", "1/5"), steps=(1, 2))
    ) == lines(
        """
        step-1, 60–120 of 1: (10/16) {G} "R" "L" [41] B4 1/2, "L" B4 1/2, "L" B4 1/4, "R" B4
        1/4, "L" B4 1/2, "L" B4 1/2 | "R" "L" B4 1/2, "L" B4 1/2, "L" B4 1/4, "R" B4 1/4, "L" B4
        1/2, "L" B4 1/2 |]
        step-2, 60–120 of 1: (10/16) {G} [41] C5~ 1, ~C5 1/4, C5~ 1, ~C5 1/4 // {F} C3 1/2, C3
        1/2, C3 1/2, C3 1/2, C3 1/2 | C5~ 1, ~C5 1/4, C5~ 1, ~C5 1/4 // C3 1/2, C3 1/2, C3 1/2,
        C3 1/2, C3 1/2 |]
        """
    )


def test_leaps_that_join_others() -> None:
    """Up to two notes between leaps are played in time, and left out of the first round."""
    assert paper(
        made(leaps.FAMILY, passage(even("C4 C6 D6 E6 D4 D6 F6 E6 G6 E4", "1/2"), meter=Meter(4, 4)))
    ) == lines(
        """
        step-1, 60–120 of 1: 4/4 {G} "I" [41] C4 1, - 1, C6 1, - 1 | E6 1, - 1, "!" D4 1, - 1 |
        D6 1, - 1, [42] G6 1, - 1 | "!" E4 4 || ¶ "II" [41] C4 1/2, C6 1/2, D6 1/2, E6 1/2, D4
        1/2, D6 1/2, F6 1/2, E6 1/2 | [42] G6 1/2, E4 1/2, - 3 |]
        """
    )


def test_leaps_of_an_octave_bass() -> None:
    """The bass stays whole, the chord is taken apart; a bar of one beat waits half of it."""
    assert paper(
        made(
            leaps.FAMILY,
            passage(
                left=[("C2 C3", "1"), ("E4 G4 C5", "1"), ("C2 C3", "1"), ("G3 B3", "1")],
                hands=(Hand.LEFT,),
            ),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {F} "I" [41] C2+C3 1, - 1 | "!" E4 1, - 1 | "!" [42] C2+C3 1, -
        1 | G3 2 || ¶ "II" [41] C2+C3 1, E4 1 | [42] C2+C3 1, G3 1 |]
        step-2, 60–120 of 1: 2/4 {F} "I" [41] C2+C3 1, - 1 | "!" C5 1, - 1 | "!" [42] C2+C3 1, -
        1 | B3 2 || ¶ "II" [41] C2+C3 1, C5 1 | [42] C2+C3 1, B3 1 |]
        step-3, 60–120 of 1: 2/4 {F} "I" [41] C2+C3 1, - 1 | "!" E4+C5 1, - 1 | "!" [42] C2+C3
        1, - 1 | G3+B3 2 || ¶ "II" [41] C2+C3 1, E4+C5 1 | [42] C2+C3 1, G3+B3 1 |]
        step-4, 60–120 of 1: 2/4 {F} "I" [41] C2+C3 1, - 1 | "!" E4+G4+C5 1, - 1 | "!" [42]
        C2+C3 1, - 1 | G3+B3 2 || ¶ "II" [41] C2+C3 1, E4+G4+C5 1 | [42] C2+C3 1, G3+B3 1 |]
        """
    )
    assert paper(
        made(
            leaps.FAMILY,
            passage(
                left=[("C2", "1"), ("E3 G3 C4", "1")] * 2, meter=Meter(1, 4), hands=(Hand.LEFT,)
            ),
            steps=(1,),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 1/4 {F} "I" [41] C2 1/2, - 1/2 | [42] E3 1/2, - 1/2 | [43] C2 1 ||
        ¶ "II" [41] C2 1 | [42] E3 1 | [43] C2 1 |]
        """
    )


def test_leaps_with_much_between_them() -> None:
    """Each stretch ends with a double bar; the bars between are left out."""
    assert paper(
        made(
            leaps.FAMILY,
            passage(
                [
                    ("C4", "1"),
                    ("C6", "1"),
                    *even("B5 A5 G5 F5 E5 D5 C5 B4 C4 D4 E4 F4", "1/2"),
                    ("D4", "1"),
                    ("D6", "1"),
                ]
            ),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {G} "I" [41] C4 1, - 1 | "!" C6 2 || [43] B4 1, - 1 | "!" [44]
        C4 1, - 1 | [45] D4 1, - 1 | D6 2 || ¶ "II" [41] C4 1, C6 1 || - 3/2, [43] B4 1/2 | [44]
        C4 1/2, - 1/2, - 1 | [45] D4 1, D6 1 |]
        """
    )


def test_leaps_that_are_named() -> None:
    """The beat on which the hand lands; of a range the widest move in it, if none is a leap."""
    assert paper(
        made(
            leaps.FAMILY,
            passage(even("C4 A4 C4 A4 E4 B4 F4 D5", "1/2")),
            at=(parse_range("41.2"),),
            steps=(1,),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {G} "I" [41] A4 1, - 1 | C4 2 || ¶ "II" - 1/2, A4 1/2, C4 1/2,
        - 1/2 | - 1/2, A4 1/2, C4 1/2, - 1/2 |]
        """
    )
    assert paper(
        made(
            leaps.FAMILY,
            passage(even("C4 A4 C4 A4 E4 B4 F4 D5", "1/2")),
            at=(parse_range("42.1-42.2"),),
            steps=(1,),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {G} "I" [42] F4 1, - 1 | D5 2 || ¶ "II" - 1, F4 1/2, D5 1/2 |
        - 1, F4 1/2, D5 1/2 |]
        """
    )


def test_three_voices() -> None:
    """Each alone, then two and two, then all; what is held is held over the bar line."""
    assert paper(made(voices.FAMILY, THREE_VOICES)) == lines(
        """
        voice-1, 60–120 of 1: 4/4 {G} [41] E5:4 1, F5:5 1, G5:5 1, E5:5 1 | [42] D5:5 4 |
        voice-2, 60–120 of 1: 4/4 v2: {G} [41] C5:2 2, B4:2 2 | v2: [42] A4:2 2, - 2 |
        voice-3, 60–120 of 1: 4/4 v3: {G} [41] G4:1~ 4 | v3: [42] ~G4 2, F4:1 2 |
        voices-1-2, 60–120 of 1: 4/4 {G} [41] E5:4 1, F5:5 1, G5:5 1, E5:5 1 // v2: C5:2 2, B4:2
        2 | [42] D5:5 4 // v2: A4:2 2, - 2 |
        voices-1-3, 60–120 of 1: 4/4 {G} [41] E5:4 1, F5:5 1, G5:5 1, E5:5 1 // v3: G4:1~ 4 |
        [42] D5:5 4 // v3: ~G4 2, F4:1 2 |
        voices-2-3, 60–120 of 1: 4/4 v2: {G} [41] C5:2 2, B4:2 2 // v3: G4:1~ 4 | v2: [42] A4:2
        2, - 2 // v3: ~G4 2, F4:1 2 |
        hand, 60–120 of 1: 4/4 {G} [41] E5:4 1, F5:5 1, G5:5 1, E5:5 1 // v2: C5:2 2, B4:2 2 //
        v3: G4:1~ 4 | [42] D5:5 4 // v2: A4:2 2, - 2 // v3: ~G4 2, F4:1 2 |
        """
    )


def test_a_voice_that_the_first_bar_does_not_have() -> None:
    """A rest of the whole bar there; a hidden rest is shown where the voice stands alone, and the
    measure is numbered at its first note."""
    assert paper(made(voices.FAMILY, SECOND_VOICE_LATER)) == lines(
        """
        voice-1, 60–120 of 1: 4/4 {G} [41] E5 1, F5 1, G5 1, E5 1 | [42] D5 2, C5 2 |
        voice-2, 60–120 of 1: 4/4 v2: {G} [41] -- 4 | v2: - 1, [42] A4 1, G4 2 |
        hand, 60–120 of 1: 4/4 {G} [41] E5 1, F5 1, G5 1, E5 1 | [42] D5 2, C5 2 // v2: . 1, A4
        1, G4 2 |
        """
    )


def test_one_hand_of_a_voice_that_both_share() -> None:
    """The other's notes become rests, hidden where a voice of the hand counts the bar."""
    assert paper(made(hands_apart.FAMILY, SHARED_VOICES)) == lines(
        """
        right, 60–120 of 1: 4/4 {G} [41] E5 1, F5 1, - 1, - 1 | [42] D5 4 // v5: A3 1, . 1, . 2
        |
        left, 60–120 of 1: 4/4 v1: {F} . 1, . 1, G4 1, E4 1 // [41] C3 2, . 2 | - 1, [42] B2 1,
        C3 2 |
        """
    )
    assert paper(made(as_written.FAMILY, SHARED_VOICES)) == lines(
        """
        whole, 60–120 of 1: 4/4 {G} [41] E5 1, F5 1, G4 1, E4 1 // {F} C3 2, - 2 | [42] D5 4 //
        A3 1, B2 1, C3 2 |
        """
    )
    assert paper(made(other_hand.FAMILY, SHARED_VOICES)) == lines(
        """
        in-time.left, 60–120 of 1: 4/4 v1: {F} [41] E4:3 1, F4:1 1, - 1, - 1 | v1: [42] D4:1 4
        // A2:5 1, . 1, . 2 |
        in-time.right, 60–120 of 1: 4/4 {G} . 1, . 1, G5:5 1, E5:3 1 // v5: [41] C4:1 2, . 2 |
        v5: - 1, [42] B3:1 1, C4:3 2 |
        """
    )


def test_one_hand_under_a_voice_of_its_own() -> None:
    """The second voice counts on under the first: its rest is hidden. Grace notes stay."""
    assert paper(
        made(
            hands_apart.FAMILY,
            written(Meter(4, 4), ("1.1: E5 4", "1.2: C5 1, L A4 1, G4 2", "2.5: C3 4")),
        )
    ) == lines(
        """
        right, 60–120 of 1: 4/4 {G} [41] E5 4 // v2: C5 1, . 1, G4 2 |
        left, 60–120 of 1: 4/4 v2: {F} . 1, A4 1, . 2 // [41] C3 4 |
        """
    )
    assert paper(
        made(
            hands_apart.FAMILY,
            written(Meter(4, 4), ("1.1: *D5 0, E5 1, L *A3 0, L B3 1, C5 2", "2.5: C3 4")),
        )
    ) == lines(
        """
        right, 60–120 of 1: 4/4 {G} [41] *D5 0, E5 1, - 1, C5 2 |
        left, 60–120 of 1: 4/4 v1: {F} . 1, *A3 0, B3 1, . 2 // [41] C3 4 |
        """
    )


def test_one_hand_over_two_staves() -> None:
    """Its notes stand on its own staff; where one voice sounds the other's rests are hidden."""
    assert paper(
        made(
            hands_apart.FAMILY,
            written(
                Meter(4, 4),
                ("1.1: E5 1, - 1, D5 2", "2.5: - 1, R A3 1, R - 2"),
                hands=(Hand.RIGHT,),
            ),
        )
    ) == lines(
        """
        right, 60–120 of 1: 4/4 {G} [41] E5 1, . 1, D5 2 // v5: . 1, A3 1, . 2 |
        """
    )


@pytest.mark.parametrize(
    ("low", "high", "staves"),
    [
        ("A2", "F5", (1,)),  # five ledger lines in the treble clef
        ("G2", "E5", (1,)),  # five in the bass clef
        ("G2", "F5", (1, 2)),  # six in either
        ("C7", "C8", (1,)),  # five under an octave line
        ("C7", "D8", (1, 2)),
        ("E5", "C8", (1,)),  # an octave lower its low note stands on the lowest line
        ("D5", "C8", (1, 2)),
    ],
)
def test_what_can_be_read_on_one_staff(low: str, high: str, staves: tuple[int, ...]) -> None:
    """A chord of no more than five ledger lines in the better clef (a judgement, no source)."""
    bar = (f"1.1: {high} 4", f"2.5: R {low} 2, R C4 2")
    (drill,) = made(hands_apart.FAMILY, written(Meter(4, 4), bar, hands=(Hand.RIGHT,)))
    assert drill.sheet.staves == staves


def test_dots_and_accents_leave_grace_notes_and_held_notes_alone() -> None:
    assert paper(
        made(
            staccato.FAMILY,
            written(
                Meter(4, 4),
                ("1.1: *D5 0, E5 1, F5 1, C5~ 2", "2.5: C3 4"),
                ("1.1: ~C5 4", "2.5: C3 4"),
                hands=(Hand.RIGHT,),
            ),
        )
    ) == lines(
        """
        in-time, 60–120 of 1: 4/4 {G} [41] *D5 0, E5' 1, F5' 1, C5~ 2 | [42] ~C5 4 |
        """
    )
    assert paper(
        made(
            accents.FAMILY,
            written(
                Meter(2, 4),
                ("1.1: *D5 0, E5 1/4, F5 1/4, G5 1/4, A5 1/4, B5 1/4, A5 1/4, G5 1/4, F5 1/4",),
                ("1.1: C5 2",),
                hands=(Hand.RIGHT,),
            ),
            variants=("accent-1", "accent-4"),
        )
    ) == lines(
        """
        accent-1, 60–120 of 1: 2/4 {G} [41] *D5 0, E5> 1/4, F5 1/4, G5 1/4, A5 1/4, B5> 1/4, A5
        1/4, G5 1/4, F5 1/4 | [42] C5 2 |
        accent-4, 60–120 of 1: 2/4 {G} [41] *D5 0, E5 1/4, F5 1/4, G5 1/4, A5> 1/4, B5 1/4, A5
        1/4, G5 1/4, F5> 1/4 | [42] C5 2 |
        """
    )


@pytest.mark.parametrize(
    ("family", "source", "said", "left_out"),
    [
        (rhythms, LANDED, ["rhythms.speed"], []),
        (rhythms, IN_THREES, ["rhythms.speed", "rhythms.cycle count=6"], []),
        (rhythms, CROSSING, ["rhythms.speed"], ["left-out.around-the-runs count=1"]),
        (
            *(leaps, passage(even("C4 C6 D4 E4 F4 G4", "1/2"))),
            *(["leaps.rounds", "leaps.once"], ["left-out.outside-the-leaps count=3"]),
        ),
        (
            *(leaps, passage(left=MARCH, hands=(Hand.LEFT,))),
            *(["leaps.rounds", "leaps.once", "leaps.worst count=2"], []),
        ),
        (
            blocks,
            ARPEGGIO,
            [
                "blocks.step-1",
                "blocks.moves moves=[blocks.up count=7 interval=survey.finding.interval.8]",
                "blocks.as-often",
            ],
            [],
        ),
        (
            blocks,
            ALBERTI,
            [
                "blocks.step-1",
                "blocks.moves moves=[blocks.up count=3 interval=survey.finding.interval.4]",
            ],
            [],
        ),
        (other_hand, LANDED, ["other-hand.moved-down count=2 hand=left"], []),
        (other_hand, LEFT_HAND, ["other-hand.moved-up count=1 hand=right"], []),
        (voices, THREE_VOICES, ["voices.how"], []),
        (bursts, LANDED, [], []),
        (
            *(hands_apart, written(Meter(4, 4), ("1.1: *D5 0, E5 4",), hands=(Hand.RIGHT,))),
            *([], []),
        ),
    ],
)
def test_what_is_said_beside_the_first_drill(
    family: ModuleType, source: Passage, said: list[str], left_out: list[str]
) -> None:
    first, *_ = made(family.FAMILY, source)
    assert (told(first.remarks), told(first.left_out)) == (said, left_out)


def test_blocks_at_another_beat() -> None:
    """A bar a position at half = 60 is 120 quarters a minute: as at quarter = 120."""
    assert paper(
        made(blocks.FAMILY, replace(ALBERTI, goal=Goal(Fraction(2), Fraction(60))), steps=(1,))
    ) == lines(
        """
        step-1, 40–80 of 1/2: 4/4 {F} [41] C3:5+E3:3+G3:1 1, [42] F3:5+A3:3+C4:1 3 |]
        """
    )
    assert paper(
        made(blocks.FAMILY, replace(ARPEGGIO, goal=Goal(Fraction(1, 2), Fraction(240))))
    ) == lines(
        """
        step-1, 80–160 of 1: 2/4 {G} [41] C4:1+E4:2+G4:3 1, C5:1+E5:2+G5:3+C6:5 1 |]
        step-2, 60–120 of 1: (2/4) {G} [41] C4:1+E4:2+G4:3 1, C4:1 1/4, E4:2 1/4, G4:3 1/2 |
        (3/4) C5:1+E5:2+G5:3+C6:5 1, C5:1 1/4, E5:2 1/4, G5:3 1/4, C6:5~ 1/4, ~C6 1 |]
        """
    )


@pytest.mark.parametrize(
    ("family", "worths"),
    [
        (hands_apart, [0, 0]),
        (staccato, [0]),
        (chain, [0]),
        (other_hand, [0, 0]),
        (accents, [0, 1, 2, 3]),
        (bursts, [0, 1]),
        (rhythms, [0, 0, 1, 1, 2]),
    ],
)
def test_what_stays_longest_where_there_is_no_room(family: ModuleType, worths: list[int]) -> None:
    """0 stays; a pattern and its opposite go together."""
    assert [drill.worth for drill in made(family.FAMILY, TWO_HANDS)] == worths


def test_what_stays_longest_of_steps() -> None:
    """Of leaps the little finger's note, the thumb's, the whole chord, both outer notes."""
    march = passage(left=MARCH, hands=(Hand.LEFT,))
    assert [drill.worth for drill in made(leaps.FAMILY, march)] == [0, 1, 3, 2]
    assert [drill.worth for drill in made(blocks.FAMILY, ARPEGGIO)] == [0, 1]
    assert [drill.worth for drill in made(voices.FAMILY, THREE_VOICES)] == [0, 0, 0, 1, 1, 1, 2]


@pytest.mark.parametrize(
    ("notes", "hint"),
    [
        (
            even("C4 F4 C4 F4", "1"),
            "; or name the beat of its widest move: {leaps: {at: [41.2]}}",
        ),
        (even("C4 E4 C4 E4", "1"), ""),  # a third is not worth naming
        ([("C4", "2"), ("C4", "2")], ""),
    ],
)
def test_where_nothing_leaps_the_widest_move_is_named(notes: Notes, hint: str) -> None:
    with pytest.raises(EngraveError) as caught:
        made(leaps.FAMILY, passage(notes))
    assert (
        caught.value.hint == f"drop leaps from this passage's drills, or widen its measures{hint}"
    )


@pytest.mark.parametrize(
    ("notes", "hint"),
    [
        (
            even("C4 D4 " * 5, "1"),
            "41.2, 42.1, 42.2, 43.1, 43.2, 44.1, 44.2, 45.1, …",  # eight of nine
        ),
        (even("C4 D4 " * 4 + "C4", "1"), "41.2, 42.1, 42.2, 43.1, 43.2, 44.1, 44.2, 45.1"),
        (even("C4 C6 D6 E6 D6 E6 D4", "1"), "41.2, 44.1"),  # where it leaps, no other moves
    ],
)
def test_a_place_where_nobody_lands_is_answered_with_those_there_are(
    notes: Notes, hint: str
) -> None:
    with pytest.raises(Mistakes) as caught:
        made(leaps.FAMILY, passage(notes), at=(parse_range("60"),))
    (error,) = caught.value.errors
    assert error.message == "leaps: no marked hand moves to another key at 60"
    assert error.hint == f"name the beat on which the hand lands; here it does at {hint}"


def test_what_lies_between_leaps() -> None:
    """Three single notes are no accompaniment that joins them; chords are, however many."""
    assert paper(
        made(leaps.FAMILY, passage(even("C4 C6 B5 A5 G5 F5 E6 F4", "1/2")), steps=(1,))
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {G} "I" [41] C4 1, - 1 | "!" C6 1, - 1 | [42] F5 1, - 1 | E6 1,
        - 1 | "!" F4 2 || ¶ "II" [41] C4 1/2, C6 1/2, - 1 | - 1/2, [42] F5 1/2, E6 1/2, F4 1/2
        |]
        """
    )
    assert paper(
        made(
            leaps.FAMILY,
            passage(
                left=[
                    *even("C2", "1/2"),
                    *[(chord, "1/2") for chord in ("E3 G3", "E3 G3", "F3 A3", "G3 B3", "E3 G3")],
                    ("C2", "1"),
                ],
                hands=(Hand.LEFT,),
            ),
            steps=(1,),
        )
    ) == lines(
        """
        step-1, 60–120 of 1: 2/4 {F} "I" [41] C2 1, - 1 | E3 1, - 1 | [42] C2 2 || ¶ "II" [41]
        C2 1/2, E3 1/2, E3 1/2, F3 1/2 | [42] G3 1/2, E3 1/2, C2 1 |]
        """
    )


def test_waits_are_counted_in_the_first_bars_meter() -> None:
    """Where the meter changes, the second round has the passage's own bars."""
    source = passage(left=WALTZ[:6], meter=Meter(3, 4), hands=(Hand.LEFT,))
    first, second = source.sheet.bars
    bars = (first, replace(second, meter=Meter(6, 8)))
    (drill,) = made(
        leaps.FAMILY, replace(source, sheet=replace(source.sheet, bars=bars)), steps=(1,)
    )
    assert [str(bar.meter) for bar in drill.sheet.bars] == ["3/4"] * 4 + ["3/4", "6/8"]


def test_a_ladder_of_the_drills_own() -> None:
    """Where the options name goal, start and step; else those of the passage."""
    (drill,) = made(chain.FAMILY, LANDED, goal=Fraction(76), start=Fraction(66), step=1)
    assert drill.ladder.marks == (66, 69, 72, 76)
    (drill,) = made(chain.FAMILY, LANDED, start=Fraction(96))
    assert drill.ladder.marks == (96, 104, 112, 120)
    reached = replace(LANDED, goal=replace(LANDED.goal, reached=Fraction(88)))
    (drill,) = made(chain.FAMILY, reached)
    assert drill.ladder.reached is None
    assert made(as_written.FAMILY, reached)[0].ladder.reached == 88


def test_a_figure_that_does_not_come_round_is_unfolded_as_it_stands() -> None:
    """C E G C E is no figure that is played twice; C E C E is, and stands once."""
    once = fingered(
        passage([*even("C4 E4 G4 C4 E4", "1/4"), ("A5", "3/4")]), Hand.RIGHT, "1 2 3 1 2 5"
    )
    assert paper(made(blocks.FAMILY, once, steps=(2,))) == lines(
        """
        step-2, 60–120 of 1: (3/4) {G} [41] C4:1+E4:2+G4:3 1, C4:1 1/4, E4:2 1/4, G4:3 1/4, C4:1
        1/4, E4:2 1 | (2/4) A5:5 2 |]
        """
    )
    twice = fingered(passage([*even("C4 E4 C4 E4", "1/4"), ("A5", "1")]), Hand.RIGHT, "1 2 1 2 5")
    assert paper(made(blocks.FAMILY, twice, steps=(2,))) == lines(
        """
        step-2, 60–120 of 1: (2/4) {G} [41] C4:1+E4:2 1, C4:1 1/4, E4:2 3/4 | A5:5 2 |]
        """
    )


def test_a_hand_that_strikes_chords_is_left_to_itself_beside_one_that_breaks_them() -> None:
    chords = [("C3 E3 G3", "1"), ("G2 B2 D3", "1"), ("C3 E3 G3", "2")]
    source = passage([*even("C4 E4 G4 C5 E5 G5", "1/4"), ("C6", "5/2")], chords, hands=BOTH)
    source = fingered(fingered(source, Hand.RIGHT, "1 2 3 1 2 3 5"), Hand.LEFT, "5-3-1 5-3-1 5-3-1")
    assert [drill.suffix for drill in made(blocks.FAMILY, source)] == ["right", "right"]
    alone = replace(source, hands=(Hand.LEFT,))
    assert [drill.variant for drill in made(blocks.FAMILY, alone)] == ["step-1"]
