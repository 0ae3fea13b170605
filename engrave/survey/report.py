"""A survey told: a table for people, JSON for machines.

Enters: a ``Survey``. Leaves: lines of text, or JSON. Knows no terminal.
"""

import json
from collections.abc import Iterator
from textwrap import wrap
from typing import Any

from engrave.survey.model import Stretch, Survey
from engrave.survey.table import LOADS
from engrave.survey.words import trouble
from engrave.words import say

WIDTH = 96
_HEAD = f"{'':>3} {'measures':<12} {'hand':<6} {'height':>6}  "


def as_lines(survey: Survey, language: str = "en") -> Iterator[str]:
    """The piece in a line or two, then a row a stretch."""
    level = survey.level
    name = ", ".join(filter(None, (survey.title, survey.composer))) or survey.file
    yield f"{name}: {survey.measures} measures"
    yield f"tempo: {say(survey.pace.said, language)}"
    stretches = ", ".join(f"{hand} {mm / 10:.1f} cm" for hand, mm in survey.stretch_mm.items())
    yield f"stretch: {stretches}"
    yield (
        f"difficulty {level.value:.0f}: hardest {level.hardest:.0f}, throughout "
        f"{level.throughout:.0f}, {level.material} different beats on {level.keys} keys"
    )
    yield ""
    yield (_HEAD + "what makes it hard").rstrip()
    for number, stretch in enumerate(survey.stretches, 1):
        yield from _rows(number, stretch, language)


def _rows(number: int, stretch: Stretch, language: str) -> Iterator[str]:
    told = [trouble(stretch, language)]
    if stretch.drills:
        told.append(f"drills: {', '.join(stretch.drills)}")
    if stretch.others:
        told.append(f"again in {', '.join(stretch.others)}")
    head = f"{number:>3} {stretch.label:<12} {stretch.hand:<6} {stretch.height:>6.0f}  "
    for sentence in told:
        for line in wrap(sentence, WIDTH - len(_HEAD)):
            yield head + line
            head = " " * len(_HEAD)


def as_json(survey: Survey) -> str:
    """The whole survey; figures in the units of its ``loads``, heights and tempos as they are."""
    return json.dumps(_document(survey), ensure_ascii=False, indent=1) + "\n"


def _document(survey: Survey) -> dict[str, Any]:
    level, terrain = survey.level, survey.terrain
    return {
        "format": 1,
        "score": {
            "file": survey.file,
            "sha256": survey.sha256,
            "title": survey.title,
            "composer": survey.composer,
            "measures": survey.measures,
        },
        "tempo": {
            "from": survey.pace.said.key.rpartition(".")[2],
            "said": say(survey.pace.said),
            "quarters_per_minute": [
                {"from_quarter": float(time), "mark": float(mark)}
                for time, mark in survey.pace.changes
            ],
        },
        "stretch_mm": {str(hand): mm for hand, mm in survey.stretch_mm.items()},
        "difficulty": {
            "value": round(level.value, 2),
            "hardest": round(level.hardest, 2),
            "throughout": round(level.throughout, 2),
            "different_beats": level.material,
            "keys": level.keys,
        },
        "loads": {
            name: {"unit": load.unit, "full": load.full, "weight": load.weight}
            for name, load in LOADS.items()
        },
        "stretches": [_stretch(rank, each) for rank, each in enumerate(survey.stretches, 1)],
        "beats": [
            {
                "measure": cell.measure,
                "beat": cell.beat,
                "height": round(terrain.whole[index], 2),
                **{str(side): round(found[index], 2) for side, found in terrain.height.items()},
            }
            for index, cell in enumerate(terrain.cells)
        ],
    }


def _stretch(rank: int, stretch: Stretch) -> dict[str, Any]:
    return {
        "rank": rank,
        "measures": str(stretch.measures),
        "hand": stretch.hand,
        "height": round(stretch.height, 2),
        "parts": [
            {
                "load": part.load,
                "side": str(part.side),
                "figure": round(part.figure, 3),
                "unit": LOADS[part.load].unit,
                "share": round(part.share, 4),
            }
            for part in stretch.parts
        ],
        "drills": list(stretch.drills),
        "again_in": [place.replace("–", "-") for place in stretch.others],
    }
