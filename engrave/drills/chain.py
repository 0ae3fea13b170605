"""Chain: the passage link by link, each link running on into the beat that begins the next.

Enters: a passage. Leaves: one drill a direction, ``by-beat`` or ``by-measure``, ``forward`` or
``backward``. Research gives forward chaining the edge (Ash and Holding 1990), so it is the default.
A hand's voices are written as one line: what is held through another note is cut at that note.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from engrave.drills.barring import Room, Written, bar_up
from engrave.drills.family import (
    Family,
    Made,
    Options,
    clef_at,
    drill_of,
    key_at,
    left_out_of,
    nothing_to_drill,
    option,
    source_note,
    written,
)
from engrave.marks.readers import value
from engrave.marks.scalars import name
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Meter
from engrave.music.units import Quarters, is_dotted
from engrave.passage.model import Passage

_DIRECTIONS = {"both": ("forward", "backward")}


@dataclass(frozen=True, slots=True)
class _Link:
    """A stretch of the passage, in quarters, and the beat it runs on into (empty for the last)."""

    start: Quarters
    end: Quarters
    arrival: Quarters
    meter: Meter


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainOptions(Options):
    """How long the links are (without ``by`` as the passage's length asks), and which way."""

    by: str | None = option(value(name("link", ("beat", "measure"))), None)
    direction: str = option(value(name("direction", ("forward", "backward", "both"))), "forward")


def make(passage: Passage, options: ChainOptions) -> Made:
    """The chain in the direction asked for."""
    by, direction = options.by or _usual(passage), options.direction
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
            _drill(passage, options, links, f"by-{by}-{each}")
            for each in _DIRECTIONS.get(direction, (direction,))
        )
    )


def steps_in(passage: Passage) -> bool:
    """Whether there are two links or more."""
    return len(_worth_playing(passage, list(_links(passage, _usual(passage))))) > 1


def _usual(passage: Passage) -> str:
    return "beat" if _beats(passage) <= 8 else "measure"


def _beats(passage: Passage) -> Fraction:
    return passage.sheet.length / passage.sheet.bars[0].meter.beat


def _links(passage: Passage, by: str) -> Iterator[_Link]:
    total = passage.sheet.length
    for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True):
        end, size = start + bar.length, bar.meter.beat if by == "beat" else bar.length
        lead = (bar.meter.length - bar.length) % size if bar.implicit else Fraction(0)
        now = start
        while now < end:
            stop = min(now + size - lead, end)
            lead = Fraction(0)
            yield _Link(now, stop, min(stop + bar.meter.beat, total), bar.meter)
            now = stop


def _worth_playing(passage: Passage, links: list[_Link]) -> list[_Link]:
    """The links that strike something new; a last one that is no more than the arrival is not."""
    times = sorted({onset.time for hand in passage.hands for onset in passage.lines[hand]})

    def struck(link: _Link) -> int:
        return sum(link.start <= time < link.end for time in times)

    kept = [link for link in links if struck(link)]
    if len(kept) > 2 and struck(kept[-1]) == 1 and kept[-2].end == kept[-1].start:
        kept.pop()
    return kept


def _drill(passage: Passage, options: ChainOptions, links: Sequence[_Link], variant: str) -> Drill:
    onsets = sorted(
        (onset for hand in passage.hands for onset in passage.lines[hand]),
        key=lambda onset: (onset.time, onset.hand.staff),
    )
    index = {(onset.time, onset.hand): number for number, onset in enumerate(onsets)}
    ordered = links[::-1] if variant.endswith("backward") else links
    bars, lines, now = [], {hand: list[Written]() for hand in passage.hands}, Fraction(0)
    for link in ordered:
        rooms = list(_rooms(link))
        length = sum((room.length for room in rooms), Fraction(0))
        for hand in passage.hands:
            lines[hand] += _lay(passage, hand, link, now, length, index)
        bars += rooms
        now += length
    sheet = bar_up(
        lines.values(),
        bars,
        key_at(passage, 0),
        tuple(sorted(hand.staff for hand in passage.hands)),
        label_again=True,
    )
    return drill_of(
        passage,
        options,
        ("chain", variant),
        passage.hands,
        sheet,
        map(source_note, onsets),
        left_out=left_out_of(onsets),
    )


def _rooms(link: _Link) -> Iterator[Room]:
    """A beat and the arrival share a bar of two beats; a measure's arrival has a bar of its own."""
    length, beat = link.end - link.start, link.meter.beat
    if length <= beat:
        meter = Meter(6, int(12 / beat)) if is_dotted(beat) else Meter(2, int(4 / beat))
        yield Room(meter.length, meter)
        return
    if length != link.meter.length:
        yield Room(length, link.meter, link.meter.length - length, implicit=True)
    else:
        yield Room(length, link.meter)
    if link.arrival > link.end:
        yield Room(link.meter.length, link.meter)


def _lay(
    passage: Passage,
    hand: Hand,
    link: _Link,
    now: Quarters,
    length: Quarters,
    index: dict[tuple[Quarters, Hand], int],
) -> Iterator[Written]:
    """The hand's onsets inside the link, then its first onset of the arrival, held to the end.

    What already sounds where the link begins is struck anew; the last link's last onset is held.
    """
    line = passage.lines[hand]
    inside = [o for o in line if o.time < link.end and o.time + o.length > link.start]
    inside = [o for o in inside if o.time >= link.start or o is _last_before(inside, link.start)]
    landing = next((o for o in line if link.end <= o.time < link.arrival), None)
    nexts = [*inside[1:], landing][: len(inside)]
    for onset, following in zip(inside, nexts, strict=True):
        start = max(onset.time, link.start)
        end = min(onset.time + onset.length, link.start + length)
        if following:
            end = min(end, following.time)
        elif link.arrival == link.end:
            end = link.start + length
        yield _note(passage, onset, index, now + start - link.start, end - start)
    if landing:
        start = now + landing.time - link.start
        yield _note(passage, landing, index, start, now + length - start)


def _last_before(onsets: Sequence[Onset], time: Quarters) -> Onset | None:
    return next((onset for onset in reversed(onsets) if onset.time < time), None)


def _note(
    passage: Passage,
    onset: Onset,
    index: dict[tuple[Quarters, Hand], int],
    time: Quarters,
    length: Quarters,
) -> Written:
    clef = clef_at(passage, onset.staff, onset.time)
    return written(onset, index[onset.time, onset.hand], time, length, clef, onset.articulations)


FAMILY = Family("chain", make, ChainOptions, steps_in=steps_in)
