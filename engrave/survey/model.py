"""What a survey says of a piece: cells of time, figures of difficulty, spots, the level.

Values alone; the other modules of the package fill them. Nothing here knows files or paper.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from engrave.music.notes import Hand
from engrave.music.ranges import MeasureRange
from engrave.music.units import Quarters
from engrave.remarks import Remark


class Side(StrEnum):
    """Whose difficulty a figure is: a hand's, or that of playing both together."""

    RIGHT = "right"
    LEFT = "left"
    TOGETHER = "together"


@dataclass(frozen=True, slots=True)
class Cell:
    """A beat of the score, the unit in which difficulty is counted.

    ``start`` and ``end`` in quarters from the start of the score; ``seconds`` it lasts at the goal
    tempo; ``bar`` the index of its bar, ``measure`` the printed name, ``beat`` counts from 1.
    ``opens`` and ``closes`` tell whether the measure begins or ends with it.
    """

    start: Quarters
    end: Quarters
    seconds: float
    bar: int
    measure: str
    beat: int
    opens: bool
    closes: bool


@dataclass(frozen=True, slots=True)
class Pace:
    """The goal tempo along the score: ``quarters_per_minute`` from each of ``changes`` on.

    The first change stands at 0. ``said`` says where the tempo comes from.
    """

    changes: tuple[tuple[Quarters, Fraction], ...]
    said: Remark

    def __post_init__(self) -> None:
        if not self.changes or self.changes[0][0] != 0:
            raise ValueError("a pace begins at 0")

    def at(self, time: Quarters) -> Fraction:
        """Quarter notes a minute in force at ``time``."""
        return next(tempo for start, tempo in reversed(self.changes) if start <= time)


Figures = Mapping[Side, Mapping[str, tuple[float, ...]]]
"""For every side and load (by its name in ``table.LOADS``), a figure a cell, in the load's unit."""


@dataclass(frozen=True, slots=True)
class Terrain:
    """The piece beat by beat: ``figures`` of every load, and the ``height`` of every side.

    ``whole`` is the height of everything together, hands and coordination. Heights have no unit:
    100 is about what a concert étude asks at its worst (the scale of ``table``).
    """

    cells: tuple[Cell, ...]
    figures: Figures
    height: Mapping[Side, tuple[float, ...]]
    whole: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LoadShare:
    """One load of a spot: its highest figure there, and its share of the difficulty (0 to 1)."""

    load: str
    side: Side
    figure: float
    share: float


class Gesture(NamedTuple):
    """A stroke of a hand: in which cell, counted from its place's first, and when in that; how many
    keys, a chord's as 3; the way from the stroke before, in letters of the outer key."""

    cell: int
    time: Quarters
    keys: int
    way: int


@dataclass(frozen=True, slots=True)
class Spot:
    """A hard place: ``first`` and ``last`` cell, both inclusive.

    ``hands`` are those that have the trouble; ``height`` is that of the hardest beats; ``parts``
    the loads that make it, heaviest first; ``others`` the cells of the same music elsewhere,
    ``like`` of the same figure on other steps, ``varied`` of most of it with other notes in it;
    ``finding`` what is hard in plain sentences; ``drills`` the families that answer it, best first.
    ``strokes`` is how often its hands strike, at so many ``moments``; ``at_once`` the part of their
    difficulty (0 to 1) that the harder hand has, or the other together with it: with less than 1
    they take turns. ``gestures`` is what each hand does.
    """

    first: int
    last: int
    measures: MeasureRange
    label: str
    hands: tuple[Hand, ...]
    height: float
    parts: tuple[LoadShare, ...]
    others: tuple[range, ...] = ()
    like: tuple[range, ...] = ()
    varied: tuple[range, ...] = ()
    finding: tuple[Remark, ...] = ()
    drills: tuple[str, ...] = ()
    strokes: int = 0
    moments: int = 0
    at_once: float = 1.0
    gestures: Mapping[Side, tuple[Gesture, ...]] = field(default_factory=dict)

    @property
    def span(self) -> range:
        """Its cells."""
        return range(self.first, self.last + 1)

    @property
    def beats(self) -> int:
        """How many beats it takes."""
        return self.last - self.first + 1

    @property
    def hand(self) -> str:
        """``right``, ``left`` or ``both``."""
        return self.hands[0] if len(self.hands) == 1 else "both"


@dataclass(frozen=True, slots=True)
class Level:
    """How hard the piece is as a whole, for ranking pieces.

    ``parts`` are the points of each part (names in ``level.PARTS``); ``value`` is their sum.
    """

    value: float
    parts: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Survey:
    """A surveyed score; ``spots`` hardest first."""

    title: str
    composer: str
    file: str
    sha256: str
    measures: int
    pace: Pace
    stretch_mm: Mapping[Hand, float]
    terrain: Terrain
    level: Level
    spots: tuple[Spot, ...]
