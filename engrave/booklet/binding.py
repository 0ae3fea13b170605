"""A book becomes pages: templates are filled, pictures handed to the press, places read back.

Enters: a ``Book`` and a ``PageStyle``. Leaves: a ``Bound``. Text from the book is escaped where it
meets HTML; how a page looks is the templates' affair, and how a sentence reads the word list's.
"""

import unicodedata
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import TypeVar

from engrave.booklet import page_numbers
from engrave.booklet.book import Book, Bound
from engrave.booklet.folio import Expected, Place
from engrave.booklet.galley import galley
from engrave.booklet.guarding import MissingCharactersError
from engrave.booklet.makeup import MakeUp, as_it_stands, make_up, pages_of, spaces
from engrave.booklet.press import Layout, Press
from engrave.booklet.setting import Setting
from engrave.booklet.style import PageStyle
from engrave.machine.cache import NO_CACHE, Cache
from engrave.machine.packed import PackedFiles

T = TypeVar("T")

SLACKS_MM = (0.6, 3.0, 8.0)
"""Kept free of every page, more where blocks came out higher there than they were measured."""
WORTH = 70.0
"""What a make-up must be better than pages as they come to be worth laying out again."""
PLAN = "plan"
"""The element that is the practice plan."""
FEW_ROWS = 0.2
"""Of a page's height: what the plan has on its last page is set closer to save that page."""
STAND_IN = "◊"
"""Printed for a character that no font of the machine has; every face of the text font has it."""


class LaidOut:
    """A book on its pages, not yet printed; the same book and style give the same bytes.

    Characters that no font has are printed as ``STAND_IN``, and named in what is printed. Unless
    ``alone``, a copy of the process helps. Raises ``EngraveError`` where the plan cannot be made or
    the language has no words.
    """

    def __init__(
        self, book: Book, style: PageStyle, cache: Cache = NO_CACHE, alone: bool = True
    ) -> None:
        self._book, self._style, self._missing = book, style, ""
        self._press = Press(cache, alone)
        self._layout = self._tried(self._laid_out)

    @property
    def pages(self) -> int:
        """How many there are."""
        return self._layout.pages

    @property
    def places(self) -> Mapping[str, Sequence[Place]]:
        """Where every named element of a page stands."""
        return self._layout.places

    def printed(self) -> Bound:
        """The file, and where the drills stand in it."""
        pdf = self._tried(lambda: self._layout.pdf(), again=True)
        places = {
            page.drill.id: tuple(
                place
                for picture in range(1, len(page.pictures) + 1)
                for place in self._layout.places.get(f"{address}-{picture}", ())
            )
            for address, page in self._book.addresses()
        }
        return Bound(pdf, places, self._layout.pages, self._missing)

    def _tried(self, work: Callable[[], T], again: bool = False) -> T:
        """What ``work`` gives, tried until no character is missing.

        ``again``: the pages have to be laid out again before.
        """
        while True:
            try:
                return work()
            except MissingCharactersError as error:
                if set(error.characters) <= set(self._missing):
                    raise
                self._missing = "".join(sorted({*self._missing, *error.characters}))
                if again:
                    self._layout = self._tried(self._laid_out)

    def _laid_out(self) -> Layout:
        """As it comes where that is well; else as it is made up from what was measured so."""
        setting = Setting(self._book, self._style, f'"{page_numbers.STAND_IN}"')
        layout = self._set_up(setting, draw=False)
        if _has_few_rows_over(layout, self._style):
            layout = self._set_closer(setting, layout)
        is_spread = self._style.is_spread
        more: dict[str, float] = {}
        for slack in SLACKS_MM:
            blocks = galley(layout.places, more)
            if not blocks:
                return layout
            height = self._style.text_height_mm - slack
            best = make_up(blocks, height, blocks[0].page)
            if not is_spread and as_it_stands(blocks, height).cost <= best.cost + WORTH:
                return layout
            above = spaces(blocks, best.begins, height)
            more = {
                block.name: above[block.name] - block.space_mm
                for block in blocks
                if block.name in above
            }
            layout.leave(blocks[0].page)
            del layout  # two would be too much to hold
            expected = Expected(best.begins, pages_of(blocks, best.begins))
            layout = self._set_up(setting, True, above, expected)
            if _stands(best, blocks[0].page, layout):
                return layout
        return layout

    def _set_closer(self, setting: Setting, layout: Layout) -> Layout:
        """The layout with the rows of the plan closer, if that saves a page."""
        layout.leave(layout.places[PLAN][0].page)
        setting.is_close = True
        closer = self._set_up(setting, draw=False)
        setting.is_close = closer.pages < layout.pages
        return closer if setting.is_close else layout

    def _set_up(
        self,
        setting: Setting,
        draw: bool,
        above: Mapping[str, float] = MappingProxyType({}),
        expected: Expected | None = None,
    ) -> Layout:
        html = setting.html(above, expected.begins if expected else ())
        if not self._missing:
            return self._press.lay_out(html, setting.pictures, draw, expected)
        stand_ins = {ord(each): _stand_in(each) for each in self._missing}
        pictures = PackedFiles(
            (name, svg.decode().translate(stand_ins).encode())
            for name, svg in setting.pictures.items()
        )
        return self._press.lay_out(html.translate(stand_ins), pictures, draw, expected)


def _has_few_rows_over(layout: Layout, style: PageStyle) -> bool:
    """Whether the last page of the practice plan has but a few days."""
    pages = layout.places.get(PLAN, ())
    return len(pages) > 1 and pages[-1].height_mm < FEW_ROWS * style.text_height_mm


def _stands(made_up: MakeUp, first_page: int, layout: Layout) -> bool:
    """Whether the pages begin where they were to."""
    return all(
        layout.places[name][0].page == page for page, name in enumerate(made_up.begins, first_page)
    )


def _stand_in(character: str) -> str:
    """Nothing for what only directs or joins its neighbours."""
    return "" if unicodedata.category(character) in ("Cf", "Mn", "Me") else STAND_IN
