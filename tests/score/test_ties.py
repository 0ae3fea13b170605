"""In a cut a note is tied to what stands there, or struck.

A tie joins two notes of one pitch (MusicXML 4.0, element ``tied``); where the first of them is not
before the second there is nothing to join.
"""

from engrave.music.sheet import Bar
from engrave.score.cutting.ties import without_loose_ties
from tests.sheets import bar, events


def tied_into(*bars: Bar) -> list[str]:
    return [
        f"{made.name}.{event.offset} {tone.pitch.spelling}"
        for made in without_loose_ties(bars)
        for event in made.events
        for tone in event.tones
        if tone.tie_in
    ]


def test_a_second_ending_is_struck() -> None:
    endings = bar("C5:2~", name="1"), bar("~C5:2", name="2"), bar("~C5:2", name="3")
    assert tied_into(*endings) == ["2.0 C5"]


def test_each_note_continues_one() -> None:
    both = events("C5:2~", 1) + events("C5:2", 2)
    after = events("~C5:2", 1) + events("~C5:2", 2)
    assert tied_into(bar(both, name="1"), bar(after, name="2")) == ["2.0 C5"]


def test_of_a_chord_what_is_tied_stays_tied() -> None:
    assert tied_into(bar("C5:2~", name="1"), bar("~C5,E5:2", name="2")) == ["2.0 C5"]


def test_a_chain_of_ties_is_left_as_it_is() -> None:
    assert tied_into(bar("C5:4~ ~C5:4~", name="1"), bar("~C5:2", name="2")) == ["1.1 C5", "2.0 C5"]


def test_a_rest_between_parts_them() -> None:
    assert tied_into(bar("C5:4~ r:4", name="1"), bar("~C5:2", name="2")) == []
