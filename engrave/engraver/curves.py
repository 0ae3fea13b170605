"""Slurs clear of what stands beside the notes that they bind.

Enters: the ink inside the staves, in its places. Leaves: the same ink, slurs moved away from their
notes where verovio draws them through an accidental, a rest, an articulation or a tuplet's number.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engrave.engraver.crowding import Crowd
from engrave.engraver.paths import Box
from engrave.engraver.reading import RESTS, Ink
from engrave.engraver.shapes import Glyph, Shape
from engrave.engraver.toolkit import SPACE

_AVOIDED = frozenset({"accid", "artic", "dots", "tupletNum", *RESTS})
_NEAR = frozenset({"beam", "flag", "notehead", "slur"})
"""What a slur may touch where verovio has it so, but must not be moved onto."""
_STEP, _FARTHEST = 0.2 * SPACE, 10


def place_curves(inks: Sequence[Ink]) -> Iterator[Ink]:
    """``inks``, slurs where they touch nothing that they need not."""
    slurs = [ink for ink in inks if ink.kind == "slur"]
    if not slurs:
        yield from inks
        return
    avoided = Crowd(box for ink in inks if ink.kind in _AVOIDED for box in _outlined(ink.shape))
    near = Crowd(box for ink in inks if ink.kind in _NEAR for box in ink.shape.boxes())
    for ink in inks:
        yield ink if ink.kind != "slur" else _placed(ink, avoided, near)


def _outlined(shape: Shape) -> list[Box]:
    """Small boxes along a glyph's outline: a flat is empty at its upper right."""
    if not isinstance(shape, Glyph):
        return shape.boxes()
    return [box.moved(shape.x, shape.y) for box in shape.outline.boxes()]


def _placed(slur: Ink, avoided: Crowd, near: Crowd) -> Ink:
    boxes = slur.shape.boxes()
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
