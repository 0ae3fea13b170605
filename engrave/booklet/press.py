"""HTML to PDF: the only door to WeasyPrint.

Enters: HTML, the pictures it names. Leaves: PDF bytes and the places of named elements. Whatever
else the page asks for is refused: no file, no network. Knows nothing of drills.

A page that was laid out before, from the same beginning and with the same to come, is not laid out
again; and no page is held longer than it takes to draw it.
"""

from collections.abc import Callable, Mapping

from engrave.booklet.assembly import assemble
from engrave.booklet.faces import Faces, LostFaceError
from engrave.booklet.folio import Expected, Place
from engrave.booklet.guarding import fixed_dates, no_complaints, swept
from engrave.booklet.library import load_weasyprint
from engrave.booklet.page_run import PageRun
from engrave.booklet.parts import Parts, parts_of
from engrave.booklet.workshop import Workshop
from engrave.machine.cache import NO_CACHE, Cache
from engrave.music.units import MM_PER_CSS_PIXEL


class Layout:
    """Pages laid out: where every element with an id stands."""

    def __init__(
        self, parts: Parts, run: PageRun, faces: Faces, again: Callable[[], "Layout"]
    ) -> None:
        self._parts, self._run, self._faces, self._again = parts, run, faces, again
        self.pages: int = len(run.folios)
        self.places: dict[str, list[Place]] = {}
        for number, folio in enumerate(run.folios, start=1):
            for name, (x1, y1, x2, y2) in folio.anchors:
                edges = (n * MM_PER_CSS_PIXEL for n in (x1, y1, x2 - x1, y2 - y1))
                self.places.setdefault(name, []).append(Place(number, *edges))

    def leave(self, before: int) -> None:
        """Let pages before that number stand: they are the same in the next layout."""
        self._run.leave(before)

    def pdf(self) -> bytes:
        """The file, of the same bytes on any day."""
        with no_complaints() as heard, fixed_dates():
            plates = self._run.plates(heard)
        with no_complaints(), fixed_dates():
            try:
                return assemble(self._parts, self._run.folios, plates, self._faces)
            except LostFaceError:
                return self._again().pdf()


class Press:
    """Lays out the same booklet, more or less, as often as it takes.

    What is the same is laid out once, and looked for in ``cache``. Unless ``alone``, a copy of the
    process draws every other page.
    """

    def __init__(self, cache: Cache = NO_CACHE, alone: bool = True) -> None:
        self._cache, self._shop = cache, Workshop(cache, alone)

    def lay_out(
        self,
        html: str,
        pictures: Mapping[str, bytes],
        draw: bool = True,
        expected: Expected | None = None,
    ) -> Layout:
        """Lay ``html`` out on its pages. ``draw``: they are sure to be wanted in a file.

        ``expected`` is what is known of them before, if anything.
        ``pictures`` gives the SVG of every ``picture:NAME`` in it. Raises, here or in
        ``Layout.pdf``, ``MissingCharactersError`` for characters that cannot be drawn, and
        ``RuntimeError`` when WeasyPrint reports anything else that it could not draw, rather than
        printing less than was asked.
        """
        load_weasyprint()
        parts = parts_of(html, pictures)
        if not parts.parts:
            raise ValueError("there is nothing to be laid out")
        shop = self._shop
        shop.next_layout()
        with no_complaints() as heard, swept():
            run = PageRun(shop, parts, heard, draw, alone=shop.alone)
            run.lay_out(expected)
        faces = Faces(
            shop.plate_maker.fonts, lambda: shop.fonts_of(parts.css), shop.surroundings, self._cache
        )
        return Layout(parts, run, faces, lambda: Press().lay_out(html, pictures))
