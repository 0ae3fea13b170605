"""The hardest spots of a terrain, as a musician would mark them.

Enters: lines, a terrain, how much is wanted. Leaves: ``Spot``s, hardest first. A spot grows
from a peak as long as it stays hard, takes in whole runs and where they and the leaps land, ends on
a bar line where most of the measure is in it, and stands for all places where it comes back.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import sqrt

from engrave.music.notes import Hand
from engrave.music.units import Quarters
from engrave.passage.runs import Run, runs
from engrave.survey.alike import joined, other_hand
from engrave.survey.cells import cell_at
from engrave.survey.findings import Scene, findings
from engrave.survey.gestures import gestures_of
from engrave.survey.model import Cell, LoadShare, Side, Spot
from engrave.survey.naming import range_of
from engrave.survey.searched import Searched

SHOULDER = 0.75
"""A spot goes on as long as the beats are this share of its peak."""

EASY = 0.6
"""A beat that is by itself no harder than this share of the peak neither begins nor ends a spot,
unless a run starts or lands there."""

LONGEST = Quarters(8)
MOST_MEASURES = 3
LONGEST_RUN = Quarters(12)
"""Quarters and measures that a spot grows to, and quarters that it takes in for the sake of a
run; a run without end is left at a bar line, on the beat where it lands."""

SHORTEST = 3
"""Beats, or the measure if it has fewer: less is no passage, and grows to its bar lines."""

ONE_HAND = 0.7
"""The share of both hands' squares from which a spot is one hand's trouble."""

FEWEST = 3
"""Places of a piece, where so many are hard."""

HEAVY = 0.04
"""Parts with a smaller share of the difficulty are not told."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """How much of a piece is wanted: so many spots, or such a share of its beats (0 to 1).

    ``without`` are bars that no spot may take in, by their index.
    """

    count: int | None = None
    share: float | None = None
    without: frozenset[int] = frozenset()


SIX = Wanted(count=6)


def spots_of(piece: Searched, wanted: Wanted) -> tuple[Spot, ...]:
    """The spots wanted, hardest first; a share gives one at least, and half of the last may
    be over.

    All are found first, so that fewer are the hardest of more, and each names all that is like it.
    """
    found: list[Spot] = []
    for spot in _in_turn(piece, found, wanted.without):
        if not joined(piece, found, spot):
            found.append(spot)
    found += _over_one_figure(piece, found, wanted.without)
    hardest = sorted(found, key=lambda each: -each.height)[: wanted.count]
    return tuple(_within(hardest, wanted.share, len(piece.cells)))


def _within(hardest: Sequence[Spot], share: float | None, beats: int) -> Iterator[Spot]:
    """The first of the spots, as far as they are a share of so many beats."""
    left = (1.0 if share is None else share) * beats
    for number, spot in enumerate(hardest):
        if number and spot.beats / 2 > left:
            return
        yield spot
        left -= spot.beats


def _over_one_figure(
    piece: Searched, chosen: Sequence[Spot], without: Collection[int]
) -> list[Spot]:
    """Where a figure of one hand is all there was to find, what goes on beside it: never more than
    makes ``FEWEST`` of it all."""
    busy = {hand for each in chosen for hand in each.hands}
    if len(chosen) >= FEWEST or len(busy) != 1:
        return []
    rest = replace(piece, weighed=piece.weighed.without(Side(busy.pop())))
    beside: list[Spot] = []
    for spot in _hardest(rest, without):
        if len(chosen) + len(beside) == FEWEST:
            break
        if not joined(rest, beside, spot):
            beside.append(spot)
    return beside


def _in_turn(piece: Searched, chosen: list[Spot], without: Collection[int]) -> Iterator[Spot]:
    """The spots by their heights, ``chosen`` being those that were taken.

    Where the harder hand of two plays what a harder place has already, the other stands alone.
    """
    alone: list[Spot] = []
    for spot in _hardest(piece, without):
        while alone and alone[-1].height >= spot.height:
            yield alone.pop()
        hand = other_hand(piece, chosen, spot)
        if hand is None:
            yield spot
        else:
            heights = piece.weighed.of(Side(hand))
            height = max(heights[index] for index in spot.span)
            alone.append(_spot(piece, spot.first, spot.last, (hand,), height, ()))
            alone.sort(key=lambda each: each.height)
    yield from reversed(alone)


def _hardest(piece: Searched, without: Collection[int]) -> Iterator[Spot]:
    heights = piece.weighed.heights
    free = [
        height > 0 and cell.bar not in without
        for height, cell in zip(heights, piece.cells, strict=True)
    ]
    peaks = sorted(range(len(heights)), key=lambda index: (-heights[index], index))
    near = set[int]()
    for peak in peaks:
        if not free[peak] or peak in near:
            continue
        first, last = _trimmed(piece, *_grown(piece, peak, free), heights[peak])
        hands = _hands(piece, first, last)
        plain_runs = [run for hand in hands for run in _plain_runs(piece, hand, first, last)]
        first, last = _with_runs(piece, first, last, plain_runs, free)
        first = _with_leap(piece, first, hands, free)
        first, last = _to_bar_lines(piece, first, last, free)
        length = last - first
        again = piece.contents.elsewhere(first, last, hands)
        untaken = [start for start in again if all(free[start : start + length + 1])]
        first, *others = sorted((first, *untaken))
        last = first + length
        for start in (first, *others):
            for index in range(start, start + last - first + 1):
                free[index] = False
            near |= {start - 2, start - 1, start + last - first + 1, start + last - first + 2}
        yield _spot(piece, first, last, hands, heights[peak], others)


def _plain_runs(piece: Searched, hand: Hand, first: int, last: int) -> list[Run]:
    """The runs of a hand around some cells, as far as a spot may reach for them.

    Where the hand leaps at every fourth note or more it plays an accompaniment, and no run.
    """
    line = piece.lines[hand]
    times = [onset.time for onset in line.onsets]
    begin = bisect_left(times, piece.cells[first].start - LONGEST_RUN)
    end = bisect_right(times, piece.cells[last].end + LONGEST_RUN)
    return [
        run
        for run in runs(line.onsets[begin:end], lambda bar: piece.meters[bar])
        if 4 * sum(piece.leaping[hand][note.index] for note in run.notes[1:]) < len(run.notes)
    ]


def _grown(piece: Searched, peak: int, free: Sequence[bool]) -> tuple[int, int]:
    """From the peak to either side, the higher side first, while it stays hard and short."""
    cells, heights = piece.cells, piece.weighed.heights
    least = SHOULDER * heights[peak]
    first = last = peak
    while True:
        sides = [
            index
            for index in (first - 1, last + 1)
            if 0 <= index < len(cells) and free[index] and heights[index] >= least
        ]
        if not sides:
            return first, last
        best = max(sides, key=lambda index: heights[index])
        new = min(first, best), max(last, best)
        bars = cells[new[1]].bar - cells[new[0]].bar + 1
        if cells[new[1]].end - cells[new[0]].start > LONGEST or bars > MOST_MEASURES:
            return first, last
        first, last = new


def _trimmed(piece: Searched, first: int, last: int, height: float) -> tuple[int, int]:
    """Without easy beats at the ends, which only stand beside hard ones; one beat always stays."""
    own = [sqrt(sum(piece.weighed.at(side, index) for side in piece.weighed.squares))
           for index in range(first, last + 1)]  # fmt: skip
    hard = [index for index, beat in enumerate(own, first) if beat >= EASY * height]
    return (hard[0], hard[-1]) if hard else (first, last)


def _hands(piece: Searched, first: int, last: int) -> tuple[Hand, ...]:
    """The hand that has the trouble almost alone, else both.

    Of a piece without what one hand has to do alone, both where what they do together is more.
    """

    def asked(side: Side) -> float:
        return sum(piece.weighed.at(side, index) for index in range(first, last + 1))

    sums = {hand: asked(Side(hand)) for hand in piece.lines}
    whole = sum(sums.values())
    is_joint = 0 in sums.values() and asked(Side.TOGETHER) > whole
    alone = [hand for hand, part in sums.items() if part >= ONE_HAND * whole and not is_joint]
    return tuple(alone) or tuple(hand for hand, line in piece.lines.items() if line.onsets)


def _with_runs(
    piece: Searched, first: int, last: int, plain_runs: Sequence[Run], free: Sequence[bool]
) -> tuple[int, int]:
    """As far as the quickest runs reach that the spot cuts, up to where they land.

    A run that would take it too far is left at a bar line, on the beat where it lands.
    """
    cells = piece.cells
    starts = [cell.start for cell in cells]
    start, end = cells[first].start, cells[last].end
    inside = [run for run in plain_runs if run.end > start and run.start < end]
    quickest = min((run.value for run in inside), default=None)
    firsts, lasts = [first], [last]
    for run in inside:
        if run.value != quickest:
            continue
        lands = run.landing.time if run.landing else run.notes[-1].time
        ends = min(first, cell_at(starts, run.start)), max(last, cell_at(starts, lands))
        bars = cells[ends[1]].bar - cells[ends[0]].bar
        if cells[ends[1]].end - cells[ends[0]].start > LONGEST_RUN or bars > MOST_MEASURES:
            ends = _measure_start(cells, first), _next_measure(cells, last)
        firsts.append(ends[0])
        lasts.append(ends[1])
    return _while_free(first, min(firsts), free), _while_free(last, max(lasts), free)


def _measure_start(cells: Sequence[Cell], index: int) -> int:
    while index > 0 and not cells[index].opens:
        index -= 1
    return index


def _next_measure(cells: Sequence[Cell], index: int) -> int:
    """The first beat after the measure of a cell, unless the cell is such a beat itself."""
    while index < len(cells) - 1 and not cells[index].opens:
        index += 1
    return index


def _while_free(start: int, goal: int, free: Sequence[bool]) -> int:
    step = 1 if goal > start else -1
    while start != goal and free[start + step]:
        start += step
    return start


def _with_leap(piece: Searched, first: int, hands: Sequence[Hand], free: Sequence[bool]) -> int:
    """One beat more where the first thing is a landing: a leap begins where it takes off."""
    starts = [cell.start for cell in piece.cells]
    if first == 0 or not free[first - 1]:
        return first
    for hand in hands:
        onsets = piece.lines[hand].onsets
        index = next((o.index for o in onsets if o.time >= starts[first]), 0)
        landings = piece.terrain.figures[Side(hand)]["leaps"]
        if (
            index
            and landings[first]
            and cell_at(starts, onsets[index].time) == first
            and cell_at(starts, onsets[index - 1].time) == first - 1
        ):
            return first - 1
    return first


def _to_bar_lines(piece: Searched, first: int, last: int, free: Sequence[bool]) -> tuple[int, int]:
    """Whole measures where more than half of a measure's beats are in."""
    cells = piece.cells
    opening, closing = _measure_start(cells, first), _measure_end(cells, last)
    beats = _measure_end(cells, first) - opening + 1
    is_short = last - first + 1 < min(beats, SHORTEST)
    if (is_short or first - opening < beats / 2) and all(free[opening:first]):
        first = opening
    beats = closing - _measure_start(cells, last) + 1
    if (is_short or closing - last < beats / 2) and all(free[last + 1 : closing + 1]):
        last = closing
    return first, last


