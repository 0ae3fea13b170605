"""What families of runs and of whole passages write, to the note, as a teacher would by hand.

Each text was worked out from the rules named above it; ``paper`` says how to read it.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.drills import (
    accents,
    as_written,
    bursts,
    chain,
    hands_apart,
    leaps,
    rhythms,
    staccato,
)
from engrave.drills.patterns import PATTERNS
from engrave.errors import EngraveError
from engrave.music.notes import Hand
from engrave.music.sheet import Direction, Meter
from engrave.music.tempo import Goal
from tests.drills.builders import Notes, even, passage
from tests.drills.paper import lines, paper, told
from tests.drills.sources import (
    BETWEEN,
    BOTH,
    CROSSING,
    DOTTED,
    DOWN,
    FOUR_BEATS,
    IN_THREES,
    LANDED,
    OFF_BEAT,
    RUN,
    TWO_HANDS,
    all_made,
    made,
    signed,
)


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


def test_what_reaches_over_to_a_run_that_keeps_its_phase() -> None:
    """A note before the run is held until the run's own part of its beat."""
    assert paper(
        made(
            rhythms.FAMILY,
            passage([*RUN, ("A5", "1"), ("E5", "5/4"), *DOWN[:7], ("A4", "2")]),
            variants=("in-threes", "long-short"),
        )
    ) == lines(
        """
        in-threes, 80–160 of 1: 2/4 {G} [41] G4> 1/3, A4 1/3, B4 1/3, C5> 1/3, D5 1/3, E5 1/3 |
        F#5 1/2, G5 1/2, [42] A5> 1 | E5~ 2 | ~E5 1/3, [43] B5 1/3, A5 1/3, G5> 1/3, F#5 1/3, E5
        1/3 | D5 1/2, C5 1/2, [44] A4> 1 |]
        long-short, 60–120 of 1: 2/4 {G} [41] G4 3/4, A4 1/4, B4 3/4, C5 1/4 | D5 3/4, E5 1/4,
        F#5 3/4, G5 1/4 | [42] A5~ 2 | ~A5 1/2, E5~ 1/2, ~E5 3/4, [43] B5 1/4 | A5 3/4, G5 1/4,
        F#5 3/4, E5 1/4 | D5 3/4, C5 1/4, [44] A4 1 |]
        short-long, 60–120 of 1: 2/4 {G} [41] G4 1/4, A4 3/4, B4 1/4, C5 3/4 | D5 1/4, E5 3/4,
        F#5 1/4, G5 3/4 | [42] A5 2 | E5~ 1, ~E5 1/4, [43] B5 3/4 | A5 1/4, G5 3/4, F#5 1/4, E5
        3/4 | D5 1/4, C5 3/4, [44] A4 1 |]
        """
    )


def test_rhythms_of_a_run_that_passes_between_the_hands() -> None:
    assert paper(made(rhythms.FAMILY, CROSSING, variants=("long-short", "in-threes"))) == lines(
        """
        long-short, 60–120 of 1: 2/4 v1: {F} [41] C3 3/4, E3 1/4, G3 3/4, B3 1/4 // -- 2 | C4
        3/4, E4 1/4, G4 3/4, C5 1/4 // -- 2 | [42] E5 2 // C3 2 |]
        short-long, 60–120 of 1: 2/4 v1: {F} [41] C3 1/4, E3 3/4, G3 1/4, B3 3/4 // -- 2 | C4
        1/4, E4 3/4, G4 1/4, C5 3/4 // -- 2 | [42] E5 2 // C3 2 |]
        in-threes, 80–160 of 1: 2/4 {G} C4 1/3, E4 1/3 // v1: {F} [41] C3> 1/3, E3 1/3, G3 1/3,
        B3> 1/3 // -- 2 | G4 1/2, C5 1/2, [42] E5> 1 // - 1, C3 1 |]
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


def test_chain_of_a_pickup_of_half_a_beat() -> None:
    """The first link is what there is of the beat, before its arrival on the next one."""
    assert paper(
        made(
            chain.FAMILY,
            passage(
                [*even("G4 A4 B4 C5 D5 E5 F5", "1/2")], meter=Meter(3, 4), pickup=Fraction(1, 2)
            ),
            by="beat",
        )
    ) == lines(
        """
        by-beat-forward, 60–120 of 1: 2/4 {G} - 1/2, [41] G4 1/2, [42] A4 1 | A4 1/2, B4 1/2, C5
        1 | C5 1/2, D5 1/2, E5 1 | E5 1/2, F5~ 1/2, ~F5 1 |]
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


