"""What a survey says in sentences.

Enters: a spot. Leaves: text of one language, from the word lists.
"""

from collections.abc import Sequence
from itertools import groupby

from engrave.music.ranges import MeasureRange
from engrave.remarks import Remark
from engrave.survey.model import Cell, LoadShare, Side, Spot
from engrave.survey.naming import mostly_in, whole_measures
from engrave.words import say

TOLD = 4
"""How many parts of a spot are told in figures."""

MOST_NAMED = 6
"""Places that are named where the same music stands too; of more the first ones."""

BUSY = Remark.of("survey.busy")


def finding(spot: Spot, language: str = "en") -> list[str]:
    """What is hard about the spot, as a teacher says it: sentences."""
    return [say(remark, language) for remark in spot.finding or (BUSY,)]


def again(spot: Spot, cells: Sequence[Cell], language: str = "en") -> list[str]:
    """Where the same music stands too, in whole measures and each measure once: sentences."""
    told = {"again": spot.others, "like": spot.like, "varied": spot.varied}
    known = set(mostly_in(cells, spot.span))
    sentences = []
    for kind, places in told.items():
        named: list[MeasureRange] = []
        for place in places:
            bars = [bar for bar in mostly_in(cells, place) if bar not in known]
            known.update(bars)
            named += whole_measures(cells, bars)
        if named:
            sentences.append(say(_again(kind, named), language))
    return sentences


def _again(kind: str, places: Sequence[MeasureRange]) -> Remark:
    """Where it stands, the first places alone where there are many."""
    shown: list[MeasureRange | Remark] = [*places[:MOST_NAMED]]
    if (more := len(places) - MOST_NAMED) > 0:
        shown.append(Remark.of("survey.report.more", count=more))
    single = len(places) == 1 and places[0].first == places[0].last
    return Remark.of(f"survey.report.{kind}", count=1 if single else 2, places=shown)


def figures(spot: Spot, language: str = "en") -> str:
    """The spot's heaviest parts in figures, side by side: ``Right hand: 8.0 notes a second.``"""
    told = sorted(spot.parts[:TOLD], key=lambda part: list(Side).index(part.side))
    sides = groupby(told, key=lambda part: part.side)
    return " ".join(
        say(
            Remark.of("survey.trouble", hand=side, figures=[_figure(part) for part in parts]),
            language,
        )
        for side, parts in sides
    )


def _figure(part: LoadShare) -> Remark:
    return Remark.of(f"survey.load.{part.load}", figure=part.figure)
