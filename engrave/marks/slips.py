"""Keys that stand where they cannot, for a reason that can be named.

Enters: a key, what stands at it and around it. Leaves: the mistake that is behind it, if it is one
of the usual ones: a comma that cut a text in two, a colon left out, a line in the wrong table.
"""

import re
from collections.abc import Collection, Mapping

from engrave.errors import EngraveError, counted
from engrave.marks.nodes import List, Node, Table, Text, is_empty
from engrave.marks.tables import FILE, KEYS, PASSAGE, TABLES

Entry = tuple[Text, Node]

_PLACE = re.compile(r"\d{1,4}[a-z]?(\.\d+)?")


def cut_off(before: Entry | None, here: Entry) -> EngraveError | None:
    """A key without a value behind a text on one line: a comma has ended the text."""
    key, node = here
    if before is None or not is_empty(node):
        return None
    name, value = before
    if not isinstance(value, Text) or is_empty(value) or value.source.line != key.source.line:
        return None
    if value.text.isdecimal() and key.text.isdecimal():
        hint = f"decimals stand after a point: {name.text}: {value.text}.{key.text}"
    else:
        hint = f'put it in quotes: {name.text}: "{value.text}, {key.text}"'
    return EngraveError("a comma ends what stands inside braces", key.source, hint)


def elsewhere(
    key: Text, node: Node, known: Collection[str], entries: Mapping[str, Entry]
) -> EngraveError | None:
    """A key that belongs to another table than the one it stands in, whose keys are ``known``."""
    name = KEYS.get(key.text.lower(), key.text)
    first, _space, rest = key.text.partition(" ")
    if first in known and rest:
        more = f": {node.text}" if isinstance(node, Text) and node.text else ""
        hint = f"write {first}: {rest}{more}"
        return EngraveError("a colon is missing in this line", key.source, hint)
    if "passages" in known and name in PASSAGE:
        hint = f"it belongs to a passage: {_spaces_of(entries)} before it"
    elif "measures" in known and name in FILE:
        hint = "it belongs to the whole file: no space before it, above passages:"
    elif "measures" in known and _PLACE.fullmatch(key.text):
        hint = f'it belongs to fingering: fingering: {{"{key.text}": {_shown(node)}}}'
    else:
        tables = (table for table, keys in TABLES.items() if table in known and name in keys)
        table = next(tables, None)
        if table is None:
            return None
        hint = f"it belongs to {table}: {table}: {{{name}: {_shown(node)}}}"
    return EngraveError(f"{key.text!r} cannot stand here", key.source, hint)


def _spaces_of(entries: Mapping[str, Entry]) -> str:
    """How far in the keys of the passages stand."""
    found = entries["passages"][1] if "passages" in entries else None
    item = found.items[0] if isinstance(found, List) and found.items else None
    count = item.source.column - 1 if isinstance(item, Table) else 4
    return counted(count, "space")


def _shown(node: Node) -> str:
    return node.text if isinstance(node, Text) and node.text else "…"
