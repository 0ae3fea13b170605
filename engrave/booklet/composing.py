"""One page after the other: the door to how WeasyPrint lays out (70.0).

Enters: the parts of a booklet, and where a page begins. Leaves: that page, laid out, and where the
next one begins. WeasyPrint's own ``layout_document`` wants the boxes of a whole document and keeps
all pages; but what it asks for a page are the boxes from its beginning to its end. So a part
becomes boxes when a page comes to it, and they go when it is passed.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Any

from engrave.booklet.folio import PageStart
from engrave.booklet.parts import Part, Parts
from engrave.booklet.styles import style_for
from engrave.booklet.tree import html_of
from engrave.booklet.workshop import Workshop

_NOTHING: dict[str, Any] = {
    "content_changed": False,
    "pages_wanted": False,
    "anchors": [],
    "content_lookups": [],
}


@dataclass(frozen=True, slots=True)
class Composed:
    """``page`` is WeasyPrint's. ``is_whole``: nothing of it but ``following`` matters to the next.

    ``last_part`` is the last that was looked at. ``is_forced``: the one after it would begin a page
    after whatever stands before it.
    """

    page: Any
    following: PageStart | None
    last_part: int
    is_forced: bool
    is_whole: bool


@dataclass(frozen=True, slots=True)
class _Built:
    """A part as boxes: what stands in the body, and all around it."""

    html: Any
    context: Any
    root: Any
    body: Any
    boxes: tuple[Any, ...]


class Composer:
    """Lays out the pages of ``parts``, with what the workshop has for all layouts."""

    def __init__(self, parts: Parts, shop: Workshop) -> None:
        self._parts, self._shop = parts, shop
        self._built: dict[int, _Built] = {}
        self._broken: tuple[PageStart | None, dict[Any, Any]] = None, {}

    def page(self, state: PageStart, number: int) -> Composed:
        """The page ``number``, from 1, that begins at ``state``.

        Raises ``RuntimeError`` where a style sheet would keep a part with the next: where a page
        ends would then depend on a part that begins the next page, or stands behind that.
        """
        from weasyprint.layout.page import remake_page

        for passed in [part for part in self._built if part < state.part]:
            del self._built[passed]
        last = min(state.part + 1, len(self._parts.parts) - 1)
        before, broken = self._broken
        broken = broken if before == state else {}
        while True:
            first = self._part(state.part)
            shown = [self._part(part) for part in range(state.part, last + 1)]
            _refuse_bound(shown)
            first.body.children = [box for part in shown for box in part.boxes]
            context = first.context
            _begin(context, first.root, state, number, dict(broken))
            page, resume_at = remake_page(number - 1, context, first.root, first.html)
            if resume_at is not None or last == len(self._parts.parts) - 1:
                break
            last += 1
        strings = _finish(context, page, number, state, first.root)
        if resume_at is None:
            return Composed(page, None, last, is_forced=False, is_whole=True)
        _, next_page, is_right, *_ = context.page_maker[number]
        part, resume = _rebased(resume_at, state.part, [len(each.boxes) for each in shown])
        following = PageStart(
            part, resume, next_page["break"], next_page["page"], is_right, strings
        )
        begun = shown[part - state.part].boxes[0] if part > state.part else None
        is_forced = (
            begun is not None
            and resume == {0: {0: None}}
            and begun.style["break_before"] not in ("auto", "avoid")
        )
        looked_at = part - 1 if is_forced else part
        self._broken = following, context.broken_out_of_flow
        return Composed(page, following, looked_at, is_forced, not context.broken_out_of_flow)

    def beginning(self, part: int, name: str) -> tuple[Any, dict[str, str]]:
        """Where a page begins that the element ``name`` of ``part`` begins, and the strings that
        are in force there, as far as that part and the one before set them."""
        (box, *_) = self._part(part).boxes
        path = _path(box, name) or []
        while path and path[-1] == 0:  # a first child is begun with what it is the first of
            path.pop()
        before = self._part(part if path else part - 1)
        strings = {
            name: text
            for box in before.body.descendants()
            if box.string_set and box.string_set != "none"
            for name, text in box.string_set
        }
        resume: Any = None
        for index in reversed((0, 0, *path)):
            resume = {index: resume}
        return resume, strings

    def _part(self, number: int) -> _Built:
        if number not in self._built:
            self._built[number] = self._made(number)
        return self._built[number]

    def _made(self, number: int) -> _Built:
        from weasyprint.formatting_structure.build import build_formatting_structure

        part = self._parts.parts[number]
        html = html_of(self._parts.html(number), self._shop.fetcher)
        context = self._context(html, part)
        root = build_formatting_structure(
            html.etree_element,
            context.style_for,
            context.get_image_from_uri,
            html.base_url,
            context.target_collector,
            context.counter_style,
            context.footnotes,
        )
        (body,) = root.children
        boxes = tuple(body.children[1 if part.before else 0 :])
        return _Built(html, context, root, body, boxes)

    def _context(self, html: Any, part: Part) -> Any:
        """What WeasyPrint knows of a document before it has boxes: styles, pictures, counters."""
        import weasyprint
        from weasyprint.css.counters import CounterStyle
        from weasyprint.css.targets import TargetCollector
        from weasyprint.images import get_image_from_uri
        from weasyprint.layout import LayoutContext

        shop, parts = self._shop, self._parts
        counters = CounterStyle()
        for counter_style in html._ua_counter_style():
            counters.update(counter_style)
        sheets = [
            *((sheet, "user agent", None) for sheet in html._ua_stylesheets()),
            (shop.sheet(parts.css), "user", None),
        ]
        targets = TargetCollector()
        context = LayoutContext(
            style_for(html, sheets, shop.fonts, targets, shop.styles),
            partial(
                get_image_from_uri,
                cache=shop.drawings.of({name: parts.pictures[name] for name in part.pictures}),
                url_fetcher=shop.fetcher,
                options=weasyprint.DEFAULT_OPTIONS,
            ),
            shop.fonts,
            counters,
            targets,
        )
        context.rendered_notes = []
        return context


def _path(box: Any, name: str) -> list[int] | None:
    """The numbers of the children that lead from a box to that of the element ``name``."""
    for index, child in enumerate(getattr(box, "children", ())):
        if child.element is not None and child.element.get("id") == name:
            return [index]
        if (path := _path(child, name)) is not None:
            return [index, *path]
    return None


def _refuse_bound(parts: Sequence[_Built]) -> None:
    from weasyprint.layout.block import block_level_page_break

    for before, after in pairwise(parts):
        if block_level_page_break(before.boxes[-1], after.boxes[0]).startswith("avoid"):
            raise RuntimeError("two parts of the booklet are not to be kept on one page")


def _begin(context: Any, root: Any, state: PageStart, number: int, broken: dict[Any, Any]) -> None:
    """Have ``context`` as it is when all pages before ``number`` are laid out."""
    page_name = root.page_values()[0] if state.page_name is None else state.page_name
    counters = {"pages": [0]} if number == 1 else {"pages": [0], "page": [number - 1]}
    page_state: tuple[Any, ...] = ([0], counters, [set(counters)], [])
    next_page = {"break": state.page_break, "page": page_name}
    before = (None, None, None, None, _NOTHING)
    own = (state.resume, next_page, state.is_right, page_state, {**_NOTHING, "anchors": []})
    context.page_maker = [*[before] * (number - 1), own]
    context.broken_out_of_flow = broken
    context.reported_footnotes = []
    context.string_set = defaultdict(lambda: defaultdict(list))
    for name, text in state.strings:
        context.string_set[name][number - 1].append(text)


def _finish(
    context: Any, page: Any, number: int, state: PageStart, root: Any
) -> tuple[tuple[str, str], ...]:
    """Add running heads and backgrounds; the strings in force at the end of ``page``.

    A heading that goes on from the page before has its bookmark there.
    """
    from weasyprint.layout import layout_backgrounds, make_margin_boxes

    marked = list(_going_on(root, state.resume))
    for box in page.descendants():
        if box.bookmark_label:
            if box.element in marked:
                box.bookmark_label = ""
            else:
                marked.append(box.element)
        if box.string_set and box.string_set != "none":
            for name, text in box.string_set:
                context.string_set[name][number].append(text)
    flow, *notes = page.children
    context.current_page = number
    page.children = (
        flow,
        *(area for area in notes if area.children),
        *make_margin_boxes(context, page, context.page_maker[number][3]),
    )
    layout_backgrounds(page, context.get_image_from_uri)
    return tuple(
        (name, texts[max(texts)][-1]) for name, texts in sorted(context.string_set.items()) if texts
    )


def _going_on(box: Any, resume: Any) -> Iterator[Any]:
    """The elements that a page begins in the midst of."""
    while resume:
        ((index, resume),) = list(resume.items())[-1:]
        if not resume or index >= len(getattr(box, "children", ())):
            return
        box = box.children[index]
        yield box.element


def _rebased(resume_at: Any, part: int, lengths: list[int]) -> tuple[int, Any]:
    """The part in which a path of WeasyPrint's ends, and the path in it alone."""
    ((body, inside),) = resume_at.items()
    if inside is None:
        return part, resume_at
    ((index, rest),) = inside.items()
    for length in lengths[:-1]:
        if index < length:
            break
        index, part = index - length, part + 1
    return part, {body: {index: rest}}
