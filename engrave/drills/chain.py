"""Chain: the passage link by link, each link running on into the beat that begins the next.

Enters: a passage. Leaves: one drill a direction, ``by-beat`` or ``by-measure``, ``forward`` or
``backward``, with ``-grow`` link added to link. Research gives forward chaining the edge (Ash and
Holding 1990), so it is the default.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    nothing_to_drill,
    option,
    source_note,
)
from engrave.drills.links import Link, laid
from engrave.marks.readers import value
from engrave.marks.scalars import name, yes_or_no
from engrave.marks.tables import DIRECTIONS, LINKS
from engrave.music.drill import Drill
from engrave.music.values import UnprintableError
from engrave.passage.model import Passage
from engrave.remarks import Remark

_DIRECTIONS = {"both": ("forward", "backward")}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainOptions(Options):
    """How long the links are (without ``by`` as the passage's length asks), and which way.

    ``grow`` adds link to link: 1, 1–2, 1–3 …
    """

    by: str | None = option(value(name("link", ("beat", "measure"), LINKS)), None)
    grow: bool = option(value(yes_or_no), False)
    direction: str = option(
        value(name("direction", ("forward", "backward", "both"), DIRECTIONS)), "forward"
    )


def make(passage: Passage, options: ChainOptions) -> Made:
    """The chain in the direction asked for; by measure where beats cut a tuplet and none is asked.

    Thirteen notes over two beats have no note on the second.
    """
    by = options.by or _usual(passage)
    try:
        return _made(passage, options, by)
    except UnprintableError:
        if options.by or len(_worth_playing(passage, list(_links(passage, "measure")))) < 2:
            raise
        return _made(passage, options, "measure")


def _made(passage: Passage, options: ChainOptions, by: str) -> Made:
    direction = options.direction
    links = _worth_playing(passage, list(_links(passage, by)))
    if len(links) < 2:
        smaller = (
            by == "measure" and len(_worth_playing(passage, list(_links(passage, "beat")))) > 1
        )
        raise nothing_to_drill(
            passage,
            "chain",
            f"it is one {by} long, and a chain needs two links",
            "make its links smaller, {chain: {by: beat}}, or widen the measures"
            if smaller
            else "drop chain from this passage's drills, or widen its measures",
            options.place("by"),
        )
    return Made(
        tuple(
            _drill(passage, options, links, by, each)
            for each in _DIRECTIONS.get(direction, (direction,))
        )
    )


def steps_in(passage: Passage) -> int:
    """First of all families, where there are two links or more."""
    return int(len(_worth_playing(passage, list(_links(passage, _usual(passage))))) > 1)


def _usual(passage: Passage) -> str:
    return "beat" if _beats(passage) <= 8 else "measure"


def _beats(passage: Passage) -> Fraction:
    return passage.sheet.length / passage.sheet.bars[0].meter.beat


def _links(passage: Passage, by: str) -> Iterator[Link]:
    total = passage.sheet.length
    for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True):
        end, size = start + bar.length, bar.meter.beat if by == "beat" else bar.length
        lead = bar.lead % size
        now = start
        while now < end:
            stop = min(now + size - lead, end)
            lead = Fraction(0)
            yield Link(now, stop, min(stop + bar.meter.beat, total), bar.meter)
            now = stop


def _worth_playing(passage: Passage, links: list[Link]) -> list[Link]:
    """The links that strike something new; a last one that is no more than the arrival is not."""
    times = sorted({onset.time for hand in passage.hands for onset in passage.lines[hand]})

    def struck(link: Link) -> int:
        return sum(link.start <= time < link.end for time in times)

    kept = [link for link in links if struck(link)]
    if len(kept) > 2 and struck(kept[-1]) == 1 and kept[-2].end == kept[-1].start:
        kept.pop()
    return kept


def _grown(links: Sequence[Link], forward: bool) -> list[Link]:
    """Link added to link, from the first or from the last; the whole is the passage itself."""
    first, last = links[0], links[-1]
    if forward:
        return [replace(link, start=first.start, meter=first.meter) for link in links[:-1]]
    return [replace(last, start=link.start, meter=link.meter) for link in reversed(links[1:])]


def _drill(
    passage: Passage, options: ChainOptions, links: Sequence[Link], by: str, direction: str
) -> Drill:
    variant, forward = f"by-{by}-{direction}", direction == "forward"
    ordered = list(links if forward else links[::-1])
    if options.grow:
        variant, ordered = f"{variant}-grow", _grown(links, forward)
    sheet, onsets = laid(passage, ordered)
    return drill_of(
        passage,
        options,
        ("chain", variant),
        passage.hands,
        sheet,
        map(source_note, onsets),
    )


def never(drill: Drill) -> Remark | None:
    """Why it is none where no link runs on into another: the passage without its rests."""
    if sum(map(len, drill.written)) > len(drill.source):
        return None
    return Remark.of("never.no-links")


FAMILY = Family("chain", make, ChainOptions, never=never, steps_in=steps_in)
