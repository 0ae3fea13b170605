"""What every family writes, to the note, as a teacher would write it under the passage.

Each text was worked out from the rules named above it; ``paper`` says how to read it.
"""

from fractions import Fraction
from typing import Any

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
)
from engrave.drills.family import Family
from engrave.drills.patterns import PATTERNS
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.sheet import Key, Meter
from engrave.music.tempo import Goal
from engrave.passage.model import Passage
from tests.drills.builders import even, passage
from tests.drills.fingers import fingered
from tests.drills.paper import lines, paper

BOTH = (Hand.RIGHT, Hand.LEFT)
RUN = even("G4 A4 B4 C5 D5 E5 F#5 G5", "1/4")
LANDED = passage([*RUN, ("A5", "2")])
TWO_HANDS = passage([*RUN, ("A5", "2")], [("G3", "1"), ("B3 D4", "1"), ("A3", "2")], hands=BOTH)
OFF_BEAT = passage([("rest", "1/4"), *RUN[1:], ("A5", "2")])
DOWN = even("B5 A5 G5 F#5 E5 D5 C5 B4", "1/4")
DOTTED = Goal(Fraction(3, 2), Fraction(80))
IN_THREES = passage(
    [*even("G4 A4 B4 C5 D5 E5", "1/2"), ("F5", "3")], meter=Meter(6, 8), goal=DOTTED
)
MARCH = [("C2", "1/2"), ("E3 G3 C4", "1/2"), ("G1", "1/2"), ("E3 G3 C4", "1/2"), ("C2", "2")]
ON_BARS = [("C2", "1"), ("E3 G3 C4", "1"), ("E3 G3 C4", "1")]


BETWEEN = [("A5", "1/2"), ("E5 G5", "1/2"), ("F#5", "1")]
CROSSING = passage(
    [("rest", "1"), *even("C4 E4 G4 C5", "1/4"), ("E5", "2"), ("D5", "2")],
    [*even("C3 E3 G3 B3", "1/4"), ("rest", "1"), ("C3", "2"), ("B2", "2")],
    hands=BOTH,
)
FOUR_BEATS = passage(
    even("G4 A4 B4 C5 D5 E5 F#5 G5 A5 G5 F#5 E5 D5 C5 B4 A4", "1/4"),
    [("G3", "1"), ("B3 D4", "2"), ("A3", "1")],
    hands=BOTH,
)
WALTZ = [*ON_BARS, ("G1", "1"), ("F3 G3 B3", "1"), ("F3 G3 B3", "1"), *ON_BARS]
ARPEGGIO = fingered(
    passage([*even("C4 E4 G4 C5 E5 G5", "1/4"), ("C6", "1/2")]), Hand.RIGHT, "1 2 3 1 2 3 5"
)
ALBERTI = fingered(
    passage(
        left=even("C3 G3 E3 G3 C3 G3 E3 G3 F3 C4 A3 C4 F3 C4 A3 C4", "1/2"),
        meter=Meter(4, 4),
        hands=(Hand.LEFT,),
    ),
    Hand.LEFT,
    "5 1 3 1 " * 4,
)


def meeting(right: str, each: str, left: str, other: str) -> Passage:
    """Two beats of one rhythm against another, and a half note."""
    upper = [*even(f"{right} {right}", each), ("C5", "2")]
    lower = [*even(f"{left} {left}", other), ("C3", "2")]
    return passage(upper, lower, hands=BOTH)


def made(family: Family[Any], source: Passage, **options: Any) -> tuple[Drill, ...]:
    return family.make(source, family.options(**options)).drills


