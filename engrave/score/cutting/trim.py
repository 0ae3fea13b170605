"""An event of which only a part lies inside a cut.

Enters: an event, its bar, the edges. Leaves: the events that are printed for what sounds inside.
Knows nothing of the rest of the cut.
"""

from collections.abc import Iterator
from dataclasses import replace

from engrave.errors import EngraveError
from engrave.music.sheet import Bar, Event, Tone
from engrave.music.units import Quarters
from engrave.music.values import UnprintableError, spell


def trimmed(event: Event, bar: Bar, low: Quarters, high: Quarters) -> Iterator[Event]:
    """What of ``event`` lies between ``low`` and ``high``, in its bar's own offsets."""
    if event.grace:
        at_the_end = event.offset == high == bar.length
        if low <= event.offset < high or at_the_end:
            yield event
    elif low <= event.offset and event.end <= high:
        yield event
    elif event.whole_bar:
        yield replace(event, offset=low, length=high - low)
    elif event.offset < high and event.end > low:
        yield from _pieces(event, bar, max(event.offset, low), min(event.end, high))


def _pieces(event: Event, bar: Bar, start: Quarters, end: Quarters) -> Iterator[Event]:
    try:
        values = spell([(start, end)], bar.meter, bar.lead)
    except UnprintableError as error:
        raise EngraveError(
            f"measure {bar.name} cannot be cut here: {error}", hint="choose another beat"
        ) from None
    entered = event.offset < start
    for index, piece in enumerate(values):
        is_first, is_last = index == 0, index == len(values) - 1
        stays = is_first and not entered
        yield replace(
            event,
            offset=piece.offset,
            length=piece.value.length,
            value=piece.value,
            tones=tuple(_tone(tone, is_first, is_last) for tone in event.tones),
            articulations=event.articulations if stays else (),
            ornaments=event.ornaments if stays else (),
            tremolo=event.tremolo if stays else None,
            trill_line=event.trill_line if stays else None,
            arpeggio=event.arpeggio and stays,
            fermata=event.fermata and is_last,
            beams=None if event.beams is None else (),
        )


def _tone(tone: Tone, is_first: bool, is_last: bool) -> Tone:
    """A tone of one piece; ties to what is outside are left to the cut."""
    return replace(
        tone,
        finger=tone.finger if is_first else None,
        tie_in=tone.tie_in or not is_first,
        tie_out=tone.tie_out or not is_last,
    )
