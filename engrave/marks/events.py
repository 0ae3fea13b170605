"""From the text of a marks file to the events of YAML, with their places.

Enters: text. Leaves: ``YamlEvent``s, or an ``EngraveError`` where the text is not YAML. The one
module that knows the YAML library; knows nothing of trees.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from engrave.errors import EngraveError, Source
from engrave.marks.columns import misplaced

if TYPE_CHECKING:
    from ruamel.yaml.error import MarkedYAMLError, StringMark
    from ruamel.yaml.events import ScalarEvent

_PLAIN_WORDS = (
    (
        "mapping values are not allowed",
        "a colon stands where none can",
        "put a text that holds a colon in quotes, or add the colon missing in the line above",
    ),
    (
        "are not allowed here",
        "no entry can begin here",
        "begin it on a line of its own, in the column of its neighbours",
    ),
    (
        "expected <block end>",
        "this does not stand in the column of what it belongs to",
        "entries of one list or mapping begin in one column",
    ),
    (
        "<document start>",
        "this belongs to nothing above it",
        "everything in the file belongs to one mapping of keys to values",
    ),
    (
        "expected the node content",
        "a value is missing here",
        "put a text that begins with a sign in quotes",
    ),
    (
        "expected ',' or",
        "a comma or a closing bracket is missing",
        "put commas between entries, and close every [ and {",
    ),
    (
        "could not find expected ':'",
        "a key without a colon",
        "a key ends with a colon and a space",
    ),
    (
        "end of stream",
        "this quotation mark is never closed",
        "close it; a quotation mark in a text is written twice",
    ),
    (
        "found character '\\t'",
        "a tab stands where none can",
        "write spaces instead",
    ),
    (
        "cannot start any token",
        "no value can begin like this",
        "put a text that begins with a sign in quotes",
    ),
    (
        "escape character",
        "no such escape",
        "two \\ stand for one between double quotes",
    ),
)
"""What the library's words mean, and what to do about it."""

_CLOSE_COMMENT = re.compile(r" (#[^\r\n]*)")


class Kind(Enum):
    """What an event begins, or that it ends a list or a table."""

    DOCUMENT = auto()
    TEXT = auto()
    LIST = auto()
    TABLE = auto()
    ALIAS = auto()
    END = auto()


@dataclass(frozen=True, slots=True)
class YamlEvent:
    """A step through the document.

    ``text`` and ``text_column`` as in ``nodes.Text``; ``anchored`` with ``&name``, ``tagged`` with
    ``!name``. ``start`` and ``end`` count characters from the beginning of the text; ``style`` is
    the sign that a scalar begins with (``'``, ``"``, ``|``, ``>``), empty for a plain one; ``flow``
    says that a list or table stands in brackets; ``comment`` as in ``nodes.Text``.
    """

    kind: Kind
    source: Source
    text: str = ""
    text_column: int | None = None
    anchored: bool = False
    tagged: bool = False
    start: int = 0
    end: int = 0
    style: str = ""
    flow: bool = False
    comment: str = ""


def read_events(text: str, file: str) -> Iterator[YamlEvent]:
    """The events of ``text``, as they are read; raises ``EngraveError`` at the first that is none.

    YAML 1.2; of the library's reader only the part is used that makes no values of texts.
    """
    from ruamel.yaml import YAML, events
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    kinds = {
        events.DocumentStartEvent: Kind.DOCUMENT,
        events.ScalarEvent: Kind.TEXT,
        events.SequenceStartEvent: Kind.LIST,
        events.MappingStartEvent: Kind.TABLE,
        events.AliasEvent: Kind.ALIAS,
        events.SequenceEndEvent: Kind.END,
        events.MappingEndEvent: Kind.END,
    }
    last = Source(file)
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            if kind := kinds.get(type(event)):
                last = _source(event.start_mark, file)
                yield YamlEvent(
                    kind,
                    last,
                    text=event.value if kind is Kind.TEXT else "",
                    text_column=_text_column(event) if kind is Kind.TEXT else None,
                    anchored=kind is not Kind.ALIAS and getattr(event, "anchor", None) is not None,
                    tagged=getattr(event, "ctag", None) is not None,
                    start=event.start_mark.index,
                    end=event.end_mark.index,
                    style=getattr(event, "style", None) or "",
                    flow=bool(getattr(event, "flow_style", False)),
                    comment=_close_comment(event, text) if kind is Kind.TEXT else "",
                )
    except MarkedYAMLError as error:
        raise _syntax_error(error, text, file) from None
    except (YAMLError, ValueError, OverflowError):
        # The library lets an escape beyond Unicode pass, say, and Python's chr() does not.
        message, hint = "this is not YAML: what follows cannot be read", "look at its backslashes"
        raise EngraveError(message, last, hint) from None


def _close_comment(event: "ScalarEvent", text: str) -> str:
    """A comment that one space alone parts from an unquoted text."""
    if event.style or not event.value:
        return ""
    found = _CLOSE_COMMENT.match(text, event.end_mark.index)
    return found[1] if found else ""


def _text_column(event: "ScalarEvent") -> int | None:
    start, end = event.start_mark, event.end_mark
    quotes = 1 if event.style in ("'", '"') else 0
    as_written = end.index - start.index == len(event.value) + 2 * quotes
    if event.style in ("|", ">") or start.line != end.line or not as_written:
        return None
    return int(start.column) + 1 + quotes


def _syntax_error(error: "MarkedYAMLError", text: str, file: str) -> EngraveError:
    problem = str(error.problem or error.context)
    said, hint = next(
        ((said, hint) for words, said, hint in _PLAIN_WORDS if words in problem),
        (problem, "look at the colons, quotes and indentation here and in the line above"),
    )
    # What is never closed is told where it opens, not at the end of the file.
    unclosed = any(end in problem for end in ("end of stream", "<stream end>", "expected ':'"))
    marks = (error.problem_mark, error.context_mark)
    mark = next(filter(None, reversed(marks) if unclosed else marks), None)
    if mark and (found := misplaced(text, mark.line)):
        said, hint, column = found
        return EngraveError(f"this is not YAML: {said}", Source(file, mark.line + 1, column), hint)
    source = _source(mark, file) if mark else Source(file)
    return EngraveError(f"this is not YAML: {said}", source, hint)


def _source(mark: "StringMark", file: str) -> Source:
    return Source(file, mark.line + 1, mark.column + 1)
