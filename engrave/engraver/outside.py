"""What gives way to fingers: the signs outside the staves, and the labels above everything near.

Enters: a system and the crowd of its ink. Leaves: the system's ink with the signs moved outwards
where they would touch, and its labels. Signs of one kind that share a line stay on one line. A
sign between the staves goes the shorter way, alone, if fingers or other signs are in its place.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace

from engrave.engraver.crowding import Crowd
from engrave.engraver.heads import placed_notes
from engrave.engraver.paths import Box, around
from engrave.engraver.reading import Ink, System, boxes_of
from engrave.engraver.shapes import Polyline, TextLine
from engrave.engraver.toolkit import SPACE, STAFF
from engrave.music.sheet import Sheet

LABEL_SIZE = 1.5 * SPACE
_CLEAR = 0.35 * SPACE
_TIGHT = 0.12 * SPACE
"""Between the staves there is no more room than that."""
_BESIDE = 1.2 * SPACE
"""What stands so near to a measure number on either side is below it, else it reads as a finger."""
_SHORTEST = 1.5 * SPACE
"""What a hairpin keeps that gives way to a dynamic at its end."""

_LOUDNESS = ("dynam", "hairpin")
_ORDER = (
    ("octave",),
    _LOUDNESS,
    ("pedal",),
    ("dir",),
    ("tempo", "reh"),
    ("voltaBracket",),
)
"""From the staff outwards; each tuple shares one line above, and one below, a system."""

_ALONE = ("octave", "dir", "tempo", "reh")
"""Kinds whose signs need not share a line."""


def place_outside(sheet: Sheet, system: System, crowd: Crowd, right: float) -> list[Ink]:
    """The signs of ``system`` in their final places, and its labels, in drawing order.

    Words that would reach over the line's ``right`` end are moved to the left.
    """
    found: list[Ink] = []
    groups: dict[int, list[Ink]] = defaultdict(list)
    for ink in system.inks:
        if ink.role:
            groups[ink.group].append(ink)
    for kinds in _ORDER:
        if kinds == ("dir",):
            found += [Ink(text, kind="label") for text in _labels(sheet, system, crowd)]
        chosen = [inks for inks in groups.values() if inks[0].role in kinds]
        if kinds == _LOUDNESS:
            chosen = _trimmed(chosen)
        elif kinds == ("pedal",):
            chosen = _let_go(chosen)
        for line in _lines(chosen, system, alone=kinds[0] in _ALONE):
            line = _beside_bars(_within(line, right, system), system)
            found += _moved(line, system, crowd)
    return found


def _trimmed(groups: list[list[Ink]]) -> list[list[Ink]]:
    """Hairpins that end where a dynamic begins, and begin where it ends."""
    letters = [_box(group) for group in groups if group[0].role == "dynam"]
    return [_trim(group, letters) if group[0].role == "hairpin" else group for group in groups]


def _trim(hairpin: list[Ink], letters: list[Box]) -> list[Ink]:
    whole = _box(hairpin)
    left, right = whole.left, whole.right
    for box in letters:
        if not box.meets(whole):
            continue
        if box.left + box.right < whole.left + whole.right:
            left = max(left, box.right + _CLEAR)
        else:
            right = min(right, box.left - _CLEAR)
    if (left, right) == (whole.left, whole.right):
        return hairpin
    if right - left < _SHORTEST:
        left, right = (left, left + _SHORTEST) if left > whole.left else (right - _SHORTEST, right)
    scale = (right - left) / (whole.right - whole.left)
    return [
        replace(
            ink,
            shape=replace(
                ink.shape,
                points=tuple((left + (x - whole.left) * scale, y) for x, y in ink.shape.points),
            ),
        )
        if isinstance(ink.shape, Polyline)
        else ink
        for ink in hairpin
    ]


def _let_go(groups: list[list[Ink]]) -> list[list[Ink]]:
    """Pedal signs beside each other: where one is let go to be trodden again, a little before."""
    found: list[list[Ink]] = []
    after: Box | None = None
    for group in sorted(groups, key=lambda group: _box(group).left, reverse=True):
        box = _box(group)
        over = box.right + _CLEAR - after.left if after and after.meets(box) else 0.0
        found.append([replace(ink, shape=ink.shape.moved(-over, 0)) for ink in group])
        after = box.moved(-over, 0)
    return found[::-1]


def _beside_bars(line: list[Ink], system: System) -> list[Ink]:
    """A word or letter between the staves that would cross a bar line, moved to end before it."""
    box = _box(line)
    if line[0].role not in ("dir", "dynam") or _side(box, system) is not None:
        return line
    bars = boxes_of(ink for ink in system.inks if ink.kind == "barLine")
    crossed = [bar for bar in bars if bar.meets(box) and bar.left > box.left]
    if not crossed:
        return line
    before = max((bar.right for bar in bars if bar.right < box.left + SPACE), default=0.0)
    over = box.right + _CLEAR - min(bar.left for bar in crossed)
    if box.left - over < before:
        return line
    return [replace(ink, shape=ink.shape.moved(-over, 0)) for ink in line]


def _lines(groups: list[list[Ink]], system: System, *, alone: bool) -> Iterator[list[Ink]]:
    """The signs that move together."""
    if alone:
        yield from sorted(groups, key=lambda group: abs(_middle(system) - _box(group).top))
        return
    for above in (True, False):
        together = [ink for group in groups if _side(_box(group), system) is above for ink in group]
        if together:
            yield together
    yield from (group for group in groups if _side(_box(group), system) is None)


def _within(line: list[Ink], right: float, system: System) -> list[Ink]:
    """Words that end with the line: at its last bar line, if its last bar is wide enough for them;
    else no farther than ``right``."""
    box = _box(line)
    if line[0].role not in _ALONE:
        return line
    over = box.right - system.right
    last_bar = system.bar_ends[-2] if len(system.bar_ends) > 1 else system.head
    if line[0].role != "dir" or box.left - max(over, 0) < last_bar:
        over = box.right - right
    return [replace(ink, shape=ink.shape.moved(-over, 0)) for ink in line] if over > 0 else line


def _moved(line: list[Ink], system: System, crowd: Crowd) -> list[Ink]:
    boxes = boxes_of(line)
    above = _side(around(boxes), system)
    if above is None:
        distance = _aside(boxes, system, crowd)
    else:
        distance = _clear(boxes, crowd.free_above if above else crowd.free_below)
    crowd.add(box.moved(0, distance) for box in boxes)
    return [replace(ink, shape=ink.shape.moved(0, distance)) for ink in line]


def _clear(boxes: list[Box], free: Callable[[Box], float], room: float = _CLEAR) -> float:
    """How far all of ``boxes`` go together to have ``room`` around them."""
    distance = 0.0
    while step := max((free(box.moved(0, distance).widened(room, room)) for box in boxes), key=abs):
        distance += step
    return distance


def _aside(boxes: list[Box], system: System, crowd: Crowd) -> float:
    """The shorter way, up or down, of a sign between the staves, if it touches anything but what
    joins them (bar lines, a brace); out of the system where there is no room in it."""
    middle = (around(boxes).top + around(boxes).bottom) / 2
    over = max((top + STAFF for top in system.staff_tops if top < middle), default=middle)
    under = min((top for top in system.staff_tops if top > middle), default=middle)
    near = crowd.only(lambda box: box.top > over or box.bottom < under)
    if not _clear(boxes, near.free_above, 0):
        return 0
    ways = (_clear(boxes, free, _TIGHT) for free in (near.free_above, near.free_below))
    return min(ways, key=abs)


def _labels(sheet: Sheet, system: System, crowd: Crowd) -> Iterator[TextLine]:
    """The original measure numbers: each above the system, where the first note stands that comes
    from its measure, and beyond all that stands there. Nearer to the notes it reads as a finger."""
    for note in placed_notes(sheet, system):
        if note.event.label is None or note.tone:
            continue
        text = TextLine(note.event.label, note.box.left, 0, LABEL_SIZE, bold=True)
        ink = text.boxes[0].widened(_CLEAR / 2, 1.4 * _CLEAR)
        left = min(ink.left, note.box.left) - _BESIDE
        right = max(ink.right, note.box.right) + _BESIDE
        top = min(system.staff_tops[0] - SPACE / 2, crowd.top_between(left, right))
        text = text.moved(0, top - ink.bottom)
        crowd.add(text.boxes)
        yield text


def _box(inks: list[Ink]) -> Box:
    return around(boxes_of(inks))


def _middle(system: System) -> float:
    return (system.staff_tops[0] + system.staff_tops[-1] + STAFF) / 2


def _side(box: Box, system: System) -> bool | None:
    """True above the staves, False below them, None between or on them: these stay."""
    if box.bottom <= system.staff_tops[0] + SPACE:
        return True
    return False if box.top >= system.staff_tops[-1] + STAFF - SPACE else None