def _measure_end(cells: Sequence[Cell], index: int) -> int:
    while index < len(cells) - 1 and not cells[index].closes:
        index += 1
    return index


def _spot(
    piece: Searched,
    first: int,
    last: int,
    hands: tuple[Hand, ...],
    height: float,
    others: Sequence[int],
) -> Spot:
    length = last - first
    measures = range_of(piece.cells, first, last)
    struck = _struck(piece, hands, first, last)
    parts = _parts(piece, first, last, hands)
    inside = {hand: _plain_runs(piece, hand, first, last) for hand in piece.lines}
    scene = Scene(
        piece.lines, piece.cells, piece.terrain.figures, first, last, inside, piece.leaping
    )
    return Spot(
        first=first,
        last=last,
        measures=measures,
        label=measures.label,
        hands=hands,
        height=height,
        parts=parts,
        others=tuple(range(at, at + length + 1) for at in others),
        finding=findings(scene, parts),
        strokes=len(struck),
        moments=len(set(struck)),
        at_once=_at_once(piece, first, last, hands),
        gestures={
            Side(hand): gestures_of(line, piece.cells, first, last)
            for hand, line in piece.lines.items()
        },
    )


def _struck(piece: Searched, hands: Iterable[Hand], first: int, last: int) -> list[Quarters]:
    """When each of the hands strikes in some cells."""
    start, end = piece.cells[first].start, piece.cells[last].end
    times = (onset.time for hand in hands for onset in piece.lines[hand].onsets)
    return [time for time in times if start <= time < end]


