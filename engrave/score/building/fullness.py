"""Measures that are too full or too short in the source: kept as they are, and said so.

Enters: a sheet. Leaves: sentences. Knows no files. Pickups, and measures that a neighbour
completes, are as they should be.
"""

from collections.abc import Iterable, Iterator, Sequence

from engrave.music.sheet import Sheet
from engrave.music.units import Quarters
from engrave.score.measures import Measure, measures_of, movements_of


def told_fullness(sheet: Sheet) -> Iterator[str]:
    """One sentence for the measures that are too full, one for those that are too short."""
    over, short = misfilled(sheet)
    for found, kind in ((over, "too full for the"), (short, "shorter than the")):
        if found:
            yield f"{_named(found)} {kind} meter: kept as in the score"


def misfilled(sheet: Sheet) -> tuple[list[Measure], list[Measure]]:
    """The measures that are too full, and those that are too short."""
    measures = measures_of(sheet)
    full = [sheet.bars[measure.bars[0]].meter.length for measure in measures]
    counted = [m for m in measures if all(sheet.bars[i].meter_shown for i in m.bars)]
    over = [m for m, asked in zip(measures, full, strict=True) if m in counted and m.length > asked]
    short = [
        measure
        for index, measure in enumerate(measures)
        if measure in counted
        and measure.length < full[index]
        and not _is_excused(sheet, measures, index, full[index])
    ]
    return over, short


def _is_excused(sheet: Sheet, measures: Sequence[Measure], index: int, full: Quarters) -> bool:
    measure = measures[index]
    if any(sheet.bars[bar].implicit for bar in measure.bars):
        return True
    neighbours = [*measures[max(index - 1, 0) : index], *measures[index + 1 : index + 2]]
    if any(measure.length + other.length == full for other in neighbours):
        return True
    movement = next(bars for bars in movements_of(sheet) if measure.bars[0] in bars)
    pickup = sheet.bars[movement.start].length
    return measure.bars[-1] == movement.stop - 1 and measure.length + pickup == full


def _named(measures: Iterable[Measure]) -> str:
    names = [measure.name for measure in measures]
    if len(names) == 1:
        return f"measure {names[0]} is"
    shown, more = names[:8], len(names) - 8
    rest = f" and {more} more" if more > 0 else ""
    return f"measures {', '.join(shown)}{rest} are"
