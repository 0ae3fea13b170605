"""What a hand strikes: ties merged, unisons struck once, all else as printed.

A tie joins notes into one sound that is struck at its beginning (MusicXML 4.0, element ``tie``).
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.music.notes import Hand
from engrave.music.sheet import Sheet
from engrave.passage.onsets import onsets
from tests.sheets import bar, events, sheet


def struck(made: Sheet) -> str:
    """``0 C5 2``: time, key and length of everything struck, in quarters."""
    return ", ".join(
        f"{onset.time} {tone.pitch.spelling} {tone.length}"
        for onset in onsets(made, Hand.RIGHT)
        for tone in onset.tones
    )


@pytest.mark.parametrize(
    ("bars", "expected"),
    [
        (("C5:2~", "~C5:4 D5:4"), "0 C5 3, 3 D5 1"),
        (("C5:4~ ~C5:4~", "~C5:2"), "0 C5 4"),
        (("C5:4 C5:4",), "0 C5 1, 1 C5 1"),
        (("C5,E5:4~ ~C5,E5:4",), "0 C5 2, 0 E5 2"),
        (("G#4:2~", "~Ab4:2"), "0 G#4 4"),
    ],
)
def test_tied_notes_are_struck_once(bars: tuple[str, ...], expected: str) -> None:
    assert struck(sheet(*map(bar, bars))) == expected


def test_a_tie_is_heard_from_one_voice_to_another() -> None:
    second = events("E5:2", 1) + events("~C5:2", 2)
    assert struck(sheet(bar("C5:2~"), bar(second))) == "0 C5 4, 2 E5 2"


def test_a_unison_that_both_voices_tie_on_is_struck_once() -> None:
    first = events("C5:2~", 1) + events("C5:2~", 2)
    second = events("~C5:4 D5:4", 1) + events("~C5:2", 2)
    assert struck(sheet(bar(first), bar(second))) == "0 C5 4, 3 D5 1"


def test_a_tie_from_nowhere_strikes() -> None:
    """A second ending is tied to by a bar that does not stand before it; so is no other bar."""
    assert struck(sheet(bar("C5:2~"), bar("D5:2"), bar("~C5:2"))) == "0 C5 2, 2 D5 2, 4 C5 2"


def test_of_two_voices_on_one_key_the_longer_sounds_and_either_ones_finger_is_kept() -> None:
    for short, long in ((1, 2), (2, 1)):
        for fingered in (1, 2):
            voices = {short: "C5:4", long: "C5:2"}
            voices[fingered] += "=3"
            both = events(voices[1], 1) + events(voices[2], 2)
            (onset,) = onsets(sheet(bar(both)), Hand.RIGHT)
            (tone,) = onset.tones
            assert tone.length == 2
            assert tone.finger is not None
            assert tone.finger.number == 3


def test_an_onset_stands_on_the_staff_of_its_lowest_tone() -> None:
    low = tuple(replace(event, staff=2) for event in events("C4:2", 2))
    made = sheet(bar(events("G5:2", 1) + low), staves=(1, 2))
    (onset,) = onsets(made, Hand.RIGHT)
    assert [pitch.spelling for pitch in onset.pitches] == ["C4", "G5"]
    assert onset.staff == 2


def test_grace_notes_are_counted_and_strike_nothing() -> None:
    (first, second) = onsets(sheet(bar("/B4:8 /C5:8 D5:4 E5:4")), Hand.RIGHT)
    assert (first.graces, second.graces) == (2, 0)
    assert first.time == Fraction(0)
