"""Staccato: the passage as written, every note short: each finger starts and ends by itself.

Enters: a passage. Leaves: one drill for the marked hands, ``in-time``.
"""

from dataclasses import replace

from engrave.drills.as_printed import as_printed
from engrave.drills.family import Family, Made, Options, drill_of
from engrave.drills.sifting import fewer_than_six
from engrave.drills.signs import ARTICULATION, PEDAL, SLURS
from engrave.music.sheet import Event, Sheet
from engrave.passage.model import Passage

_DROPPED = {"slur": SLURS, "pedal": PEDAL}
_LENGTHENING = frozenset({"tenuto", "detached-legato", "staccato", "staccatissimo"})


def make(passage: Passage, options: Options) -> Made:
    """The marked hands as printed, slurs and pedal off, a dot on every note."""
    printed = as_printed(passage, passage.hands)
    bars = tuple(
        replace(bar, events=tuple(_short(event) for event in bar.events))
        for bar in printed.sheet.bars
    )
    kept = tuple(span for span in printed.sheet.spans if span.kind not in _DROPPED)
    sheet = Sheet(bars, kept, printed.sheet.staves)
    name, changed = ("staccato", "in-time"), (ARTICULATION, *_DROPPED.values())
    drill = drill_of(
        passage, options, name, passage.hands, sheet, printed.source, on_purpose=changed
    )
    return Made((drill,))


def steps_in(passage: Passage) -> int:
    """Last of all: what can be printed as it stands can be played so."""
    return 3


def _short(event: Event) -> Event:
    if event.grace or event.is_rest:
        return event
    kept = tuple(name for name in event.articulations if name not in _LENGTHENING)
    held_on = any(tone.tie_out for tone in event.tones)
    dotted = event.is_struck and not held_on
    return replace(event, articulations=(*kept, "staccato") if dotted else kept)


FAMILY = Family("staccato", make, Options, never=fewer_than_six, steps_in=steps_in)
