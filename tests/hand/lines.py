"""Lines of one hand built from spellings or keys, for the tests of the hand."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from engrave.fingering import finger
from engrave.music.notes import FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset, Struck

_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


def pitch(key: int) -> Pitch:
    """The pitch of a MIDI key, black keys spelled with sharps."""
    octave, place = divmod(key, 12)
    return Pitch.parse(f"{_NAMES[place]}{octave - 1}")


def line(text: str, hand: Hand = Hand.RIGHT, length: str = "1/4") -> tuple[Onset, ...]:
    """Even onsets from words: ``C4 E4 G4`` or, for chords, ``C4-E4-G4``; ``.`` is a rest."""
    pitches = [
        [] if word == "." else [Pitch.parse(name) for name in word.split("-")]
        for word in text.split()
    ]
    return _line(pitches, hand, Fraction(length))


def keys_line(
    keys: Iterable[int | Sequence[int]], hand: Hand = Hand.RIGHT, length: str = "1/4"
) -> tuple[Onset, ...]:
    """Even onsets from MIDI keys and chords of them."""
    chords = ([each] if isinstance(each, int) else each for each in keys)
    return _line([[pitch(key) for key in chord] for chord in chords], hand, Fraction(length))


def _line(chords: Iterable[Iterable[Pitch]], hand: Hand, length: Fraction) -> tuple[Onset, ...]:
    found: list[Onset] = []
    for number, chord in enumerate(chords):
        time = number * length
        tones = tuple(Struck(pitch, length, 1) for pitch in sorted(chord, key=lambda p: p.midi))
        if tones:
            found.append(Onset(len(found), time, hand, 0, "1", time, time, tones, hand.staff))
    return tuple(found)


def fingered(onsets: Sequence[Onset], fingers: Sequence[Sequence[int | None]]) -> tuple[Onset, ...]:
    """The onsets with the teacher's fingers; None leaves a tone open."""
    each = zip(onsets, fingers, strict=True)
    return tuple(onset.fingered(numbers, FingerOrigin.MARKS) for onset, numbers in each)


def onsets_fingered(onsets: Sequence[Onset], fingers: Sequence[Sequence[int]]) -> tuple[Onset, ...]:
    """The onsets with fingers that the model suggests."""
    each = zip(onsets, fingers, strict=True)
    return tuple(onset.fingered(numbers, FingerOrigin.COMPUTED) for onset, numbers in each)


def words(text: str) -> list[tuple[int | None, ...]]:
    """``1 2 1-3-5 .`` as fingers of four onsets; a dot leaves a single note open."""
    return [
        tuple(None if number == "." else int(number) for number in word.split("-"))
        for word in text.split()
    ]


def numbers(onsets: Sequence[Onset], hand: Hand, stretch_mm: float = 205.0, **how: Any) -> str:
    """The computed fingers of a line of single notes, as one word: ``12312345``."""
    return "".join(str(chord[0]) for chord in finger(onsets, hand, stretch_mm, **how))
