"""The survey: how hard a piece is, beat by beat, hand by hand, and where it is hardest."""

from engrave.survey.model import Cell, Level, Pace, Part, Side, Stretch, Survey, Terrain
from engrave.survey.stretches import Wanted
from engrave.survey.surveying import survey

__all__ = [
    "Cell",
    "Level",
    "Pace",
    "Part",
    "Side",
    "Stretch",
    "Survey",
    "Terrain",
    "Wanted",
    "survey",
]