def test_rhythms_keep_the_signs_that_they_can() -> None:
    """Dynamics go with their note; an accent of the score would hide the pattern's. A drill that
    moves the notes apart has no slurs and no hairpins, and says so; words are no sign of a note."""
    drills = made(rhythms.FAMILY, signed(LANDED), variants=("in-threes",))
    assert paper(drills) == lines(
        """
        in-threes, 80–160 of 1: 2/4 {G} "p" [41] G4> 1/3, A4_ 1/3, B4' 1/3, C5> 1/3, "f" D5 1/3,
        E5 1/3 | F#5 1/2, G5 1/2, [42] A5> 1 |]
        """
    )
    assert told(drills[0].left_out) == ["left-out.slurs", "left-out.hairpins"]


def test_signs_of_what_stands_as_it_was_written() -> None:
    assert paper(made(accents.FAMILY, signed(LANDED), variants=("accent-2",))) == lines(
        """
        accent-2, 60–120 of 1: 2/4 {G} "p" [41] G4 1/4, A4> 1/4, B4' 1/4, C5 1/4, "f" "dolce" D5
        1/4, E5> 1/4, F#5 1/4, G5 1/4 | [42] A5 2 |
        """
    )
    (short,) = made(staccato.FAMILY, signed(LANDED))
    assert paper([short]) == lines(
        """
        in-time, 60–120 of 1: 2/4 {G} "p" [41] G4' 1/4, A4>' 1/4, B4' 1/4, C5' 1/4, "f" "dolce"
        D5' 1/4, E5' 1/4, F#5' 1/4, G5' 1/4 | [42] A5' 2 |
        """
    )
    assert told(short.left_out) == []  # no slur: that is what the drill is for
    assert [span.kind for span in short.sheet.spans] == ["crescendo"]


def test_an_accent_that_is_asked_for() -> None:
    asked = all_made(accents.FAMILY, IN_THREES, variants=("accent-3", "accent-4"))
    assert [drill.variant for drill in asked.drills] == ["accent-3"]
    assert told(asked.refused) == ["accents.refused count=3 hand=right"]
    most = all_made(accents.FAMILY, IN_THREES, variants=("accent-3",))
    assert not most.refused
    with pytest.raises(EngraveError) as caught:
        made(accents.FAMILY, IN_THREES, variants=("accent-4",))
    assert caught.value.message.endswith("its groups have 3 notes, and accent-4 asks for another")
    assert caught.value.hint == "ask for accent-1 to accent-3"


def test_bursts_of_the_runs_own_groups() -> None:
    """Two, four, eight; three and six; five and ten."""
    threes = passage(
        even("G4 A4 B4 C5 D5 E5 F5 E5 D5 C5 B4 A4", "1/2"), meter=Meter(6, 8), goal=DOTTED
    )
    fives = passage([*even("G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 B5", "1/5"), ("C6", "8/5")])
    long = passage([*RUN, *DOWN, ("A4", "2")])
    sizes = [
        [drill.variant for drill in made(bursts.FAMILY, source)] for source in (long, threes, fives)
    ]
    assert sizes == [
        ["burst-2", "burst-4", "burst-8"], ["burst-3", "burst-6"], ["burst-5", "burst-10"],
    ]  # fmt: skip
    asked = all_made(bursts.FAMILY, LANDED, sizes=(1, 7, 8))
    assert [drill.variant for drill in asked.drills] == ["burst-7"]
    assert told(asked.refused) == [
        "bursts.refused hand=right longest=8 size=1", "bursts.refused hand=right longest=8 size=8",
    ]  # fmt: skip


@pytest.mark.parametrize(("beats", "by"), [(2, "beat"), (8, "beat"), (9, "measure")])
def test_a_passage_of_eight_beats_is_chained_by_the_beat(beats: int, by: str) -> None:
    """A longer one by the measure (a judgement, no source)."""
    source = passage(even("G4 A4 " * beats, "1/2"), meter=Meter(1, 4))
    assert [drill.variant for drill in made(chain.FAMILY, source)] == [f"by-{by}-forward"]
    assert chain.FAMILY.steps_in(source)


def test_what_is_too_short_for_a_chain() -> None:
    one = passage(even("G4 A4", "1/2"), meter=Meter(1, 4))
    assert not chain.FAMILY.steps_in(one)
    with pytest.raises(EngraveError) as caught:
        made(chain.FAMILY, passage(RUN), by="measure")
    assert caught.value.message.endswith("it is one measure long, and a chain needs two links")
    assert caught.value.hint.startswith("make its links smaller")
    with pytest.raises(EngraveError) as caught:
        made(chain.FAMILY, one, by="measure")
    assert caught.value.hint.startswith("drop chain from this passage's drills")


