"""A student's marks taken from the studio's: what is the same for all stands in one file.

Enters: the tree of a marks file with ``from:``. Leaves: a tree as if all stood there, every node
with the place where it really stands. What is one student's own never comes from the base: the
name, what was reached, what is done, private remarks. Knows no passage from the inside.
"""

import os
from pathlib import Path, PureWindowsPath

from engrave.errors import EngraveError
from engrave.marks.nodes import List, Node, Refused, Table, Text, is_empty
from engrave.marks.places import measure_range
from engrave.marks.readers import Errors
from engrave.marks.scalars import nearest, shown
from engrave.marks.tree import read_tree

FROM = "from"
STUDIO = "studio.yaml"
"""The file, empty or not, by which the top folder of a studio is known."""

_TAKEN = ("piece", "score", "part", "teacher", "tempo", "hands", "passages")
"""Keys that a base gives. What belongs to the score comes with it."""
_OWN = ("reached", "status", "private")
"""Keys of a passage, its tempo and its families that are one student's own."""
_HINT = "name marks in this folder or one above it, as in from: ../rondo.yaml"


def with_base(path: Path, root: Node, errors: Errors) -> Node:
    """``root``, the tree of the file at ``path``, with what it takes from another file.

    Raises ``EngraveError`` where that cannot be read at all.
    """
    named = _at(root, FROM)
    if not isinstance(root, Table) or named is None or is_empty(named):
        return root
    if not isinstance(named, Text):
        if not isinstance(named, Refused):
            errors.append(EngraveError("a file is wanted here", named.source, _HINT))
        return root
    try:
        base_path = _base_path(named.text, path)
    except EngraveError as error:
        raise error.at(named.source) from None
    base = read_tree(base_path, errors)
    inherited = _at(base, FROM)
    if inherited is not None and not is_empty(inherited):
        hint = "take from the file in which the marks themselves stand"
        errors.append(EngraveError("a base takes from no other", inherited.source, hint))
    if not isinstance(base, Table):
        raise EngraveError("these are no marks", base.source, "a base holds score: and passages:")
    taken = Table(tuple(each for each in base.entries if each[0].text in _TAKEN), root.source)
    shared = _without_own(taken)
    both = _merged(shared, Table(_but(root, "passages"), root.source))
    passages = _passages(_at(shared, "passages"), _at(root, "passages"), base_path, errors)
    if passages is None:
        return both
    key = Text("passages", passages.source)
    return Table((*_but(both, "passages"), (key, passages)), root.source)


def whole_tree(path: Path) -> object:
    """The marks at ``path`` with what they take from their base, as texts, lists and dictionaries.

    Every passage with an id has it under ``id``. Mistakes are told by those who read the marks;
    raises ``EngraveError`` where a file cannot be read at all.
    """
    errors: Errors = []
    root = with_base(path, read_tree(path, errors), errors)
    return _plain(root)


def _plain(node: Node, is_passage: bool = False) -> object:
    if isinstance(node, Text):
        return {"measures": node.text, "id": _id_of(node)} if is_passage else node.text
    if isinstance(node, List):
        return [_plain(each, is_passage) for each in node.items]
    if isinstance(node, Refused):
        return None
    held = {key.text: _plain(value, key.text == "passages") for key, value in node.entries}
    id = _id_of(node) if is_passage else None
    return held | {"id": id} if id else held


def _at(node: Node, key: str) -> Node | None:
    if not isinstance(node, Table):
        return None
    return next((value for name, value in node.entries if name.text == key), None)


def _but(table: Table, *keys: str) -> tuple[tuple[Text, Node], ...]:
    return tuple(each for each in table.entries if each[0].text not in keys)


