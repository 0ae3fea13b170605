"""Make-up: which blocks begin a page, and what space is left between them.

Enters: a galley, the height of a page. Leaves: a ``MakeUp``. The cheapest of all ways to break the
column into pages, as Knuth and Plass 1981 break a paragraph into lines: fewer pages before fuller
ones, and what belongs together on one page, or at least on one opening, where both are seen at
once. A left page has an even number.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from engrave.booklet.galley import Block, BlockKind

SHARE = 0.97
"""Of what is left; the rest is for rounding."""
LEAST = 0.42
"""Of a page's height is used, unless a passage ends there."""

_PAGE = 100.0
_EMPTY = 60.0
"""For the square of the share of a page that is left, unless a passage ends there."""
_EMPTY_END = 40.0
"""The same where a passage ends."""
_NEAR_EMPTY = 300.0

_TURNED: Mapping[BlockKind, float] = {
    BlockKind.PASSAGE: 0,
    BlockKind.LOG: 0,
    BlockKind.FAMILY: 4,
    BlockKind.DRILL: 8,
    BlockKind.ROW: 8,
    BlockKind.AFTER_TABLE: 25,
    BlockKind.SAID: 80,
    BlockKind.BOXES: 120,
    BlockKind.GOES_ON: 2000,
}
"""What it costs to turn the page before a block. Music goes on overleaf where an opening does not
hold it, and nowhere else."""
_ACROSS = 0.25
"""Of it, where the eye goes on to the right page instead."""
_GOES_ON_ACROSS = 15.0

_WIDEST_MM = {
    **dict.fromkeys(
        (
            BlockKind.PASSAGE,
            BlockKind.FAMILY,
            BlockKind.AFTER_TABLE,
            BlockKind.DRILL,
            BlockKind.ROW,
        ),
        11.0,
    ),
    BlockKind.GOES_ON: 8.5,
}
"""Space above blocks where a page is filled; more than twelve would be a hole."""
_LESS_MM = {
    BlockKind.PASSAGE: 3.0,
    BlockKind.LOG: 5.0,
    **dict.fromkeys((BlockKind.FAMILY, BlockKind.DRILL, BlockKind.ROW, BlockKind.BOXES), 1.0),
    **dict.fromkeys((BlockKind.SAID, BlockKind.GOES_ON), 0.6),
}
"""What their space may lack, so that one more block finds room."""
_TIGHT = 15.0
"""What that costs, if all of it goes."""


@dataclass(frozen=True, slots=True)
class MakeUp:
    """The names of the blocks that begin pages, and what these pages cost."""

    begins: tuple[str, ...] = ()
    cost: float = 0.0


def as_it_stands(blocks: Sequence[Block], height_mm: float) -> MakeUp:
    """The pages of the layout that the galley was read from."""
    if any(block.page != block.last_page for block in blocks):
        return MakeUp(cost=inf)
    starts = [0, *(n for n, (a, b) in enumerate(pairwise(blocks), 1) if a.page != b.page)]
    cost = 0.0
    for start, end in pairwise((*starts, len(blocks))):
        page = blocks[start:end]
        cost += _page(page, height_mm, blocks[end : end + 1])
        cost += _break(page[0], page[0].page) if start else 0
    return MakeUp(tuple(blocks[start].name for start in starts), cost=cost)


def make_up(blocks: Sequence[Block], height_mm: float, first_page: int) -> MakeUp:
    """The best pages of ``height_mm`` for ``blocks``, the first of them being ``first_page``.

    What is to come depends on whether the next page is a left or a right one, and on nothing else:
    so the best of either is all that has to be known of what stands before a block.
    """
    best: list[_Best] = [{} for _ in range(len(blocks) + 1)]
    best[0][first_page % 2] = (0.0, first_page, 0)
    for start in range(len(blocks)):
        before = [
            (cost + (_break(blocks[start], number) if start else 0), number)
            for cost, number, _ in best[start].values()
        ]
        for end in range(start + 1, len(blocks) + 1) if before else ():
            page = blocks[start:end]
            if not has_room(page, height_mm) and len(page) > 1:
                break
            more = _page(page, height_mm, blocks[end : end + 1])
            for cost, number in before:
                found = (cost + more, number + 1)
                side = found[1] % 2
                if side not in best[end] or found < best[end][side][:2]:
                    best[end][side] = (*found, start)
    return _traced(blocks, best)


