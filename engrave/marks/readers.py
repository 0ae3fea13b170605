"""From nodes to typed values: all mistakes told, none of them twice.

Enters: a node. Leaves: a value. A ``Reader`` takes a node and the list of mistakes so far; it
returns the value, or adds what is wrong to the list and returns None. Knows how nodes nest, and
nothing of music.
"""

from collections.abc import Callable, Sequence
from typing import TypeAlias, TypeVar

from engrave.errors import EngraveError, Source
from engrave.marks.nodes import List, Node, Refused, Table, Text, is_empty
from engrave.marks.placed import Placed
from engrave.marks.scalars import closest, nearest, shown
from engrave.marks.slips import begins_with, cut_off, elsewhere, is_decimal, uncut, with_pieces
from engrave.marks.tables import KEYS

T = TypeVar("T")
D = TypeVar("D")
K = TypeVar("K", Text, List, Table)

Errors: TypeAlias = list[EngraveError]
Reader: TypeAlias = Callable[[Node, Errors], T | None]

_KINDS: dict[type[Node], tuple[str, str]] = {
    Text: ("a single value", "write one value"),
    List: ("a list", "put it in brackets: [ … ]"),
    Table: ("a key with a value", "write {key: value}"),
}


def expect(kind: type[K], node: Node, errors: Errors, hint: str = "") -> K | None:
    """``node``, if it is of the ``kind`` that is wanted; a ``Refused`` node has been told."""
    if isinstance(node, kind):
        return node
    if not isinstance(node, Refused):
        wanted, usual_hint = _KINDS[kind]
        message = f"{wanted} is wanted here, not {_KINDS[type(node)][0]}"
        errors.append(EngraveError(message, node.source, hint or usual_hint))
    return None


def value(parse: Callable[[str], T]) -> Reader[T]:
    """A single value, as a function of ``scalars`` reads it."""

    def read(node: Node, errors: Errors) -> T | None:
        text = expect(Text, node, errors)
        try:
            return parse(text.text) if text else None
        except EngraveError as error:
            errors.append(error.at(node.source))
            return None

    return read


def placed(reader: Reader[T]) -> Reader[Placed[T]]:
    """What ``reader`` reads, with its place."""

    def read(node: Node, errors: Errors) -> Placed[T] | None:
        found = reader(node, errors)
        return None if found is None else Placed(found, node.source)

    return read


def list_of(
    item: Reader[T], *, least: int = 1, most: int = 100, repeats: bool = False
) -> Reader[tuple[T, ...]]:
    """A list of ``least`` to ``most`` items, none of them twice unless ``repeats``.

    A single value is a list of one.
    """

    def read(node: Node, errors: Errors) -> tuple[T, ...] | None:
        if isinstance(node, Text):
            node = List((node,), node.source)
        found = expect(List, node, errors)
        if found is None:
            return None
        length = len(found.items)
        if not least <= length <= most:
            message = f"a list of {length} is too {'short' if length < least else 'long'}"
            hint = f"from {least} to {most} can stand in it"
            errors.append(EngraveError(message, node.source, hint))
        items: list[T] = []
        for each in found.items[:most]:
            before = len(errors)
            got = item(each, errors)
            if got is None:
                continue
            if got in items and not repeats and len(errors) == before:
                message, hint = "this stands in the list twice", "delete one"
                errors.append(EngraveError(message, each.source, hint))
            items.append(got)
        return tuple(items)

    return read


class Form:
    """A mapping that is read key by key; on leaving it, keys that nobody asked for are told.

    A key with nothing after its colon counts as not given. A key that is missing is not told where
    an unknown one may stand for it. ``flawed`` are the keys whose values are not, or may not be,
    what the teacher wrote: those with mistakes in them, and those for which unknown ones may stand.
    """

    def __init__(self, node: Node, errors: Errors, hint: str = "") -> None:
        table = expect(Table, node, errors, hint)
        self.source = node.source
        self.flawed: set[str] = set()
        self._errors = errors
        self._usable = table is not None
        self._written = table.entries if table else ()
        self._entries = {key.text: (key, value) for key, value in reversed(self._written)}
        self._asked: dict[str, None] = {}
        self._missing: dict[str, str] = {}
        self._readers: dict[str, Reader[object]] = {}

    def node(self, key: str) -> Node | None:
        """What stands at ``key``, if anything does."""
        self._asked[key] = None
        _key, node = self._entries.get(key, (None, None))
        return None if node is None or is_empty(node) else node

    def get(self, key: str, reader: Reader[T], default: D) -> T | D:
        """The value at ``key``, ``default`` where there is none."""
        node = self.node(key)
        self._readers[key] = reader
        before = len(self._errors)
        found = None if node is None else reader(node, self._errors)
        if len(self._errors) > before:
            self.flawed.add(key)
        return default if found is None else found

    def require(self, key: str, reader: Reader[T], hint: str) -> T | None:
        """The value at ``key``; a missing one is a mistake like any other."""
        if self.node(key) is None and self._usable:
            self._missing[key] = hint
        return self.get(key, reader, None)

    def place(self, key: str) -> Source:
        """Where the value of ``key`` stands; the key where it has none, else the whole mapping."""
        if key not in self._entries:
            return self.source
        name, node = self._entries[key]
        return node.source if self.node(key) else name.source

    def __enter__(self) -> "Form":
        return self

    def __exit__(self, *_: object) -> None:
        for key, node, pieces in with_pieces(self._written):
            self._tell(key, node)
            for piece in pieces:
                if begins_with(piece, self._asked):
                    self._tell(piece, Text("", piece.source))
            cut = [piece for piece in pieces if not begins_with(piece, self._asked)]
            if cut:
                if self._is_well(key, node, cut):
                    self._errors[:] = [each for each in self._errors if each.source != node.source]
                self._errors.append(cut_off(key, node, cut))
                self.flawed.add(key.text)
        for name, hint in self._missing.items():
            self._errors.append(EngraveError(f"{name!r} is missing", self.place(name), hint))

    def _is_well(self, key: Text, node: Node, cut: Sequence[Text]) -> bool:
        """Whether nothing is wrong with a value but that commas cut it; or nobody knows."""
        reader, told = self._readers.get(key.text), list[EngraveError]()
        if isinstance(node, Text) and is_decimal(node.text, cut):
            return True
        if reader:
            reader(uncut(key, node, cut), told)
        return not told

    def _tell(self, key: Text, node: Node) -> None:
        """That nobody asked for ``key``, and why it may stand there."""
        if key.text in self._asked:
            return
        meant = KEYS.get(key.text.lower()) or closest(key.text, self._asked)
        self._missing.pop(meant or "", None)
        self.flawed.add(meant or key.text)
        belongs = elsewhere(key, node, self._asked, self._entries)
        self._errors.append(belongs or self._unknown(key))

    def _unknown(self, key: Text) -> EngraveError:
        meant = KEYS.get(key.text.lower())
        hint = f"write {meant}" if meant in self._asked else nearest(key.text, self._asked)
        return EngraveError(f"unknown key {shown(key.text)}", key.source, hint)