def _base_path(text: str, marks: Path) -> Path:
    """The base that ``text`` names: in the folder of the marks, or above it within the studio."""
    windows = PureWindowsPath(text)
    if "://" in text or windows.drive or windows.root:
        raise EngraveError(f"{shown(text)} is not beside these marks, nor above", hint=_HINT)
    path = marks.parent / text
    try:
        folder, here = path.resolve().parent, marks.resolve().parent
        exists = path.is_file()
        is_itself = exists and path.samefile(marks)
    except (OSError, RuntimeError, ValueError):
        raise EngraveError(f"{shown(text)} cannot be followed to a file", hint=_HINT) from None
    if folder != here and folder not in here.parents:
        raise EngraveError(f"{shown(text)} is not beside these marks, nor above", hint=_HINT)
    if folder != here:
        top = next((each for each in (here, *here.parents) if (each / STUDIO).is_file()), None)
        if top is None or not folder.is_relative_to(top):
            raise EngraveError(
                f"{shown(text)} lies above the studio",
                hint=f"put an empty {STUDIO} into the top folder of the studio",
            )
    if not exists:
        raise EngraveError(f"there is no file {shown(text)}", hint=_HINT)
    if is_itself:
        raise EngraveError("these marks cannot be taken from themselves", hint=_HINT)
    plain = Path(os.path.normpath(path))  # which a link may lead elsewhere
    return plain if plain.is_file() and plain.samefile(path) else path


def _without_own(node: Node) -> Node:
    """What of the base's can be another's."""
    if isinstance(node, Table):
        entries = ((key, _without_own(value)) for key, value in _but(node, *_OWN))
        return Table(tuple(entries), node.source)
    if isinstance(node, List):
        return List(tuple(map(_without_own, node.items)), node.source)
    return node


def _merged(base: Node, own: Node) -> Table:
    """The entries of both; where both have one, a table is merged, and all else is the own one."""
    assert isinstance(base, Table)
    assert isinstance(own, Table)
    values: dict[str, tuple[Text, Node]] = {key.text: (key, value) for key, value in base.entries}
    for key, value in own.entries:
        before = values.get(key.text)
        if is_empty(value) and before:
            continue
        if before and isinstance(before[1], Table) and isinstance(value, Table):
            value = _merged(before[1], value)
        values[key.text] = key, value
    return Table(tuple(values.values()), own.source)


def _passages(base: Node | None, own: Node | None, path: Path, errors: Errors) -> Node | None:
    """The passages wanted: all of the base's, or those that are named, with what differs."""
    if not isinstance(base, List) or own is None or is_empty(own):
        return own if base is None else base
    if isinstance(own, Text):
        own = List((own,), own.source)
    if not isinstance(own, List):
        return own
    known = {id: each for each in base.items if (id := _id_of(each))}
    return List(tuple(_passage(each, known, path, errors) for each in own.items), own.source)


def _passage(each: Node, known: dict[str, Node], path: Path, errors: Errors) -> Node:
    named = each if isinstance(each, Text) else _at(each, "id")
    if not isinstance(named, Text) or (isinstance(each, Text) and _is_range(each.text)):
        return each
    base = known.get(named.text)
    if base is None:
        if isinstance(each, Text) or _at(each, "measures") is None:
            message = f"there is no passage {shown(named.text)} in {path}"
            errors.append(EngraveError(message, named.source, nearest(named.text, known)))
            return Refused(each.source)
        return each
    if isinstance(base, Text):
        base = Table(((Text("measures", base.source), base),), base.source)
    own = each if isinstance(each, Table) else Table((), each.source)
    key = Text("id", named.source)
    return _merged(base, Table(((key, named), *_but(own, "id")), each.source))


def _id_of(node: Node) -> str | None:
    """The id of a base's passage: its own, or the one that is made of its measures."""
    id = _at(node, "id")
    if isinstance(id, Text) and id.text:
        return id.text
    measures = node if isinstance(node, Text) else _at(node, "measures")
    if isinstance(measures, Text) and _is_range(measures.text):
        return "m" + str(measure_range(measures.text)).replace(".", "b")
    return None


def _is_range(text: str) -> bool:
    try:
        measure_range(text)
    except EngraveError:
        return False
    return True