def test_links_that_strike_nothing_new() -> None:
    """A beat of rest is none, nor the last note, to which the link before it leads already; after
    a rest it is one. What is tied over a bar line is struck anew where its link begins."""
    assert paper(
        made(
            chain.FAMILY,
            passage([*even("G4 A4 B4 C5", "1/2"), ("D5", "1")], meter=Meter(3, 4)),
            by="beat",
        )
    ) == lines(
        """
        by-beat-forward, 60–120 of 1: 2/4 {G} [41] G4 1/2, A4 1/2, B4 1 | B4 1/2, C5 1/2, D5 1
        |]
        """
    )
    assert paper(
        made(
            chain.FAMILY,
            passage(
                [
                    *even("G4 A4", "1/2"),
                    ("rest", "1"),
                    *even("B4 C5", "1/2"),
                    ("rest", "1"),
                    ("D5", "1"),
                ],
                meter=Meter(5, 4),
            ),
            by="beat",
        )
    ) == lines(
        """
        by-beat-forward, 60–120 of 1: 2/4 {G} [41] G4 1/2, A4 1/2, - 1 | B4 1/2, C5 1/2, - 1 |
        D5 2 |]
        """
    )
    assert paper(
        made(
            chain.FAMILY,
            passage(even("G4 A4 B4 C5 D5 E5 F5 G5 A5", "1/2"), pickup=Fraction(1, 2)),
            by="measure",
        )
    ) == lines(
        """
        by-measure-forward, 60–120 of 1: 2/4 {G} - 1/2, [41] G4 1/2, [42] A4 1 | A4 1/2, B4 1/2,
        C5 1/2, D5 1/2 | [43] E5 2 | E5 1/2, F5 1/2, G5 1/2, A5 1/2 |]
        """
    )
    assert paper(
        made(
            chain.FAMILY,
            passage(even("G4 A4 B4 C5 D5 E5 F5 G5 A5", "1/2"), meter=Meter(3, 8)),
            by="measure",
        )
    ) == lines(
        """
        by-measure-forward, 60–120 of 1: 3/8 {G} [41] G4 1/2, A4 1/2, B4 1/2 | [42] C5 3/2 | C5
        1/2, D5 1/2, E5 1/2 | [43] F5 3/2 | F5 1/2, G5 1/2, A5 1/2 |]
        """
    )


UP, ALONG = "G4 A4 B4 C5 D5 E5 F#5 G5", "G2 A2 B2 C3 D3 E3 F#3 G3"


@pytest.mark.parametrize(
    ("right", "left", "hands"),
    [
        ([*even(UP, "1/4"), ("A5", "2")], [*even(ALONG, "1/4"), ("A3", "2")], ["right", "left"]),
        # One of them goes on, or begins alone: they still do not take turns.
        (
            [*even(UP, "1/4"), ("A5", "2")],
            [*even(f"{ALONG} A3 G3 F#3 E3", "1/4"), ("D3", "1")],
            ["right", "left"],
        ),
        (
            [("rest", "1"), *even(UP, "1/4"), ("A5", "1")],
            [*even(f"{ALONG} A3 G3 F#3 E3", "1/4"), ("D3", "1")],
            ["right", "left"],
        ),
        # The left hand lands where the right one begins: that is where it passes.
        (
            [("rest", "1"), *even("C4 E4 G4 C5", "1/4"), ("E5", "2")],
            [*even("C3 E3 G3 B3", "1/4"), ("C4", "3")],
            [None],
        ),
    ],
)
def test_hands_that_go_along_with_each_other_do_not_take_turns(
    right: Notes, left: Notes, hands: list[str | None]
) -> None:
    drills_ = made(rhythms.FAMILY, passage(right, left, hands=BOTH), variants=("in-threes",))
    assert [drill.suffix for drill in drills_] == hands


@pytest.mark.parametrize(
    ("notes", "goal", "share"),
    [
        (8, 120, Fraction(1, 2)),
        (7, 120, None),  # of a run of eight notes or more
        (8, 60, None),  # four a second, and no faster
        (8, 61, Fraction(1, 2)),
    ],
)
def test_long_fast_runs_need_rhythms(notes: int, goal: int, share: Fraction | None) -> None:
    tempo = Goal(Fraction(1), Fraction(goal))
    need = rhythms.FAMILY.need(passage([*RUN[:notes], ("A5", "2")], goal=tempo))
    assert (need and need.share) == share
    if need:
        assert (need.urgency, need.hands) == (3, (Hand.RIGHT,))
        assert told(need.told(need.hands)) == ["why.rhythms count=8 measure=41"]


