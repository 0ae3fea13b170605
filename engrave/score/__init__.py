"""Scores are read here, and passages cut from them; the only place that knows music21."""

from engrave.score.cut import cut
from engrave.score.measures import measures_of, movements_of, offset_in_measure, place_name
from engrave.score.places import locate
from engrave.score.reading import read_score
from engrave.score.score import Score, TempoMark, tempo_at
from engrave.score.twice import TwiceRead, read_twice

__all__ = [
    "Score",
    "TempoMark",
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
]
