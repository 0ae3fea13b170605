"""Beams and stems that go across the staves: which hand has the whole of them.

Enters: a sheet and its strokes. Leaves nothing: the notes under such a beam are told the hand they
are expected in. One hand has them all where the other one's staff has notes of its own meanwhile
and its own has none. Where neither has, the staff says; where both have, a chord on one stem is the
hand's on whose staff its voice is at home, and a line is divided by the staves.
"""

from collections.abc import Iterator, Sequence

from engrave.hands.strokes import Note, Strokes, ticks
from engrave.music.notes import Hand, home_hand
from engrave.music.sheet import Bar, Event, Sheet

PER_STAFF = 4
"""Voice numbers that are at home on a staff."""

Group = list[tuple[int, Event]]
"""Events under one beam, or on one stem, with their indices in the bar."""


def expect_across(sheet: Sheet, strokes: Strokes) -> list[Note]:
    """Tell the notes under beams across the staves where they are expected; returns those."""
    told: list[Note] = []
    for number, bar in enumerate(sheet.bars):
        for group in _groups(bar):
            hand = _whose(group, number, bar, strokes)
            if hand is None:
                continue
            for index, _ in group:
                for note in strokes.by_event.get((number, index), ()):
                    if note.home is not hand:
                        note.home, note.beamed = hand, True
                        told.append(note)
    return told


def _groups(bar: Bar) -> Iterator[Group]:
    """The groups of a bar that stand on more than one staff."""
    staves: dict[int, int] = {}
    crossing = set()
    for event in bar.events:
        if event.tones and staves.setdefault(event.voice, event.staff) != event.staff:
            crossing.add(event.voice)
    for voice in sorted(crossing):
        line = [
            (index, event)
            for index, event in enumerate(bar.events)
            if event.voice == voice and event.tones and not event.grace
        ]
        line.sort(key=lambda item: item[1].offset)
        yield from (group for group in _beamed(line) if len({e.staff for _, e in group}) > 1)


def _beamed(line: Sequence[tuple[int, Event]]) -> Iterator[Group]:
    """The events that share a beam or a stem; those without either each by themselves."""
    group: Group = []
    for index, event in line:
        beam = (event.beams or ("",))[0]
        joins = beam in ("continue", "end") or (group and event.joined)
        if group and not joins:
            yield group
            group = []
        group.append((index, event))
    if group:
        yield group


def _whose(group: Group, number: int, bar: Bar, strokes: Strokes) -> Hand | None:
    """The hand that has the whole group; None where the staves divide it."""
    own = {index for index, _ in group}
    busy = {
        hand: any(_is_busy(staff, group, own, bar) for staff in _staves(hand, group, strokes))
        for hand in Hand
    }
    if busy[Hand.RIGHT] and busy[Hand.LEFT] and any(event.joined for _, event in group):
        return home_hand((group[0][1].voice - 1) // PER_STAFF + 1, strokes.staves)
    if busy[Hand.RIGHT] == busy[Hand.LEFT]:
        return None
    return Hand.LEFT if busy[Hand.RIGHT] else Hand.RIGHT


def _staves(hand: Hand, group: Group, strokes: Strokes) -> set[int]:
    return {e.staff for _, e in group if home_hand(e.staff, strokes.staves) is hand}


def _is_busy(staff: int, group: Group, own: set[int], bar: Bar) -> bool:
    """Whether other notes of the staff sound while the group's notes stand on it."""
    here = [event for _, event in group if event.staff == staff]
    start, end = ticks(here[0].offset), max(ticks(event.end) for event in here)
    return any(
        event.staff == staff
        and index not in own
        and bool(event.tones)
        and not event.grace
        and ticks(event.offset) < end
        and ticks(event.end) > start
        for index, event in enumerate(bar.events)
    )
