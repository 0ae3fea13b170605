"""The styles of elements, worked out once for all parts of a booklet.

Enters: a part as WeasyPrint (70.0) reads it, the style sheets. Leaves: its ``StyleFor``. The
passages of a booklet are built alike: a drill's title looks the same in every one, but WeasyPrint
works out its two hundred properties in each, as its parent is another. Here elements that are said
the same of, and so are their parents, have one style.
"""

from collections.abc import Hashable
from functools import cache
from typing import Any
from xml.etree.ElementTree import Element

_ANCHOR = "anchor"
"""The name of an element: its own, and nothing to its children."""


class SharedStyles:
    """Styles known so far, by the number of all that is said of their elements and of the parents.

    What is said is told apart by the objects that say it: they are held as long as the number.
    """

    def __init__(self) -> None:
        self._numbers: dict[tuple[Any, ...], tuple[int, object]] = {}
        self.known: dict[int, Any] = {}

    def number(self, above: int, pseudo: str | None, cascaded: Any) -> int:
        """Of what is said by ``cascaded`` of an element below one that has the number ``above``."""
        said = tuple(
            (name, weight, value if isinstance(value, Hashable) else id(value))
            for name, (value, weight) in cascaded.items()
            if name != _ANCHOR
        )
        number, _ = self._numbers.setdefault(
            (above, pseudo, said), (len(self._numbers) + 1, cascaded)
        )
        return number


def style_for(html: Any, sheets: list[Any], fonts: Any, targets: Any, shared: SharedStyles) -> Any:
    """What WeasyPrint asks for the style of an element."""
    return _sharing()(html, sheets, fonts, targets, shared)


@cache
def _sharing() -> Any:
    from weasyprint.css import StyleFor

    class Sharing(StyleFor):  # type: ignore[misc]
        def __init__(
            self, html: Any, sheets: list[Any], fonts: Any, targets: Any, shared: SharedStyles
        ) -> None:
            self._shared = shared
            super().__init__(html, sheets, False, fonts, targets)

        def set_computed_styles(
            self,
            element: Any,
            parent: Any,
            root: Any = None,
            pseudo_type: str | None = None,
            base_url: str | None = None,
            target_collector: Any = None,
        ) -> None:
            given = (element, parent, root, pseudo_type, base_url, target_collector)
            if not isinstance(element, Element):  # a page: its style is changed as it is laid out
                super().set_computed_styles(*given)
                return
            cascaded = self._cascaded_styles.get((element, pseudo_type), {})
            styles = self._computed_styles
            above = 0 if parent is None else styles[parent, None].number
            number = self._shared.number(above, pseudo_type, cascaded)
            # what pages change stays its element's own: the root's style and its children's
            is_own = _ANCHOR in cascaded or parent in (None, root)
            known = None if is_own else self._shared.known.get(number)
            if known is None:
                super().set_computed_styles(*given)
                known = styles[element, pseudo_type]
                known.number = number
            if not is_own:
                self._shared.known[number] = known
            styles[element, pseudo_type] = known

    return Sharing