def test_rhythms_of_a_run_that_begins_on_the_beat() -> None:
    """Landings that begin a group or take a long place are held to the bar's end; else what is
    left of a group fills a beat in equal values. The last mark is as fast as the run at 120."""
    assert paper(made(rhythms.FAMILY, LANDED, variants=tuple(PATTERNS))) == lines(
        """
        long-short, 60–120 of 1: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 | D5 3/4, E5 1/4,
        F#5 3/4, G5 1/4 | [42] A5 2 |]
        short-long, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 | D5 1/4, E5 3/4,
        F#5 1/4, G5 3/4 | [42] A5 2 |]
        short-short-long, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/2, C5 1/4, D5 1/4, E5
        1/2 | F#5 1/4, G5 1/4, [42] A5~ 1/2, ~A5 1 |]
        long-short-short, 60–120 of 1: 2/4 {G} [41] G4 1/2, A4 1/4, B4 1/4, C5 1/2, D5 1/4, E5
        1/4 | F#5 1/2, G5 1/2, [42] A5 1 |]
        short-long-short, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/2, B4 1/4, C5 1/4, D5 1/2, E5
        1/4 | F#5 1/2, G5 1/2, [42] A5 1 |]
        in-threes, 80–160 of 1: 2/4 {G} [41] G4> 1/3, A4 1/3, B4 1/3, C5> 1/3, D5 1/3, E5 1/3 |
        F#5 1/2, G5 1/2, [42] A5> 1 |]
        in-fours-1, 40–80 of 3/2: 6/8 {G} [41] G4> 3/4, A4 1/4, B4 1/4, C5 1/4, D5> 3/4, E5 1/4,
        F#5 1/4, G5 1/4 | [42] A5> 3 |]
        in-fours-4, 40–80 of 3/2: 6/8 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5> 3/4, D5 1/4, E5 1/4,
        F#5 1/4, G5> 3/4 | [42] A5> 3 |]
        in-fours-2, 40–80 of 3/2: 6/8 {G} [41] G4 1/4, A4> 3/4, B4 1/4, C5 1/4, D5 1/4, E5> 3/4,
        F#5 1/4, G5 1/4 | [42] A5> 3 |]
        in-fours-3, 40–80 of 3/2: 6/8 {G} [41] G4 1/4, A4 1/4, B4> 3/4, C5 1/4, D5 1/4, E5 1/4,
        F#5> 3/4, G5 1/4 | [42] A5> 3 |]
        """
    )


def test_rhythms_of_a_run_that_begins_off_the_beat() -> None:
    """The pattern's phase is that of the beat: the drill begins with the pattern's tail."""
    assert paper(
        made(rhythms.FAMILY, OFF_BEAT, variants=("long-short", "short-short-long", "in-threes"))
    ) == lines(
        """
        long-short, 60–120 of 1: 2/4 [1/4] (uncounted) {G} [41] A4 1/4 | B4 3/4, C5 1/4, D5 3/4,
        E5 1/4 | F#5 3/4, G5 1/4, [42] A5 1 |]
        short-long, 60–120 of 1: 2/4 [3/4] (uncounted) {G} [41] A4 3/4 | B4 1/4, C5 3/4, D5 1/4,
        E5 3/4 | F#5 1/4, G5 3/4, [42] A5 1 |]
        short-short-long, 60–120 of 1: 2/4 [3/4] (uncounted) {G} [41] A4 1/4, B4 1/2 | C5 1/4,
        D5 1/4, E5 1/2, F#5 1/4, G5 1/4, [42] A5 1/2 |]
        long-short-short, 60–120 of 1: 2/4 [1/2] (uncounted) {G} [41] A4 1/4, B4 1/4 | C5 1/2,
        D5 1/4, E5 1/4, F#5 1/2, G5 1/2 | [42] A5 2 |]
        in-threes, 80–160 of 1: 2/4 [2/3] (uncounted) {G} [41] A4 1/3, B4 1/3 | C5> 1/3, D5 1/3,
        E5 1/3, F#5 1/2, G5 1/2 | [42] A5> 2 |]
        """
    )


def test_rhythms_of_a_run_before_a_rest() -> None:
    """It lands on its own last note; the one left over before it fills a beat."""
    assert paper(
        made(rhythms.FAMILY, passage([*RUN, ("rest", "2")]), variants=("long-short", "in-threes"))
    ) == lines(
        """
        long-short, 60–120 of 1: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 | D5 3/4, E5 1/4,
        F#5 1 | G5 2 |]
        short-long, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 | D5 1/4, E5 3/4,
        F#5 1/4, G5 3/4 |]
        in-threes, 80–160 of 1: 2/4 {G} [41] G4> 1/3, A4 1/3, B4 1/3, C5> 1/3, D5 1/3, E5 1/3 |
        F#5 1, G5> 1 |]
        """
    )


