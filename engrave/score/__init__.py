"""Scores are read here, and passages cut from them; the only place that knows music21.

What reads is loaded when it is first asked for: most scores of most builds were read before.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from engrave.score.cutting.cut import cut  # now: later, its module would stand in its place
from engrave.score.score import Score, TempoMark, TempoOrigin, tempo_at, tempos_in_force

if TYPE_CHECKING:
    from engrave.score.measures import measures_of, movements_of, offset_in_measure, place_name
    from engrave.score.places import locate
    from engrave.score.reading import read_score
    from engrave.score.second_reading.twice import TwiceRead, read_twice

_HOMES = {
    "TwiceRead": "second_reading.twice",
    "locate": "places",
    "measures_of": "measures",
    "movements_of": "measures",
    "offset_in_measure": "measures",
    "place_name": "measures",
    "read_score": "reading",
    "read_twice": "second_reading.twice",
}

__all__ = [
    "Score",
    "TempoMark",
    "TempoOrigin",
    "TwiceRead",
    "cut",
    "locate",
    "measures_of",
    "movements_of",
    "offset_in_measure",
    "place_name",
    "read_score",
    "read_twice",
    "tempo_at",
    "tempos_in_force",
]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
