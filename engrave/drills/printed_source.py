"""The printed events of a drill, with the fingers of its onsets and their places in its source.

Enters: the onsets that a drill plays, in the order of its source, and printed bars. Leaves: the
same bars, marked. What families that keep the printed values have in common; knows none of them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from engrave.music.notes import Finger, Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Bar, ClefChange, Event
from engrave.music.units import Quarters


class PrintedSource:
    """Marks printed events, in the order of the score; a finger stands at one head of its key."""

    def __init__(self, onsets: Sequence[Onset]) -> None:
        self._index = {(onset.time, onset.hand): place for place, onset in enumerate(onsets)}
        self._fingers: dict[tuple[Quarters, Hand, Pitch], Finger | None] = {
            (onset.time, onset.hand, tone.pitch): tone.finger
            for onset in onsets
            for tone in onset.tones
        }

    def marked(self, event: Event, start: Quarters) -> Event:
        """The event of a bar that begins at ``start``; grace notes stay as they are printed."""
        if event.grace:
            return event
        time = start + event.offset
        tones = tuple(
            replace(
                tone,
                finger=None
                if tone.tie_in
                else self._fingers.pop((time, event.hand, tone.pitch), None),
            )
            for tone in event.tones
        )
        place = self._index.get((time, event.hand)) if event.is_struck else None
        return replace(event, tones=tones, source=() if place is None else (place,))


def numbered(bar: Bar, events: Iterable[Event]) -> tuple[Event, ...]:
    """The events with the measure's number at the first note, or the first rest where none is."""
    every = list(events)
    notes = [event for event in every if event.tones] or every
    first = min(notes, key=lambda e: (e.offset, e.staff, e.voice, not e.grace), default=None)
    return tuple(replace(event, label=bar.name if event is first else None) for event in every)


def clefs_of(bar: Bar, staves: Sequence[int]) -> tuple[ClefChange, ...]:
    """The bar's changes of clef on these staves."""
    return tuple(change for change in bar.clefs if change.staff in staves)
