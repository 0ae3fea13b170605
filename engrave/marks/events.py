"""From the text of a marks file to the events of YAML, with their places.

Enters: text. Leaves: ``YamlEvent``s, or an ``EngraveError`` where the text is not YAML. The one
module that knows the YAML library; knows nothing of trees.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING, Any

from engrave.errors import EngraveError, Source
from engrave.marks.syntax import Found, Where, slip

if TYPE_CHECKING:
    from ruamel.yaml.error import MarkedYAMLError, StringMark
    from ruamel.yaml.events import ScalarEvent

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
    text: str
    text_column: int | None
    anchored: bool
    tagged: bool
    start: int
    end: int
    style: str
    flow: bool
    comment: str


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
                yield _event(kind, event, last, text)
    except MarkedYAMLError as error:
        raise _syntax_error(error, text, file) from None
    except (YAMLError, ValueError, OverflowError):
        # The library lets an escape beyond Unicode pass, say, and Python's chr() does not.
        message, hint = "what follows cannot be read", "look at its backslashes"
        raise EngraveError(message, last, hint) from None


def _event(kind: Kind, event: Any, source: Source, text: str) -> YamlEvent:
    return YamlEvent(
        kind,
        source,
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


def _close_comment(event: "ScalarEvent", text: str) -> str:
    """A comment that one space alone parts from an unquoted text."""
    if event.style or not event.value:
        return ""
    match = _CLOSE_COMMENT.match(text, event.end_mark.index)
    return match[1] if match else ""


def _text_column(event: "ScalarEvent") -> int | None:
    start, end = event.start_mark, event.end_mark
    quotes = 1 if event.style in ("'", '"') else 0
    as_written = end.index - start.index == len(event.value) + 2 * quotes
    if event.style in ("|", ">") or start.line != end.line or not as_written:
        return None
    return int(start.column) + 1 + quotes


def _syntax_error(error: "MarkedYAMLError", text: str, file: str) -> EngraveError:
    mark = error.problem_mark or error.context_mark
    if mark is None:
        return EngraveError("this cannot be read", Source(file))
    began = _where(error.context_mark) if error.context_mark else None
    found = Found(str(error.problem or error.context), _where(mark), began)
    line, column, message, hint = slip(text, found)
    return EngraveError(message, Source(file, line + 1, column + 1), hint)


def _where(mark: "StringMark") -> Where:
    return Where(mark.index, mark.line, mark.column)


def _source(mark: "StringMark", file: str) -> Source:
    return Source(file, mark.line + 1, mark.column + 1)
