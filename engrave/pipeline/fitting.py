"""A booklet of at most so many pages: drills go in the order of their worth, and are named.

Enters: what was checked, how many pages a booklet of it has, how high the music of its drills is.
Leaves: the same with fewer drills, and notices. Passages as written always stay.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from engrave.errors import Notice
from engrave.marks.placed import Placed
from engrave.music.drill import Drill
from engrave.pipeline.checking import Checked
from engrave.words import say_family

SHARE = 0.6
"""Of the height that is too much goes at once; what is still too much goes next time."""


def fitted(
    checked: Checked,
    most: Placed[int],
    page_height_mm: float,
    heights_mm: Mapping[str, float],
    pages_of: Callable[[Checked], int],
) -> Checked:
    """``checked`` with so few drills that ``pages_of`` it are at most ``most``.

    ``heights_mm`` are those of the drills' music by id. What went is told at the place of ``most``,
    and so is a booklet that has more pages even without drills.
    """
    kept, gone = checked, list[Drill]()
    while (pages := pages_of(kept)) > most.value:
        surplus = SHARE * (pages - most.value) * page_height_mm
        dropped = _least_worth(kept, surplus, heights_mm)
        if not dropped:
            told = f"the booklet has {pages} pages, without any drills too"
            notices = (*kept.notices, Notice(told, most.source))
            return replace(kept, notices=notices)
        gone += dropped
        kept = _without(kept, {each.id for each in dropped})
    return replace(kept, notices=(*kept.notices, *_told(checked, gone, most)))


def _least_worth(
    checked: Checked, height_mm: float, heights_mm: Mapping[str, float]
) -> list[Drill]:
    """Whole groups of drills (one family and worth of a passage), the least worth first."""
    groups: dict[tuple[int, int, str], list[Drill]] = {}
    for place, drilled in enumerate(checked.passages):
        for drill in drilled.drills[1:]:
            groups.setdefault((drill.worth, place, drill.family), []).append(drill)
    dropped: list[Drill] = []
    for key in sorted(groups, reverse=True):
        if dropped and sum(heights_mm[each.id] for each in dropped) >= height_mm:
            break
        dropped += groups[key]
    return dropped


def _without(checked: Checked, ids: set[str]) -> Checked:
    passages = tuple(
        replace(each, drills=tuple(drill for drill in each.drills if drill.id not in ids))
        for each in checked.passages
    )
    return replace(checked, passages=passages)


def _told(checked: Checked, gone: list[Drill], most: Placed[int]) -> Iterator[Notice]:
    """One notice a passage that has lost drills."""
    for drilled in checked.passages:
        lost = [each for each in gone if each.passage == drilled.passage.id]
        families = dict.fromkeys(each.family for each in lost)
        if lost:
            names = ", ".join(
                f"{say_family(family).lower()} ({sum(each.family == family for each in lost)})"
                for family in families
            )
            told = (
                f"measures {drilled.passage.label}: left out to keep to {most.value} pages: {names}"
            )
            yield Notice(told, most.source)
