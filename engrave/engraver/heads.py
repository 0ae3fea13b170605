"""Which event of the sheet a note in the drawing is, by the id that notation gave it.

Enters: a sheet and a system. Leaves: the notes and rests that stand in it, with their boxes.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from engrave.engraver.paths import Box
from engrave.engraver.reading import System
from engrave.music.sheet import Event, Sheet

_NUMBERS = re.compile(r"\d+")


@dataclass(frozen=True, slots=True)
class PlacedNote:
    """Tone number ``tone`` of an event of a bar (0 for a rest), and where its head is."""

    bar: int
    index: int
    tone: int
    event: Event
    box: Box


def place_in_sheet(id: str) -> tuple[int, int, int]:
    """Bar, event and tone, from 0, of the note that notation gave this id, ``bB-eE-tT``."""
    bar, event, tone = map(int, _NUMBERS.findall(id))
    return bar, event, tone


def placed_notes(sheet: Sheet, system: System) -> Iterator[PlacedNote]:
    """The notes and rests of ``system`` that are the sheet's, in drawing order."""
    for id, box in system.notes.items():
        bar, index, tone = place_in_sheet(id)
        events = sheet.bars[bar].events
        if index < len(events):  # beyond them stand the rests that notation adds
            yield PlacedNote(bar, index, tone, events[index], box)
