"""A page of a booklet as plain data: what it takes to bind it, and to lay out the next one.

Enters: nothing. Leaves: values that can be kept and compared. Knows no library.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from engrave.machine.packed import Packed

Anchors = tuple[tuple[str, tuple[float, float, float, float]], ...]
"""Elements with an id, as they follow: two opposite corners in CSS pixels."""

PAGES, FONTS, STRUCTURE = -1, -2, -3
"""What an object may refer to that belongs to no page: all pages, all fonts, the document."""
FIRST_NOTE = -10
"""The number, in the tree of parents, of a page's first annotation; then -11, and so on."""


@dataclass(frozen=True, slots=True)
class PageStart:
    """Where in a booklet a page begins: in which of its parts, and where in that.

    ``resume`` is WeasyPrint's path below the part's root, None at its beginning. ``page_break`` and
    ``page_name`` are what the page before asked for; ``strings`` the running heads in force.
    """

    part: int = 0
    resume: Any = None
    page_break: str = "any"
    page_name: str | None = None
    is_right: bool = True
    strings: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """An object of a PDF: text with the local numbers of others between, and a stream.

    ``digest`` names what may stand in a file once for all pages that have it; else it is empty.
    """

    number: int
    text: tuple[bytes | int, ...]
    stream: bytes | None = None
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Face:
    """What a page uses of a font: ``widths`` and ``texts`` by glyph.

    ``file`` is the digest of the font's file; ``name`` what PDF calls it.
    """

    hash: str
    name: bytes
    family: str
    weight: int
    style: int
    flags: int
    ascent: int
    descent: int
    file: str
    is_bitmap: bool
    widths: tuple[tuple[int, int], ...]
    texts: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Plate:
    """A page drawn. ``page`` is the number of its own object among ``items``.

    ``elements`` are the outermost of the structure tree; ``marks`` the elements that hold marked
    contents, in the order of their numbers; ``notes`` those that hold annotations.
    """

    items: tuple[Item, ...]
    page: int
    elements: tuple[int, ...]
    marks: tuple[int, ...]
    notes: tuple[int, ...]
    faces: tuple[Face, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands, or one part of it: page from 1, the rest in millimetres from the
    page's top left."""

    page: int
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A heading in the table of contents of the file; ``x`` and ``y`` in CSS pixels."""

    level: int
    title: str
    x: float
    y: float
    is_open: bool


@dataclass(frozen=True, slots=True)
class Folio:
    """A page laid out. ``following`` is where the next one begins, None after the last.

    ``links`` are the anchors that links lead to.
    """

    following: PageStart | None
    height: float
    anchors: Anchors
    links: tuple[str, ...]
    bookmarks: tuple[Bookmark, ...]


@dataclass(frozen=True, slots=True)
class Beginning:
    """Page ``number`` begins at ``state``; named elements are expected on ``pages``."""

    state: PageStart = field(default_factory=PageStart)
    number: int = 1
    pages: Mapping[str, int] = field(default_factory=dict)


FRONT = Beginning()
"""The first page, of which nothing is expected."""


@dataclass(frozen=True, slots=True)
class Expected:
    """Pages that are made up: the blocks that begin them, and the pages of all blocks."""

    begins: tuple[str, ...]
    pages: Mapping[str, int]


Links = list[tuple[str, int]]
"""Anchors that a page links to, and the pages that they are on."""


@dataclass(frozen=True, slots=True)
class Far:
    """The last pages, from another process: where each begins and what it is known by, and the page
    as it is drawn if its links lead where they were expected to."""

    begins: list[tuple[PageStart, str]]
    folios: list[Folio]
    plates: list[tuple[Plate | Packed, Links]]
