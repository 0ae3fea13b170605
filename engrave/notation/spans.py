"""Signs that reach from one moment to another: slurs, wedges, pedals, octave lines.

Enters: a ``Sheet``. Leaves: slurs by the event that carries each end, the rest as signs by bar.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from xml.etree.ElementTree import Element

from engrave.music.sheet import Moment, Sheet, Span
from engrave.music.units import Quarters
from engrave.notation.elements import make, staff_number
from engrave.notation.signs import Sign, direction

Slurs = dict[int, dict[int, list[Element]]]
"""By the index of the bar, then of the event in it."""

_WEDGES = ("crescendo", "diminuendo")
_OCTAVES = {"octave-up": "down", "octave-down": "up"}
"""MusicXML 4.0 names the way the print is moved from the sound: 8va is ``down``."""


def slurs(sheet: Sheet) -> Slurs:
    """The ends of every slur whose first and last event are both there."""
    by_bar: Slurs = {}
    chosen = list(_once(span for span in sheet.spans if span.kind == "slur"))
    for span, number in zip(chosen, _numbers(chosen), strict=True):
        first = _event(sheet, span.start, span.voice, grace=span.from_grace)
        last = _event(sheet, span.end, span.end_voice, grace=False)
        if first is None or last is None or (first, span.start) == (last, span.end):
            raise ValueError(f"a slur needs a note at both ends: {span}")
        ends = ((span.start, first, "start"), (span.end, last, "stop"))
        for moment, event, type_ in ends:
            placement = span.placement if type_ == "start" else None
            sign = make("slur", type=type_, number=number, placement=placement)
            by_bar.setdefault(moment.bar, {}).setdefault(event, []).append(sign)
    return by_bar


def _once(spans: Iterable[Span]) -> Iterator[Span]:
    """The slurs; of two that bind the same chords on the same side, or on no side, the first."""
    sides: dict[Span, set[str | None]] = {}
    for span in spans:
        ends = replace(span, placement=None)
        seen = sides.setdefault(ends, set())
        if not seen or not ({span.placement, None} & seen or span.placement is None):
            yield span
        seen.add(span.placement)


def span_signs(sheet: Sheet) -> dict[int, list[Sign]]:
    """Wedges, pedals and octave lines, by the index of the bar in which each end stands."""
    by_bar: dict[int, list[Sign]] = {}
    for kinds in (_WEDGES, ("pedal",), tuple(_OCTAVES)):
        chosen = [span for span in sheet.spans if span.kind in kinds and span.staff in sheet.staves]
        for span, number in zip(chosen, _numbers(chosen), strict=True):
            staff = staff_number(span.staff, sheet.staves)
            placement = span.placement or ("above" if span.kind == "octave-up" else "below")
            for moment, start in ((span.end, False), (span.start, True)):
                element = direction(staff, _end(span, number, start), placement=placement)
                by_bar.setdefault(moment.bar, []).append(Sign(moment.offset, span.staff, element))
    return by_bar


def _end(span: Span, number: int, start: bool) -> Element:
    if span.kind in _WEDGES:
        return make("wedge", type=span.kind if start else "stop", number=number)
    if span.kind == "pedal":
        return make(
            "pedal", type="start" if start else "stop", number=number, line="no", sign="yes"
        )
    type_ = _OCTAVES[span.kind] if start else "stop"
    return make("octave-shift", type=type_, size=span.size, number=number)


def _numbers(spans: list[Span]) -> list[int]:
    """A number from 1 for each span; two that are open at once in the file have different ones."""
    numbers = dict.fromkeys(range(len(spans)), 0)
    open_until: dict[int, tuple[int, int, Quarters]] = {}
    for index in sorted(numbers, key=lambda index: _extent(spans[index])):
        start, end = _extent(spans[index])
        number = 1
        while number in open_until and open_until[number] >= start:
            number += 1
        open_until[number] = end
        numbers[index] = number
    return list(numbers.values())


def _extent(span: Span) -> tuple[tuple[int, int, Quarters], tuple[int, int, Quarters]]:
    """Where the ends stand in the file: a bar's voices (slurs) or staves follow one another."""
    slur = span.kind == "slur"
    start = (span.start.bar, span.voice if slur else span.staff, span.start.offset)
    end = (span.end.bar, span.end_voice if slur else span.staff, span.end.offset)
    return min(start, end), max(start, end)


def _event(sheet: Sheet, moment: Moment, voice: int, *, grace: bool) -> int | None:
    for index, event in enumerate(sheet.bars[moment.bar].events):
        fits = event.offset == moment.offset and event.voice == voice and event.tones
        if fits and event.grace is grace:
            return index
    return None
