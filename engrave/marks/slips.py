"""Keys that stand where they cannot, for a reason that can be named.

Enters: a key, what stands at it and around it. Leaves: the mistake that is behind it, if it is one
of the usual ones: a comma that cut a text in two, a colon left out, a line in the wrong table.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from engrave.errors import EngraveError, counted
from engrave.marks.nodes import List, Node, Table, Text, is_empty
from engrave.marks.tables import FILE, KEYS, LISTS, PASSAGE, TABLES

Entry = tuple[Text, Node]

_PLACE = re.compile(r"\d{1,4}[a-z]?(\.\d+)?")


def with_pieces(entries: Iterable[Entry]) -> Iterator[tuple[Text, Node, tuple[Text, ...]]]:
    """Each entry with what commas cut off its text: keys behind it on its line, without a value."""
    held: Entry | None = None
    pieces: list[Text] = []
    for key, node in entries:
        if can_be_cut(held, (key, node)):
            pieces.append(key)
            continue
        if held:
            yield *held, tuple(pieces)
        held, pieces = (key, node), []
    if held:
        yield *held, tuple(pieces)


def can_be_cut(before: Entry | None, here: Entry) -> bool:
    """Whether a comma may have cut off ``here`` from the text at the key ``before`` it."""
    if before is None or not is_empty(here[1]):
        return False
    value = before[1]
    is_text = isinstance(value, Text) and not is_empty(value)
    return is_text and value.source.line == here[0].source.line


def begins_with(piece: Text, known: Collection[str]) -> bool:
    """Whether what stands there begins as one of the ``known`` keys does, or is one."""
    return piece.text.partition(" ")[0] in known


def uncut(key: Text, value: Node, pieces: Sequence[Text]) -> Node:
    """What is meant by a text at ``key`` that commas have cut into ``pieces``."""
    if not isinstance(value, Text):
        return value
    if key.text in LISTS:
        return List((value, *pieces), value.source)
    return Text(", ".join((value.text, *(piece.text for piece in pieces))), value.source)


def is_decimal(text: str, pieces: Sequence[Text]) -> bool:
    """Whether the comma was meant for a decimal point."""
    return text.isdecimal() and len(pieces) == 1 and pieces[0].text.isdecimal()


def cut_off(key: Text, value: Node, pieces: Sequence[Text]) -> EngraveError:
    """A text at ``key`` that commas have cut: one mistake, however many ``pieces``."""
    text = value.text if isinstance(value, Text) else ""
    if is_decimal(text, pieces):
        hint = f"decimals stand after a point: {key.text}: {text}.{pieces[0].text}"
    else:
        whole = ", ".join((text, *(piece.text for piece in pieces)))
        hint = f'put it in quotes: {key.text}: "{whole}"'
        if key.text in LISTS:
            hint = f"put it in brackets: {key.text}: [{whole}]"
    return EngraveError("a comma ends what stands inside braces", pieces[0].source, hint)


def elsewhere(
    key: Text, node: Node, known: Collection[str], entries: Mapping[str, Entry]
) -> EngraveError | None:
    """A key that belongs to another table than the one it stands in, whose keys are ``known``."""
    name = KEYS.get(key.text.lower(), key.text)
    first, _space, rest = key.text.partition(" ")
    if first in known and rest:
        more = f": {on_one_line(node)}" if isinstance(node, Text) and node.text else ""
        hint = f"write {first}: {rest}{more}"
        return EngraveError("a colon is missing in this line", key.source, hint)
    if "passages" in known and name in PASSAGE:
        hint = f"it belongs to a passage: {_spaces_of(entries)} before it"
    elif "measures" in known and name in FILE:
        hint = "it belongs to the whole file: no space before it, above passages:"
    elif "measures" in known and _PLACE.fullmatch(key.text):
        hint = f'it belongs to fingering: fingering: {{"{key.text}": {on_one_line(node)}}}'
    else:
        tables = (table for table, keys in TABLES.items() if table in known and name in keys)
        table = next(tables, None)
        if table is None:
            return None
        hint = f"it belongs to {table}: {table}: {{{name}: {on_one_line(node)}}}"
    return EngraveError(f"{key.text!r} cannot stand here", key.source, hint)


def _spaces_of(entries: Mapping[str, Entry]) -> str:
    """How far in the keys of the passages stand."""
    found = entries["passages"][1] if "passages" in entries else None
    item = found.items[0] if isinstance(found, List) and found.items else None
    count = item.source.column - 1 if isinstance(item, Table) else 4
    return counted(count, "space")


def on_one_line(node: Node) -> str:
    """A text as it may stand on the one line of a hint."""
    return (" ".join(node.text.split()) if isinstance(node, Text) else "") or "…"
