"""Trills, turns, mordents and fermatas, clear of the slurs that verovio draws through them.

Enters: a system and the crowd of its other ink. Leaves: the signs, moved away from their staff as
far as they would touch, before fingers are placed beyond them.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from engrave.engraver.crowding import Crowd
from engrave.engraver.paths import around
from engrave.engraver.reading import ORNAMENTS, Ink, System, boxes_of
from engrave.engraver.toolkit import SPACE, STAFF

_CLEAR = 0.1 * SPACE


def place_ornaments(system: System, crowd: Crowd) -> Iterator[Ink]:
    """The ornaments of ``system`` in their places; they join the ``crowd``."""
    groups: dict[int, list[Ink]] = defaultdict(list)
    for ink in system.inks:
        if ink.role in ORNAMENTS:
            groups[ink.group].append(ink)
    for inks in groups.values():
        box = around(boxes_of(inks))
        staff = system.staff_near(box.top)
        free = crowd.free_above if box.top < staff + STAFF / 2 else crowd.free_below
        distance = free(box.widened(_CLEAR, _CLEAR))
        crowd.add([box.moved(0, distance)])
        yield from (replace(ink, shape=ink.shape.moved(0, distance)) for ink in inks)
