"""A marks file changed as a careful person would change it: what is not meant stays to the byte.

Enters: the text of a marks file, a place in it, what is to stand there. Leaves: the new text.
Comments, order, quoting, line ends and blank lines stay where they are but for the lines that
change. Knows how YAML is laid out, and the usual order of keys; nothing of scores or browsers.

Every change is read back before it leaves: a change that would also alter something else raises
``EngraveError`` instead.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from engrave.errors import EngraveError, Source
from engrave.marks import layout
from engrave.marks.spans import Branch, KeyPath, PathStep, Spanned, child, plain, read_spans
from engrave.marks.yaml_text import YamlValue

FILE = "marks"

FILE_ORDER = (
    *("piece", "from", "score", "part", "student", "teacher", "performance", "lesson", "begin"),
    *("log", "practice", "tempo", "hands", "language", "paper", "staff_mm", "pages", "sound"),
    *("show_student", "passages"),
)
PASSAGE_ORDER = (
    *("id", "number", "measures", "hand", "hands", "trouble", "drills", "fingering", "tempo"),
    *("status", "remarks", "private"),
)
"""The order in which the keys of a file, and of a passage, are usually written."""


@dataclass(frozen=True, slots=True)
class Splice:
    """One change of a text: at ``start``, ``removed`` gives way to ``inserted``."""

    start: int
    removed: str
    inserted: str

    @classmethod
    def between(cls, old: str, new: str) -> "Splice":
        """The smallest splice that makes ``new`` of ``old``."""
        most = min(len(old), len(new))
        start = next((at for at in range(most) if old[at] != new[at]), most)
        most -= start
        tail = next((at for at in range(most) if old[-1 - at] != new[-1 - at]), most)
        return cls(start, old[start : len(old) - tail], new[start : len(new) - tail])

    @property
    def undone(self) -> "Splice":
        """The splice that takes this one back."""
        return Splice(self.start, self.inserted, self.removed)

    def of(self, text: str) -> str:
        """``text`` after the change; raises ``EngraveError`` where it no longer fits."""
        end = self.start + len(self.removed)
        if text[self.start : end] != self.removed:
            raise EngraveError("the file has changed here meanwhile", hint="look at it again")
        return text[: self.start] + self.inserted + text[end:]


def with_value(text: str, path: KeyPath, value: YamlValue, file: str = FILE) -> str:
    """``text`` with ``value`` at ``path``; what is missing on the way there is made.

    ``("passages", 1, "hand")`` is the hand of the second passage; an index one beyond the end of a
    list appends. Of a list or table that stands already only what differs is touched.
    """
    return _checked(text, path, value, file)


def without(text: str, path: KeyPath, file: str = FILE) -> str:
    """``text`` without what stands at ``path``; a table that is left empty goes as well."""
    return _checked(text, path, None, file)


def _checked(text: str, path: KeyPath, value: YamlValue | None, file: str) -> str:
    wanted = _as_data(plain(read_spans(text, file)), path, value)
    changed = _change(text, path, value, file)
    if _read(plain(read_spans(changed, file))) != _read(wanted):
        message = "this cannot be changed without touching what stands beside it"
        raise EngraveError(message, Source(file), "change it in the file")
    return changed


def _change(text: str, path: KeyPath, value: YamlValue | None, file: str) -> str:
    root = read_spans(text, file)
    if root is None:
        return layout.first_entries(text, _nested(path, value)) if value is not None else text
    parent: Spanned = root
    for depth, step in enumerate(path[:-1]):
        inner = child(parent, step)
        if not isinstance(inner, Branch):  # nothing there, or a text where a table is to be
            made = None if value is None else _nested(path[depth + 1 :], value)
            return text if made is None else _change(text, path[: depth + 1], made, file)
        parent = inner
    step = path[-1]
    there = child(parent, step)
    if value is None:
        return text if there is None else _removed(text, parent, path, file)
    if there is None:
        held = _branch(parent)
        if isinstance(step, int) != held.is_list:
            raise EngraveError("there is no such place in the file", hint="look at it again")
        return layout.with_child(text, held, step, value, _order(path))
    if isinstance(there, Branch) and _alike(there, value):
        return _reconciled(text, path, there, value, file)
    return layout.with_other(text, _branch(parent), step, value)


def _order(path: KeyPath) -> tuple[str, ...]:
    if len(path) == 1:
        return FILE_ORDER
    return PASSAGE_ORDER if len(path) == 3 and path[0] == "passages" else ()


def _removed(text: str, parent: Spanned, path: KeyPath, file: str) -> str:
    held = _branch(parent)
    if len(held.children) > 1 or len(path) == 1:
        return layout.without_child(text, held, path[-1])
    if held.is_list:
        return layout.emptied(text, held, _parent_of(text, path[:-2], file), path[-2])
    return _change(text, path[:-1], None, file)


def _reconciled(text: str, path: KeyPath, there: Branch, value: YamlValue, file: str) -> str:
    """Only what differs is changed, from the end to the beginning, so that places stay true."""
    if isinstance(value, Mapping):
        have = [key.text for key, _value in there.children if key]
        for key in value:
            if key not in have or plain(child(there, key)) != _data(value[key]):
                text = _change(text, (*path, key), value[key], file)
        for key in have:
            if key not in value:
                text = _change(text, (*path, key), None, file)
        return text
    items = list(value)
    old = [repr(plain(node)) for _key, node in there.children]
    new = [repr(_data(each)) for each in items]
    steps = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    for tag, first, last, begin, end in reversed(steps):
        if tag == "equal":
            continue
        paired = min(last - first, end - begin)
        for index in reversed(range(first + paired, last)):
            text = _change(text, (*path, index), None, file)
        for each in reversed(items[begin + paired : end]):
            held = _parent_of(text, path, file)
            text = layout.with_item(text, held, first + paired, each)
        for index in range(paired):
            text = _change(text, (*path, first + index), items[begin + index], file)
    return text


def _parent_of(text: str, path: KeyPath, file: str) -> Branch:
    node = read_spans(text, file)
    for step in path:
        node = child(node, step) if node else None
    return _branch(node)


def _branch(node: Spanned | None) -> Branch:
    if not isinstance(node, Branch):
        raise EngraveError("there is no such place in the file", hint="look at it again")
    return node


def _alike(there: Branch, value: YamlValue) -> bool:
    if isinstance(value, str) or not value or not there.children:
        return False
    return there.is_list != isinstance(value, Mapping)


def _nested(path: KeyPath, value: YamlValue | None) -> YamlValue:
    """``value`` inside the tables and lists that lead to it."""
    made: YamlValue = value if value is not None else ""
    for step in reversed(path):
        made = {step: made} if isinstance(step, str) else [made]
    return made


def _data(value: YamlValue) -> object:
    if isinstance(value, str):
        return value
    if isinstance(value, Mapping):
        return {key: _data(each) for key, each in value.items()}
    return [_data(each) for each in value]


def _read(tree: object) -> object:
    """The tree as marks are read: line ends behind a text are none of it."""
    if isinstance(tree, str):
        return tree.rstrip("\n")
    if isinstance(tree, Mapping):
        return {key: _read(value) for key, value in tree.items()}
    return [_read(each) for each in tree] if isinstance(tree, list) else tree


def _as_data(tree: object, path: KeyPath, value: YamlValue | None) -> object:
    """What the file is to hold afterwards, said once more without any text."""
    if not path:
        return None if value is None else _data(value)
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        items: list[object] = list(tree) if isinstance(tree, Sequence) and tree else []
        if isinstance(tree, str):
            items = []
        old = items[step] if step < len(items) else None
        new = _as_data(old, rest, value)
        items[step : step + 1] = [] if new is None else [new]
        return items
    table: dict[str, object] = dict(tree) if isinstance(tree, Mapping) else {}
    new = _as_data(table.get(step), rest, value)
    if new is None or (value is None and rest and new == {}):
        table.pop(step, None)
    else:
        table[step] = new
    return table


__all__ = ["KeyPath", "PathStep", "Splice", "with_value", "without"]
