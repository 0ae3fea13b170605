"""How some beats of a score are named: by their measures.

Enters: cells. Leaves: a ``MeasureRange``. Knows no difficulty.
"""

from collections.abc import Iterable, Sequence
from itertools import takewhile

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


def in_order(labels: Iterable[str]) -> tuple[str, ...]:
    """Labels of ranges by the number they begin with."""
    return tuple(sorted(labels, key=lambda name: int("".join(takewhile(str.isdigit, name)) or 0)))
