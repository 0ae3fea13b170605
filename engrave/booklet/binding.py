"""A book becomes pages: templates are filled, pictures handed to the press, places read back.

Enters: a ``Book`` and a ``PageStyle``. Leaves: a ``Bound``. Text from the book is escaped where it
meets HTML; how a page looks is the templates' affair, and how a sentence reads the word list's.
"""

import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import replace

from engrave.booklet import page_numbers
from engrave.booklet.book import Book, Bound, Place
from engrave.booklet.press import Layout, MissingCharactersError, lay_out
from engrave.booklet.setting import Setting
from engrave.booklet.spread import spread
from engrave.booklet.style import PageStyle
from engrave.booklet.turning import turned_over

MOST_TURNS = 12
"""Drills longer than a page that are moved to a left page, one after the other."""
STAND_IN = "◊"
"""Printed for a character that no font of the machine has; every face of the text font has it."""


def bind(book: Book, style: PageStyle) -> Bound:
    """Print ``book`` in ``style``; the same book and style give the same bytes.

    Characters that no font has are printed as ``STAND_IN`` and named in the result. Raises
    ``EngraveError`` where the plan cannot be made or the language has no words.
    """
    missing = ""
    while True:
        try:
            return replace(_bind(book, style, missing), missing=missing)
        except MissingCharactersError as error:
            if set(error.characters) <= set(missing):
                raise
            missing = "".join(sorted({*missing, *error.characters}))


def _bind(book: Book, style: PageStyle, missing: str) -> Bound:
    setting = Setting(book, style, f'"{page_numbers.STAND_IN}"')
    stand_ins = {ord(each): _stand_in(each) for each in missing}

    def set_up(spaces: Mapping[str, float], begins: Collection[str]) -> Layout:
        html = setting.html(spaces, begins)
        if not missing:
            return lay_out(html, setting.pictures)
        pictures = {
            name: svg.decode().translate(stand_ins).encode()
            for name, svg in setting.pictures.items()
        }
        return lay_out(html.translate(stand_ins), pictures)

    layout = set_up({}, ())
    begins: set[str] = set()
    for _ in range(MOST_TURNS):
        turned = turned_over(book, layout.boxes) - begins
        if not turned:
            break
        begins |= {min(turned, key=lambda block: _place_of(block, layout))}
        del layout  # two would be too much to hold
        layout = set_up({}, begins)
    if style.edition.traits.is_spread:
        spaces = spread(layout.boxes, style)
        del layout
        layout = set_up(spaces, begins)
    places = {
        page.drill.id: tuple(
            Place(*box)
            for picture in range(1, len(page.pictures) + 1)
            for box in layout.boxes.get(f"{address}-{picture}", ())
        )
        for address, page in book.addresses()
    }
    return Bound(layout.pdf(), places, layout.pages)


def _place_of(block: str, layout: Layout) -> tuple[float, ...]:
    return min(layout.boxes.get(block, [(0,)]))


def _stand_in(character: str) -> str:
    """Nothing for what only directs or joins its neighbours."""
    return "" if unicodedata.category(character) in ("Cf", "Mn", "Me") else STAND_IN
