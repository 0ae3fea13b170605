"""How some beats of a score are named: by their measures.

Enters: cells. Leaves: ``MeasureRange``s. Knows no difficulty.
"""

from collections import Counter
from collections.abc import Iterable, Sequence

from engrave.music.ranges import MeasureRange
from engrave.music.units import Quarters
from engrave.survey.model import Cell


def range_of(cells: Sequence[Cell], first: int, last: int) -> MeasureRange:
    """The measures of some cells, with beats where they do not begin or end with the measure.

    A part of one measure is named by both its beats: ``4.3-4.4``, which nobody reads as ``4.3-4``.
    """
    start, end = cells[first], cells[last]
    is_part = start.bar == end.bar and not (start.opens and end.closes)
    return MeasureRange(
        start.measure,
        Quarters(start.beat) if is_part or not start.opens else None,
        end.measure,
        Quarters(end.beat) if is_part or not end.closes else None,
    )


def in_order(places: Iterable[range]) -> tuple[range, ...]:
    """Places as they come in the score, each once."""
    return tuple(sorted(set(places), key=lambda place: (place.start, place.stop)))


def mostly_in(cells: Sequence[Cell], place: range) -> list[int]:
    """The bars of which a place has more than half: a landing and an upbeat are left out."""
    whole = Counter(cell.bar for cell in cells)
    inside = Counter(cells[index].bar for index in place)
    return [bar for bar, count in inside.items() if 2 * count > whole[bar]]


def whole_measures(cells: Sequence[Cell], bars: Iterable[int]) -> list[MeasureRange]:
    """Bars that follow each other as one range of measures each."""
    names = {cell.bar: cell.measure for cell in cells}
    ranges: list[list[int]] = []
    for bar in sorted(bars):
        if ranges and bar == ranges[-1][-1] + 1:
            ranges[-1].append(bar)
        else:
            ranges.append([bar])
    return [MeasureRange(names[each[0]], None, names[each[-1]], None) for each in ranges]