def test_rhythms_of_two_runs() -> None:
    """What lies between them stands as it was written; the landing waits for the next bar."""
    assert paper(
        made(
            rhythms.FAMILY, passage([*RUN, *BETWEEN, *DOWN, ("A4", "2")]), variants=("long-short",)
        )
    ) == lines(
        """
        long-short, 60–120 of 1: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 | D5 3/4, E5 1/4,
        F#5 3/4, G5 1/4 | [42] A5~ 2 | ~A5 1/2, E5+G5 1/2, F#5 1 | [43] B5 3/4, A5 1/4, G5 3/4,
        F#5 1/4 | E5 3/4, D5 1/4, C5 3/4, B4 1/4 | [44] A4 2 |]
        short-long, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 | D5 1/4, E5 3/4,
        F#5 1/4, G5 3/4 | [42] A5~ 2 | ~A5 1/2, E5+G5 1/2, F#5 1 | [43] B5 1/4, A5 3/4, G5 1/4,
        F#5 3/4 | E5 1/4, D5 3/4, C5 1/4, B4 3/4 | [44] A4 2 |]
        """
    )


def test_the_second_run_keeps_its_own_phase() -> None:
    """It begins on the second sixteenth: thirds and sixteenths never share a beat."""
    assert paper(
        made(
            rhythms.FAMILY,
            passage([*RUN, ("A5", "1"), ("E5", "1"), ("rest", "1/4"), *DOWN[:7], ("A4", "2")]),
            variants=("long-short", "in-threes", "in-fours-1"),
        )
    ) == lines(
        """
        long-short, 60–120 of 1: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 | D5 3/4, E5 1/4,
        F#5 3/4, G5 1/4 | [42] A5~ 2 | ~A5 1/2, E5 1, - 1/4, [43] B5 1/4 | A5 3/4, G5 1/4, F#5
        3/4, E5 1/4 | D5 3/4, C5 1/4, [44] A4 1 |]
        short-long, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 | D5 1/4, E5 3/4,
        F#5 1/4, G5 3/4 | [42] A5 2 | E5 1, - 1/4, [43] B5 3/4 | A5 1/4, G5 3/4, F#5 1/4, E5 3/4
        | D5 1/4, C5 3/4, [44] A4 1 |]
        in-threes, 80–160 of 1: 2/4 {G} [41] G4> 1/3, A4 1/3, B4 1/3, C5> 1/3, D5 1/3, E5 1/3 |
        F#5 1/2, G5 1/2, [42] A5> 1 | E5 1, - 1 | - 1/3, [43] B5 1/3, A5 1/3, G5> 1/3, F#5 1/3,
        E5 1/3 | D5 1/2, C5 1/2, [44] A4> 1 |]
        in-fours-1, 40–80 of 3/2: 6/8 {G} [41] G4> 3/4, A4 1/4, B4 1/4, C5 1/4, D5> 3/4, E5 1/4,
        F#5 1/4, G5 1/4 | [42] A5~> 3 | ~A5 1, E5~ 1/2, ~E5 1/2, - 1/4, [43] B5 1/4, A5 1/4, G5
        1/4 | F#5> 3/4, E5 1/4, D5 1/4, C5 1/4, [44] A4> 3/2 |]
        in-fours-4, 40–80 of 3/2: 6/8 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5> 3/4, D5 1/4, E5 1/4,
        F#5 1/4, G5> 3/4 | [42] A5~> 3 | ~A5 1/2, E5 1, - 1/4, [43] B5 1/4, A5 1/4, G5> 3/4 |
        F#5 1/4, E5 1/4, D5 1/4, C5> 3/4, [44] A4> 3/2 |]
        """
    )


