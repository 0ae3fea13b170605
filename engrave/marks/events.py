"""From the text of a marks file to the events of YAML, with their places.

Enters: text. Leaves: ``Event`` values, or an ``EngraveError`` where the text is not YAML. The one
module that knows the YAML library; knows nothing of trees.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from engrave.errors import EngraveError, Source

if TYPE_CHECKING:
    from ruamel.yaml.error import MarkedYAMLError, StringMark
    from ruamel.yaml.events import ScalarEvent

_HINTS = (
    ("mapping values are not allowed", "put a text that holds a colon in quotes"),
    ("cannot start any token", "indent with spaces; put a text that begins with a sign in quotes"),
    ("while scanning a simple key", "a key ends with a colon and a space"),
    ("while scanning a quoted scalar", "close the quotation mark"),
    ("while scanning a double-quoted", "two \\ stand for one between double quotes"),
    ("while parsing a flow", "close every bracket and brace, and put commas between entries"),
    ("while parsing a block", "entries of one list or mapping begin in one column"),
    ("while scanning an alias", "put a text that begins with * in quotes"),
    ("while scanning an anchor", "put a text that begins with & in quotes"),
    ("while parsing a node", "put a text that begins with ! in quotes"),
)


class Kind(Enum):
    """What an event begins, or that it ends a list or a table."""

    DOCUMENT = auto()
    TEXT = auto()
    LIST = auto()
    TABLE = auto()
    ALIAS = auto()
    END = auto()


@dataclass(frozen=True, slots=True)
class Event:
    """A step through the document.

    ``text`` and ``text_column`` as in ``nodes.Text``; ``anchored`` with ``&name``, ``tagged`` with
    ``!name``.
    """

    kind: Kind
    source: Source
    text: str = ""
    text_column: int | None = None
    anchored: bool = False
    tagged: bool = False


def read_events(text: str, file: str) -> Iterator[Event]:
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
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            if kind := kinds.get(type(event)):
                yield Event(
                    kind,
                    _source(event.start_mark, file),
                    text=event.value if kind is Kind.TEXT else "",
                    text_column=_text_column(event) if kind is Kind.TEXT else None,
                    anchored=kind is not Kind.ALIAS and getattr(event, "anchor", None) is not None,
                    tagged=getattr(event, "ctag", None) is not None,
                )
    except MarkedYAMLError as error:
        raise _syntax_error(error, file) from None
    except (YAMLError, ValueError, OverflowError) as error:
        # The scanner lets an escape beyond Unicode pass, say, and Python's chr() does not.
        problem = str(error).partition("\n")[0]
        raise EngraveError(f"this is not YAML: {problem}", Source(file)) from None


def _text_column(event: "ScalarEvent") -> int | None:
    start, end = event.start_mark, event.end_mark
    quotes = 1 if event.style in ("'", '"') else 0
    as_written = end.index - start.index == len(event.value) + 2 * quotes
    if event.style in ("|", ">") or start.line != end.line or not as_written:
        return None
    return int(start.column) + 1 + quotes


def _syntax_error(error: "MarkedYAMLError", file: str) -> EngraveError:
    mark = error.problem_mark or error.context_mark
    said = " ".join(filter(None, (error.context, error.problem)))
    hint = next(
        (hint for words, hint in _HINTS if words in said),
        "look at the colons, quotes and indentation here and in the line above",
    )
    source = _source(mark, file) if mark else Source(file)
    return EngraveError(f"this is not YAML: {error.problem or error.context}", source, hint)


def _source(mark: "StringMark", file: str) -> Source:
    return Source(file, mark.line + 1, mark.column + 1)
