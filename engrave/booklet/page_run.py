"""The pages of a booklet, one after the other, each laid out and drawn where it is not known.

Enters: parts, and a workshop. Leaves: ``Folio``s and their ``Plate``. A page is known by where it
begins and by the parts that it takes in: the same comes of the same, whatever stands before and
behind; drawn it is known by the pages that it links to besides. It is held no longer than it takes
to draw it, unless it links to what follows, or nobody has said yet that it is to be drawn.

Of pages that are made up it is known which block is to begin each: a copy of the process lays out
and draws the second half of them meanwhile. It begins where they are expected to, and they count
only if this process comes to that very state.
"""

import os
import pickle
from collections.abc import Iterator, Mapping, MutableSequence, Sequence
from functools import partial
from typing import Any

from engrave.booklet.composing import Composer
from engrave.booklet.folio import (
    FRONT,
    Beginning,
    Bookmark,
    Expected,
    Far,
    Folio,
    Links,
    PageStart,
    Plate,
)
from engrave.booklet.guarding import sweep
from engrave.booklet.known_pages import KnownPages
from engrave.booklet.page_numbers import set_page_numbers
from engrave.booklet.parts import Parts
from engrave.booklet.workshop import Workshop
from engrave.machine.beside import Beside
from engrave.machine.cache import key_of
from engrave.machine.packed import Packed
from engrave.machine.shared import Shared

WORTH_SHARING = 4
"""Pages to be drawn for which a copy of the process is made."""
HELD = 24
"""Pages of a booklet that are held until it is said whether they are to be drawn, or who does."""


