"""What one hand strikes at one moment.

The types alone; ``passage.onsets`` makes them from what is printed.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch
from engrave.music.sheet import Sheet
from engrave.music.units import Quarters


@dataclass(frozen=True, slots=True)
class Struck:
    """One key that goes down: how long it sounds in quarters (ties merged), and its finger."""

    pitch: Pitch
    length: Quarters
    voice: int
    finger: Finger | None = None


@dataclass(frozen=True, slots=True)
class Onset:
    """All keys that one hand strikes at one moment, low to high.

    ``index`` counts the hand's onsets; ``time`` in quarters from the start of the passage;
    ``bar`` is the index of the passage's bar, ``measure`` its printed name, ``offset`` in quarters
    from the start of the measure in the score, ``metric`` from where a full measure would start
    (they differ in a pickup); ``staff`` is where the lowest tone is printed.
    ``articulations`` and ``ornaments`` are MusicXML names; ``graces`` counts grace notes before.
    """

    index: int
    time: Quarters
    hand: Hand
    bar: int
    measure: str
    offset: Quarters
    metric: Quarters
    tones: tuple[Struck, ...]
    staff: int = 1
    articulations: tuple[str, ...] = ()
    ornaments: tuple[str, ...] = ()
    graces: int = 0

    @property
    def length(self) -> Quarters:
        """How long the longest tone sounds, in quarters."""
        return max(tone.length for tone in self.tones)

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Pitches, low to high."""
        return tuple(tone.pitch for tone in self.tones)

    @property
    def finger_numbers(self) -> tuple[int, ...]:
        """Fingers, low to high; ``ValueError`` where a tone has none."""
        if any(tone.finger is None for tone in self.tones):
            raise ValueError(f"onset {self.index} has a tone without a finger")
        return tuple(tone.finger.number for tone in self.tones if tone.finger)

    def fingered(self, numbers: Iterable[int | None], origin: FingerOrigin) -> "Onset":
        """With a finger on every tone that has none yet; None leaves it open."""
        tones = tuple(
            tone if tone.finger or number is None else replace(tone, finger=Finger(number, origin))
            for tone, number in zip(self.tones, numbers, strict=True)
        )
        return replace(self, tones=tones)

    def beat_in(self, sheet: Sheet) -> int:
        """In which beat of its measure it stands, from 1, by the meter of the passage."""
        return self.offset // sheet.bars[self.bar].meter.beat + 1

    def place_in(self, sheet: Sheet) -> str:
        """``41.2``: measure and beat as a marks file names them."""
        return f"{self.measure}.{self.beat_in(sheet)}"


def in_order(onsets: Iterable[Onset]) -> list[Onset]:
    """Onsets of both hands in the order of the score, of those at once the right hand's first."""
    return sorted(onsets, key=lambda onset: (onset.time, onset.hand.staff))