def test_rhythms_of_a_run_that_passes_between_the_hands() -> None:
    assert paper(made(rhythms.FAMILY, CROSSING, variants=("long-short", "in-threes"))) == lines(
        """
        long-short, 60–120 of 1: 2/4 {F} [41] C3 3/4, E3 1/4, G3 3/4, B3 1/4 // -- 2 | C4 3/4,
        E4 1/4, G4 3/4, C5 1/4 // -- 2 | [42] E5 2 // C3 2 |]
        short-long, 60–120 of 1: 2/4 {F} [41] C3 1/4, E3 3/4, G3 1/4, B3 3/4 // -- 2 | C4 1/4,
        E4 3/4, G4 1/4, C5 3/4 // -- 2 | [42] E5 2 // C3 2 |]
        in-threes, 80–160 of 1: 2/4 {G} C4 1/3, E4 1/3 // {F} [41] C3> 1/3, E3 1/3, G3 1/3, B3>
        1/3 // -- 2 | G4 1/2, C5 1/2, [42] E5> 1 // - 1, C3 1 |]
        """
    )


def test_rhythms_of_both_hands_together() -> None:
    """The other hand follows the same map of time: in threes its second note falls on the fifth."""
    assert paper(
        made(rhythms.FAMILY, TWO_HANDS, variants=("long-short", "in-threes"), together=True)
    ) == lines(
        """
        long-short.right, 60–120 of 1: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 // {F} G3 2 |
        D5 3/4, E5 1/4, F#5 3/4, G5 1/4 // B3+D4 2 | [42] A5 2 // A3 2 |]
        short-long.right, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 // {F} G3 2 |
        D5 1/4, E5 3/4, F#5 1/4, G5 3/4 // B3+D4 2 | [42] A5 2 // A3 2 |]
        in-threes.right, 80–160 of 1: 2/4 {G} [41] G4> 1/3, A4 1/3, B4 1/3, C5> 1/3, D5 1/3, E5
        1/3 // {F} G3~ 1, ~G3 1/3, B3~+D4~ 2/3 | F#5 1/2, G5 1/2, [42] A5> 1 // ~B3+~D4 1, A3 1
        |]
        """
    )


def test_rhythms_of_a_run_in_threes() -> None:
    assert paper(made(rhythms.FAMILY, IN_THREES)) == lines(
        """
        long-short, 60–120 of 1/2: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 | D5 3/4, E5 1/4,
        [42] F5 1 |]
        short-long, 60–120 of 1/2: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 | D5 1/4, E5 3/4,
        [42] F5 1 |]
        short-short-long, 60–120 of 1/2: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/2, C5 1/4, D5 1/4, E5
        1/2 | [42] F5 2 |]
        long-short-short, 60–120 of 1/2: 2/4 {G} [41] G4 1/2, A4 1/4, B4 1/4, C5 1/2, D5 1/4, E5
        1/4 | [42] F5 2 |]
        in-fours-1, 60–120 of 1/2: 6/8 {G} [41] G4> 3/4, A4 1/4, B4 1/4, C5 1/4, D5 3/4, E5 3/4
        | [42] F5> 3 |]
        in-fours-4, 60–120 of 1/2: 6/8 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5> 3/4, D5 3/4, E5 3/4
        | [42] F5> 3 |]
        """
    )


def test_rhythms_of_the_teachers_own() -> None:
    assert paper(made(rhythms.FAMILY, LANDED, patterns=((3, 1, 2),))) == lines(
        """
        custom-3-1-2, 40–80 of 3/2: 6/8 {G} [41] G4 3/4, A4 1/4, B4 1/2, C5 3/4, D5 1/4, E5 1/2
        | F#5 3/4, G5 3/4, [42] A5 3/2 |]
        custom-2-1-3, 40–80 of 3/2: 6/8 {G} [41] G4 1/2, A4 1/4, B4 3/4, C5 1/2, D5 1/4, E5 3/4
        | F#5 1/2, G5 1/4, [42] A5~ 3/4, ~A5 3/2 |]
        """
    )


