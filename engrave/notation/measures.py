"""The bars of a sheet as ``<measure>`` elements.

Enters: a ``Sheet``. Leaves: one element a bar, each full: attributes first, then one voice after
the other, each brought to the bar's end before time is moved back for the next.
"""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import lcm
from xml.etree.ElementTree import Element

from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Event, Sheet, first_voice, home_staff
from engrave.music.units import Quarters
from engrave.music.values import bar_rest
from engrave.notation.accidentals import printed
from engrave.notation.attributes import attributes
from engrave.notation.beams import beams
from engrave.notation.elements import make, sub
from engrave.notation.notes import BarSigns
from engrave.notation.signs import direction_signs
from engrave.notation.spans import slurs, span_signs
from engrave.notation.streams import stems, voices
from engrave.notation.tuplets import marks, tuplets_of, units


def measures(sheet: Sheet, bare: bool = False) -> Iterator[Element]:
    """Every bar of ``sheet``, in order; ``bare``: without fingers, labels and its own systems."""
    sheet = replace(sheet, bars=tuple(_with_rests(bar, sheet.staves) for bar in sheet.bars))
    accidentals, tied, reaching = printed(sheet), slurs(sheet), span_signs(sheet)
    unit = divisions(sheet)
    before = None
    for index, bar in enumerate(sheet.bars):
        tuplets = tuplets_of(bar)
        beamed = beams(bar, tuplets, phase(sheet, index))
        ink = BarSigns(
            bar_index=index,
            divisions=unit,
            staves=sheet.staves,
            beams=beamed,
            tuplets=marks(bar, tuplets, beamed),
            units=units(tuplets),
            stems=stems(bar),
            accidentals=accidentals[index],
            slurs=tied.get(index, {}),
            bare=bare,
        )
        measure = make("measure", number=bar.name, implicit="yes" if bar.implicit else None)
        if bar.system_break and not bare:
            sub(measure, "print", new_system="yes")
        _left_barline(measure, bar)
        first = attributes(bar, before, sheet.staves, unit)
        if len(first):
            measure.append(first)
        signs = [*reaching.get(index, ()), *direction_signs(bar, ink)]
        measure.extend(list(voices(bar, ink, signs)))
        _right_barline(measure, bar)
        yield measure
        before = bar


def divisions(sheet: Sheet) -> int:
    """Divisions of a quarter in which every length and offset of the sheet is whole."""
    times = [Fraction(1)]
    for bar in sheet.bars:
        times.append(bar.length)
        times += [time for event in bar.events for time in (event.offset, event.length)]
        times += [direction.offset for direction in bar.directions]
        times += [change.offset for change in bar.clefs]
    times += [moment.offset for span in sheet.spans for moment in (span.start, span.end)]
    return lcm(*(time.denominator for time in times))


def phase(sheet: Sheet, index: int) -> Quarters:
    """Where in a full bar of its meter a bar begins, in quarters.

    A short first bar is the end of one; so is one that fills up, uncounted, the bar before it.
    """
    bar = sheet.bars[index]
    missing = bar.missing
    fills_up = bar.implicit and sheet.bars[index - 1].length == missing
    return missing if index == 0 or fills_up else Fraction(0)


def _with_rests(bar: Bar, staves: tuple[int, ...]) -> Bar:
    """The bar with a rest on each staff on which, and in whose voices, nothing stands; and with
    none shown where something does.

    It is that of a whole bar, but in a part of one (a pickup) a rest of its length, if one has it.
    """
    value, is_whole = bar_rest(bar)
    rests = [
        Event(
            Fraction(0), bar.length, value, staff=staff, voice=first_voice(staff),
            hand=Hand.RIGHT if staff == Hand.RIGHT.staff else Hand.LEFT, whole_bar=is_whole,
        )
        for staff in staves
        if not any(staff in (event.staff, home_staff(event.voice)) for event in bar.events)
    ]  # fmt: skip
    events = tuple(
        replace(event, silent=True) if _is_idle(event, bar) else event for event in bar.events
    )
    return replace(bar, events=(*events, *rests))


def _is_idle(event: Event, bar: Bar) -> bool:
    """Whether a whole bar's rest would stand among notes that come over from the other staff."""
    return (
        event.whole_bar
        and event.is_rest
        and not event.fermata
        and any(
            other.tones and other.staff == event.staff != home_staff(other.voice)
            for other in bar.events
        )
    )


def _left_barline(measure: Element, bar: Bar) -> None:
    starts = bar.ending is not None and bar.ending.type in ("start", "start-stop")
    if not (bar.repeat_start or starts):
        return
    barline = sub(measure, "barline", location="left")
    if bar.repeat_start:
        sub(barline, "bar-style", "heavy-light")
    if starts and bar.ending:
        sub(barline, "ending", f"{bar.ending.number}.", number=bar.ending.number, type="start")
    if bar.repeat_start:
        sub(barline, "repeat", direction="forward")


def _right_barline(measure: Element, bar: Bar) -> None:
    stops = bar.ending is not None and bar.ending.type in ("stop", "start-stop", "discontinue")
    style = bar.barline or ("light-heavy" if bar.repeat_end else None)
    if not (style or stops or bar.repeat_end):
        return
    barline = sub(measure, "barline", location="right")
    if style:
        sub(barline, "bar-style", style)
    if stops and bar.ending:
        type_ = "discontinue" if bar.ending.type == "discontinue" else "stop"
        sub(barline, "ending", number=bar.ending.number, type=type_)
    if bar.repeat_end:
        sub(barline, "repeat", direction="backward")
