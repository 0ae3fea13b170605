"""What is heard, as frozen values: keys going down and up, clicks; exact, in quarters.

Time 0 is the drill's first moment; what counts in stands before it.
"""

from dataclasses import dataclass
from enum import StrEnum

from engrave.music.notes import Hand
from engrave.music.units import Quarters


@dataclass(frozen=True, slots=True, order=True)
class Head:
    """A printed note head: tone ``tone`` of event ``event`` of bar ``bar`` of the sheet."""

    bar: int
    event: int
    tone: int


@dataclass(frozen=True, slots=True)
class Sounding:
    """A key struck: ``onset`` as printed, ``start`` as it sounds, ``length`` that it sounds.

    ``start`` differs in grace notes and rolled chords. ``key`` is the MIDI number, ``loudness`` a
    MIDI velocity; ``heads`` are all the note heads that it is printed as, tied ones in order.
    """

    key: int
    hand: Hand
    onset: Quarters
    start: Quarters
    length: Quarters
    loudness: int
    heads: tuple[Head, ...]

    @property
    def end(self) -> Quarters:
        """When the key goes up."""
        return self.start + self.length


class Stress(StrEnum):
    """Kinds of clicks: the bar's first, the other beats, the soft ones between slow beats."""

    BAR = "bar"
    BEAT = "beat"
    BETWEEN = "between"


@dataclass(frozen=True, slots=True)
class Click:
    """A click of the metronome."""

    time: Quarters
    stress: Stress


@dataclass(frozen=True, slots=True)
class Timeline:
    """A drill once, at one mark of its ladder, counted in.

    Clicks are ``unit`` quarters apart from ``-count_in`` to before ``end``, where the beat falls
    that would follow the last.
    """

    mark: int
    unit: Quarters
    count_in: Quarters
    end: Quarters
    soundings: tuple[Sounding, ...]
    clicks: tuple[Click, ...]
