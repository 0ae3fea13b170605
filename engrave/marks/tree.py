"""From the events of YAML to a tree of nodes, within limits.

Enters: a path. Leaves: a ``Node``, and the mistakes that were met on the way. Knows that a marks
file is small, flat and plain: one document, no key twice, no anchors, aliases or tags. Knows
nothing of passages.
"""

from collections.abc import Iterator
from pathlib import Path

from engrave.errors import EngraveError, Source
from engrave.marks.events import Kind, YamlEvent, read_events
from engrave.marks.nodes import List, Node, Refused, Table, Text, is_empty
from engrave.marks.slips import can_be_cut, on_one_line
from engrave.marks.text import find_control, name_of, read_text

MOST_NODES = 50_000
DEEPEST = 10

_QUOTE = "delete it, or put a text that begins with this sign in quotes"


def read_tree(path: Path, errors: list[EngraveError]) -> Node:
    """The tree of the YAML file at ``path``.

    What can be skipped is added to ``errors``; what ends the reading raises ``EngraveError``.
    """
    return read_tree_of(read_text(path), str(path), errors)


def read_tree_of(text: str, file: str, errors: list[EngraveError]) -> Node:
    """The same of a ``text``, which ``file`` names in mistakes."""
    events = read_events(text, file)
    if next(events, None) is None:
        hint = "it needs at least score: and passages:"
        raise EngraveError("the file is empty", Source(file), hint)
    root = _Reading(events, errors).node(next(events), DEEPEST)
    if second := next(events, None):
        message, hint = "a second document begins here", "one file, one booklet"
        errors.append(EngraveError(message, second.source, hint))
    return root


class _Reading:
    """One document on its way from events to nodes."""

    def __init__(self, events: Iterator[YamlEvent], errors: list[EngraveError]) -> None:
        self.events = events
        self.errors = errors
        self.count = 0

    def node(self, event: YamlEvent, levels: int, is_item: bool = False) -> Node:
        """The node that begins with ``event``; below it there are ``levels`` more.

        ``is_item``: it stands in a list.
        """
        source = event.source
        self.count += 1
        if self.count > MOST_NODES:
            raise EngraveError(f"more than {MOST_NODES:,} entries", source, "split the file")
        if levels < 0:
            hint = "marks are never nested so deep"
            raise EngraveError(f"nested more than {DEEPEST} deep", source, hint)
        if event.kind is Kind.ALIAS:
            return self.refuse(source, "aliases (*) are not read", _QUOTE)
        if event.anchored:
            self.refuse(source, "anchors (&) are not read", _QUOTE)
        node: Node
        if event.kind is Kind.LIST:
            node = List(tuple(self.items(levels - 1)), source)
        elif event.kind is Kind.TABLE:
            node = Table(tuple(self.entries(levels - 1, is_item and not event.flow)), source)
        else:
            node = self.text(event)
        if event.tagged:
            return self.refuse(source, "tags (!) are not read", _QUOTE)
        return node

    def text(self, event: YamlEvent) -> Node:
        """A scalar; escapes can bring in what could not stand in the file itself."""
        found = find_control(event.text)
        if found is not None:
            message = f"{name_of(event.text[found])} is not text"
            return self.refuse(event.source, message, "delete it")
        return Text(event.text, event.source, event.text_column, event.comment)

    def items(self, levels: int) -> Iterator[Node]:
        """The items of the list that has begun."""
        while (event := next(self.events)).kind is not Kind.END:
            yield self.node(event, levels, True)

    def entries(self, levels: int, has_dash: bool) -> Iterator[tuple[Text, Node]]:
        """The entries of the table that has begun, the first of each key.

        Where one that begins with a dash has its first key again, another one was to begin there:
        what it says twice is told once.

        A text that commas have cut leaves its pieces as keys without a value, some of them twice.
        """
        first: dict[str, int] = {}
        before: tuple[Text, Node] | None = None
        is_another = False
        while (event := next(self.events)).kind is not Kind.END:
            key = self.node(event, levels)
            value = self.node(next(self.events), levels)
            if isinstance(key, List | Table):
                self.refuse(key.source, "a key must be plain text", "write key: value")
            elif (
                isinstance(key, Text) and key.text in first and not can_be_cut(before, (key, value))
            ):
                if has_dash and key.text == next(iter(first)):
                    self.errors.append(_no_dash(key, value))
                    is_another = True
                elif not is_another:
                    self.errors.append(_twice(key, first[key.text]))
            elif isinstance(key, Text):
                first.setdefault(key.text, key.source.line)
                yield key, value
            if isinstance(key, Text) and not is_empty(value):
                before = key, value

    def refuse(self, source: Source, message: str, hint: str) -> Refused:
        """Tell a mistake, and leave ``Refused`` in its place."""
        self.errors.append(EngraveError(message, source, hint))
        return Refused(source)


def _no_dash(key: Text, value: Node) -> EngraveError:
    hint = f"an entry of this list begins with a dash: - {key.text}: {on_one_line(value)}"
    return EngraveError("a dash is missing before this", key.source, hint)


def _twice(key: Text, line: int) -> EngraveError:
    hint = f"first in line {line}: delete one"
    return EngraveError(f"the key {key.text!r} stands here twice", key.source, hint)
