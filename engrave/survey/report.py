"""A survey told: a table for people, JSON for machines.

Enters: a ``Survey``. Leaves: lines of text, or JSON. Knows no terminal.
"""

import json
from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Any

from engrave.remarks import Remark
from engrave.survey.model import Cell, Spot, Survey
from engrave.survey.naming import range_of
from engrave.survey.table import LOADS
from engrave.survey.words import TOLD, again, figures, finding
from engrave.words import say, words

WIDTH = 96
_PLACE, _HAND, _HEIGHT = 14, 8, 8


def as_lines(survey: Survey, language: str = "en", measured: bool = False) -> Iterator[str]:
    """The piece in a few lines, then a row a spot; ``measured`` adds figures and a legend."""
    name = ", ".join(filter(None, (survey.title, survey.composer))) or survey.file
    cm = {hand: round(mm / 10, 1) for hand, mm in survey.stretch_mm.items()}
    level = survey.level
    yield _say("piece", language, name=" ".join(name.split()), count=survey.measures)
    yield _say("pace", language, said=survey.pace.said)
    yield _say("hands", language, **{str(hand): value for hand, value in cm.items()})
    yield _say("level", language, value=round(level.value))
    if measured:
        parts = {name: round(figure) for name, figure in level.parts.items()}
        yield from wrap(_say("level-parts", language, **parts), WIDTH)
    yield ""
    head = f"{'':>3} {_say('measures', language):<{_PLACE}}{_say('hand', language):<{_HAND}}"
    yield (head + (_say("height", language) if measured else "")).rstrip()
    for number, spot in enumerate(survey.spots, 1):
        yield from _rows(number, spot, survey.terrain.cells, language, measured)
    if measured and survey.spots:
        yield ""
        yield from _legend(survey, language)


def _rows(
    number: int, spot: Spot, cells: Sequence[Cell], language: str, measured: bool
) -> Iterator[str]:
    told = [" ".join(finding(spot, language))]
    if measured:
        told.append(figures(spot, language))
    if spot.drills:
        families = [str(words(language)["family"][family]) for family in spot.drills]
        told.append(_say("drills", language, families=families))
    told += again(spot, cells, language)
    hand = str(words(language)["hand-alone"][spot.hand])
    head = f"{number:>3} {spot.label:<{_PLACE}}{hand:<{_HAND}}"
    if measured:
        head += f"{spot.height:>{_HEIGHT - 2}.0f}  "
    indent = " " * len(head)
    for sentence in told:
        for line in wrap(sentence, WIDTH - len(indent)):
            yield head + line
            head = indent


def _legend(survey: Survey, language: str) -> Iterator[str]:
    """What every figure in the table means, those that stand in it alone."""
    yield _say("legend-head", language)
    shown = {part.load for spot in survey.spots for part in spot.parts[:TOLD]}
    names = ["height", *(name for name in LOADS if name in shown)]
    legend = words(language)["survey"]["legend"]
    for name in names:
        yield from wrap(str(legend[name]), WIDTH, initial_indent="  ", subsequent_indent="    ")


def _say(key: str, language: str, **values: object) -> str:
    return say(Remark.of(f"survey.report.{key}", **values), language)


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
            **{name.replace("-", "_"): round(part, 2) for name, part in level.parts.items()},
        },
        "loads": {
            name: {"unit": load.unit, "full": load.full, "weight": load.weight}
            for name, load in LOADS.items()
        },
        "stretches": [  # called so since format 1, for who reads it
            _spot(rank, each, terrain.cells) for rank, each in enumerate(survey.spots, 1)
        ],
        "beats": [
            {
                "measure": cell.measure,
                "beat": cell.beat,
                "height": round(terrain.whole[index], 2),
                **{str(side): round(heights[index], 2) for side, heights in terrain.height.items()},
            }
            for index, cell in enumerate(terrain.cells)
        ],
    }


def _spot(rank: int, spot: Spot, cells: Sequence[Cell]) -> dict[str, Any]:
    return {
        "rank": rank,
        "measures": str(spot.measures),
        "hand": spot.hand,
        "height": round(spot.height, 2),
        "parts": [
            {
                "load": part.load,
                "side": str(part.side),
                "figure": round(part.figure, 3),
                "unit": LOADS[part.load].unit,
                "share": round(part.share, 4),
            }
            for part in spot.parts
        ],
        "finding": [say(remark) for remark in spot.finding],
        "drills": list(spot.drills),
        "again_in": _ranges(spot.others, cells),
        "same_figure_in": _ranges(spot.like, cells),
        "nearly_in": _ranges(spot.varied, cells),
    }


def _ranges(places: Sequence[range], cells: Sequence[Cell]) -> list[str]:
    return [str(range_of(cells, place[0], place[-1])) for place in places]
