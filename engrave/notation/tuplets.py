"""Which notes stand under one tuplet number.

Enters: a bar. Leaves: its tuplet groups and the signs that begin and end them. A group is complete
when its notes fill ``normal`` of a plain value not shorter than its shortest note or dot; where
that leaves a choice (eighth, two sixteenths, eighth: one triplet or two), the source's beams tell.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from engrave.music.notes import NOTE_TYPES, Hand, Tuplet
from engrave.music.sheet import Bar, Event, are_twins

_PLAIN = {length: name for name, length in NOTE_TYPES.items()}

Indexed = tuple[int, Event]
"""An event with its index in its bar."""


@dataclass(frozen=True, slots=True)
class TupletGroup:
    """The events of one tuplet by their indices in the bar, first to last.

    ``unit`` is the note type of which the tuplet counts so many (a triplet of a quarter and an
    eighth counts eighths); None for a part of a tuplet.
    """

    indices: tuple[int, ...]
    tuplet: Tuplet
    unit: str | None


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a tuplet begins or ends (``start``, ``stop``), its number's side and bracket."""

    type: str
    bracket: bool
    placement: str | None


def line(bar: Bar, voice: int) -> list[Indexed]:
    """The notes and rests of one voice in order of time; no graces, each chord once."""
    events = [(i, e) for i, e in enumerate(bar.events) if e.voice == voice and not e.grace]
    events.sort(key=lambda item: item[1].offset)
    return [
        item
        for place, item in enumerate(events)
        if not (place and are_twins(events[place - 1][1], item[1]))
    ]


def groups(events: Iterable[Indexed]) -> list[TupletGroup]:
    """The tuplet groups of one voice's ``line``."""
    brackets: list[TupletGroup] = []
    run: list[Indexed] = []
    for index, event in events:
        if run and (
            event.value.tuplet != run[-1][1].value.tuplet or event.offset != run[-1][1].end
        ):
            brackets.append(_group(run))
            run = []
        if event.value.tuplet and not _is_unnumbered(event):
            run.append((index, event))
            plain = [each for _, each in run]
            if _complete(plain, event.value.tuplet) and not _is_half(plain):
                brackets.append(_group(run))
                run = []
    return [*brackets, _group(run)] if run else brackets


def _is_unnumbered(event: Event) -> bool:
    """A rest for the whole bar; a tremolo between two notes, whose values show their sum."""
    return event.whole_bar or (event.tremolo or "").startswith(("start", "stop"))


def _group(run: list[Indexed]) -> TupletGroup:
    tuplet = run[0][1].value.tuplet
    assert tuplet is not None
    events = [event for _, event in run]
    unit = _PLAIN[_unit(events, tuplet)] if _complete(events, tuplet) else None
    return TupletGroup(tuple(index for index, _ in run), tuplet, unit)


def _complete(events: list[Event], tuplet: Tuplet) -> bool:
    unit = _unit(events, tuplet)
    return len(events) > 1 and unit in _PLAIN and unit >= min(map(_division, events))


def _is_half(events: list[Event]) -> bool:
    """Whether the source joins the last of unlike notes to what follows by an inner beam."""
    inner = (events[-1].beams or ())[1:2]
    unlike = len({event.value.type for event in events}) > 1
    return unlike and inner in (("begin",), ("continue",))


def _unit(events: list[Event], tuplet: Tuplet) -> Fraction:
    return sum((event.length for event in events), Fraction(0)) / tuplet.normal


def _division(event: Event) -> Fraction:
    """The plain value that the event is made of: the last dot's share of a dotted one."""
    return NOTE_TYPES[event.value.type] * Fraction(1, 2**event.value.dots)


def tuplets_of(bar: Bar) -> list[TupletGroup]:
    """The tuplet groups of all voices of ``bar``."""
    voices = sorted({event.voice for event in bar.events})
    return [group for voice in voices for group in groups(line(bar, voice))]


def units(tuplets: Iterable[TupletGroup]) -> dict[int, str]:
    """The note type that the tuplet of an event counts, by the event's index in its bar."""
    return {index: group.unit for group in tuplets if group.unit for index in group.indices}


def marks(
    bar: Bar, tuplets: Iterable[TupletGroup], beams: Mapping[int, tuple[str, ...]]
) -> dict[int, tuple[Mark, ...]]:
    """The marks of every event that begins or ends a tuplet, by its index in ``bar``.

    A hand's numbers stand on the other side than its fingers, where it has the staff to itself. A
    note or two, of a tuplet of which the rest is not there, have a number and no bracket.
    """
    signs: dict[int, tuple[Mark, ...]] = {}
    for group in tuplets:
        is_whole = group.unit is not None or len(group.indices) > 2
        bracket = is_whole and len(group.indices) > 1 and not _one_beam(group, beams)
        placement = _placement(bar, bar.events[group.indices[0]])
        for index, type_ in ((group.indices[0], "start"), (group.indices[-1], "stop")):
            signs[index] = (*signs.get(index, ()), Mark(type_, bracket, placement))
    return signs


def _placement(bar: Bar, event: Event) -> str | None:
    if len({other.voice for other in bar.events if other.staff == event.staff}) > 1:
        return None
    return "below" if event.hand is Hand.RIGHT else "above"


def _one_beam(group: TupletGroup, beams: Mapping[int, tuple[str, ...]]) -> bool:
    """Whether one beam begins and ends with the group, so that the number alone is clear."""
    if len(group.indices) < 2:
        return False
    first, *middle, last = (beams.get(index, ()) for index in group.indices)
    return any(
        first[level] == "begin"
        and last[level] == "end"
        and all(len(beam) > level and beam[level] == "continue" for beam in middle)
        for level in range(min(len(first), len(last)))
    )
