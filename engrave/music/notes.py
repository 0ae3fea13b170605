"""What one printed note is made of: a hand, a pitch, a finger, a value.

Frozen values over exact fractions that know nothing of each other, of bars or of sheets.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

from engrave.music.units import Quarters

STRETCH_MM = 205.0
"""Thumb-to-little-finger stretch of a hand of which nothing is known: on the small side between the
means of women, 201, and of men, some 25 more (Boyle, Boyle and Booker 2015, "Pianist Hand Spans").
"""
STEPS = "CDEFGAB"
_SEMITONES = dict(zip(STEPS, (0, 2, 4, 5, 7, 9, 11), strict=True))


class Hand(StrEnum):
    """A hand of the player; the right reads the upper staff unless the score says otherwise."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def staff(self) -> int:
        """The staff the hand reads: 1 upper, 2 lower."""
        return 1 if self is Hand.RIGHT else 2

    @property
    def other(self) -> "Hand":
        """The other hand."""
        return Hand.LEFT if self is Hand.RIGHT else Hand.RIGHT


def home_hand(staff: int, staves: int) -> Hand | None:
    """The hand that reads a staff, counted from 1 at the top; None for the middle one of three."""
    if 2 * staff == staves + 1 and staves > 1:
        return None
    return Hand.LEFT if 2 * staff > staves + 1 else Hand.RIGHT


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch: F sharp is never G flat. ``alter`` in semitones, octave 4 holds middle C."""

    step: str
    alter: int
    octave: int

    @property
    def midi(self) -> int:
        """MIDI key number, middle C = 60."""
        return 12 * (self.octave + 1) + _SEMITONES[self.step] + self.alter

    @property
    def diatonic(self) -> int:
        """Number of letters above C0: the height on the staff, whatever the alteration."""
        return 7 * self.octave + STEPS.index(self.step)

    @property
    def is_black(self) -> bool:
        """Whether the key is a black one."""
        return self.midi % 12 in (1, 3, 6, 8, 10)

    @property
    def spelling(self) -> str:
        """``F#5``, ``Bb3``, ``C##4``."""
        return (
            f"{self.step}{'#' * self.alter if self.alter >= 0 else 'b' * -self.alter}{self.octave}"
        )

    @classmethod
    def parse(cls, spelling: str) -> "Pitch":
        """The pitch that ``spelling`` writes (the inverse of ``Pitch.spelling``)."""
        step, rest = spelling[0], spelling[1:]
        accidentals = rest.rstrip("-0123456789")
        return cls(
            step, accidentals.count("#") - accidentals.count("b"), int(rest[len(accidentals) :])
        )

    def shifted(self, octaves: int) -> "Pitch":
        """The same letter ``octaves`` higher."""
        return replace(self, octave=self.octave + octaves)


class FingerOrigin(StrEnum):
    """Who says that a finger takes a key: the teacher's marks, the score, or this tool."""

    MARKS = "marks"
    SCORE = "score"
    COMPUTED = "computed"


@dataclass(frozen=True, slots=True)
class Finger:
    """A finger, 1 (thumb) to 5, and who says so; ``then`` takes its key over silently."""

    number: int
    origin: FingerOrigin
    then: int | None = None

    @property
    def shown(self) -> str:
        """``4``, or ``4–5`` where the fifth takes the key over."""
        return f"{self.number}–{self.then}" if self.then else str(self.number)


@dataclass(frozen=True, slots=True)
class Tuplet:
    """``actual`` notes in the time of ``normal`` (a triplet is 3 in the time of 2)."""

    actual: int
    normal: int


NOTE_TYPES: dict[str, Quarters] = {
    "long": Fraction(16), "breve": Fraction(8), "whole": Fraction(4), "half": Fraction(2),
    "quarter": Fraction(1), "eighth": Fraction(1, 2), "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8), "64th": Fraction(1, 16), "128th": Fraction(1, 32),
    "256th": Fraction(1, 64),
}  # fmt: skip
"""Note types by their MusicXML 4.0 ``type`` names, in quarters."""


@dataclass(frozen=True, slots=True)
class Value:
    """A printed note value: type by its MusicXML name, dots, and the tuplet it stands in."""

    type: str
    dots: int = 0
    tuplet: Tuplet | None = None

    @property
    def length(self) -> Quarters:
        """What the value lasts, in quarters."""
        return _length(self.type, self.dots, self.tuplet)


@lru_cache(maxsize=1024)  # asked for at every turn, of a dozen values a piece
def _length(kind: str, dots: int, tuplet: Tuplet | None) -> Quarters:
    plain = NOTE_TYPES[kind] * (2 - Fraction(1, 2**dots))
    return plain * Fraction(tuplet.normal, tuplet.actual) if tuplet else plain
