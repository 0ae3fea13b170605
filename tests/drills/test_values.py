"""Exact lengths as printed values: what is printed adds up, and beats can be seen."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.music.sheet import Meter
from engrave.music.values import PrintedValue, UnprintableError, cell, spell
from engrave.words import say

METERS = [
    Meter(2, 4), Meter(3, 4), Meter(4, 4), Meter(2, 2), Meter(3, 2), Meter(6, 8), Meter(3, 8),
    Meter(12, 16), Meter(5, 8), Meter(7, 16),
]  # fmt: skip


def texts(spans: str, meter: Meter = Meter(2, 4), lead: Fraction = Fraction(0)) -> list[str]:
    edges = [Fraction(edge) for edge in spans.split()]
    return [text(piece) for piece in spell(list(pairwise(edges)), meter, lead)]


def text(piece: PrintedValue) -> str:
    tuplet = piece.value.tuplet
    ratio = f" {tuplet.actual}:{tuplet.normal}" if tuplet else ""
    return f"{piece.value.type}{'.' * piece.value.dots}{ratio}"


def test_dotted_values_inside_a_beat() -> None:
    """MusicXML 4.0, element ``dot``: a dotted eighth and a sixteenth fill a quarter."""
    assert texts("0 3/4 1 5/4 2") == ["eighth.", "16th", "16th", "eighth."]


def test_a_note_off_the_beat_is_tied_over_it() -> None:
    assert texts("0 1/4 2") == ["16th", "eighth.", "quarter"]


def test_the_plain_syncopation_is_not_tied() -> None:
    assert texts("0 1/2 3/2 2") == ["eighth", "quarter", "eighth"]


def test_triplets_fill_their_beat() -> None:
    """MusicXML 4.0, ``time-modification``: three eighths in the time of two."""
    assert texts("0 1/3 2/3 1 2") == ["eighth 3:2"] * 3 + ["quarter"]
    assert texts("0 2/3 2") == ["quarter 3:2", "eighth 3:2", "quarter"]


def test_sixths_are_one_sextuplet() -> None:
    assert texts("0 1/6 1/3 1/2 2/3 5/6 1 2") == ["16th 6:4"] * 6 + ["quarter"]


def test_quarters_and_sixths_of_a_beat_are_parted_in_the_middle() -> None:
    assert texts("0 1/4 1/2 2/3 5/6 1 2") == ["16th"] * 2 + ["16th 3:2"] * 3 + ["quarter"]


def test_compound_beats_are_dotted() -> None:
    assert texts("0 3/2 9/4 3", Meter(6, 8)) == ["quarter.", "eighth.", "eighth."]
    assert texts("0 9/4 3", Meter(6, 8)) == ["quarter.", "eighth.", "eighth."]
    assert texts("0 3", Meter(6, 8)) == ["half."]


def test_a_half_note_beat_is_divided_as_plainly_as_a_quarter() -> None:
    """Cut time (2/2): MusicXML 4.0, ``time-modification``, and dots."""
    assert texts("0 1/3 2/3 1 2", Meter(2, 2)) == ["eighth 3:2"] * 3 + ["quarter"]
    assert texts("0 2/3 4/3 2", Meter(2, 2)) == texts("0 2/3 4/3 2", Meter(2, 4))
    assert texts("0 3 4", Meter(2, 2)) == ["half.", "quarter"]
    assert texts("0 1 3 4", Meter(2, 2)) == ["quarter", "half", "quarter"]


def test_a_pickup_is_spelt_as_the_end_of_its_bar() -> None:
    assert texts("0 3/2", lead=Fraction(1, 2)) == ["eighth", "quarter"]


def test_what_divides_no_beat_may_divide_several() -> None:
    """MusicXML 4.0, ``time-modification``: thirteen sixteenths in the time of eight."""
    thirteen = " ".join(f"{2 * place}/13" for place in range(13))
    assert texts(f"{thirteen} 2") == ["16th 13:8"] * 13
    assert texts(f"{thirteen} 2 4", Meter(4, 4)) == ["16th 13:8"] * 13 + ["half"]
    held = "0 6/13 8/13 10/13 12/13 14/13 16/13 18/13 20/13 24/13 2"
    assert texts(held) == ["eighth. 13:8", *["16th 13:8"] * 7, "eighth 13:8", "16th 13:8"]
    in_six = " ".join(f"{3 * place}/26" for place in range(13))
    assert texts(f"{in_six} 3/2 3", Meter(6, 8)) == ["32nd 13:12"] * 13 + ["quarter."]


@pytest.mark.parametrize("edges", ["0 1/13 1", "0 14/13 2", "0 1 14/13 2"])
def test_nor_is_a_tuplet_over_beats_finer_than_one_of_a_beat(edges: str) -> None:
    """Nine parts a beat at most, most of them struck, and no note on a beat in the midst."""
    with pytest.raises(UnprintableError, match="divided into 13 parts"):
        texts(edges)


def test_what_no_tuplet_divides_is_refused() -> None:
    with pytest.raises(UnprintableError, match="divided into 20 parts") as caught:
        texts("0 1 5/4 7/5 2")
    assert caught.value.offset == 1


def test_what_is_refused_says_where_in_the_bar() -> None:
    with pytest.raises(UnprintableError, match="shorter than any printed value") as caught:
        texts("0 1 1025/1024 2", lead=Fraction(1))
    assert caught.value.offset == 2
    told = caught.value.of("12a").told
    assert say(told) == "its shortest notes would be too short to print (measure 12a)"
    assert say(caught.value.told) == "its shortest notes would be too short to print"


@st.composite
def bars(draw: st.DrawFn) -> tuple[Meter, list[Fraction]]:
    meter = draw(st.sampled_from(METERS))
    parts = draw(st.sampled_from((4, 8, 3, 6, 5)))
    unit = cell(meter) / parts
    count = int(meter.length / unit)
    inner = draw(st.lists(st.integers(1, count - 1), unique=True, max_size=12))
    return meter, [Fraction(0), *(unit * place for place in sorted(inner)), meter.length]


@given(bars())
def test_what_is_printed_adds_up(bar: tuple[Meter, list[Fraction]]) -> None:
    meter, edges = bar
    pieces = spell(list(pairwise(edges)), meter, Fraction(0))
    for (start, end), index in zip(pairwise(edges), range(len(edges)), strict=False):
        mine = [piece for piece in pieces if piece.span == index]
        assert mine[0].offset == start
        assert sum(piece.value.length for piece in mine) == end - start
    for before, after in pairwise(pieces):
        assert before.offset + before.value.length == after.offset


@given(bars())
def test_tuplets_are_whole(bar: tuple[Meter, list[Fraction]]) -> None:
    """From its first note to its last a tuplet fills whole halves, quarters, eighths of a bar."""
    meter, edges = bar
    pieces = spell(list(pairwise(edges)), meter, Fraction(0))
    stretch = Fraction(0)
    for piece in pieces:
        if piece.value.tuplet is None:
            assert stretch.denominator & (stretch.denominator - 1) == 0
            stretch = Fraction(0)
        else:
            stretch += piece.value.length
