"""Slurs and ties clear of what stands beside the notes that they bind.

Enters: the ink inside the staves, in its places. Leaves: the same ink, slurs moved away from their
notes where verovio draws them through an accidental, a rest, an articulation or a tuplet's number;
a number that a slur still goes through, beyond it; ties that end before a stem they would cross.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engrave.engraver.crowding import Crowd
from engrave.engraver.paths import Box, around
from engrave.engraver.reading import RESTS, STAVES, Ink, boxes_of
from engrave.engraver.shapes import Fill, Glyph, Shape
from engrave.engraver.toolkit import SPACE

_AVOIDED = frozenset({"accid", "artic", "dots", "tupletNum", *RESTS})
_NEAR = frozenset({"beam", "flag", "notehead", "slur"})
"""What a slur may touch where verovio has it so, but must not be moved onto."""
_END, _CLEAR = 0.4, 0.15 * SPACE
"""The share of a tie that is its end; how far from a stem that is."""
_STEP, _FARTHEST = 0.2 * SPACE, 10


def place_curves(inks: Sequence[Ink]) -> Iterator[Ink]:
    """``inks``, slurs and ties where they touch nothing that they need not."""
    stems = boxes_of(ink for ink in inks if ink.kind == "stem")
    inks = [_before_stems(ink, stems) if ink.kind == "tie" else ink for ink in inks]
    slurs = [ink for ink in inks if ink.kind == "slur"]
    if not slurs:
        yield from inks
        return
    avoided = Crowd(box for ink in inks if ink.kind in _AVOIDED for box in _outlined(ink.shape))
    near = Crowd(boxes_of(ink for ink in inks if ink.kind in _NEAR))
    placed = [ink if ink.kind != "slur" else _placed(ink, avoided, near) for ink in inks]
    curves = Crowd(boxes_of(ink for ink in placed if ink.kind == "slur"))
    for ink in placed:
        yield ink if ink.kind != "tupletNum" else _beyond(ink, placed, curves)


def _before_stems(tie: Ink, stems: Sequence[Box]) -> Ink:
    """A tie that ends beside the stem of its note, where it would go on into it."""
    if not isinstance(tie.shape, Fill):
        return tie
    whole = around(boxes := tie.shape.boxes)
    left, right = whole.left, whole.right
    for stem in stems:
        if not any(stem.meets(box) for box in boxes):
            continue
        if stem.left > whole.right - _END * (whole.right - whole.left):
            right = min(right, stem.left - _CLEAR)
        elif stem.right < whole.left + _END * (whole.right - whole.left):
            left = max(left, stem.right + _CLEAR)
    if (left, right) == (whole.left, whole.right):
        return tie
    share = (right - left) / (whole.right - whole.left)
    path = tie.shape.path.mapped(lambda point: (left + (point[0] - whole.left) * share, point[1]))
    return replace(tie, shape=replace(tie.shape, path=path))


def _beyond(number: Ink, inks: Sequence[Ink], curves: Crowd) -> Ink:
    """A tuplet's number outside the slur that still goes through it, unless it has a bracket."""
    (box,) = number.shape.boxes
    beside = box.widened(SPACE, 0)
    brackets = [ink for ink in inks if ink.kind == "tupletBracket"]
    has_bracket = any(each.meets(beside) for each in boxes_of(brackets))
    if has_bracket or not curves.free_above(box):
        return number
    heads = [ink.shape.boxes[0] for ink in inks if ink.kind == "notehead"]
    middle = box.left + box.right
    near = min(
        heads, key=lambda head: abs(head.left + head.right - middle) + abs(head.top - box.top)
    )
    all_but_staves = (ink for ink in inks if ink is not number and ink.kind not in STAVES)
    crowd = Crowd(boxes_of(all_but_staves))
    free = crowd.free_above if box.top < near.top else crowd.free_below
    distance = free(box.widened(_STEP / 2, _STEP / 2))
    return replace(number, shape=number.shape.moved(0, distance))


def _outlined(shape: Shape) -> Sequence[Box]:
    """Small boxes along a glyph's outline: a flat is empty at its upper right."""
    if not isinstance(shape, Glyph):
        return shape.boxes
    return [box.moved(shape.x, shape.y) for box in shape.outline.boxes()]


def _placed(slur: Ink, avoided: Crowd, near: Crowd) -> Ink:
    boxes = slur.shape.boxes
    if not _touches(boxes, avoided):
        return slur
    away = -1 if _is_above(boxes) else 1
    own = set(boxes)
    others = near.only(lambda box: box not in own)
    as_it_was = _touches(boxes, others)
    for step in range(1, _FARTHEST + 1):
        moved = [box.moved(0, step * away * _STEP) for box in boxes]
        if not _touches(moved, avoided) and _touches(moved, others) <= as_it_was:
            return replace(slur, shape=slur.shape.moved(0, step * away * _STEP))
    return slur


def _touches(boxes: Sequence[Box], crowd: Crowd) -> int:
    return sum(1 for box in boxes if crowd.free_above(box))


def _is_above(boxes: Sequence[Box]) -> bool:
    """Whether the curve's middle lies higher than the line between its ends."""
    first, last = min(boxes), max(boxes, key=lambda box: box.right)
    middle = min(boxes, key=lambda box: abs(box.left + box.right - first.left - last.right))
    return 2 * middle.top < first.top + last.top
