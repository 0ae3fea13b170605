"""At what height of its staff every note head is drawn, and at what height it is to be read.

The heights are reckoned from pitch, clef and octave line by the letters alone; from the drawing
come the places of heads and staves. ``python -m tests.engraver.heights FILE …`` goes through all
drills of a marks file, or all measures of a score.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

from engrave.engraver import Style, engrave
from engrave.music.sheet import Clef, Event, Moment, Sheet
from tests.engraver.touching import sheets_of

STYLE = Style(7.0, 170, 250)
LETTERS = "CDEFGAB"
CLEFS = {"G": ("G", 4), "F": ("F", 3), "C": ("C", 4)}
"""The note that a clef puts on its line (common practice)."""
OFF = 0.25
"""Of a step, which is half a space: by what a head may be beside its place."""


def misplaced(sheet: Sheet, style: Style = STYLE) -> list[str]:
    """The note heads that are not drawn where they are to be read."""
    found = []
    for picture in engrave(sheet, style).pictures:
        step = picture.staff_height_mm / 8
        for place in picture.notes:
            event = sheet.bars[place.bar].events[place.event]
            if not event.tones:
                continue
            number = place.system * len(sheet.staves) + sheet.staves.index(event.staff)
            middle = picture.staff_tops_mm[number] + picture.staff_height_mm / 2
            drawn = (middle - (place.top_mm + place.bottom_mm) / 2) / step
            wanted = _steps(sheet, place.bar, event, place.tone)
            if abs(drawn - wanted) > OFF:
                pitch = event.tones[place.tone].pitch.spelling
                where = f"bar {place.bar} at {event.offset}, staff {event.staff}"
                found.append(f"{where}: {pitch} stands {drawn - wanted:+.1f} steps off")
    return found


def _steps(sheet: Sheet, bar: int, event: Event, tone: int) -> int:
    """How many steps above the middle line a note is to be read."""
    now = Moment(bar, event.offset)
    clef = _clef(sheet, now, event)
    letter, octave = CLEFS[clef.sign]
    on_line = LETTERS.index(letter) + 7 * (octave + clef.octaves)
    pitch = event.tones[tone].pitch
    height = LETTERS.index(pitch.step) + 7 * pitch.octave - on_line + 2 * (clef.line - 3)
    for span in sheet.spans:
        if span.staff == event.staff and span.start <= now < span.end:
            way = {"octave-up": -1, "octave-down": 1}.get(span.kind, 0)
            height += way * (span.size - 1)
    return height


def _clef(sheet: Sheet, now: Moment, event: Event) -> Clef:
    """The last clef of the staff; a grace note stands behind one that comes with its main note."""
    clefs = [
        change.clef
        for index, each in enumerate(sheet.bars[: now.bar + 1])
        for change in sorted(each.clefs, key=lambda change: change.offset)
        if change.staff == event.staff and Moment(index, change.offset) <= now
    ]
    return clefs[-1]


def _all(paths: list[str]) -> Iterator[str]:
    for path in paths:
        for name, sheet in sheets_of(Path(path)):
            yield from (f"{name}: {each}" for each in misplaced(sheet))


if __name__ == "__main__":
    print("\n".join(_all(sys.argv[1:])))
