"""Beams show the beats (common practice; marks are MusicXML 4.0's ``beam-value``)."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from engrave.music.sheet import Meter
from engrave.notation.beams import beams, beat_starts
from engrave.notation.tuplets import tuplets_of
from tests.sheets import bar, events

SHORT = {
    "begin": "(",
    "continue": "-",
    "end": ")",
    "forward hook": ">",
    "backward hook": "<",
}


def drawn(words: str, meter: str, phase: Fraction = Fraction(0)) -> str:
    """Every event's beams, level by level; a dot where it has none."""
    made = bar(words, meter=meter)
    found = beams(made, tuplets_of(made), phase)
    return " ".join(
        "".join(SHORT[mark] for mark in found.get(index, ())) or "."
        for index in range(len(made.events))
    )


def run(count: int, value: str) -> str:
    return " ".join([f"C5:{value}"] * count)


@pytest.mark.parametrize(
    ("meter", "words", "expected"),
    [
        ("2/4", run(4, "8"), "( ) ( )"),
        ("2/4", run(8, "16"), "(( -- -- )) (( -- -- ))"),
        ("3/4", run(6, "8"), "( ) ( ) ( )"),
        ("4/4", run(8, "8"), "( ) ( ) ( ) ( )"),
        ("2/2", run(8, "8"), "( - - ) ( - - )"),
        ("6/8", run(6, "8"), "( - ) ( - )"),
        ("6/8", run(12, "16"), "(( -- -- -- -- )) (( -- -- -- -- ))"),
        ("9/8", run(9, "8"), "( - ) ( - ) ( - )"),
        ("3/8", run(3, "8"), "( - )"),
        ("12/16", run(12, "16"), "(( -- )) (( -- )) (( -- )) (( -- ))"),
        ("5/8", run(5, "8"), "( - ) ( )"),
        ("7/8", run(7, "8"), "( ) ( ) ( - )"),
        ("5/4", run(10, "8"), "( ) ( ) ( ) ( ) ( )"),
        ("4/8", run(4, "8"), "( ) ( )"),
        ("5/16", run(5, "16"), "(( -- )) (( ))"),
        ("7/16", run(7, "16"), "(( )) (( )) (( -- ))"),
        ("8/8", run(8, "8"), "( - ) ( - ) ( )"),
        ("11/8", run(11, "8"), "( - ) ( - ) ( - ) ( )"),
        ("13/8", run(13, "8"), "( ) ( ) ( ) ( ) ( ) ( - )"),
        ("3/2", run(12, "8"), "( - - ) ( - - ) ( - - )"),
    ],
)
def test_groups_by_the_meter(meter: str, words: str, expected: str) -> None:
    assert drawn(words, meter) == expected


@pytest.mark.parametrize(
    ("meter", "words", "expected"),
    [
        ("2/4", "C5:8. C5:16 C5:16 C5:8.", "( )< (> )"),
        ("2/4", "C5:16 C5:8 C5:16 C5:4", "(> - )< ."),
        ("6/8", "C5:8. C5:16 C5:8 C5:4.", "( -< ) ."),
        ("6/8", "C5:8 C5:16 C5:8. C5:4.", "( -> ) ."),
        ("2/4", "C5:8 C5:16 C5:16 C5:16 C5:16 C5:8", "( -( )) (( -) )"),
        ("2/4", "C5:8.. C5:32 C5:4", "( )<< ."),
        ("2/4", run(8, "32") + " C5:4", "((( --- --- -)) -(( --- --- ))) ."),
        ("2/2", run(8, "16") + " C5:2", "(( -- -- -) -( -- -- )) ."),
    ],
)
def test_inner_beams_and_hooks(meter: str, words: str, expected: str) -> None:
    """A hook points to the note with which its own fills a larger value."""
    assert drawn(words, meter) == expected


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (run(3, "8t") + " " + run(3, "8t"), "( - ) ( - )"),
        ("C5:8 " + run(3, "16t") + " C5:4", "( -( -- )) ."),
        (run(3, "16t") + " " + run(3, "16t") + " C5:4", "(( -- -) -( -- )) ."),
        (run(6, "16(6/4)") + " C5:4", "(( -- -- -- -- )) ."),
        (run(5, "16(5/4)") + " C5:4", "(( -- -- -- )) ."),
        (run(5, "8(5/4)"), "( - - - )"),
        ("r:8t C5:8t C5:16t C5:16t C5:4", ". ( -( )) ."),
        ("r:16t C5:16t C5:16t C5:8 C5:4", ". (( )) . ."),
        ("C5:8 r:16t C5:16t C5:16t C5:4", ". . (( )) ."),
    ],
)
def test_tuplets_have_inner_beams_of_their_own(words: str, expected: str) -> None:
    assert drawn(words, "2/4") == expected


def test_rests_and_long_notes_break_a_beam() -> None:
    assert drawn("C5:16 r:16 C5:16 C5:16 C5:4", "2/4") == ". . (( )) ."
    assert drawn("C5:8 C5:4 C5:8", "2/4") == ". . ."
    assert drawn("C5:8 r:8 C5:8 C5:8", "2/4") == ". . ( )"


@pytest.mark.parametrize("beat_type", [1, 2, 4, 8, 16, 32])
@pytest.mark.parametrize("beats", range(2, 24))
def test_groups_fill_the_bar_and_leave_no_unit_alone(beats: int, beat_type: int) -> None:
    starts = beat_starts(Meter(beats, beat_type))
    assert starts[0] == 0
    assert starts[-1] == Meter(beats, beat_type).length
    units = [(end - start) * beat_type / 4 for start, end in pairwise(starts)]
    assert all(size.denominator == 1 and size >= (2 if beat_type >= 8 else 1) for size in units)


def test_a_pickup_ends_a_bar() -> None:
    assert drawn("C5:8 C5:8 C5:8", "3/4", Fraction(3, 2)) == ". ( )"
    assert drawn("C5:8 C5:8", "6/8", Fraction(2)) == "( )"


def test_grace_notes_are_beamed_among_themselves() -> None:
    assert drawn("/C5:16 /D5:16 E5:8 /F5:8 G5:8 C5:4", "2/4") == "(( )) ( . ) ."


def test_the_sources_own_beams_are_kept() -> None:
    over = ("begin",), ("continue",), ("continue",), ("end",)
    plain = events(run(4, "8"))
    kept = tuple(replace(e, beams=marks) for e, marks in zip(plain, over, strict=True))
    made = bar(kept, meter="2/4")
    assert beams(made, tuplets_of(made)) == dict(enumerate(over))
