"""Where a sheet can be cut without tearing a tuplet.

Enters: a sheet and a moment. Leaves: whether a tuplet is torn there, and the nearest beat where
none is. Knows nothing of files.
"""

from collections.abc import Iterator
from itertools import groupby

from engrave.music.notes import NOTE_TYPES
from engrave.music.sheet import Bar, Event, Moment, Sheet
from engrave.music.units import Quarters


def tears_tuplet(bar: Bar, offset: Quarters) -> bool:
    """Whether a bar line at ``offset`` would fall inside a tuplet of any voice."""
    return any(
        run[0].offset < offset < run[-1].end and not _is_seam(run, offset) for run in _runs(bar)
    )


def nearest_beat(sheet: Sheet, moment: Moment, ends: bool = False) -> Moment | None:
    """The beat nearest to ``moment`` at which no tuplet is torn.

    Of two as near the one that takes more in: the later one where a passage ``ends``.
    """
    starts = sheet.starts
    wanted = starts[moment.bar] + moment.offset
    beats = (
        Moment(index, beat * bar.meter.beat)
        for index, bar in enumerate(sheet.bars)
        if abs(index - moment.bar) <= 1
        for beat in range(int(bar.length / bar.meter.beat) + 1)
    )
    whole = [beat for beat in beats if not tears_tuplet(sheet.bars[beat.bar], beat.offset)]

    def distance(beat: Moment) -> tuple[Quarters, Quarters]:
        time = starts[beat.bar] + beat.offset
        return abs(time - wanted), -time if ends else time

    # a bar's end and the next one's start are one moment, named as the latter
    return min(whole, key=lambda beat: (*distance(beat), -beat.bar), default=None)


def _runs(bar: Bar) -> Iterator[list[Event]]:
    """Consecutive events of one voice that stand in tuplets of one ratio."""
    played = sorted(
        (event for event in bar.events if not event.grace), key=lambda e: (e.voice, e.offset)
    )
    for (_, tuplet), group in groupby(played, key=lambda event: (event.voice, event.value.tuplet)):
        if tuplet is not None:
            yield list(group)


def _is_seam(run: list[Event], offset: Quarters) -> bool:
    """Whether one tuplet of the run ends at ``offset`` and another begins.

    A tuplet holds ``normal`` of its smallest notes' plain values (MusicXML 4.0,
    ``time-modification``); beats never fall between two such stretches of one printed tuplet.
    """
    tuplet = run[0].value.tuplet
    assert tuplet is not None
    unit = min(NOTE_TYPES[event.value.type] for event in run)
    whole = ((offset - run[0].offset) / (tuplet.normal * unit)).denominator == 1
    return whole and any(event.offset == offset for event in run)