_Best = dict[int, tuple[float, int, int]]
"""By the side of the page that begins: what it costs up to there, its number, and the block that
began the page before."""


def _traced(blocks: Sequence[Block], best: Sequence[_Best]) -> MakeUp:
    end = len(blocks)
    cost, number, start = min(best[end].values(), key=lambda found: (found[0], found[2], found[1]))
    begins: list[str] = []
    while end:
        begins.append(blocks[start].name)
        end, number = start, number - 1
        start = best[end][number % 2][2]
    return MakeUp(tuple(reversed(begins)), cost=cost)


def pages_of(blocks: Sequence[Block], begins: Sequence[str]) -> dict[str, int]:
    """The page of every block, where these begin pages; the first one's is as it was."""
    page, pages = blocks[0].page - 1, {}
    for block in blocks:
        page += block.name in begins
        pages[block.name] = page
    return pages


def _break(block: Block, number: int) -> float:
    """What it costs that ``block`` begins page ``number``."""
    turned = _TURNED[block.kind]
    if number % 2 == 0:
        return turned
    return _GOES_ON_ACROSS if block.kind is BlockKind.GOES_ON else _ACROSS * turned


def has_room(page: Sequence[Block], height_mm: float) -> bool:
    """Whether the blocks fit on a page, tightened where need be."""
    return _used(page) - _least_room(page) <= height_mm


def _page(page: Sequence[Block], height_mm: float, following: Sequence[Block]) -> float:
    """What a page of these blocks costs, with the block that begins the next one."""
    fill = _used(page) / height_mm
    if fill > 1:
        lacking, room = (fill - 1) * height_mm, _least_room(page)
        return _PAGE + (_TIGHT * min(1.0, lacking / room) ** 2 if room else 0)
    if not following:
        return _PAGE
    if following[0].kind in (BlockKind.PASSAGE, BlockKind.LOG):
        return _PAGE + _EMPTY_END * (1 - fill) ** 2
    return _PAGE + _EMPTY * (1 - fill) ** 2 + (_NEAR_EMPTY if fill < LEAST else 0)


def _used(page: Sequence[Block]) -> float:
    return sum(block.height_mm + block.space_mm for block in page) - page[0].space_mm


def spaces(blocks: Sequence[Block], begins: Sequence[str], height_mm: float) -> dict[str, float]:
    """The space above every block that begins no page, in millimetres: so much less that its page
    holds all it is to hold, or so much more that it is filled, but for the last."""
    starts = [n for n, block in enumerate(blocks) if block.name in begins]
    found: dict[str, float] = {}
    for start, end in pairwise((*starts, len(blocks))):
        page = blocks[start:end]
        left = height_mm - _used(page)
        found |= {block.name: block.space_mm for block in page[1:]}
        if left < 0:
            share = min(1.0, -left / max(_least_room(page), 0.01))
            found |= {b.name: b.space_mm - share * _LESS_MM.get(b.kind, 0.0) for b in page[1:]}
        elif end < len(blocks):
            found |= _spread(page[1:], SHARE * left)
    return found


def _spread(blocks: Sequence[Block], left_mm: float) -> dict[str, float]:
    """What is left, in equal parts; the tightest bound first, so that others take its rest."""
    room = sorted(
        (max(0.0, _WIDEST_MM[block.kind] - block.space_mm), block.name, block.space_mm)
        for block in blocks
        if block.kind in _WIDEST_MM
    )
    found: dict[str, float] = {}
    for place, (most, name, space) in enumerate(room):
        more = min(most, left_mm / (len(room) - place))
        found[name] = space + more
        left_mm -= more
    return found


def _least_room(page: Sequence[Block]) -> float:
    """How much space a page can do without."""
    return sum(_LESS_MM.get(block.kind, 0.0) for block in page[1:])
