"""From the bytes of a marks file to a tree of nodes, within limits.

Enters: a path. Leaves: a ``Node``, and the mistakes that were met on the way. Knows YAML, and that
a marks file is small, flat and plain: no anchors, no aliases, no tags, one document. Knows nothing
of passages.
"""

import re
from collections.abc import Iterator
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, StringMark, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from engrave.errors import EngraveError, Source
from engrave.marks.nodes import List, Node, Refused, Table, Text

MOST_BYTES = 1_000_000
MOST_NODES = 50_000
DEEPEST = 10

_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold (W3C, section 2.2, ``Char``), and the control characters."""

_HINTS = (
    ("mapping values are not allowed", "put a text that holds a colon in quotes"),
    ("cannot start any token", "indent with spaces, and put texts with special signs in quotes"),
    ("while scanning a simple key", "a key ends with a colon and a space"),
    ("while scanning a quoted scalar", "close the quotation mark"),
    ("while parsing a flow", "close every bracket and brace, and put commas between entries"),
    ("while parsing a block", "entries of one list or mapping begin in one column"),
)


def read_tree(path: Path, errors: list[EngraveError]) -> Node:
    """The tree of the YAML file at ``path``.

    What can be skipped is added to ``errors``; what ends the reading raises ``EngraveError``.
    """
    text = _read_text(path)
    return _Reading(str(path), errors).document(_events(text, str(path)))


def _read_text(path: Path) -> str:
    whole = Source(str(path))
    if not path.is_file():
        raise EngraveError("there is no such file", whole, "name a marks file, ending in .yaml")
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise EngraveError(f"cannot be read: {error.strerror}", whole) from None
    if len(data) > MOST_BYTES:
        raise EngraveError(
            f"the file is larger than {MOST_BYTES:,} bytes", whole, "split it into several booklets"
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode("utf-8", "replace")
        raise EngraveError(
            "this is not UTF-8 text", _place(path, before), "save the file as UTF-8"
        ) from None
    if found := _NOT_TEXT.search(text):
        raise EngraveError(
            f"the character U+{ord(found[0]):04X} is not text",
            _place(path, text[: found.start()]),
            "delete it",
        )
    return text


def _place(path: Path, before: str) -> Source:
    """The place that comes after ``before``, the beginning of the file."""
    lines = re.split("\r\n|\r|\n", before)
    return Source(str(path), len(lines), len(lines[-1]) + 1)


def _events(text: str, file: str) -> Iterator[Event]:
    try:
        yield from YAML(typ="safe", pure=True).parse(text)
    except MarkedYAMLError as error:
        raise _syntax_error(error, file) from None
    except (YAMLError, ValueError, OverflowError) as error:
        # An escape beyond Unicode, say, passes the scanner and fails in Python's own chr().
        problem = str(error).partition("\n")[0]
        raise EngraveError(f"this is not YAML: {problem}", Source(file)) from None


def _syntax_error(error: MarkedYAMLError, file: str) -> EngraveError:
    mark = error.problem_mark or error.context_mark
    said = " ".join(filter(None, (error.context, error.problem)))
    hint = next(
        (hint for words, hint in _HINTS if words in said),
        "look at the colons, quotes and indentation here and in the line above",
    )
    source = _source(file, mark) if mark else Source(file)
    return EngraveError(f"this is not YAML: {error.problem or error.context}", source, hint)


def _source(file: str, mark: StringMark) -> Source:
    return Source(file, mark.line + 1, mark.column + 1)


class _Reading:
    """One document on its way from events to nodes."""

    def __init__(self, file: str, errors: list[EngraveError]) -> None:
        self.file = file
        self.errors = errors
        self.nodes = 0

    def document(self, events: Iterator[Event]) -> Node:
        """The only document of the stream."""
        root: Node | None = None
        for event in events:
            if isinstance(event, NodeEvent):
                root = self.node(event, events, DEEPEST)
            elif isinstance(event, DocumentStartEvent) and root is not None:
                source = _source(self.file, event.start_mark)
                raise EngraveError("a second document begins here", source, "one booklet, one file")
        if root is None:
            raise EngraveError(
                "the file is empty", Source(self.file), "it needs at least score: and passages:"
            )
        return root

    def node(self, event: NodeEvent, events: Iterator[Event], levels: int) -> Node:
        """The node that begins with ``event``, at most ``levels`` deep."""
        source = _source(self.file, event.start_mark)
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise EngraveError(f"more than {MOST_NODES:,} entries", source, "split the file")
        if levels == 0:
            raise EngraveError(
                f"nested more than {DEEPEST} deep", source, "marks are never nested so deep"
            )
        if isinstance(event, AliasEvent):
            return self.refuse(source, "aliases (*) are not read", "write out what it stands for")
        if event.anchor is not None:
            self.refuse(source, "anchors (&) are not read", "delete it")
        node: Node
        if isinstance(event, ScalarEvent):
            node = self.text(event, source)
        elif isinstance(event, SequenceStartEvent):
            node = List(tuple(self.items(events, levels - 1)), source)
        else:
            assert isinstance(event, MappingStartEvent)
            node = Table(tuple(self.entries(events, levels - 1)), source)
        if event.ctag is not None:
            return self.refuse(source, "tags (!) are not read", "delete it")
        return node

    def text(self, event: ScalarEvent, source: Source) -> Node:
        if found := _NOT_TEXT.search(event.value):
            return self.refuse(source, f"the character U+{ord(found[0]):04X} is not text", "")
        quotes = 1 if event.style in ("'", '"') else 0
        width = event.end_mark.index - event.start_mark.index
        as_written = (
            event.style not in ("|", ">")
            and event.start_mark.line == event.end_mark.line
            and width == len(event.value) + 2 * quotes
        )
        return Text(event.value, source, source.column + quotes if as_written else None)

    def items(self, events: Iterator[Event], levels: int) -> Iterator[Node]:
        for event in events:
            if isinstance(event, SequenceEndEvent):
                return
            if isinstance(event, NodeEvent):
                yield self.node(event, events, levels)

    def entries(self, events: Iterator[Event], levels: int) -> Iterator[tuple[Text, Node]]:
        first: dict[str, Source] = {}
        for event in events:
            if isinstance(event, MappingEndEvent):
                return
            if not isinstance(event, NodeEvent):
                continue
            key = self.node(event, events, levels)
            value_event = next(events)
            assert isinstance(value_event, NodeEvent)
            value = self.node(value_event, events, levels)
            if not isinstance(key, Text):
                if not isinstance(key, Refused):
                    self.refuse(key.source, "a key must be plain text", "write key: value")
            elif key.text in first:
                line = first[key.text].line
                self.refuse(
                    key.source, f"the key {key.text!r} stands here twice", f"first in line {line}"
                )
            else:
                first[key.text] = key.source
                yield key, value

    def refuse(self, source: Source, message: str, hint: str) -> Refused:
        self.errors.append(EngraveError(message, source, hint))
        return Refused(source)