@pytest.mark.parametrize(
    ("keys", "needed"),
    [
        ("C3 C4", False),  # octaves to and fro
        ("C4 G4", True),  # a trill of five fingers
        ("C3 C4 D3 C4", True),
    ],
)
def test_a_tremolo_of_the_arm_is_no_run_for_rhythms(keys: str, needed: bool) -> None:
    notes = even(" ".join([keys] * (16 // len(keys.split()))), "1/4")
    need = rhythms.FAMILY.need(passage(notes, goal=Goal(Fraction(1), Fraction(120))))
    assert (need is not None) is needed


@pytest.mark.parametrize(("goal", "share"), [(80, Fraction(3, 8)), (79, None)])
def test_leaps_that_have_no_time_to_spare(goal: int, share: Fraction | None) -> None:
    """A second and a half is two quarters at 80: the landings are three of eight beats."""
    source = passage(even("C4 C6 D4 D6", "2"), goal=Goal(Fraction(1), Fraction(goal)))
    need = leaps.FAMILY.need(source)
    assert (need and need.share) == share
    if need:
        assert (need.urgency, need.hands) == (6, (Hand.RIGHT,))
        assert told(need.told(need.hands)) == ["why.leaps count=3 hand=right"]


@pytest.mark.parametrize(
    ("notes", "value", "count"),
    [
        ("C4 C6", "1", 1),  # 3.9 bits in half a second
        ("C4 C6 C6 C6", "1", 1),
        ("C4 C6", "2", None),  # in a whole one
        ("C4 C5", "1", None),  # an octave, from the thumb to the little finger
    ],
)
def test_one_leap_is_a_subject_where_it_is_far_and_quick(
    notes: str, value: str, count: int | None
) -> None:
    need = leaps.FAMILY.need(passage(even(notes, value), goal=Goal(Fraction(1), Fraction(120))))
    assert need is None if count is None else need is not None
    if need:
        assert told(need.told(need.hands)) == [f"why.leaps count={count} hand=right"]


def test_of_two_hands_together_the_quicker_leads() -> None:
    """Eight sixteenths outweigh four eighths, which outweigh none."""
    slower = [*even("G3 A3 B3 C4", "1/2"), ("A3", "2")]
    (first, *_) = made(
        rhythms.FAMILY, passage([*RUN, ("A5", "2")], slower, hands=BOTH), together=True
    )
    assert first.suffix == "right"
    (first, *_) = made(
        rhythms.FAMILY,
        passage([*even("G4 A4 B4 C5", "1/2"), ("A5", "2")], [*RUN, ("A3", "2")], hands=BOTH),
        together=True,
    )
    assert first.suffix == "left"


def test_dynamics_over_a_rest_go_with_the_note_after_it() -> None:
    """As a p before a run that begins off the beat."""
    first, *others = OFF_BEAT.sheet.bars
    signs = (
        Direction(Fraction(0), 1, "dynamic", "p"),
        Direction(Fraction(1, 2), 1, "dynamic", "f"),
    )
    sheet = replace(OFF_BEAT.sheet, bars=(replace(first, directions=signs), *others))
    (drill, *_) = made(rhythms.FAMILY, replace(OFF_BEAT, sheet=sheet), variants=("long-short",))
    dynamics = [
        (start + sign.offset, sign.text)
        for start, bar in zip(drill.sheet.starts, drill.sheet.bars, strict=True)
        for sign in bar.directions
    ]
    struck = [time for time, _, event in drill.sheet.timed() if event.is_struck]
    assert dynamics == [(struck[0], "p"), (struck[1], "f")]
    assert not drill.left_out


def test_dynamics_of_which_one_is_gone_are_left_out() -> None:
    """Of two signs between two notes the second goes with the note, and the first nowhere."""
    first, *others = OFF_BEAT.sheet.bars
    places = (("1/4", "p"), ("9/8", "f"), ("19/16", "mf"))
    signs = tuple(Direction(Fraction(at), 1, "dynamic", text) for at, text in places)
    sheet = replace(OFF_BEAT.sheet, bars=(replace(first, directions=signs), *others))
    (drill, *_) = made(rhythms.FAMILY, replace(OFF_BEAT, sheet=sheet), variants=("long-short",))
    printed = [sign.text for bar in drill.sheet.bars for sign in bar.directions]
    assert printed == ["p", "mf"]
    assert told(drill.left_out) == ["left-out.dynamics"]
