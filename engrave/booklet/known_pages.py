"""Pages of a booklet that were laid out before, in this layout, the last or another build.

Enters: where a page begins, and the parts of the booklet. Leaves: what it is known by, and its
``Folio`` where that is known. The same parts from the same beginning make the same page, wherever
in the booklet they stand: a page is held as if its first part were the booklet's.
"""

from collections.abc import Sequence
from dataclasses import replace

from engrave.booklet.folio import Folio, PageStart
from engrave.booklet.parts import Part
from engrave.booklet.workshop import Workshop
from engrave.machine.cache import key_of

FAR = 8
"""Parts that a page that was laid out before may take in."""


class KnownPages:
    """Those that the workshop knows, of a booklet of these parts."""

    def __init__(self, parts: Sequence[Part], shop: Workshop) -> None:
        self._parts, self._shop = parts, shop

    def found(self, state: PageStart, number: int) -> tuple[str, Folio | None]:
        """The page ``number`` that begins at ``state``, and what it is known by, or nothing."""
        for last in range(state.part, min(state.part + FAR, len(self._parts))):
            for is_forced in (True, False)[last == len(self._parts) - 1 :]:
                key = self.key(state, number, last, is_forced)
                if isinstance(found := self._shop.found(key), Folio):
                    return key, _moved(found, state.part)
        return "", None

    def key(self, state: PageStart, number: int, last: int, is_forced: bool) -> str:
        """What a page is known by that takes in parts up to ``last``, or ends there by force."""
        parts = self._parts
        digests = [part.digest for part in parts[state.part : last + 1]]
        then = parts[last + 1].opening if is_forced else last == len(parts) - 1
        beginning = replace(state, part=0)
        return key_of("page", self._shop.surroundings, number, beginning, digests, then)

    def keep(self, key: str, state: PageStart, folio: Folio) -> None:
        """Know a page that begins at ``state`` from now on."""
        self._shop.keep(key, _moved(folio, -state.part))

    def hold(self, key: str, state: PageStart, folio: Folio) -> None:
        """Know one, until the next layout at least, that another process keeps."""
        self._shop.hold(key, _moved(folio, -state.part))


def _moved(folio: Folio, parts: int) -> Folio:
    """``folio`` where its parts are so many further."""
    following = folio.following
    if following is not None:
        following = replace(following, part=following.part + parts)
    return replace(folio, following=following)
