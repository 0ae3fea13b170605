"""From a sheet, its ladder and a mark to what is heard.

Enters: a ``Sheet``, a ``Ladder``, one of its marks. Leaves: a ``Timeline``. Repeats are played
once, as they are drilled. Knows no files.
"""

from collections.abc import Iterator
from dataclasses import replace

from engrave.music.drill import Ladder
from engrave.music.sheet import Event, Sheet
from engrave.remarks import Remark
from engrave.sound.clicks import Grid, clicks, counted
from engrave.sound.keys import soundings
from engrave.sound.model import Timeline


def timeline(sheet: Sheet, ladder: Ladder, mark: int) -> Timeline:
    """The drill once at ``mark``, with the clicks that count it in and go along."""
    grid = counted(sheet, ladder.beat_unit)
    return Timeline(
        mark=mark,
        unit=ladder.beat_unit,
        count_in=-grid.start,
        end=grid.end,
        soundings=soundings(sheet),
        clicks=clicks(sheet, grid, mark),
    )


def at_mark(heard: Timeline, sheet: Sheet, mark: int) -> Timeline:
    """The same drill at another mark of its ladder."""
    grid = Grid(-heard.count_in, heard.end, heard.unit)
    return replace(heard, mark=mark, clicks=clicks(sheet, grid, mark))


def unplayed(sheet: Sheet) -> tuple[Remark, ...]:
    """What stands in the sheet and is not heard, each kind once."""
    events = [event for _, _, event in sheet.timed()]
    kinds = dict.fromkeys(kind for event in events for kind in _kinds(event))
    if any(bar.repeat_start or bar.repeat_end for bar in sheet.bars):
        kinds["repeat"] = None
    if any(span.kind == "pedal" for span in sheet.spans):
        kinds["pedal"] = None
    return tuple(Remark.of(f"unplayed.{kind}") for kind in kinds)


def _kinds(event: Event) -> Iterator[str]:
    if event.ornaments or event.trill_line:
        yield "ornament"
    if event.fermata:
        yield "fermata"
    if event.tremolo:
        yield "tremolo"
