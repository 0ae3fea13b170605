"""How the loads combine: the one table.

Enters: nothing. Leaves: ``LOADS``. A load's figure is divided by what is ``full`` for it, about
what the hardest concert études ask; heights are the roots of the weighted sums of squares, so that
the heaviest load leads and the others still count. All weights are judgements, and the ``reason``
stands beside each; no published set of them was found that measures the same things.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import log

from engrave.music.notes import Hand
from engrave.survey import holding, moving, reading_loads, together
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell


@dataclass(frozen=True, slots=True)
class Load:
    """One thing that makes music hard.

    ``unit`` of the figure; ``full`` in that unit; ``weight`` of the square of figure over full. A
    load is counted a second (``rate``), or by its highest figure in the beat.
    """

    name: str
    unit: str
    full: float
    weight: float
    reason: str
    rate: bool = True


@dataclass(frozen=True, slots=True)
class HandLoad(Load):
    """A load of one hand; ``count`` gives a figure an onset."""

    count: Callable[[HandLine], Sequence[float]] = field(kw_only=True)


@dataclass(frozen=True, slots=True)
class PairLoad(Load):
    """A load of both hands together; ``count`` gives a figure a cell."""

    count: Callable[[Mapping[Hand, HandLine], Sequence[Cell]], Sequence[float]] = field(
        kw_only=True
    )


HAND_LOADS: tuple[HandLoad, ...] = (
    HandLoad("speed", "notes/s", 11, 1.0, "what every player meets first",
             count=moving.speed),
    HandLoad("travel", "mm/s", 700, 0.5, "the arm has to be everywhere, but it may be prepared",
             count=moving.travel),
    HandLoad("leaps", "bits/s", 14, 0.6, "a missed leap is heard by everybody",
             rate=False, count=moving.leaps),
    HandLoad("passes", "passes/s", 3.5, 0.5, "bumps in runs come from the thumb",
             count=moving.passes),
    HandLoad("changes", "changes/s", 5, 0.35, "each is a small travel with a new shape",
             count=moving.changes),
    HandLoad("stretch", "of the hand", 1, 0.12, "wide is tiring, but it can be placed when slow",
             rate=False, count=holding.stretch),
    HandLoad("weak-fingers", "pairs/s", 5, 0.3, "fourth and fifth finger are slower and less even",
             count=holding.weak_fingers),
    HandLoad("repeats", "repetitions/s", 7, 0.3, "the key has to come up first",
             count=holding.repeats),
    HandLoad("chords", "new keys/s", 13, 0.8, "several fingers have to find their keys at once",
             count=holding.chords),
    HandLoad("voices", "strokes under held keys/s", 8, 0.4, "fingers of one hand do two things",
             count=holding.voices),
    HandLoad("accidentals", "altered notes/s", 8, 0.25, "each is a note to be thought of",
             count=reading_loads.accidentals),
    HandLoad("staff-jumps", "octaves/s", 4, 0.1, "the eye loses the line",
             count=reading_loads.staff_jumps),
    HandLoad("ornaments", "ornaments/s", 3, 0.3, "notes that are not written still are played",
             count=reading_loads.ornaments),
)  # fmt: skip
"""Loads of one hand."""

PAIR_LOADS: tuple[PairLoad, ...] = (
    PairLoad("two-rhythms", "strokes against/s", 6, 0.5, "neither hand can lean on the other",
             count=together.two_rhythms),
    PairLoad("independence", "strokes alone/s", 6, 0.3, "two things to hear at once",
             count=together.independence),
)  # fmt: skip
"""Loads of both hands together."""

LOADS: dict[str, Load] = {load.name: load for load in (*HAND_LOADS, *PAIR_LOADS)}
"""Every load by name."""

SCALE = 100.0
"""Height of music in which one load of weight 1 is full."""


def square(load: str, figure: float) -> float:
    """What a figure adds to the square of the height.

    Beyond full it counts by its logarithm: nobody plays that much more, one takes time.
    """
    entry = LOADS[load]
    ratio = figure / entry.full
    asked = ratio if ratio <= 1 else 1 + log(ratio)
    return entry.weight * (SCALE * asked) ** 2
