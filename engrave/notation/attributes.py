"""Clefs, key signatures and meters as ``<attributes>`` elements.

Enters: a bar and the one before it. Leaves: what changes at the bar line, or one change of clef.
"""

from xml.etree.ElementTree import Element

from engrave.music.sheet import Bar, ClefChange
from engrave.notation.elements import make, staff_number, sub


def attributes(bar: Bar, before: Bar | None, staves: tuple[int, ...], divisions: int) -> Element:
    """What ``bar`` prints at its beginning; an element without children when nothing changes."""
    element = make("attributes")
    if before is None:
        sub(element, "divisions", divisions)
    if before is None or bar.key != before.key:
        key = sub(element, "key")
        sub(key, "fifths", bar.key.fifths)
        if bar.key.mode:
            sub(key, "mode", bar.key.mode)
    shown_anew = before is not None and bar.meter_shown and not before.meter_shown
    if before is None or bar.meter != before.meter or shown_anew:
        time = sub(
            element,
            "time",
            symbol=bar.meter.symbol,
            print_object=None if bar.meter_shown else "no",
        )
        sub(time, "beats", bar.meter.beats)
        sub(time, "beat-type", bar.meter.beat_type)
    if before is None and len(staves) > 1:
        sub(element, "staves", len(staves))
    for change in bar.clefs:
        if change.offset == 0 and change.staff in staves:
            _clef(element, change, staves)
    return element


def clef_change(change: ClefChange, staves: tuple[int, ...]) -> Element:
    """A clef in the middle of a bar."""
    element = make("attributes")
    _clef(element, change, staves)
    return element


def _clef(parent: Element, change: ClefChange, staves: tuple[int, ...]) -> None:
    clef = sub(parent, "clef", number=staff_number(change.staff, staves))
    sub(clef, "sign", change.clef.sign)
    if change.clef.sign != "percussion":
        sub(clef, "line", change.clef.line)
    if change.clef.octaves:
        sub(clef, "clef-octave-change", change.clef.octaves)
