"""What a first marks file holds, on music of a few measures that has one trouble or two."""

import re
from collections.abc import Sequence

from engrave.music.sheet import Bar
from engrave.score.second_reading.twice import TwiceRead
from engrave.survey.new_marks import ScoreFile
from engrave.survey.starting import first_marks
from tests.sheets import bar
from tests.survey.pieces import score

CHORDS = (
    "E4,G4,C5", "F4,A4,C5", "D4,G4,B4", "E4,G4,C5", "F4,A4,D5", "E4,A4,C5", "D4,F#4,C5", "D4,G4,B4",
)  # fmt: skip
BASS = ("C3 E3", "F3 A3", "G3 D3", "C3 C2", "D3 F3", "A2 C3", "D3 A2", "G2 G2")


def marked(bars: Sequence[Bar], tempo: int) -> list[tuple[str, str]]:
    """The measures and hands of the passages of a first marks file."""
    text = first_marks(TwiceRead(score(bars, tempo), ()), ScoreFile("a.xml", "a.yaml"), 0.06)
    return re.findall(r"measures: (\S+)\n +hand: (\w+)", text)


def named(voices: Sequence[tuple[str, str]], meter: str) -> list[Bar]:
    return [bar(*each, meter=meter, name=str(number)) for number, each in enumerate(voices, 1)]


def test_no_place_is_marked_twice_for_one_hand() -> None:
    """Chords struck again and again, and a left hand that hardly moves."""
    voices = []
    for number, (chord, bass) in enumerate(zip(CHORDS * 4, BASS * 4, strict=True), 1):
        right = f"{chord}:4 r:4" if number % 4 == 0 else f"{chord}:8t " * 6
        voices.append((right, " ".join(f"{key}:4" for key in bass.split())))
    found = marked(named(voices, "2/4"), 132)
    assert found
    assert len(found) == len(set(found))
