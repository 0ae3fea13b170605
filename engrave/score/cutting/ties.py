"""Ties that nothing leads into.

Enters: the bars of a cut. Leaves: the same bars, in which every note that is tied into continues
one that sounds until then. Knows no edges.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Event
from engrave.music.units import Quarters


def without_loose_ties(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """``bars``, a note struck where no note of its key is tied on to it.

    In a second ending that is tied to what stands before the first, say, or after a grace note.
    """
    sounding = Counter[tuple[Hand, int, Quarters]]()
    result: list[Bar] = []
    start = Quarters(0)
    for bar in bars:
        events = list(bar.events)
        for place in sorted(range(len(events)), key=lambda place: events[place].offset):
            if not events[place].grace:
                events[place] = _joined(events[place], start + events[place].offset, sounding)
        result.append(replace(bar, events=tuple(events)))
        start += bar.length
    return tuple(result)


def _joined(event: Event, time: Quarters, sounding: Counter[tuple[Hand, int, Quarters]]) -> Event:
    """The event with its ties; ``sounding`` counts those that wait, by hand, key and time."""
    tones = []
    for tone in event.tones:
        here = event.hand, tone.pitch.midi, time
        is_tied = tone.tie_in and sounding[here] > 0
        sounding[here] -= is_tied
        tones.append(replace(tone, tie_in=is_tied))
    for tone in event.tones:
        sounding[event.hand, tone.pitch.midi, time + event.length] += tone.tie_out
    return replace(event, tones=tuple(tones))
