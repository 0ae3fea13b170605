"""What a first marks file holds, on music of a few measures that has one trouble or two."""

import re
from collections.abc import Sequence
from dataclasses import replace

from engrave.music.sheet import Bar
from engrave.score.second_reading.twice import TwiceRead
from engrave.survey.beginning import ScoreFile
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


def test_a_tremolo_of_octaves_is_no_place_to_mark() -> None:
    """Quick octaves on the spot under a tune, and a run elsewhere, no quicker."""
    tremolo = "C2:16 C3:16 C2:16 C3:16 " * 2
    voices = [("E4:4 F4:4", tremolo) for _ in range(12)] + [("E4:4 D4:4", "C3:2")] * 12
    voices[18:20] = [("C4:16 D4:16 E4:16 F4:16 G4:16 A4:16 B4:16 C5:16", "C3:2")] * 2
    found = marked(named(voices, "2/4"), 112)
    assert all(int(measures.split("-")[0]) > 12 for measures, _ in found)


def test_no_place_is_marked_for_its_ornaments() -> None:
    """Trills in a slow tune, which no drill takes apart, and a few plain quavers."""
    music = named([("E4:4 F4:4 G4:4", "C3:2.")] * 16, "3/4")
    music[2:4] = [
        replace(each, events=tuple(replace(e, ornaments=("trill-mark",)) for e in each.events))
        for each in music[2:4]
    ]
    music[9] = bar("C4:8 D4:8 E4:8 F4:8 G4:8 E4:8", "C3:2.", meter="3/4", name="10")
    assert marked(music, 60)[0][0].startswith("10")


def test_a_slow_easy_piece_is_given_one_chain() -> None:
    lines = ("E5:2. D5:4", "C5:2 A4:2", "B4:4 C5:4 D5:4 E5:4", "D5:1", "F5:2. E5:4", "D5:2 B4:2")
    basses = ("C3:4 G3:4 E3:4 G3:4", "A2:4 E3:4 C3:4 E3:4", "G2:4 D3:4 B2:4 D3:4")
    voices = [(lines[n % 6], basses[n % 3]) for n in range(24)]
    assert len(marked(named(voices, "4/4"), 92)) == 1
