"""What a survey says in sentences.

Enters: a stretch. Leaves: text of one language, from the word lists.
"""

from itertools import groupby

from engrave.music.drill import Remark
from engrave.survey.model import LoadShare, Side, Stretch
from engrave.words import say

TOLD = 4
"""How many parts of a stretch are told in figures."""

BUSY = Remark.of("survey.busy")


def finding(stretch: Stretch, language: str = "en") -> list[str]:
    """What is hard about the stretch, as a teacher says it: sentences."""
    return [say(remark, language) for remark in stretch.finding or (BUSY,)]


def again(stretch: Stretch, language: str = "en") -> list[str]:
    """Where the same music stands too: sentences."""
    told = {"again": stretch.others, "like": stretch.like, "varied": stretch.varied}
    return [
        say(Remark.of(f"survey.report.{kind}", places=list(places)), language)
        for kind, places in told.items()
        if places
    ]


def figures(stretch: Stretch, language: str = "en") -> str:
    """The stretch's heaviest parts in figures, side by side: ``Right hand: 8.0 notes a second.``"""
    told = sorted(stretch.parts[:TOLD], key=lambda part: list(Side).index(part.side))
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
