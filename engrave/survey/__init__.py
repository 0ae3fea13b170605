"""The survey: how hard a piece is, beat by beat, hand by hand, and where it is hardest.

What counts loads is loaded when it is first asked for: most surveys of most builds were kept.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from engrave.survey.model import Cell, Level, Pace, Part, Side, Stretch, Survey, Terrain

if TYPE_CHECKING:
    from engrave.survey.stretches import Wanted
    from engrave.survey.surveying import survey

_HOMES = {"Wanted": "stretches", "survey": "surveying"}

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


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
