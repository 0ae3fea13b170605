"""The order in which a bar is written: voice after voice, signs where time has reached them.

Enters: a bar, its ink and its signs. Leaves: the bar's ``<note>``, ``<direction>``, ``<forward>``
and ``<backup>`` elements.
"""

from collections.abc import Iterator
from fractions import Fraction
from xml.etree.ElementTree import Element

from engrave.music.sheet import Bar, are_twins
from engrave.music.units import Quarters
from engrave.notation.elements import make, sub
from engrave.notation.notes import BarSigns, notes, rest_of_chord
from engrave.notation.signs import Sign
from engrave.notation.tuplets import Indexed


def voices(bar: Bar, ink: BarSigns, signs: list[Sign]) -> Iterator[Element]:
    """The bar's voices one after the other, each from the bar line to the bar's end."""
    lines = {voice: _line(bar, voice) for voice in sorted({e.voice for e in bar.events})}
    share: dict[int, list[Sign]] = {voice: [] for voice in lines}
    for sign in sorted(signs, key=lambda sign: sign.offset):
        share[_carrier(sign, lines)].append(sign)
    for number, (voice, line) in enumerate(lines.items()):
        if number:
            yield _move("backup", bar.length, ink)
        yield from _voice(voice, line, bar.length, ink, share[voice])


def stems(bar: Bar) -> dict[int, str]:
    """Stem directions by event: the source's; where two voices share a staff, up and down."""
    sounding: dict[int, set[int]] = {}
    for event in bar.events:
        if event.tones and not event.grace:
            sounding.setdefault(event.staff, set()).add(event.voice)
    ways = {}
    for index, event in enumerate(bar.events):
        together = sounding.get(event.staff, set())
        if event.stem:
            ways[index] = event.stem
        elif event.tones and len(together) > 1:
            ways[index] = "up" if event.voice == min(together) else "down"
    return ways


def _line(bar: Bar, voice: int) -> list[Indexed]:
    events = [(index, event) for index, event in enumerate(bar.events) if event.voice == voice]
    return sorted(events, key=lambda item: (item[1].offset, not item[1].grace))


def _carrier(sign: Sign, lines: dict[int, list[Indexed]]) -> int:
    """The voice that is written with the sign: on its staff, with a note where the sign stands."""

    def distance(voice: int) -> tuple[bool, bool, int]:
        on_staff = [event for _, event in lines[voice] if event.staff == sign.staff]
        meets = any(sign.offset in (event.offset, event.end) for event in on_staff)
        return (not meets, not on_staff, voice)

    return min(lines, key=distance)


def _voice(
    voice: int, line: list[Indexed], length: Quarters, ink: BarSigns, signs: list[Sign]
) -> Iterator[Element]:
    now = Fraction(0)
    waiting = list(signs)
    staff = line[0][1].staff
    lead = None
    for index, event in line:
        if lead is not None and are_twins(lead[1], event):
            yield from rest_of_chord(index, event, ink, lead[0])
            continue
        lead = index, event
        if event.offset < now or event.end > length:
            raise ValueError(f"voice {voice} of bar {ink.bar_index} is overfull at {event.offset}")
        if event.offset > now:
            yield from _due(waiting, now, event.offset, ink)
            yield _forward(event.offset - now, ink, voice, staff)
        yield from _due(waiting, event.offset, event.end, ink)
        yield from notes(index, event, ink)
        now, staff = event.end, event.staff
    if now < length:
        yield from _due(waiting, now, length, ink)
        yield _forward(length - now, ink, voice, staff)
    yield from _due(waiting, length, length, ink)


def _due(waiting: list[Sign], now: Quarters, until: Quarters, ink: BarSigns) -> Iterator[Element]:
    """The signs that stand at ``now``, and those that stand before the next moment written."""
    while waiting and (waiting[0].offset <= now or waiting[0].offset < until):
        sign = waiting.pop(0)
        yield sign.at(ink.whole(sign.offset - now))


def _forward(time: Quarters, ink: BarSigns, voice: int, staff: int) -> Element:
    element = _move("forward", time, ink)
    sub(element, "voice", voice)
    number = ink.staff(staff)
    if number is not None:
        sub(element, "staff", number)
    return element


def _move(tag: str, time: Quarters, ink: BarSigns) -> Element:
    """``<forward>`` or ``<backup>`` over ``time``."""
    element = make(tag)
    sub(element, "duration", ink.whole(time))
    return element