def test_accents() -> None:
    assert paper(made(accents.FAMILY, IN_THREES)) == lines(
        """
        accent-1, 40–80 of 3/2: 6/8 {G} [41] G4> 1/2, A4 1/2, B4 1/2, C5> 1/2, D5 1/2, E5 1/2 |
        [42] F5 3 |
        accent-2, 40–80 of 3/2: 6/8 {G} [41] G4 1/2, A4> 1/2, B4 1/2, C5 1/2, D5> 1/2, E5 1/2 |
        [42] F5 3 |
        accent-3, 40–80 of 3/2: 6/8 {G} [41] G4 1/2, A4 1/2, B4> 1/2, C5 1/2, D5 1/2, E5> 1/2 |
        [42] F5 3 |
        """
    )


def test_bursts() -> None:
    """Each is an upbeat to its stop, which is held until the next: whole bars of two beats."""
    assert paper(made(bursts.FAMILY, OFF_BEAT)) == lines(
        """
        burst-2, 60–120 of 1: 2/4 [1/4] (uncounted) {G} [41] A4 1/4 | B4 3/2, B4 1/4, C5 1/4 |
        D5 3/2, D5 1/4, E5 1/4 | F#5 3/2, F#5 1/4, G5 1/4 | [42] A5 2 |]
        burst-4, 60–120 of 1: 2/4 [3/4] (uncounted) {G} [41] A4 1/4, B4 1/4, C5 1/4 | D5 1, D5
        1/4, E5 1/4, F#5 1/4, G5 1/4 | [42] A5 2 |]
        """
    )
    assert paper(made(bursts.FAMILY, IN_THREES, sizes=(2, 3))) == lines(
        """
        burst-2, 40–80 of 3/2: 6/8 [1] (uncounted) {G} [41] G4 1/2, A4 1/2 | B4~ 3/2, ~B4 1/2,
        B4 1/2, C5 1/2 | D5~ 3/2, ~D5 1/2, D5 1/2, E5 1/2 | [42] F5 3 |]
        burst-3, 40–80 of 3/2: 6/8 [3/2] (uncounted) {G} [41] G4 1/2, A4 1/2, B4 1/2 | C5 3/2,
        C5 1/2, D5 1/2, E5 1/2 | [42] F5 3 |]
        """
    )


def test_bursts_of_two_runs() -> None:
    """The landing waits, and the bursts of the next run follow."""
    assert paper(
        made(
            bursts.FAMILY,
            passage([*RUN, ("A5", "1/2"), ("rest", "3/2"), *DOWN, ("A4", "2")]),
            sizes=(3,),
        )
    ) == lines(
        """
        burst-3, 60–120 of 1: 2/4 [3/4] (uncounted) {G} [41] G4 1/4, A4 1/4, B4 1/4 | C5~ 1, ~C5
        1/4, C5 1/4, D5 1/4, E5 1/4 | F#5 3/2, F#5 1/4, G5 1/4 | [42] A5~ 1, ~A5 1/4, [43] B5
        1/4, A5 1/4, G5 1/4 | F#5~ 1, ~F#5 1/4, F#5 1/4, E5 1/4, D5 1/4 | C5 3/2, C5 1/4, B4 1/4
        | [44] A4 2 |]
        """
    )


def test_chain_by_the_beat() -> None:
    """Each link runs on into the beat that begins the next; what is held over is struck anew."""
    assert paper(made(chain.FAMILY, FOUR_BEATS, by="beat")) == lines(
        """
        by-beat-forward, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5 1 // {F}
        G3 1, B3+D4 1 | D5 1/4, E5 1/4, F#5 1/4, G5 1/4, [42] A5 1 // B3+D4 2 | A5 1/4, G5 1/4,
        F#5 1/4, E5 1/4, D5 1 // [41] B3+D4 1, A3 1 | D5 1/4, C5 1/4, B4 1/4, A4~ 1/4, ~A4 1 //
        A3 2 |]
        """
    )


