"""Raw bars become bars: clef, key and meter in force, events, words, repeats and endings.

Enters: a ``RawPart``. Leaves: the ``Bar``s. Knows no files.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from engrave.music.notes import Hand, home_hand
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    Clef,
    ClefChange,
    Direction,
    Ending,
    Event,
    KeySignature,
    Meter,
)
from engrave.music.units import Quarters
from engrave.score.building.events import events_of
from engrave.score.building.signs import clef_of, direction_of, key_of, meter_of
from engrave.score.building.voices import Voices
from engrave.score.formats.raw import RawBar, RawPart, RawSign
from engrave.score.naming import printed_names

COMMON_TIME = Meter(4, 4)
START = Quarters(0)


@dataclass(slots=True)
class _InForce:
    """What holds at the end of the bar that was built last."""

    meter: Meter = COMMON_TIME
    meter_printed: bool = False
    key: KeySignature = KeySignature(0)
    clefs: dict[int, Clef] = field(default_factory=dict)
    late: list[RawSign] = field(default_factory=list)
    """Clefs, keys and meters that stand at the end of the bar: they are the next one's."""
    ending: str | None = None


@dataclass(frozen=True, slots=True)
class _Lines:
    """The numbers of the voices, and how many staves there are."""

    voices: Voices
    staves: int


def build_bars(part: RawPart, voices: Voices, staves: int) -> tuple[Bar, ...]:
    """The bars of ``part`` in order, every note for the hand that reads its staff."""
    force = _InForce()
    bars: list[Bar] = []
    names = printed_names([raw.name for raw in part.bars])
    for index, (name, raw) in enumerate(zip(names, part.bars, strict=True)):
        bar = _bar(index, name, raw, _Lines(voices, staves), force)
        if bars and not bar.repeat_start and bars[-1].barline is None:
            bars[-1] = replace(bars[-1], barline=_style(raw.left_style))
        bars.append(bar)
    if not any(event.beams for bar in bars for event in bar.events):
        return tuple(_unbeamed(bar) for bar in bars)
    return tuple(bars)


def _bar(index: int, name: str, raw: RawBar, lines: _Lines, force: _InForce) -> Bar:
    signs = [replace(sign, offset=START) for sign in force.late] + raw.signs
    _take_meter_and_key([sign for sign in signs if sign.offset == START], force, raw.lost)
    events = [
        event
        for item in raw.items
        for event in events_of(item, lines.voices.of(index, item.voice, item.staff), lines.staves)
    ]
    length = _length(raw, events, force.meter)
    force.late = [sign for sign in signs if sign.offset > START and _is_late(sign, length)]
    clefs = [sign for sign in signs if "Clef" in sign.element.classSet and sign not in force.late]
    return Bar(
        name=name,
        length=length,
        meter=force.meter,
        key=force.key,
        events=tuple(sorted((_fitted(event, events, length) for event in events), key=_order)),
        clefs=tuple(_clef_changes(clefs, force, lines.staves, first=index == 0)),
        directions=_directions(signs, length),
        implicit=raw.implicit or (index == 0 and length < force.meter.length),
        meter_shown=force.meter_printed,
        repeat_start=raw.repeat_start,
        repeat_end=raw.repeat_end,
        ending=_ending(raw, force),
        barline=None if raw.repeat_end else _style(raw.right_style),
    )


def _is_late(sign: RawSign, length: Quarters) -> bool:
    classes = sign.element.classSet
    if "Clef" in classes:
        return sign.offset >= length
    return bool({"KeySignature", "TimeSignature"} & classes)


def _take_meter_and_key(signs: Iterable[RawSign], force: _InForce, lost: Counter[str]) -> None:
    for sign in signs:
        classes = sign.element.classSet
        if not {"KeySignature", "TimeSignature"} & classes:
            continue
        if sign.staff > 1:
            lost["keys and meters of one staff alone"] += 1
        elif "KeySignature" in classes:
            force.key = key_of(sign.element)
        else:
            meter = meter_of(sign.element)
            force.meter_printed = meter is not None and not sign.element.style.hideObjectOnPrint
            force.meter = meter or force.meter


def _clef_changes(
    signs: Iterable[RawSign], force: _InForce, staves: int, first: bool
) -> Iterator[ClefChange]:
    changes = {(sign.offset, sign.staff or 1): clef_of(sign.element) for sign in signs}
    if first:
        changes = {
            (START, staff): _usual(staff, staves) for staff in range(1, staves + 1)
        } | changes
    for (offset, staff), clef in sorted(changes.items(), key=lambda change: change[0]):
        if force.clefs.get(staff) != clef:
            force.clefs[staff] = clef
            yield ClefChange(offset, staff, clef)


def _usual(staff: int, staves: int) -> Clef:
    return BASS if home_hand(staff, staves) is Hand.LEFT else TREBLE


def _length(raw: RawBar, events: Iterable[Event], meter: Meter) -> Quarters:
    """What the bar holds. Rests for a whole bar say nothing of it where anything else does."""
    filled = max((event.end for event in events if not event.whole_bar), default=START)
    filled = max(filled, raw.reach)
    if filled:
        return filled
    rests = max((event.end for event in events), default=meter.length)
    return min(rests, meter.length)


def _fitted(event: Event, events: Sequence[Event], length: Quarters) -> Event:
    """``event``; a rest that fills the bar is printed as the rest of a whole bar."""
    if event.whole_bar:
        return replace(event, length=length)
    alone = not any(other.voice == event.voice and other is not event for other in events)
    whole = event.is_rest and event.length == length and alone and event.value.type == "whole"
    return replace(event, whole_bar=whole)


def _order(event: Event) -> tuple[Quarters, int, bool]:
    return event.offset, event.voice, not event.grace


def _directions(signs: Iterable[RawSign], length: Quarters) -> tuple[Direction, ...]:
    found = (direction_of(sign) for sign in signs)
    placed = (replace(word, offset=min(max(word.offset, START), length)) for word in found if word)
    return tuple(sorted(placed, key=lambda word: word.offset))


def _ending(raw: RawBar, force: _InForce) -> Ending | None:
    begun = next((mark.number for mark in raw.endings if mark.type == "start"), None)
    ended = next((mark.type for mark in raw.endings if mark.type != "start"), None)
    number = begun or force.ending
    force.ending = None if ended else number
    if number is None:
        return None
    if begun:
        return Ending(number, "start-stop" if ended else "start")
    return Ending(number, ended or "inside")


def _style(style: str | None) -> str | None:
    return None if style == "regular" else style


def _unbeamed(bar: Bar) -> Bar:
    """``bar`` with its beams left to notation: the source has none."""
    return replace(bar, events=tuple(replace(event, beams=None) for event in bar.events))
