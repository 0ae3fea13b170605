"""A booklet of at most so many pages: drills go in the order of their worth, and are named.

Enters: what was checked, how many pages a booklet of it has, how high the music of its drills is.
Leaves: the same with fewer drills, and notices. Passages as written always stay.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
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
    """``checked`` with so few drills that ``pages_of`` it are at most ``most``, and no fewer.

    ``heights_mm`` are those of the drills' music by id. What went is told at the place of ``most``,
    and so is a booklet that has more pages even without drills.
    """
    groups = _by_worth(checked)
    too_few, enough = -1, 0
    while (pages := pages_of(_without(checked, groups[:enough]))) > most.value:
        if enough == len(groups):
            told = Notice(f"the booklet has {pages} pages, without any drills too", most.source)
            return _told(checked, groups, most, told)
        surplus = SHARE * (pages - most.value) * page_height_mm
        too_few, enough = enough, _next(groups, enough, surplus, heights_mm)
    while enough - too_few > 1:
        middle = (too_few + enough) // 2
        if pages_of(_without(checked, groups[:middle])) > most.value:
            too_few = middle
        else:
            enough = middle
    return _told(checked, groups[:enough], most)


def _by_worth(checked: Checked) -> list[list[Drill]]:
    """Drills that go together (one family and worth of a passage), the least worth first.

    A passage's best go after all that are no passage's best: none is left without a drill while
    another has several.
    """
    groups: dict[tuple[int, int, str], list[Drill]] = {}
    for place, drilled in enumerate(checked.passages):
        for drill in drilled.numbered:
            groups.setdefault((drill.worth, place, drill.family), []).append(drill)
    best = {place: (worth, place, family) for worth, place, family in sorted(groups, reverse=True)}
    order = sorted(groups, key=lambda key: (key != best[key[1]], key), reverse=True)
    return [groups[key] for key in order]


def _next(
    groups: Sequence[Sequence[Drill]], gone: int, height_mm: float, heights_mm: Mapping[str, float]
) -> int:
    """How many groups to leave out when those after the first ``gone`` are to save a height."""
    saved = 0.0
    while gone < len(groups) and saved < height_mm:
        saved += sum(heights_mm[each.id] for each in groups[gone])
        gone += 1
    return gone


def _without(checked: Checked, groups: Iterable[Sequence[Drill]]) -> Checked:
    ids = {drill.id for group in groups for drill in group}
    passages = tuple(
        replace(each, drills=tuple(drill for drill in each.drills if drill.id not in ids))
        for each in checked.passages
    )
    return replace(checked, passages=passages)


def _told(
    checked: Checked, gone: Sequence[Sequence[Drill]], most: Placed[int], *notices: Notice
) -> Checked:
    """``checked`` without what is ``gone``, and that it is."""
    left_out = (*notices, *_left_out(checked, [each for group in gone for each in group], most))
    return replace(_without(checked, gone), notices=(*checked.notices, *left_out))


def _left_out(checked: Checked, gone: Sequence[Drill], most: Placed[int]) -> Iterator[Notice]:
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
