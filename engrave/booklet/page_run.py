"""The pages of a booklet, one after the other, each laid out and drawn where it is not known.

Enters: parts, and a workshop. Leaves: ``Folio``s and their ``Ink``. A page is known by where it
begins and by the parts that it takes in: the same comes of the same, whatever stands before and
behind; drawn it is known by the pages that it links to besides. It is held no longer than it takes
to draw it, unless it links to what follows, or nobody has said yet that it is to be drawn.
"""

import os
import pickle
from collections.abc import Iterator, Mapping, MutableSequence, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from engrave.booklet.composing import Composer
from engrave.booklet.folio import Bookmark, Folio, Ink, State
from engrave.booklet.guarding import sweep
from engrave.booklet.page_numbers import set_page_numbers
from engrave.booklet.parts import Parts
from engrave.booklet.workshop import Workshop
from engrave.machine.cache import key_of
from engrave.machine.packed import Packed
from engrave.machine.shared import Shared

FAR = 8
"""Parts that a page that was laid out before may take in."""
WORTH_SHARING = 4
"""Pages to be drawn for which a copy of the process is made."""
HELD = 24
"""Pages of a booklet that are held until it is said whether they are to be drawn, or who does."""


class PageRun:
    """All pages of ``parts``; ``draw``: they are to be drawn as they come.

    What WeasyPrint complains of goes to ``heard`` while it works.
    """

    def __init__(
        self,
        shop: Workshop,
        parts: Parts,
        pictures: Mapping[str, bytes],
        draw: bool,
        heard: MutableSequence[str],
    ) -> None:
        self._shop, self._parts, self._heard = shop, parts, heard
        self._composer = Composer(
            parts, pictures, shop.drawings, shop.fonts, shop.sheet, shop.fetcher, shop.styles
        )
        self._begins: list[tuple[State, str]] = []
        self._held: dict[int, Any] = {}
        self._first: dict[str, int] = {}
        self._is_whole = True
        self._inks: dict[int, Ink | Packed] = {}
        self.folios: list[Folio] = []
        state: State | None = State()
        while state is not None:
            state = self._next(state, draw)
            sweep(len(parts.parts))

    def inks(self, heard: MutableSequence[str]) -> "Inks":
        """Every page drawn."""
        self._heard = heard
        numbers = [n for n in range(1, len(self.folios) + 1) if n not in self._inks]
        works = [partial(self._drawn, number, os.getpid()) for number in numbers]
        with Shared(works, self._shop.alone or len(works) < WORTH_SHARING) as since:
            self._inks.update(zip(numbers, since.values(), strict=True))
        self._held.clear()
        return Inks([self._inks[number] for number in range(1, len(self.folios) + 1)])

    def leave(self, before: int) -> None:
        """Let pages before that number stand for the next layout, which they may be found for."""
        self._shop.standing = {
            key: self._held[number]
            for number, (_, key) in enumerate(self._begins[: before - 1], 1)
            if key and number in self._held
        }

    def _next(self, state: State, draw: bool) -> State | None:
        """Lay out the page that begins at ``state``; where the next one begins."""
        number = len(self.folios) + 1
        key, folio = self._found(state, number) if self._is_whole else ("", None)
        if folio is None:
            heard = len(self._heard)
            composed = self._composer.page(state, number)
            folio = _folio(composed.page, composed.following)
            if self._is_whole and composed.is_whole and len(self._heard) == heard:
                key = self._key(state, number, composed.last_part, composed.is_forced)
                self._shop.keep(key, _moved(folio, -state.part))
            self._is_whole = composed.is_whole
            if draw or number <= HELD or not key:
                self._held[number] = composed.page
        elif key in self._shop.standing:
            self._held[number] = self._shop.standing.pop(key)
        self.folios.append(folio)
        self._begins.append((state, key))
        if not draw and number == HELD + 1:
            self._let_go()
        for name, _ in folio.anchors:
            self._first.setdefault(name, number)
        # a copy of the process draws half of those that are held
        is_held = number <= HELD and not self._shop.alone
        if draw and not is_held and self._first.keys() >= set(folio.links):
            self._inks[number] = self._drawn(number, os.getpid())
        return folio.following

    def _let_go(self) -> None:
        """Hold no pages of a long booklet but those that could not be laid out by themselves."""
        known = [key for _, key in self._begins]
        self._held = {number: page for number, page in self._held.items() if not known[number - 1]}

    def _found(self, state: State, number: int) -> tuple[str, Folio | None]:
        for last in range(state.part, min(state.part + FAR, len(self._parts.parts))):
            for is_forced in (True, False)[last == len(self._parts.parts) - 1 :]:
                key = self._key(state, number, last, is_forced)
                if isinstance(found := self._shop.found(key), Folio):
                    return key, _moved(found, state.part)
        return "", None

    def _key(self, state: State, number: int, last: int, is_forced: bool) -> str:
        """What a page is known by that takes in parts up to ``last``, or ends there by force."""
        parts = self._parts.parts
        digests = [part.digest for part in parts[state.part : last + 1]]
        then = parts[last + 1].opening if is_forced else last == len(parts) - 1
        beginning = replace(state, part=0)
        return key_of("page", self._shop.surroundings, number, beginning, digests, then)

    def _drawn(self, number: int, process: int) -> Ink | Packed:
        """A page that is laid out, with the numbers of the pages that it links to.

        Raises ``RuntimeError`` where there is something to complain of and this is another process
        than ``process``, which is to hear it.
        """
        from weasyprint.document import Page

        page, folio = self._held.pop(number, None), self.folios[number - 1]
        state, key = self._begins[number - 1]
        links = [(link, self._first.get(link, 0)) for link in folio.links]
        known = key_of("ink", key, links)
        if key and isinstance(found := self._shop.found(known), Ink):
            return _packed(found, number)
        heard = len(self._heard)
        if page is None:
            page = self._composer.page(state, number).page
        set_page_numbers(page, dict(links))
        self._shop.drawings.next_page()
        ink = self._shop.inking.ink(Page(page), number)
        if len(self._heard) > heard and os.getpid() != process:
            raise RuntimeError("; ".join(self._heard[heard:]))
        if key and len(self._heard) == heard:
            self._shop.keep(known, ink)
        return _packed(ink, number)


class Inks:
    """The pages of a booklet as drawn; those of a long one are unpacked when they are looked at."""

    def __init__(self, inks: Sequence[Ink | Packed]) -> None:
        self._inks = inks

    def __iter__(self) -> Iterator[Ink]:
        for ink in self._inks:
            yield pickle.loads(ink.content) if isinstance(ink, Packed) else ink


def _packed(ink: Ink, number: int) -> Ink | Packed:
    """A page so that many of them are not much to hold: its objects are hundreds of short texts."""
    return ink if number <= HELD else Packed.of(pickle.dumps(ink, protocol=5))


def _folio(page_box: Any, following: State | None) -> Folio:
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


def _moved(folio: Folio, parts: int) -> Folio:
    """``folio`` where its parts are so many further."""
    following = folio.following
    if following is not None:
        following = replace(following, part=following.part + parts)
    return replace(folio, following=following)
