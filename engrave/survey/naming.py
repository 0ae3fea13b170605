"""How some beats of a score are named: by their measures.

Enters: cells. Leaves: a ``MeasureRange``. Knows no difficulty.
"""

from collections.abc import Iterable, Sequence
from itertools import takewhile

from engrave.music.ranges import MeasureRange
from engrave.music.units import Quarters
from engrave.survey.model import Cell


def range_of(cells: Sequence[Cell], first: int, last: int) -> MeasureRange:
    """The measures of some cells, with beats where they do not begin or end with the measure."""
    start, end = cells[first], cells[last]
    return MeasureRange(
        start.measure,
        None if start.opens else Quarters(start.beat),
        end.measure,
        None if end.closes else Quarters(end.beat),
    )


def in_order(labels: Iterable[str]) -> tuple[str, ...]:
    """Labels of ranges by the number they begin with."""
    return tuple(sorted(labels, key=lambda name: int("".join(takewhile(str.isdigit, name)) or 0)))
