"""An accidental holds to the bar line, in its octave, on its staff (common practice)."""

import pytest

from engrave.notation.accidentals import printed
from tests.sheets import bar, events, sheet


def shown(*bars: str, key: int = 0) -> str:
    """What stands before each note, bar by bar; a courtesy in parentheses, nothing as a dot."""
    made = sheet(*(bar(words, key=key) for words in bars))
    lines = []
    for number, found in enumerate(printed(made)):
        words = []
        for index, event in enumerate(made.bars[number].events):
            for tone in range(len(event.tones)):
                sign = found.get((index, tone))
                words.append(("({})" if sign.courtesy else "{}").format(sign.name) if sign else ".")
        lines.append(" ".join(words))
    return " | ".join(lines)


@pytest.mark.parametrize(
    ("bars", "key", "expected"),
    [
        (["F#4:4 F#4:4"], 0, "sharp ."),
        (["F#4:4 F#5:4"], 0, "sharp sharp"),
        (["F#4:4 F4:4"], 0, "sharp natural"),
        (["F#4:4 F4:4"], 1, ". natural"),
        (["F4:4 F#4:4"], 1, "natural sharp"),
        (["Bb4:4 B4:4"], -1, ". natural"),
        (["F##4:4 F#4:4"], 1, "double-sharp sharp"),
        (["Bbb4:4 Bb4:4"], -1, "flat-flat flat"),
        (["F###4:4 Bbbb4:4"], 0, "triple-sharp triple-flat"),  # MusicXML 4.0, accidental-value
        (["/F#4:8 F#4:4 r:4"], 0, "sharp ."),
        (["F4,F#4:4 F4:4"], 0, "natural sharp natural"),
        (["F4,F#4:4 F#4:4"], 0, "natural sharp sharp"),  # after a clash each says what it is
        (["F4,F#4:4 F#4:4 F#4:4"], 0, "natural sharp sharp ."),
        (["F4,F#4:4 F#4:4"], 1, "natural sharp sharp"),
    ],
)
def test_within_a_bar(bars: list[str], key: int, expected: str) -> None:
    assert shown(*bars, key=key) == expected


@pytest.mark.parametrize(
    ("bars", "expected"),
    [
        (["F#4:2", "F#4:2"], "sharp | sharp"),
        (["F#4:2", "F4:4 F4:4"], "sharp | (natural) ."),
        (["F#4:2", "F5:2"], "sharp | ."),
        (["F#4:2", "G4:2", "F4:2"], "sharp | . | ."),
        (["F#4:4 F4:4", "F4:2"], "sharp natural | ."),
    ],
)
def test_a_bar_line_ends_it_and_asks_for_a_courtesy(bars: list[str], expected: str) -> None:
    assert shown(*bars) == expected


def test_the_signatures_own_sharp_comes_back_with_a_courtesy() -> None:
    assert shown("F4:2", "F#4:2", key=1) == "natural | (sharp)"


def test_a_tie_carries_it_over_the_bar_line_for_its_own_note_alone() -> None:
    assert shown("F#4:2~", "~F#4:4 F#4:4") == "sharp | . sharp"
    assert shown("F#4:2~", "~F#4:4 F4:4") == "sharp | . (natural)"
    assert shown("F#4:2~", "~F#4:2", "F4:2") == "sharp | . | (natural)"
    assert shown("~F#4:4 F4:4") == ". (natural)"


def test_staves_and_voices() -> None:
    staves = sheet(bar("F#4:4 F#4:4", "F4:4 F#4:4"), staves=(1, 2))
    (found,) = printed(staves)
    assert {key: sign.name for key, sign in found.items()} == {(0, 0): "sharp", (3, 0): "sharp"}
    two = sheet(bar(events("F#5:4 G5:4", 1) + events("C5:4 F#5:4", 2)))
    (found,) = printed(two)
    assert list(found) == [(0, 0)]
