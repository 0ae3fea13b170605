"""Beams and stems that go across the staves: which hand has the whole of them.

Enters: a sheet and its strokes. Leaves nothing: the notes under such a beam are told the hand they
are expected in. One hand has them all where the other's staff has notes of its own meanwhile and
its own has none; where neither has, the staff says. Where both have, a chord on one stem is the
hand's on whose staff its voice is at home. A line over a bass that is only held is the left hand's,
as the pedal keeps the bass; one that goes by turns from staff to staff is divided by them.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from engrave.hands.strokes import Strokes, ticks
from engrave.music.notes import Hand, home_hand
from engrave.music.sheet import Bar, Event, Sheet, home_staff

_THERE_AND_BACK = 2
"""Changes of staff in a group up to which it does not go by turns."""

Group = list[tuple[int, Event]]
"""Events under one beam, or on one stem, with their indices in the bar."""


def expect_across(sheet: Sheet, strokes: Strokes) -> set[tuple[int, int]]:
    """Tell the notes under beams across the staves where they are expected.

    Returns the events under such beams, by bar and index, divided by the staves or not.
    """
    seen: set[tuple[int, int]] = set()
    for number, bar in enumerate(sheet.bars):
        for group in _groups(bar):
            hand = _whose(group, bar, strokes)
            places = [(number, index) for index, _ in group]
            seen.update(places)
            for note in (note for place in places for note in strokes.by_event.get(place, ())):
                if hand is not None and note.home is not hand:
                    note.home, note.beamed = hand, True
    return seen


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


def _whose(group: Group, bar: Bar, strokes: Strokes) -> Hand | None:
    """The hand that has the whole group; None where the staves divide it."""
    own = {index for index, _ in group}
    right, left = (
        [
            other
            for staff in _staves(hand, group, strokes)
            for other in _meanwhile(staff, group, own, bar)
        ]
        for hand in Hand
    )
    if any(event.joined for _, event in group):
        if right and left:
            return home_hand(home_staff(group[0][1].voice), strokes.staves)
    else:
        start = min(event.offset for _, event in group)
        pedalled = not any(other.offset > start for other in left)
        by_turns = (
            sum(one[1].staff != two[1].staff for one, two in pairwise(group)) > _THERE_AND_BACK
        )
        if left and pedalled and by_turns:
            return None
        if right and left:
            return Hand.LEFT if pedalled else None
    if bool(right) == bool(left):
        return None
    return Hand.LEFT if right else Hand.RIGHT


def _staves(hand: Hand, group: Group, strokes: Strokes) -> set[int]:
    return {e.staff for _, e in group if home_hand(e.staff, strokes.staves) is hand}


def _meanwhile(staff: int, group: Group, own: set[int], bar: Bar) -> list[Event]:
    """Other notes of the staff that sound while the group's notes stand on it."""
    here = [event for _, event in group if event.staff == staff]
    start, end = ticks(here[0].offset), max(ticks(event.end) for event in here)
    return [
        event
        for index, event in enumerate(bar.events)
        if event.staff == staff
        and index not in own
        and event.tones
        and not event.grace
        and ticks(event.offset) < end
        and ticks(event.end) > start
    ]
