"""What goes into a booklet: the piece, its people and dates, and the pages of every passage.

All of it is finished music and unsaid remarks; nothing here knows paper, language or HTML.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property, reduce
from itertools import groupby
from typing import Protocol

from engrave.booklet.folio import Place
from engrave.booklet.leap_rows import LeapRow, leap_rows
from engrave.booklet.left_out import left_out
from engrave.booklet.news import Progress
from engrave.booklet.said import Said, gathered, said_alone, said_of_all
from engrave.music.drill import Drill
from engrave.passage.model import Passage
from engrave.remarks import Remark


class Picture(Protocol):
    """Engraved music that is not to be cut: one system, or several; its true size on paper."""

    @property
    def svg(self) -> bytes:
        """The drawing, with ``width`` and ``height`` in millimetres and a ``viewBox``."""

    @property
    def width_mm(self) -> float:
        """Width on paper."""

    @property
    def height_mm(self) -> float:
        """Height on paper."""


class Music(Picture, Protocol):
    """A picture of staves."""

    @property
    def staff_tops_mm(self) -> Sequence[float]:
        """The top lines of all staves, from the picture's upper edge."""


@dataclass(frozen=True, slots=True)
class DrillPage:
    """A drill and its music. Between pictures a page may turn, if the drill is longer than one."""

    drill: Drill
    pictures: Sequence[Music]

    @property
    def whose(self) -> str:
        """``right``, ``left`` or ``both``; where one of both goes along, which hand leads."""
        drill = self.drill
        return f"{drill.suffix}-leads" if drill.hand == "both" and drill.suffix else drill.hand

    @property
    def width_mm(self) -> float:
        """Width of its widest music."""
        return max(picture.width_mm for picture in self.pictures)


@dataclass(frozen=True)  # without slots, as what is said is worked out once
class FamilyPages:
    """The drills of one family in a passage, and what is said of all of them.

    ``numbers`` are the drills' own, ``3.2`` say.
    """

    name: str
    drills: tuple[DrillPage, ...]
    numbers: tuple[str, ...]

    @cached_property
    def said(self) -> Said:
        """What every drill says, if there are several, or several say with other numbers."""
        common = said_of_all([page.drill for page in self.drills])
        return replace(common, remarks=(*common.remarks, *self._gathered.remarks))

    @cached_property
    def _gathered(self) -> Said:
        drills = [page.drill for page in self.drills]
        return gathered(list(zip(self.numbers, drills, strict=True)))

    @cached_property
    def said_by_hand(self) -> list[tuple[str, Said]]:
        """What every drill of a hand says besides, where not all drills are for the same hand."""
        if len(self._hands) == 1:
            return []
        return [
            (hand, said_of_all([page.drill for page in self._of(hand)]).but(self.said))
            for hand in self._hands
        ]

    @cached_property
    def said_by_some(self) -> list[tuple[tuple[str, ...], Said]]:
        """What several drills say besides, but not all, by the numbers of those that do."""
        left = [self._left(page) for page in self.drills]
        moved = {remark for each in left for remark in each.moved}
        said = [
            (number, (*each.remarks, *each.moved))
            for number, each in zip(self.numbers, left, strict=True)
        ]
        found: dict[tuple[str, ...], list[Remark]] = {}
        for remark in (each for _, remarks in said for each in remarks):
            numbers = tuple(number for number, remarks in said if remark in remarks)
            if len(numbers) > 1 and remark not in found.get(numbers, ()):
                found.setdefault(numbers, []).append(remark)
        return [
            (
                numbers,
                Said(
                    tuple(each for each in remarks if each not in moved),
                    moved=tuple(each for each in remarks if each in moved),
                ),
            )
            for numbers, remarks in found.items()
        ]

    def own(self, page: DrillPage) -> Said:
        """What is left to say of one drill."""
        return reduce(Said.but, (said for _, said in self.said_by_some), self._left(page))

    def _left(self, page: DrillPage) -> Said:
        """What neither all drills say nor all of its hand."""
        by_hand = dict(self.said_by_hand).get(page.whose, Said())
        return said_alone(page.drill, self._gathered).but(self.said).but(by_hand)

    @property
    def leap_tables(self) -> list[tuple[str, tuple[LeapRow, ...]]]:
        """The leaps of each hand in figures, as its first step measures them."""
        firsts = {hand: self._of(hand)[0].drill for hand in self._hands}
        return [(hand, leap_rows(drill)) for hand, drill in firsts.items() if drill.leaps]

    @property
    def _hands(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(page.whose for page in self.drills))

    def _of(self, hand: str) -> list[DrillPage]:
        return [page for page in self.drills if page.whose == hand]


@dataclass(frozen=True, slots=True)
class PassagePages:
    """A passage, as written and drilled, in playing order. ``notes`` are the fingering notes."""

    passage: Passage
    written: DrillPage
    drills: tuple[DrillPage, ...]
    notes: tuple[Remark, ...] = ()

    @property
    def number(self) -> int:
        """The one by which the booklet calls it, from lesson to lesson the same."""
        return self.passage.number

    @property
    def hand(self) -> str:
        """``right``, ``left`` or ``both``."""
        return self.passage.hands[0] if len(self.passage.hands) == 1 else "both"

    @property
    def left_out(self) -> Remark | None:
        """What its drills leave out, once for all of them."""
        return left_out([page.drill for page in self.drills]).sentence

    @property
    def families(self) -> list[FamilyPages]:
        """The drills by family, families in the order of their first drill."""
        numbered = [(page, f"{self.number}.{n}") for n, page in enumerate(self.drills, 1)]
        families = []
        for family, found in groupby(numbered, lambda each: each[0].drill.family):
            drills, numbers = zip(*found, strict=True)
            families.append(FamilyPages(family, drills, numbers))
        return families


@dataclass(frozen=True, slots=True)
class TerrainStrip:
    """The piece as a strip of its difficulty, how to read it, and what it shows, in words."""

    picture: Picture
    words: Remark
    shows: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class Book:
    """Everything that a booklet says. Empty text and None are left off the page.

    ``movement`` counts from 1, ``rest_days`` as ``date.weekday`` does.
    """

    title: str
    passages: tuple[PassagePages, ...]
    composer: str = ""
    movement: int | None = None
    student: str = ""
    teacher: str = ""
    performance: date | None = None
    begin: date | None = None
    minutes_a_day: int = 30
    rest_days: tuple[int, ...] = ()
    terrain: TerrainStrip | None = None
    progress: Progress = field(default_factory=Progress)

    def addresses(self) -> list[tuple[str, DrillPage]]:
        """Every drill page by its name in the booklet: passage and drill, 0 for as written."""
        return [
            (f"{pages.number}-{index}", page)
            for pages in self.passages
            for index, page in enumerate((pages.written, *pages.drills))
        ]


@dataclass(frozen=True, slots=True)
class Bound:
    """A bound booklet: the PDF, the places of every drill by its id, the number of pages.

    ``missing`` are the characters for which another stands, as no font has them.
    """

    pdf: bytes
    places: dict[str, tuple[Place, ...]]
    pages: int
    missing: str = ""