def _at_once(piece: Searched, first: int, last: int, hands: Sequence[Hand]) -> float:
    """The part of the hands' squares that the harder hand has, or the other on the same beats."""
    by_beat = [
        [piece.weighed.at(Side(hand), index) for hand in hands] for index in range(first, last + 1)
    ]
    sums = [sum(beats) for beats in zip(*by_beat, strict=True)]
    if len(hands) == 1 or not sum(sums):
        return 1.0
    return float((max(sums) + sum(map(min, by_beat))) / sum(sums))


def _parts(piece: Searched, first: int, last: int, hands: Sequence[Hand]) -> tuple[LoadShare, ...]:
    """The loads of the spot's hands, and of both together, by their share of the squares."""
    sides = [Side(hand) for hand in hands] + ([Side.TOGETHER] if len(hands) > 1 else [])
    sums = {
        (side, load): sum(squares[first : last + 1])
        for side in sides
        for load, squares in piece.weighed.squares[side].items()
    }
    whole = sum(sums.values()) or 1.0
    figures = piece.terrain.figures
    parts = [
        LoadShare(load, side, max(figures[side][load][first : last + 1]), total / whole)
        for (side, load), total in sums.items()
        if total >= HEAVY * whole
    ]
    return tuple(sorted(parts, key=lambda part: (-part.share, part.side, part.load)))
