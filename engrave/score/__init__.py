"""Scores are read here, and passages cut from them; the only place that knows music21.

What reads is loaded when it is first asked for: most scores of most builds were read before.
"""

from typing import TYPE_CHECKING

from engrave.machine.later import from_homes
from engrave.score.score import Score, TempoMark, TempoOrigin, tempo_at, tempos_in_force

if TYPE_CHECKING:
    from engrave.score.cutting.cut import cut
    from engrave.score.measures import (
        measure_and_beat,
        measures_of,
        movements_of,
        offset_in_measure,
        place_name,
    )
    from engrave.score.places import locate
    from engrave.score.reading import read_score
    from engrave.score.second_reading.twice import TwiceRead, read_twice

_HOMES = {
    "TwiceRead": "second_reading.twice",
    "cut": "cutting.cut",
    "locate": "places",
    "measure_and_beat": "measures",
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
    "measure_and_beat",
    "measures_of",
    "movements_of",
    "offset_in_measure",
    "place_name",
    "read_score",
    "read_twice",
    "tempo_at",
    "tempos_in_force",
]

__getattr__ = from_homes(__name__, _HOMES)