def test_chain_by_the_measure_both_ways() -> None:
    assert paper(made(chain.FAMILY, FOUR_BEATS, by="measure", direction="both")) == lines(
        """
        by-measure-forward, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5 1/4, E5
        1/4, F#5 1/4, G5 1/4 // {F} G3 1, B3~+D4~ 1 | [42] A5 2 // ~B3+~D4 1, - 1 | A5 1/4, G5
        1/4, F#5 1/4, E5 1/4, D5 1/4, C5 1/4, B4 1/4, A4 1/4 // [41] B3+D4 1, A3 1 |]
        by-measure-backward, 60–120 of 1: 2/4 {G} [42] A5 1/4, G5 1/4, F#5 1/4, E5 1/4, D5 1/4,
        C5 1/4, B4 1/4, A4 1/4 // {F} [41] B3+D4 1, A3 1 | [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4,
        D5 1/4, E5 1/4, F#5 1/4, G5 1/4 // G3 1, B3~+D4~ 1 | [42] A5 2 // ~B3+~D4 1, - 1 |]
        """
    )


def test_chains_that_grow() -> None:
    """1, 1–2, 1–3 from the beginning; from the end the last, the last two, the last three."""
    assert paper(made(chain.FAMILY, FOUR_BEATS, by="beat", grow=True, direction="both")) == lines(
        """
        by-beat-forward-grow, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5 1 //
        {F} G3 1, B3+D4 1 | G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5 1/4, E5 1/4, F#5 1/4, G5 1/4 //
        G3 1, B3~+D4~ 1 | [42] A5 2 // ~B3+~D4 1, - 1 | [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5
        1/4, E5 1/4, F#5 1/4, G5 1/4 // G3 1, B3~+D4~ 1 | [42] A5 1/4, G5 1/4, F#5 1/4, E5 1/4,
        D5 1 // ~B3+~D4 1, A3 1 |]
        by-beat-backward-grow, 60–120 of 1: 2/4 {G} [42] D5 1/4, C5 1/4, B4 1/4, A4~ 1/4, ~A4 1
        // {F} A3 2 | A5 1/4, G5 1/4, F#5 1/4, E5 1/4, D5 1/4, C5 1/4, B4 1/4, A4 1/4 // [41]
        B3+D4 1, A3 1 | [1] (uncounted) [41] D5 1/4, E5 1/4, F#5 1/4, G5 1/4 // B3~+D4~ 1 | [42]
        A5 1/4, G5 1/4, F#5 1/4, E5 1/4, D5 1/4, C5 1/4, B4 1/4, A4 1/4 // ~B3+~D4 1, A3 1 |]
        """
    )


def test_chain_of_a_pickup() -> None:
    """Its one beat is a link of its own; the rest before the first note is counted."""
    assert paper(
        made(
            chain.FAMILY,
            passage(
                [("rest", "1/2"), *even("E4 G4 C5 E5 G5 C6 G5", "1/2")],
                meter=Meter(3, 4),
                pickup=Fraction(1),
            ),
        )
    ) == lines(
        """
        by-beat-forward, 60–120 of 1: 2/4 {G} - 1/2, [41] E4 1/2, [42] G4 1 | G4 1/2, C5 1/2, E5
        1 | E5 1/2, G5 1/2, C6 1 | C6 1/2, G5~ 1/2, ~G5 1 |]
        """
    )


def test_chain_of_dotted_beats() -> None:
    assert paper(
        made(
            chain.FAMILY,
            passage(
                even("C5 D5 E5 F5 G5 A5 B5 C6 B5 A5 G5 F5", "1/2"), meter=Meter(6, 8), goal=DOTTED
            ),
        )
    ) == lines(
        """
        by-beat-forward, 40–80 of 3/2: 6/8 {G} [41] C5 1/2, D5 1/2, E5 1/2, F5 3/2 | F5 1/2, G5
        1/2, A5 1/2, [42] B5 3/2 | B5 1/2, C6 1/2, B5 1/2, A5 3/2 | A5 1/2, G5 1/2, F5~ 1/2, ~F5
        3/2 |]
        """
    )


def test_staccato() -> None:
    assert paper(made(staccato.FAMILY, TWO_HANDS)) == lines(
        """
        in-time, 60–120 of 1: 2/4 {G} [41] G4' 1/4, A4' 1/4, B4' 1/4, C5' 1/4, D5' 1/4, E5' 1/4,
        F#5' 1/4, G5' 1/4 // {F} G3' 1, B3+D4' 1 | [42] A5' 2 // A3' 2 |
        """
    )


