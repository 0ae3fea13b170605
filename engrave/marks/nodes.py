"""A YAML document as a tree: texts, lists and tables, each with the place where it stands.

The text of a scalar is what stands in the file; nothing here guesses numbers, dates or truth.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from engrave.errors import Source

BETWEEN_COMMAS = r"[^\s,][^,]*(?<!\s)"


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar. ``text_column`` is where its first character stands, if all stand on one line.

    ``comment`` is what follows an unquoted text on its line after one space and a ``#``: it may
    have been meant to belong to the text.
    """

    text: str
    source: Source
    text_column: int | None = None
    comment: str = ""

    def at(self, index: int) -> Source:
        """The place of the character at ``index``, or of the scalar where that is not known."""
        if self.text_column is None:
            return self.source
        return replace(self.source, column=self.text_column + index)


@dataclass(frozen=True, slots=True)
class List:
    """A sequence of nodes."""

    items: "tuple[Node, ...]"
    source: Source


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping; no key with a value stands twice."""

    entries: "tuple[tuple[Text, Node], ...]"
    source: Source


@dataclass(frozen=True, slots=True)
class Refused:
    """What stood here was refused, and has been told as a mistake already."""

    source: Source


Node = Text | List | Table | Refused


def is_empty(node: Node) -> bool:
    """Whether nothing stands here, as where a key has nothing after its colon."""
    return isinstance(node, Text) and not node.text


def words_of(text: Text, word: str = BETWEEN_COMMAS) -> Iterator[Text]:
    """What fits ``word`` in a text: each a text at its own place."""
    for match in re.finditer(word, text.text):
        yield Text(match[0], text.at(match.start()))