class PageRun:
    """The pages of ``parts`` from ``begin`` on; ``draw``: they are to be drawn as they come.

    What WeasyPrint complains of goes to ``heard`` while it works. Unless ``alone``, a copy of the
    process helps.
    """

    def __init__(
        self,
        shop: Workshop,
        parts: Parts,
        heard: MutableSequence[str],
        draw: bool,
        begin: Beginning = FRONT,
        alone: bool = True,
    ) -> None:
        self._shop, self._parts, self._heard = shop, parts, heard
        self._draw, self._begin, self._alone = draw, begin, alone
        self._composer = Composer(parts, shop)
        self._known = KnownPages(parts.parts, shop)
        self._begins: list[tuple[PageStart, str]] = []
        self._held: dict[int, Any] = {}
        self._first = dict(begin.pages)
        self._is_whole = True
        self._plates: dict[int, Plate | Packed] = {}
        self.folios: list[Folio] = []

    def lay_out(self, expected: Expected | None = None) -> None:
        """Lay out all of them; ``expected`` is what is known of them before, if anything."""
        state: PageStart | None = self._begin.state
        can_share = self._draw and not self._alone
        if expected and can_share and len(expected.begins) >= WORTH_SHARING:
            state = self._laid_out(state, expected.pages[expected.begins[0]])
            if state and not self._known.found(state, self._number)[1]:
                state = self._laid_out_by_two(state, expected)
        self._laid_out(state)

    @property
    def _number(self) -> int:
        """Of the page that is laid out next."""
        return self._begin.number + len(self.folios)

    def _laid_out(self, state: PageStart | None, until: int = 0) -> PageStart | None:
        """Lay out the pages before the one of that number, or all; where the next one begins."""
        while state is not None and self._number != until:
            state = self._next(state)
            sweep(len(self._parts.parts))
        return state

    def _laid_out_by_two(self, state: PageStart, expected: Expected) -> PageStart | None:
        """Lay out the first half of pages that are made up, and have a copy see to the others."""
        name = expected.begins[len(expected.begins) // 2]
        number = expected.pages[name]
        with Beside(partial(self._far, state, name, expected.pages)) as far:
            after = self._laid_out(state, number)
            for held in [each for each in self._held if self._can_be_drawn(each)]:
                self._plates[held] = self._drawn(held, os.getpid())
            try:
                return self._joined(after, far.value())
            except RuntimeError:  # something to complain of: it is met again here
                return after

    def _far(self, state: PageStart, name: str, pages: Mapping[str, int]) -> Far:
        """The pages from the one on that block ``name`` begins; raises ``RuntimeError``.

        ``state`` is that of a page before, ``pages`` are those on which blocks are expected.
        """
        part = next(n for n, each in enumerate(self._parts.parts) if f'id="{name}"' in each.html)
        resume, said = self._composer.beginning(part, name)
        strings = tuple(sorted((dict(state.strings) | said).items()))
        number = pages[name]
        guess = PageStart(part, resume, "page", state.page_name, number % 2 == 1, strings)
        begin = Beginning(guess, number, pages)
        run = PageRun(self._shop, self._parts, self._heard, draw=True, begin=begin)
        run.lay_out()
        numbers = range(number, run._number)
        drawn = [run._plates.get(each) or run._drawn(each, process=0) for each in numbers]
        if self._heard or not all(key for _, key in run._begins):
            raise RuntimeError("; ".join(self._heard))
        plates = [(plate, run._links(each)) for each, plate in zip(numbers, drawn, strict=True)]
        return Far(run._begins, run.folios, plates)

    def _joined(self, state: PageStart | None, far: Far) -> PageStart | None:
        """Take the last pages from a copy that began at ``state``; where to go on."""
        if not self._is_whole or state != far.begins[0][0]:
            return state
        first = self._number
        for (begun, key), folio in zip(far.begins, far.folios, strict=True):
            for name, _ in folio.anchors:
                self._first.setdefault(name, self._number)
            self._known.hold(key, begun, folio)
            self._begins.append((begun, key))
            self.folios.append(folio)
        for number, (plate, links) in enumerate(far.plates, first):
            if links == self._links(number):
                self._plates[number] = plate
        return None

    def plates(self, heard: MutableSequence[str]) -> "Plates":
        """Every page drawn."""
        self._heard = heard
        numbers = [n for n in range(1, len(self.folios) + 1) if n not in self._plates]
        works = [partial(self._drawn, number, os.getpid()) for number in numbers]
        with Shared(works, self._alone or len(works) < WORTH_SHARING) as since:
            self._plates.update(zip(numbers, since.values(), strict=True))
        self._held.clear()
        return Plates([self._plates[number] for number in range(1, len(self.folios) + 1)])

    def leave(self, before: int) -> None:
        """Let pages before that number stand for the next layout, which they may be found for."""
        self._shop.standing = {
            key: self._held[number]
            for number, (_, key) in enumerate(self._begins[: before - 1], 1)
            if key and number in self._held
        }

    def _next(self, state: PageStart) -> PageStart | None:
        """Lay out the page that begins at ``state``; where the next one begins."""
        number = self._number
        key, folio = self._known.found(state, number) if self._is_whole else ("", None)
        if folio is None:
            heard = len(self._heard)
            composed = self._composer.page(state, number)
            folio = _folio(composed.page, composed.following)
            if self._is_whole and composed.is_whole and len(self._heard) == heard:
                key = self._known.key(state, number, composed.last_part, composed.is_forced)
                self._known.keep(key, state, folio)
            self._is_whole = composed.is_whole
            if self._draw or number <= HELD or not key:
                self._held[number] = composed.page
        elif key in self._shop.standing:
            self._held[number] = self._shop.standing.pop(key)
        self.folios.append(folio)
        self._begins.append((state, key))
        if not self._draw and number == HELD + 1:
            self._let_go()
        for name, _ in folio.anchors:
            self._first.setdefault(name, number)
        # a copy of the process draws half of those that are held
        is_held = number <= HELD and not self._alone
        if self._draw and not is_held and self._can_be_drawn(number):
            self._plates[number] = self._drawn(number, os.getpid())
        return folio.following

    def _can_be_drawn(self, number: int) -> bool:
        """Whether it is known where all links of a page lead."""
        return self._first.keys() >= set(self._folio(number).links)

    def _folio(self, number: int) -> Folio:
        return self.folios[number - self._begin.number]

    def _links(self, number: int) -> Links:
        return [(link, self._first.get(link, 0)) for link in self._folio(number).links]

    def _let_go(self) -> None:
        """Hold no pages of a long booklet but those that could not be laid out by themselves."""
        self._held = {
            number: page
            for number, page in self._held.items()
            if not self._begins[number - self._begin.number][1]
        }

    def _drawn(self, number: int, process: int) -> Plate | Packed:
        """A page that is laid out, with the numbers of the pages that it links to.

        Raises ``RuntimeError`` where there is something to complain of and this is another process
        than ``process``, which is to hear it.
        """
        from weasyprint.document import Page

        page, links = self._held.pop(number, None), self._links(number)
        state, key = self._begins[number - self._begin.number]
        known = key_of("plate", key, links)
        if key and isinstance(found := self._shop.found(known), Plate):
            return _packed(found, number)
        heard = len(self._heard)
        if page is None:
            page = self._composer.page(state, number).page
        set_page_numbers(page, dict(links))
        self._shop.drawings.next_page()
        plate = self._shop.plate_maker.plate(Page(page), number)
        if len(self._heard) > heard and os.getpid() != process:
            raise RuntimeError("; ".join(self._heard[heard:]))
        if key and len(self._heard) == heard:
            self._shop.keep(known, plate)
        return _packed(plate, number)


class Plates:
    """The pages of a booklet as drawn; those of a long one are unpacked when they are looked at."""

    def __init__(self, plates: Sequence[Plate | Packed]) -> None:
        self._plates = plates

    def __iter__(self) -> Iterator[Plate]:
        for plate in self._plates:
            yield pickle.loads(plate.content) if isinstance(plate, Packed) else plate


def _packed(plate: Plate, number: int) -> Plate | Packed:
    """A page so that many of them are not much to hold: its objects are hundreds of short texts."""
    return plate if number <= HELD else Packed.of(pickle.dumps(plate, protocol=5))


def _folio(page_box: Any, following: PageStart | None) -> Folio:
    """What is to be known of a page of WeasyPrint's."""
    from weasyprint.document import Page

    page = Page(page_box)
    return Folio(
        following,
        page.height,
        tuple(page.anchors.items()),
        tuple(dict.fromkeys(target for kind, target, *_ in page.links if kind == "internal")),
        tuple(
            Bookmark(level, title, x, y, state == "open")
            for level, title, (x, y), state in page.bookmarks
        ),
    )
