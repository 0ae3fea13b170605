"""Beams by the meter's beats, and the hooks of lone short notes.

Enters: a ``Bar``. Leaves: the beams of each of its events, level by level. Beams never cross a beat
of the meter or a bar line (common practice: beams show the beats); in 3/8 and 3/16 the bar is the
beat; in irregular meters its units, quavers or shorter, go in twos and threes, and none stays
alone. Grace notes are beamed among themselves.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import groupby, pairwise

from engrave.music.sheet import Bar, Event, Meter
from engrave.music.units import Quarters
from engrave.notation.tuplets import Indexed, TupletGroup, line

QUARTER, EIGHTH = Fraction(1), Fraction(1, 2)

_LEVELS = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5, "256th": 6}

_IRREGULAR = {5: (3, 2), 7: (2, 2, 3), 8: (3, 3, 2), 11: (3, 3, 3, 2)}
"""How quavers or semiquavers are grouped where that many make no even beats (common practice)."""


def levels(event: Event) -> int:
    """How many beams or flags the event's value has."""
    return 0 if event.is_rest else _LEVELS.get(event.value.type, 0)


@cache
def beat_starts(meter: Meter) -> tuple[Quarters, ...]:
    """Where a full bar's beamed groups begin, in quarters from the bar line; the bar's end last."""
    unit = Fraction(4, meter.beat_type)
    if meter.beat_type >= 8 and meter.beats % 3 == 0:
        sizes = [3] * (meter.beats // 3)
    elif meter.beat_type >= 8 and meter.beats in _IRREGULAR:
        sizes = list(_IRREGULAR[meter.beats])
    else:
        step = max(1, meter.beat_type // 4)
        whole, rest = divmod(meter.beats, step)
        sizes = [step] * whole
        if rest == 1 and sizes:
            sizes[-1] += rest
        elif rest:
            sizes.append(rest)
    starts = [Fraction(0)]
    for size in sizes:
        starts.append(starts[-1] + size * unit)
    return tuple(starts)


def beams(
    bar: Bar, groups: Iterable[TupletGroup], phase: Quarters = Fraction(0)
) -> dict[int, tuple[str, ...]]:
    """The beams of each event that has any, by the index of the event in ``bar``.

    ``groups`` are its tuplets, ``phase`` is where in a full bar of its meter it begins (a pickup
    does not begin at 0).
    The source's own beams, where an event carries them, are kept.
    """
    printed = {index: event.beams for index, event in enumerate(bar.events) if event.beams}
    tuplets = {index: group for group in groups for index in group.indices}
    for voice in sorted({event.voice for event in bar.events}):
        runs = [
            part
            for run in _runs(line(bar, voice), bar.meter, phase, tuplets)
            for part in _at_tuplets(run, tuplets)
        ]
        for run in (*runs, *_grace_runs(bar, voice)):
            printed.update(
                _beam(run, phase, tuplets, QUARTER if bar.meter.beat_type <= 2 else None)
            )
    return printed


def _runs(
    events: list[Indexed], meter: Meter, phase: Quarters, tuplets: dict[int, TupletGroup]
) -> Iterator[list[Indexed]]:
    """Neighbours under one beam: in one beat, or in a tuplet that itself reaches over beats."""
    run: list[Indexed] = []
    for index, event in events:
        if run and not (
            levels(event)
            and event.beams is None
            and event.offset == run[-1][1].end
            and (
                _beat(meter, phase + event.offset) == _beat(meter, phase + run[-1][1].offset)
                or (index in tuplets and tuplets[index] is tuplets.get(run[-1][0]))
            )
        ):
            yield run
            run = []
        if levels(event) and event.beams is None:
            run.append((index, event))
    if run:
        yield run


def _at_tuplets(run: list[Indexed], tuplets: dict[int, TupletGroup]) -> Iterator[list[Indexed]]:
    """The run, divided where a beam would hold a part of a tuplet together with other notes."""
    part: list[Indexed] = []
    for _, notes in groupby(run, key=lambda item: id(tuplets.get(item[0]))):
        more = list(notes)
        group = tuplets.get(more[0][0])
        if group and len(more) < len(group.indices):
            if part:
                yield part
                part = []
            yield more
        else:
            part += more
    if part:
        yield part


def _beat(meter: Meter, position: Quarters) -> tuple[int, int]:
    bars, within = divmod(position, meter.length)
    starts = beat_starts(meter)
    return int(bars), sum(1 for start in starts if start <= within)


def _grace_runs(bar: Bar, voice: int) -> Iterator[list[Indexed]]:
    graces = [(i, e) for i, e in enumerate(bar.events) if e.voice == voice and e.grace]
    beamable = [item for item in graces if levels(item[1]) and item[1].beams is None]
    for _, run in groupby(beamable, key=lambda item: item[1].offset):
        yield list(run)


def _beam(
    run: list[Indexed], phase: Quarters, tuplets: dict[int, TupletGroup], inner: Quarters | None
) -> dict[int, tuple[str, ...]]:
    """Every level of one beamed run; a lone note keeps its flag and gets none.

    ``inner`` is the unit that second beams show in a beat too large for them.
    """
    if len(run) < 2:
        return {}
    deepest = max(levels(event) for _, event in run)
    split = _splits(run, phase, tuplets, EIGHTH if deepest >= 3 else inner)
    marks: dict[int, list[str]] = {index: [] for index, _ in run}
    for level in range(1, deepest + 1):
        joined = [
            levels(left[1]) >= level
            and levels(right[1]) >= level
            and (level == 1 or number not in split)
            for number, (left, right) in enumerate(pairwise(run), start=1)
        ]
        for place, (index, event) in enumerate(run):
            if levels(event) >= level:
                before = place > 0 and joined[place - 1]
                after = place < len(run) - 1 and joined[place]
                marks[index].append(_mark(before, after, _hook(run, place, phase)))
    return {index: tuple(found) for index, found in marks.items()}


def _splits(
    run: list[Indexed], phase: Quarters, tuplets: dict[int, TupletGroup], inner: Quarters | None
) -> set[int]:
    """Before which places only the first beam goes on: tuplets' edges, eighths among 32nds."""
    splits = set()
    for place, (left, right) in enumerate(pairwise(run), start=1):
        edge = tuplets.get(left[0]) is not tuplets.get(right[0])
        unit = inner and right[0] not in tuplets and (phase + right[1].offset) % inner == 0
        if edge or (unit and not right[1].grace):
            splits.add(place)
    return splits


def _mark(before: bool, after: bool, hook: str) -> str:
    if before and after:
        return "continue"
    if before:
        return "end"
    return "begin" if after else hook


def _hook(run: list[Indexed], place: int, phase: Quarters) -> str:
    """A hook points to the note with which its own fills the next larger value."""
    if place == 0:
        return "forward hook"
    if place == len(run) - 1:
        return "backward hook"
    event = run[place][1]
    unit = replace(event.value, dots=0).length
    return "backward hook" if (phase + event.offset) // unit % 2 else "forward hook"
