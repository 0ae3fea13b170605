"""The survey: how hard a piece is, beat by beat, hand by hand, and where it is hardest.

What counts loads is loaded when it is first asked for: most surveys of most builds were kept.
"""

from typing import TYPE_CHECKING

from engrave.machine.later import from_homes
from engrave.survey.model import Cell, Level, LoadShare, Pace, Side, Spot, Survey, Terrain

if TYPE_CHECKING:
    from engrave.survey.spots import Wanted
    from engrave.survey.surveying import survey, survey_terrain

_HOMES = {"Wanted": "spots", "survey": "surveying", "survey_terrain": "surveying"}

__all__ = [
    "Cell",
    "Level",
    "LoadShare",
    "Pace",
    "Side",
    "Spot",
    "Survey",
    "Terrain",
    "Wanted",
    "survey",
    "survey_terrain",
]

__getattr__ = from_homes(__name__, _HOMES)
