"""What gives way inside the staves where several voices share one: rests and articulations.

Enters: the sheet, a system, and its ink but what stands outside the staves. Leaves: the same ink,
rests on the side of their voice and clear of other notes, one in the middle where all voices rest
alike, articulations clear of notes that are not theirs. Verovio takes the side from the number of
the voice, and prints over what is in the way.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from engrave.engraver.crowding import Crowd
from engrave.engraver.heads import PlacedNote, placed_notes
from engrave.engraver.paths import Box, around
from engrave.engraver.reading import RESTS, STAVES, Ink, System, boxes_of
from engrave.engraver.shapes import Glyph, Polyline
from engrave.engraver.toolkit import SPACE, STAFF
from engrave.music.sheet import Event, Sheet

_YIELDING = frozenset({"artic", "slur", "tie", *STAVES})
_CLEAR = 0.12 * SPACE
_FARTHEST = 10
"""Spaces that a rest goes at most; where that is not enough it stays."""
_ON_A_LINE = frozenset({"E4E3", "E4E4"})
"""Rests of a whole and a half note (SMuFL), which need a line to hang from or to lie on."""
_LEDGER, _LEDGER_WIDTH = 0.18 * SPACE, 0.4 * SPACE


def place_inside(sheet: Sheet, system: System) -> list[Ink]:
    """The ink of ``system`` but the signs outside, what gives way in its place."""
    inks = [ink for ink in system.inks if not ink.role]
    rests = {ink.shape.boxes[0]: ink.owner for ink in inks if ink.kind in RESTS}
    if not rests:
        return [*_articulated(inks)]
    crowd = Crowd(boxes_of(ink for ink in inks if ink.kind not in RESTS | STAVES))
    moves: dict[int, float] = {}
    shown: set[object] = set()
    gone: set[int] = set()
    for rest in placed_notes(sheet, system):
        owner = rests.get(rest.box)
        if owner is None or rest.event.tones:
            continue
        box = around(boxes_of(ink for ink in inks if ink.owner == owner))
        others = _others(sheet, rest)
        if _is_shared(sheet, rest):
            moment = rest.bar, rest.event.staff, rest.event.offset
            if moment in shown:
                gone.add(owner)
                continue
            shown.add(moment)
            moves[owner] = -_over(box, system) * SPACE
        else:
            side = 0 if not others else -1 if _is_upper(sheet, rest, others) else 1
            moves[owner] = _way(box, side, system, crowd)
        crowd.add([box.moved(0, moves[owner])])
    left = [ink for ink in inks if ink.owner not in gone]
    return [*_articulated([*_moved(left, moves, system)])]


def _is_shared(sheet: Sheet, rest: PlacedNote) -> bool:
    """Whether several voices of a staff begin the same rest, and nothing else is shown there."""
    here = [
        event
        for event in sheet.bars[rest.bar].events
        if event.staff == rest.event.staff
        and not event.silent
        and event.offset < rest.event.end
        and event.end > rest.event.offset
    ]
    spans = {(event.offset, event.length, event.value) for event in here}
    return len(here) > 1 and len(spans) == 1 and not any(e.tones or e.fermata for e in here)


def _others(sheet: Sheet, rest: PlacedNote) -> list[Event]:
    """What the other voices of its staff play in the rest's bar."""
    return [
        event
        for event in sheet.bars[rest.bar].events
        if event.tones and event.staff == rest.event.staff and event.voice != rest.event.voice
    ]


def _is_upper(sheet: Sheet, rest: PlacedNote, others: Sequence[Event]) -> bool:
    """Whether the rest's voice is the upper one: by the stems of the score, or by its number."""
    voice = rest.event.voice
    own = [event.stem for event in sheet.bars[rest.bar].events if event.voice == voice]
    for events, up in ((own, "up"), ([event.stem for event in others], "down")):
        if stems := [stem for stem in events if stem]:
            return stems.count(up) * 2 > len(stems)
    return all(event.voice > voice for event in others)


def _way(box: Box, side: int, system: System, crowd: Crowd) -> float:
    """How far a rest goes, by whole spaces, to its voice's ``side`` (-1 up, 1 down, 0 either) and
    clear of notes."""
    over = _over(box, system)
    start = -2 * over if over * side < 0 else 0
    wide = box.widened(_CLEAR, _CLEAR)
    for steps in range(_FARTHEST + 1):
        for away in (side,) if side else (-1, 1):
            distance = float((start + steps * away) * SPACE)
            if not crowd.free_above(wide.moved(0, distance)):
                return distance
    return 0.0


def _over(box: Box, system: System) -> int:
    """How many whole spaces a rest stands below the middle of its staff, or above it."""
    middle = (box.top + box.bottom) / 2
    return round((middle - system.staff_near(middle) - STAFF / 2) / SPACE)


def _moved(inks: Iterable[Ink], moves: Mapping[int, float], system: System) -> Iterator[Ink]:
    """The rests in their places, with a ledger line where they need one."""
    for ink in inks:
        distance = moves.get(ink.owner, 0)
        shape = ink.shape.moved(0, distance) if distance else ink.shape
        yield replace(ink, shape=shape)
        if (
            distance
            and isinstance(shape, Glyph)
            and shape.code in _ON_A_LINE
            and _is_outside(shape.y, system)
        ):
            box = shape.boxes[0]
            ends = (box.left - _LEDGER_WIDTH, shape.y), (box.right + _LEDGER_WIDTH, shape.y)
            yield replace(ink, shape=Polyline(ends, _LEDGER), kind="ledgerLines")


def _is_outside(y: float, system: System) -> bool:
    return not any(top <= y <= top + STAFF for top in system.staff_tops)


def _articulated(inks: Sequence[Ink]) -> Iterator[Ink]:
    """Articulations that stand on what is not theirs go farther from their own note."""
    if not any(ink.kind == "artic" for ink in inks):
        yield from inks
        return
    fixed = [ink for ink in inks if ink.kind not in _YIELDING]
    crowd = Crowd(boxes_of(fixed))
    signs = [(ink.owner, ink.shape.boxes[0]) for ink in inks if ink.kind == "artic"]
    for ink in inks:
        box = ink.shape.boxes[0] if ink.kind == "artic" else None
        if box is None or not crowd.free_above(box):
            yield ink
            continue
        heads = [each.shape.boxes[0] for each in fixed if each.owner == ink.owner]
        others = Crowd(boxes_of(each for each in fixed if each.owner != ink.owner))
        others.add(sign for owner, sign in signs if owner != ink.owner)
        near = min(heads, key=lambda head: abs(head.left - box.left), default=box)
        free = others.free_above if box.top < near.top else others.free_below
        distance = free(box.widened(_CLEAR, _CLEAR)) if others.free_above(box) else 0
        signs.append((ink.owner, box.moved(0, distance)))
        yield replace(ink, shape=ink.shape.moved(0, distance))
