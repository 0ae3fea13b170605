"""The passages as one column of blocks, measured: what a compositor has before there are pages.

Enters: where the named elements of a first layout stand. Leaves: ``Block``s in reading order. A
page may break before every block, at a price. Knows elements by their names alone, and no HTML.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from engrave.booklet.folio import Place

_LOG_LINES_MM = 5 * 8.2
"""So many lines to write on make a log; it takes more where there is room."""
_NEAR_MM = 0.2
_MUSIC = re.compile(r"\d+-\d+-(\d+)")
_LEAVES = ("said-", "words-", "head-", "leaps-", "return-", "lines")


class BlockKind(StrEnum):
    """What a block is; but for music that goes on, what its name begins with."""

    PASSAGE = "passage"
    SAID = "said"
    FAMILY = "family"
    AFTER_TABLE = "first"
    DRILL = "drill"
    ROW = "row"
    GOES_ON = "music"
    BOXES = "return"
    LOG = "log"


_SPACES_MM = {BlockKind.PASSAGE: 12.0, BlockKind.LOG: 14.0}
_SPACE_MM = 4.5
"""At most above a block of a kind that only ever begins pages."""
_KINDS = {kind.value: kind for kind in BlockKind if kind is not BlockKind.GOES_ON}


@dataclass(frozen=True, slots=True)
class Block:
    """What is to stand on one page whole.

    ``name`` is that of the element that begins with it, ``space_mm`` is above it where it does not
    begin a page. It stood on the pages from ``page`` to ``last_page``.
    """

    name: str
    kind: BlockKind
    height_mm: float
    space_mm: float
    page: int
    last_page: int


@dataclass(slots=True)
class _Begun:
    """A block that is being measured: ``feet`` are its tops and bottoms by page."""

    name: str
    kind: BlockKind
    page: int
    top: float
    feet: dict[int, tuple[float, float]]

    @property
    def last_page(self) -> int:
        return max(self.feet)

    @property
    def bottom(self) -> float:
        return self.feet[self.last_page][1]

    @property
    def height(self) -> float:
        return sum(bottom - top for top, bottom in self.feet.values())

    def take(self, page: int, top: float, bottom: float) -> None:
        """Something stands in it."""
        before = self.feet.get(page, (top, bottom))
        self.feet[page] = min(before[0], top), max(before[1], bottom)


def galley(
    places: Mapping[str, Sequence[Place]], more: Mapping[str, float] = MappingProxyType({})
) -> list[Block]:
    """The blocks of all passages, and the log where it follows them.

    ``more`` is what their spaces had more than is usual, or less.
    """
    begun = sorted(_begun(places), key=lambda block: (block.page, block.top))
    _measure(begun, places)
    above = [
        block.top - before.bottom - more.get(block.name, 0)
        if before and before.last_page == block.page
        else None
        for before, block in zip((None, *begun), begun, strict=False)
    ]
    known: dict[BlockKind, float] = {}
    for block, space in zip(begun, above, strict=True):
        if space is not None:
            known[block.kind] = max(space, known.get(block.kind, 0.0))
    usual = dict.fromkeys(BlockKind, _SPACE_MM) | _SPACES_MM | known
    return [
        Block(
            block.name,
            block.kind,
            block.height,
            usual[block.kind] if space is None else space,
            block.page,
            block.last_page,
        )
        for block, space in zip(begun, above, strict=True)
    ]


def _begun(places: Mapping[str, Sequence[Place]]) -> Iterator[_Begun]:
    for name, (first, *_) in places.items():
        if kind := _kind_of(name):
            yield _Begun(name, kind, first.page, first.y_mm, {first.page: (first.y_mm, first.y_mm)})


def _kind_of(name: str) -> BlockKind | None:
    if music := _MUSIC.fullmatch(name):
        return BlockKind.GOES_ON if int(music[1]) > 1 else None
    return _KINDS.get(name.partition("-")[0])


def _measure(begun: Sequence[_Begun], places: Mapping[str, Sequence[Place]]) -> None:
    """Every block ends with the last of what stands in it."""
    leaves = sorted(
        (
            each.page,
            each.y_mm,
            each.y_mm + each.height_mm + (_LOG_LINES_MM if name == "lines" else 0),
        )
        for name, found in places.items()
        if name.startswith(_LEAVES) or _MUSIC.fullmatch(name)
        for each in found
    )
    at = -1
    for page, top, bottom in leaves:
        while at + 1 < len(begun) and _is_above(begun[at + 1], page, top):
            at += 1
        if at >= 0:
            begun[at].take(page, top, bottom)


def _is_above(block: _Begun, page: int, top: float) -> bool:
    return (block.page, block.top) <= (page, top + _NEAR_MM)
