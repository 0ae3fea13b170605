"""From what a family wants played to bars on paper: values, ties, rests, clefs, measure numbers.

Enters: lines of ``Written`` notes in drill time, and the bars to lay them in. Leaves: a ``Sheet``.
Knows nothing of any family.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from engrave.drills.clefs import suited
from engrave.music.notes import Hand
from engrave.music.sheet import (
    Bar,
    Clef,
    ClefChange,
    Direction,
    Event,
    KeySignature,
    Meter,
    Sheet,
    Tone,
    first_voice,
)
from engrave.music.units import Quarters
from engrave.music.values import PrintedValue, UnprintableError, single, spell


@dataclass(frozen=True, slots=True)
class Written:
    """A note, chord or (without tones) rest of a drill, in drill time.

    ``time`` and ``length`` in quarters from the start of the drill; ``measure`` is the number, as
    printed, of the measure it comes from; ``source`` the indices into the drill's source that it
    plays; ``staff`` and ``voice`` where they are not its hand's own; ``signs`` (dynamics)
    go with it, whatever their offset; ``clef`` is the one it is to be read in.
    """

    time: Quarters
    length: Quarters
    tones: tuple[Tone, ...]
    hand: Hand
    source: tuple[int, ...] = ()
    measure: str | None = None
    staff: int | None = None
    voice: int | None = None
    articulations: tuple[str, ...] = ()
    signs: tuple[Direction, ...] = ()
    clef: Clef | None = None
    arpeggio: bool = False

    @property
    def end(self) -> Quarters:
        """Where it ends, in quarters from the start of the drill."""
        return self.time + self.length


@dataclass(frozen=True, slots=True)
class Room:
    """An empty bar: its length in quarters, its meter, and how far into a full bar it begins."""

    length: Quarters
    meter: Meter
    lead: Quarters = Fraction(0)
    meter_shown: bool = True
    implicit: bool = False
    system_break: bool = False

    def bar(self, name: str, key: KeySignature, events: Iterable[Event]) -> Bar:
        """The bar with ``events`` in it."""
        return Bar(
            name=name,
            length=self.length,
            meter=self.meter,
            key=key,
            events=tuple(events),
            implicit=self.implicit,
            meter_shown=self.meter_shown,
            system_break=self.system_break,
        )


def rooms(meter: Meter, total: Quarters, pickup: Quarters = Fraction(0)) -> list[Room]:
    """Bars of one meter for ``total`` quarters, a pickup first; the last is filled up."""
    bars = [Room(pickup, meter, meter.length - pickup, implicit=True)] if pickup else []
    full = -((pickup - total) // meter.length)
    return bars + [Room(meter.length, meter)] * int(full)


def bar_up(
    lines: Iterable[Sequence[Written]],
    bars: Sequence[Room],
    key: KeySignature,
    staves: tuple[int, ...],
    *,
    label_again: bool = False,
) -> Sheet:
    """Lay ``lines`` (one a hand, each in order and without overlaps) into ``bars``.

    Notes are tied over bar lines and beats as ``values.spell`` says; what a line leaves empty is
    filled with rests. The original measure number stands above the first note from each measure
    (with ``label_again``: each time the measure changes).
    """
    tracks = [
        list(_with_rests(line, sum((bar.length for bar in bars), Fraction(0)))) for line in lines
    ]
    labels = _labels([note for track in tracks for note in track], label_again)
    result, start = [], Fraction(0)
    for number, room in enumerate(bars, 1):
        events: list[Event] = []
        signs: list[Direction] = []
        changes: list[ClefChange] = []
        for line in tracks:
            inside = _inside(line, start, start + room.length)
            events += _events(inside, start, room, labels)
            changes += _clefs(inside, start)
            signs += _signs(inside, start)
        changes.sort(key=lambda change: (change.offset, change.staff))
        bar = room.bar(str(number), key, events)
        result.append(replace(bar, clefs=tuple(changes), directions=tuple(signs)))
        start += room.length
    result[-1] = replace(result[-1], barline="light-heavy")
    return suited(Sheet(tuple(result), staves=staves))


def _inside(line: Sequence[Written], start: Quarters, end: Quarters) -> Sequence[Written]:
    """The notes that sound between ``start`` and ``end``; those of a line never overlap."""
    first = bisect_right(line, start, key=lambda note: note.end)
    return line[first : bisect_left(line, end, lo=first, key=lambda note: note.time)]


def _with_rests(line: Sequence[Written], total: Quarters) -> Iterator[Written]:
    now, hand = Fraction(0), line[0].hand if line else Hand.RIGHT
    for note in line:
        if note.time > now:
            yield Written(now, note.time - now, (), hand)
        yield note
        now = note.end
    if now < total:
        yield Written(now, total - now, (), hand)


def _labels(notes: list[Written], again: bool) -> dict[tuple[Quarters, Hand], str]:
    """Which notes carry a measure number, by time and hand; the upper staff goes first."""
    labels: dict[tuple[Quarters, Hand], str] = {}
    seen: set[str] = set()
    notes = sorted(notes, key=lambda note: (note.time, note.hand.staff))
    for time, together in groupby(notes, key=lambda note: note.time):
        here = {note.hand: note.measure for note in together if note.measure is not None}
        for hand, measure in here.items():
            if measure not in seen:
                labels[time, hand] = measure
                seen.add(measure)
        if again and here:
            seen = set(here.values())
    return labels


def _events(
    inside: Sequence[Written],
    start: Quarters,
    room: Room,
    labels: dict[tuple[Quarters, Hand], str],
) -> Iterator[Event]:
    if len(inside) == 1 and not inside[0].tones and room.length == room.meter.length:
        yield _whole_bar_rest(inside[0], room)
        return
    spans = [(max(n.time - start, Fraction(0)), min(n.end - start, room.length)) for n in inside]
    try:
        pieces = spell(spans, room.meter, room.lead)
    except UnprintableError as reason:
        raise reason.of(_measure_at(inside, start + reason.offset - room.lead)) from None
    for piece in pieces:
        note = inside[piece.span]
        yield _event(note, piece, start, labels.get((note.time, note.hand)))


def _measure_at(inside: Sequence[Written], time: Quarters) -> str:
    """The measure from which the notes at ``time`` come: that of the first struck from there on."""
    named = [note for note in inside if note.measure is not None]
    at = next((note for note in named if note.time >= time), named[-1] if named else None)
    return at.measure or "" if at else ""


def _event(note: Written, piece: PrintedValue, start: Quarters, label: str | None) -> Event:
    begins = start + piece.offset == note.time
    ends = start + piece.offset + piece.value.length == note.end
    tones = tuple(
        replace(tone, tie_in=not begins, tie_out=not ends, finger=tone.finger if begins else None)
        for tone in note.tones
    )
    return Event(
        offset=piece.offset,
        length=piece.value.length,
        value=piece.value,
        tones=tones,
        hand=note.hand,
        staff=_staff(note),
        voice=_voice(note),
        articulations=note.articulations if begins else (),
        arpeggio=note.arpeggio and begins,
        label=label if begins else None,
        source=note.source if begins else (),
    )


def _whole_bar_rest(note: Written, room: Room) -> Event:
    return Event(
        offset=Fraction(0),
        length=room.length,
        value=single(room.length)
        or spell([(Fraction(0), room.length)], room.meter, room.lead)[0].value,
        hand=note.hand,
        staff=note.hand.staff,
        voice=_voice(note),
        whole_bar=True,
    )


def _clefs(inside: Sequence[Written], start: Quarters) -> Iterator[ClefChange]:
    """The clef of each note that begins here; which of them are printed, ``clefs`` decides."""
    for note in inside:
        if note.clef and note.time >= start:
            yield ClefChange(note.time - start, _staff(note), note.clef)


def _signs(inside: Sequence[Written], start: Quarters) -> Iterator[Direction]:
    for note in inside:
        if note.time >= start:
            yield from (replace(sign, offset=note.time - start) for sign in note.signs)


def _staff(note: Written) -> int:
    return note.staff or note.hand.staff


def _voice(note: Written) -> int:
    return note.voice or first_voice(note.hand.staff)
