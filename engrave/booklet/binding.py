"""A book becomes pages: templates are filled, pictures handed to the press, places read back.

Enters: a ``Book`` and a ``PageStyle``. Leaves: a ``Bound``. Text from the book is escaped where it
meets HTML; how a page looks is the templates' affair, and how a sentence reads the word list's.
"""

import unicodedata
from collections.abc import Callable, Collection, Mapping
from types import MappingProxyType
from typing import TypeVar

from engrave.booklet import page_numbers
from engrave.booklet.book import Book, Bound, Place
from engrave.booklet.press import Layout, MissingCharactersError, lay_out
from engrave.booklet.setting import Setting
from engrave.booklet.spread import spread
from engrave.booklet.style import PageStyle
from engrave.booklet.turning import boxes_alone, turned_over

T = TypeVar("T")

MOST_TURNS = 12
"""Drills longer than a page that are moved to a left page, one after the other."""
STAND_IN = "◊"
"""Printed for a character that no font of the machine has; every face of the text font has it."""


def bind(book: Book, style: PageStyle) -> Bound:
    """Print ``book`` in ``style``; the same book and style give the same bytes.

    Raises ``EngraveError`` where the plan cannot be made or the language has no words.
    """
    return LaidOut(book, style).printed()


class LaidOut:
    """A book on its pages, not yet printed.

    Characters that no font has are printed as ``STAND_IN``, and named in what is printed. Raises
    what ``bind`` does.
    """

    def __init__(self, book: Book, style: PageStyle) -> None:
        self._book, self._style, self._missing = book, style, ""
        self._layout = self._tried(self._laid_out)

    @property
    def pages(self) -> int:
        """How many there are."""
        return self._layout.pages

    def printed(self) -> Bound:
        """The file, and where the drills stand in it."""
        pdf = self._tried(lambda: self._layout.pdf(), again=True)
        places = {
            page.drill.id: tuple(
                Place(*box)
                for picture in range(1, len(page.pictures) + 1)
                for box in self._layout.boxes.get(f"{address}-{picture}", ())
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
        book, style = self._book, self._style
        setting = Setting(book, style, f'"{page_numbers.STAND_IN}"')
        layout = self._set_up(setting)
        begins: set[str] = set()
        stays: set[str] = set()
        for _ in range(MOST_TURNS):
            turned = turned_over(book, layout.boxes) - begins
            alone = boxes_alone(layout.boxes) - stays
            if not turned and not alone:
                break
            stays |= alone
            if turned:
                begins |= {min(turned, key=lambda block: _place_of(block, layout))}
            del layout  # two would be too much to hold
            layout = self._set_up(setting, begins=begins, stays=stays)
        if style.edition.traits.is_spread:
            spaces = spread(layout.boxes, style)
            del layout
            layout = self._set_up(setting, spaces, begins, stays)
        return layout

    def _set_up(
        self,
        setting: Setting,
        spaces: Mapping[str, float] = MappingProxyType({}),
        begins: Collection[str] = (),
        stays: Collection[str] = (),
    ) -> Layout:
        html = setting.html(spaces, begins, stays)
        if not self._missing:
            return lay_out(html, setting.pictures)
        stand_ins = {ord(each): _stand_in(each) for each in self._missing}
        pictures = {
            name: svg.decode().translate(stand_ins).encode()
            for name, svg in setting.pictures.items()
        }
        return lay_out(html.translate(stand_ins), pictures)


def _place_of(block: str, layout: Layout) -> tuple[float, ...]:
    return min(layout.boxes.get(block, [(0,)]))


def _stand_in(character: str) -> str:
    """Nothing for what only directs or joins its neighbours."""
    return "" if unicodedata.category(character) in ("Cf", "Mn", "Me") else STAND_IN
