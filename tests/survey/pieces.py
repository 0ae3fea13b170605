"""Easy music, and hard places to plant in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Event, Moment, Sheet, Tone
from engrave.score import Score, TempoMark
from tests.sheets import bar, events, sheet

MELODY = ("C4:4 D4:4 E4:4 G4:4", "E4:2 D4:2", "G4:4 F4:4 E4:4 D4:4", "C4:2 r:2")
BASS = ("C3:2 G3:2", "C3:1", "G3:2 F3:2", "C3:2 r:2")
LENGTH = 8
"""Quarters of a planted place."""

TRANSPOSED = {"C": "D", "D": "E", "E": "F", "F": "G", "G": "A", "A": "B", "B": "C"}


def score(bars: Sequence[Bar], tempo: int | None = 96, title: str = "Hedge Song") -> Score:
    """A score of two staves, with a metronome mark in quarters at its beginning."""
    return of_sheet(sheet(*bars, staves=(1, 2)), tempo, title)


def of_sheet(music: Sheet, tempo: int | None = 96, title: str = "Hedge Song") -> Score:
    marks = (
        () if tempo is None else (TempoMark(Moment(0, Fraction(0)), Fraction(1), Fraction(tempo)),)
    )
    return Score(
        sheet=music,
        title=title,
        composer="Ida Fennimore",
        part="Piano",
        parts=("Piano",),
        tempos=marks,
        notices=(),
        sha256="0" * 64,
        file="hedge-song.musicxml",
        staves=((1,), (2,)),
        first_bar=0,
    )


def easy(measures: int = 40) -> list[Bar]:
    """Five-finger music of quarters and halves; no two phrases are quite the same."""
    bars = []
    for number in range(measures):
        melody, bass = MELODY[number % 4], BASS[number % 4]
        for _ in range(number // 4 % 5):
            melody = "".join(TRANSPOSED.get(letter, letter) for letter in melody)
        bars.append(bar(melody, bass, meter="4/4", name=str(number + 1)))
    return bars


@dataclass(frozen=True)
class Plant:
    """Eight quarters of one value for a hand, its notes over and over; ``grade`` 1 is easiest."""

    kind: str
    grade: int
    hand: Hand
    notes: str
    value: str
    per_quarter: int

    def words(self, start: int, count: int) -> str:
        """So many notes from the ``start``-th on."""
        names = self.notes.split()
        return " ".join(
            f"{names[n % len(names)]}:{self.value}" for n in range(start, start + count)
        )


_SCALE = "C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 G5 F5 E5 D5 C5 B4 A4 G4 F4 E4 D4"
_CHAIN = "C4 E4 G4 C5 E5 G5 C6 G5 E5 C5 G4 E4"

RUNS = tuple(
    Plant("runs", grade, Hand.RIGHT, _SCALE, value, per)
    for grade, value, per in ((1, "8t", 3), (2, "16", 4), (3, "16(6/4)", 6))
)
LEAPS = tuple(
    Plant("leaps", grade, Hand.LEFT, f"C2 {far}", "8", 2)
    for grade, far in ((1, "E3"), (2, "C4"), (3, "C5"))
)
CHORDS = tuple(
    Plant("chords", grade, Hand.RIGHT, chords, "8", 2)
    for grade, chords in (
        (1, "C4,G4 D4,A4 E4,B4"),
        (2, "C4,E4,C5 D4,F4,D5 E4,G4,E5"),
        (3, "C4,E4,G4,D5 D4,F4,A4,E5 E4,G4,B4,F5"),
    )
)
CROSSINGS = tuple(
    Plant("crossings", grade, Hand.RIGHT, _CHAIN, value, per)
    for grade, value, per in ((1, "8", 2), (2, "8t", 3), (3, "16", 4))
)
KINDS: Mapping[str, tuple[Plant, ...]] = {
    "runs": RUNS,
    "leaps": LEAPS,
    "chords": CHORDS,
    "crossings": CROSSINGS,
}


def planted(bars: Sequence[Bar], plants: Mapping[int, Plant]) -> list[Bar]:
    """The bars with a hand's music replaced from each index on, in its octave and key."""
    found = list(bars)
    for index, plant in plants.items():
        shift, done, number = _octaves(found[index], plant), 0, index
        while done < LENGTH * plant.per_quarter:
            count = int(found[number].length * plant.per_quarter)
            words = plant.words(done, count)
            found[number] = with_hand(found[number], plant.hand, words, shift)
            done, number = done + count, number + 1
    return found


def _octaves(old: Bar, plant: Plant) -> int:
    """How many octaves higher the plant begins nearest to where the hand was."""
    before = [tone.pitch.midi for event in old.of(plant.hand) for tone in event.tones]
    after = events(plant.words(0, 1))[0].tones[0].pitch.midi
    return round((before[0] - after) / 12) if before else 0


def with_hand(old: Bar, hand: Hand, words: str, octaves: int = 0) -> Bar:
    """A bar in which ``hand`` plays something else, in the bar's key; the other holds a note."""
    new: list[Event] = []
    for event in events(words, 1 if hand is Hand.RIGHT else 5):
        pitches = [tone.pitch.shifted(octaves) for tone in event.tones]
        tones = (Tone(replace(each, alter=old.key.alter_of(each.step))) for each in pitches)
        new.append(replace(event, tones=tuple(tones)))
    struck = [event for event in old.of(hand.other) if event.is_struck and not event.grace]
    for event in struck[:1]:
        lowest = (Tone(event.tones[0].pitch),)
        new.append(replace(event, offset=Fraction(0), length=old.length, tones=lowest))
    return replace(old, events=tuple(new))