def test_hands_apart() -> None:
    assert paper(made(hands_apart.FAMILY, TWO_HANDS)) == lines(
        """
        right, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5 1/4, E5 1/4, F#5
        1/4, G5 1/4 | [42] A5 2 |
        left, 60–120 of 1: 2/4 {F} [41] G3 1, B3+D4 1 | [42] A3 2 |
        """
    )


def test_as_written() -> None:
    """Both hands, whichever is marked."""
    assert paper(
        made(
            as_written.FAMILY,
            passage([*RUN, ("A5", "2")], [("G3", "1"), ("B3 D4", "1"), ("A3", "2")]),
        )
    ) == lines(
        """
        whole, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 1/4, B4 1/4, C5 1/4, D5 1/4, E5 1/4, F#5
        1/4, G5 1/4 // {F} G3 1, B3+D4 1 | [42] A5 2 // A3 2 |
        """
    )


def test_the_other_hand() -> None:
    """Two octaves lower the run lies in the left hand's half, and on the left hand's staff."""
    assert paper(made(other_hand.FAMILY, LANDED)) == lines(
        """
        in-time, 60–120 of 1: 2/4 {F} [41] G2:5 1/4, A2:4 1/4, B2:3 1/4, C3:2 1/4, D3:1 1/4,
        E3:4 1/4, F#3:3 1/4, G3:2 1/4 | [42] A3:1 2 |
        """
    )
    assert paper(
        made(
            other_hand.FAMILY,
            passage(
                left=[*even("C3 D3 E3 F3 G3 A3 B3 C4", "1/4"), ("D4", "2")], hands=(Hand.LEFT,)
            ),
        )
    ) == lines(
        """
        in-time, 60–120 of 1: 2/4 {G} [41] C4:1 1/4, D4:2 1/4, E4:3 1/4, F4:4 1/4, G4:1 1/4,
        A4:2 1/4, B4:3 1/4, C5:4 1/4 | [42] D5:5 2 |
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
    """The second round's bars are full; a single leap is repeated until the line is."""
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
        step-1, 60–120 of 1: 3/4 {F} "I" [41] C2 1, - 1, - 1 | [42] E3 1, - 1, - 1 | C2 3 | [41]
        C2 1, - 1, - 1 | [42] E3 1, - 1, - 1 | C2 3 || ¶ "II" - 2, [41] C2 1 | [42] E3 1, E3 1,
        C2 1 | - 2, [41] C2 1 | [42] E3 1, E3 1, C2 1 |]
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
                passage(even("C4 D4 E4 F4 G4 A4 B4 C5", "1/2"), key=Key(1)),
                Hand.RIGHT,
                "1 2 3 1 2 3 4 5",
            ),
        )
    ) == lines(
        """
        in-time, 60–120 of 1: 2/4 {G} [41] C4:1 3/2, F4:1~ 1/2 | ~F4 2 |]
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


def test_three_against_two() -> None:
    """Tapped on a grid of six, on one key each, then one beat four times, then each beat."""
    assert paper(made(against.FAMILY, meeting("C5 D5 E5", "1/3", "C3 D3", "1/2"))) == lines(
        """
        step-1, 80–160 of 3/4: (6/16) {G} "R" "L" [41] B4 1/2, "R" B4 1/4, "L" B4 1/4, "R" B4
        1/2 | "R" "L" B4 1/2, "R" B4 1/4, "L" B4 1/4, "R" B4 1/2 | "R" "L" B4 1/2, "R" B4 1/4,
        "L" B4 1/4, "R" B4 1/2 | "R" "L" B4 1/2, "R" B4 1/4, "L" B4 1/4, "R" B4 1/2 |]
        step-2, 80–160 of 3/4: (6/16) {G} [41] C5 1/2, C5 1/2, C5 1/2 // {F} C3 3/4, C3 3/4 | C5
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
