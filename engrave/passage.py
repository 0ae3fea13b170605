"""A marked passage, ready to be drilled: the cut, each hand's onsets with fingers, the goal.

The types alone; ``onsets`` and ``assembly`` make them. Knows nothing of drills.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from engrave.errors import Source
from engrave.marks.model import DrillRequest as DrillRequest
from engrave.model import Finger, Hand, Pitch, Sheet
from engrave.tempo import Goal
from engrave.units import Quarters


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

    def place(self, beat: Quarters) -> str:
        """``41.2``: measure and beat as a marks file names them; ``beat`` is the meter's own."""
        return f"{self.measure}.{self.offset // beat + 1}"


@dataclass(frozen=True, slots=True)
class Passage:
    """A marked range of measures, fingered.

    ``hands`` are those that the mark names; ``sheet`` is the cut with both hands as printed,
    ``lines`` the onsets of either hand, ``stretch_mm`` its thumb-to-little-finger stretch.
    ``label`` names the measures as they are printed in the booklet (``41–44``); ``requests`` None
    leaves the drills to what the passage contains.
    """

    id: str
    source: Source
    hands: tuple[Hand, ...]
    sheet: Sheet
    lines: Mapping[Hand, tuple[Onset, ...]]
    goal: Goal
    stretch_mm: Mapping[Hand, float]
    requests: tuple[DrillRequest, ...] | None = None
    trouble: str = ""
    remarks: str = ""
    private: str = ""
    status: str = "learning"
    label: str = ""
