"""Where everything in a marks file stands, to the character.

Enters: the text of a YAML file. Leaves: a tree like that of ``nodes``, each node with the place
of its first character and of the one after its last. Knows nothing of marks; raises
``EngraveError`` where the text is no YAML or holds what marks files may not (anchors, tags).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from engrave.errors import EngraveError
from engrave.marks.events import Kind, YamlEvent, read_events

PathStep = str | int
"""A key of a table, or the number of an item of a list, from 0."""
KeyPath = tuple[PathStep, ...]
"""From the root of the file to a value."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A scalar; ``start`` equals ``end`` where nothing is written after a key's colon."""

    start: int
    end: int
    text: str
    style: str


@dataclass(frozen=True, slots=True)
class Branch:
    """A list or a table; ``children`` pairs keys with values, or ``None`` with items.

    ``flow``: in brackets, which ``start`` and ``end`` enclose. Otherwise ``end`` is that of the
    last child.
    """

    start: int
    end: int
    flow: bool
    is_list: bool
    children: "tuple[tuple[Leaf | None, Spanned], ...]"


Spanned = Leaf | Branch


def read_spans(text: str, file: str) -> Spanned | None:
    """The tree of ``text``, None for a file without entries; ``file`` names it in errors."""
    events = read_events(text, file)
    if next(events, None) is None:
        return None
    first = next(events)
    if first.kind is Kind.TEXT and not first.text and first.start == first.end:
        return None
    root = _node(first, events, text)
    if second := next(events, None):
        raise EngraveError("a second document begins here", second.source, "one file, one booklet")
    return root


def child(node: Spanned, step: PathStep) -> Spanned | None:
    """What stands in ``node`` at ``step``."""
    if not isinstance(node, Branch):
        return None
    if isinstance(step, int):
        fits = node.is_list and 0 <= step < len(node.children)
        return node.children[step][1] if fits else None
    return next((value for key, value in node.children if key and key.text == step), None)


def plain(node: Spanned | None) -> object:
    """The tree as texts, lists and dictionaries, without places."""
    if node is None:
        return None
    if isinstance(node, Leaf):
        return node.text
    if node.is_list:
        return [plain(value) for _key, value in node.children]
    return {key.text: plain(value) for key, value in node.children if key}


def _node(event: YamlEvent, events: Iterator[YamlEvent], text: str) -> Spanned:
    if event.anchored or event.tagged or event.kind is Kind.ALIAS:
        hint = "anchors (&), aliases (*) and tags (!) are not read"
        raise EngraveError("this cannot stand in a marks file", event.source, hint)
    if event.kind is Kind.TEXT:
        end = _block_end(event, text) if event.style in ("|", ">") else event.end
        return Leaf(event.start, end, event.text, event.style or "")
    children = []
    end = event.end
    while (inner := next(events)).kind is not Kind.END:
        key = None
        if event.kind is Kind.TABLE:
            found = _node(inner, events, text)
            if isinstance(found, Branch):
                raise EngraveError("a key must be plain text", inner.source, "write key: value")
            key, inner = found, next(events)
        value = _node(inner, events, text)
        children.append((key, value))
        end = max(value.end, key.end if key else 0)
    if event.flow:
        end = inner.end
    return Branch(event.start, end, event.flow, event.kind is Kind.LIST, tuple(children))


def _block_end(event: YamlEvent, text: str) -> int:
    """The end of a block scalar's last line that is not blank; the library goes on beyond it."""
    return event.start + len(text[event.start : event.end].rstrip())
