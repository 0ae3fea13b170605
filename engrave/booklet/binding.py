"""A book becomes pages: templates are filled, pictures handed to the press, places read back.

Enters: a ``Book`` and a ``PageStyle``. Leaves: a ``Bound``. Text from the book is escaped where it
meets HTML; how a page looks is the templates' affair, and how a sentence reads the word list's.
"""

from engrave.booklet.book import Book, Bound, Place
from engrave.booklet.press import lay_out
from engrave.booklet.setting import Setting
from engrave.booklet.spread import spread
from engrave.booklet.style import Edition, PageStyle


def bind(book: Book, style: PageStyle) -> Bound:
    """Print ``book`` in ``style``; the same book and style give the same bytes.

    Raises ``EngraveError`` where the plan cannot be made or the language has no words.
    """
    setting = Setting(book, style)
    layout = lay_out(setting.html(), setting.pictures)
    if style.edition is Edition.STAND:
        spaces = spread(layout.boxes, style)
        del layout  # two would be too much to hold
        layout = lay_out(setting.html(spaces), setting.pictures)
    places = {
        page.drill.id: tuple(
            Place(*box)
            for picture in range(1, len(page.pictures) + 1)
            for box in layout.boxes.get(f"{address}-{picture}", ())
        )
        for address, page in book.addresses()
    }
    return Bound(layout.pdf(), places, layout.pages)
