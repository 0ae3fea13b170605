"""How lines and brackets of a marks file are laid out when something is put in or taken out.

Enters: a text, the list or table in it (with places) that changes, what is to change. Leaves: the
new text. Knows no paths and does not read the text again; ``editing`` does, and checks.
"""

import re
from collections.abc import Mapping, Sequence

from engrave.marks.spans import Branch, Leaf, PathStep, Spanned
from engrave.marks.yaml_text import YamlValue, block, entry, flow, item, scalar
from engrave.marks.yaml_text import key as written_key

_COMMENT = re.compile(r"(?<!\S)#[^\r\n]*")


def first_entries(text: str, value: YamlValue) -> str:
    """A file that holds nothing yet but perhaps comments, with its first entries."""
    lines = block(value, 0) if not isinstance(value, str) else [scalar(value)]
    newline = _newline(text)
    before = text if not text or text.endswith("\n") else text + newline
    return before + newline.join(lines) + newline


def with_child(
    text: str, parent: Branch, step: PathStep, value: YamlValue, order: Sequence[str] = ()
) -> str:
    """``parent`` with a new entry, after those that usually stand before it (``order``), or, for
    a list, a new last item."""
    if isinstance(step, int):
        return with_item(text, parent, len(parent.children), value)
    if parent.flow:
        return _with_more(
            text, parent, len(parent.children), f"{written_key(step, True)}: {flow(value)}"
        )
    return _with_entry(text, parent, step, value, order)


def with_item(text: str, parent: Branch, index: int, value: YamlValue) -> str:
    """The list ``parent`` with a new item before ``index``, or after its last one."""
    if parent.flow:
        return _with_more(text, parent, index, flow(value))
    indent = _column(text, _dash(text, parent.children[0][1].start))
    lines = item(value, indent)
    count = len(parent.children)
    if index < count:
        at = _line_start(text, _dash(text, parent.children[index][1].start))
        return _with_lines(text, at, lines)
    last = parent.children[-1][1]
    at = _below(text, last.end, indent)
    apart = count > 1 and _blank_between(text, parent.children[-2][1].end, _dash(text, last.start))
    if count == 1 and isinstance(last, Branch) and isinstance(value, Mapping):
        apart = text[_line_start(text, last.start) : last.end].count("\n") > 1
    return _with_lines(text, at, ["", *lines] if apart else lines)


def with_other(text: str, parent: Branch, step: PathStep, value: YamlValue) -> str:
    """``parent`` with another value at ``step``, where one stands already."""
    key, old = _found(parent, step)
    if parent.flow:
        new = scalar(value, True, _style(old)) if isinstance(value, str) else flow(value)
        return _put(text, key, old, new)
    if isinstance(value, str):
        line = scalar(value, style=_style(old))
        fits = isinstance(old, Leaf) and _style(old) not in ("|", ">") and "\n" not in value
        if fits and (key is None or len(line) + _column(text, old.start) <= 100):
            return _put(text, key, old, line)
    if key is None:
        start = old.start
        lines = item(value, max(0, _column(text, start) - 2))
        return text[:start] + _newline(text).join(lines).lstrip(" -") + text[old.end :]
    written = _newline(text).join(entry(key.text, value, _column(text, key.start)))
    return text[: key.start] + written + text[_value_end(text, key, old) :]


def without_child(text: str, parent: Branch, step: PathStep) -> str:
    """``parent`` without one of its children; it has others."""
    numbers = [key.text if key else number for number, (key, _value) in enumerate(parent.children)]
    index = numbers.index(step)
    if parent.flow:
        return _without_piece(text, parent, index)
    key, value = parent.children[index]
    if parent.is_list:
        return _without_item(text, parent, index)
    assert key is not None
    start, end = _line_start(text, key.start), _next_line(text, _value_end(text, key, value))
    if text[start : key.start].strip():  # on the line of its dash: the next entry takes its place
        following = parent.children[1][0]
        assert following is not None
        gap = text[end : following.start]
        return text[: key.start] + (text[following.start :] if not gap.strip() else text[end:])
    return text[:start] + text[end:]


def emptied(text: str, held: Branch, parent: Branch, step: PathStep) -> str:
    """``parent`` with ``[]`` where its list at ``step`` has lost the last item."""
    if held.flow:
        return text[: held.start + 1] + text[held.end - 1 :]
    key, _old = _found(parent, step)
    assert key is not None
    colon = _colon(text, key)
    comment = re.match(r"[ \t]*#[^\r\n]*", text[colon:])
    return f"{text[:colon]} []{comment.group() if comment else ''}{text[held.end :]}"


def _with_entry(
    text: str, parent: Branch, name: str, value: YamlValue, order: Sequence[str]
) -> str:
    first, _value = parent.children[0]
    assert first is not None
    indent = _column(text, first.start)
    lines = entry(name, value, indent)
    before = _before(name, parent, order)
    if before is None:
        newline = _newline(text) + " " * indent
        return text[: first.start] + _newline(text).join(lines) + newline + text[first.start :]
    key, old = before
    at = _next_line(text, _value_end(text, key, old))
    if not indent and old is parent.children[-1][1] and _is_comment(text[at:]):
        at = len(text)  # comments at the end of a file speak of what stands before them
    return _with_lines(text, at, [" " * indent + lines[0], *lines[1:]])


def _is_comment(text: str) -> bool:
    return all(not line.strip() or line.lstrip().startswith("#") for line in text.splitlines())


def _before(name: str, parent: Branch, order: Sequence[str]) -> tuple[Leaf | None, Spanned] | None:
    """The entry after which ``name`` is written: the last of those that usually precede it."""
    if name not in order:
        return parent.children[-1]
    usual = order[: order.index(name)]
    earlier = [pair for pair in parent.children if pair[0] and pair[0].text in usual]
    return earlier[-1] if earlier else None


def _with_more(text: str, parent: Branch, index: int, piece: str) -> str:
    """A list or table in brackets with ``piece`` before the child at ``index``."""
    if not parent.children:
        return text[: parent.start + 1] + piece + text[parent.end - 1 :]
    if index < len(parent.children):
        key, value = parent.children[index]
        at = (key or value).start
        return f"{text[:at]}{piece}, {text[at:]}"
    key, value = parent.children[-1]
    at = _value_end(text, key, value) if key else value.end
    comma = re.match(r"\s*,", text[at : parent.end])
    if comma:
        at += comma.end()
        return f"{text[:at]} {piece}{text[at:]}"
    return f"{text[:at]}, {piece}{text[at:]}"


def _without_piece(text: str, parent: Branch, index: int) -> str:
    starts = [(key or value).start for key, value in parent.children]
    ends = [_value_end(text, key, value) if key else value.end for key, value in parent.children]
    if index:
        return text[: ends[index - 1]] + text[ends[index] :]
    if len(starts) > 1:
        return text[: starts[0]] + text[starts[1] :]
    return text[: parent.start + 1] + text[parent.end - 1 :]


def _without_item(text: str, parent: Branch, index: int) -> str:
    """A list without an item and the comment directly above it, which speaks of it; one indented
    deeper than its dash speaks of the item before."""
    value = parent.children[index][1]
    dash = _dash(text, value.start)
    start = _line_start(text, dash)
    end = _below(text, value.end, _column(text, dash))
    while (above := _line_before(text, start)) is not None:
        line = text[above:start]
        if not line.lstrip().startswith("#") or _indent(line) != _column(text, dash):
            break
        start = above
    while end < len(text) and not text[end : _next_line(text, end)].strip():
        if index + 1 == len(parent.children):
            break
        end = _next_line(text, end)
    return text[:start] + text[end:]


def _put(text: str, key: Leaf | None, old: Spanned, new: str) -> str:
    if old.start == old.end:
        at = _colon(text, key) if key else old.start
        return f"{text[:at]} {new}{text[at:]}"
    return text[: old.start] + new + text[old.end :]


def _with_lines(text: str, at: int, lines: list[str]) -> str:
    newline = _newline(text)
    before = text[:at]
    if before and not before.endswith("\n"):
        return before + newline + newline.join(lines) + text[at:]
    return before + newline.join(lines) + newline + text[at:]


def _found(parent: Branch, step: PathStep) -> tuple[Leaf | None, Spanned]:
    if isinstance(step, int):
        return parent.children[step]
    return next(pair for pair in parent.children if pair[0] and pair[0].text == step)


def _style(node: Spanned) -> str:
    return node.style if isinstance(node, Leaf) else ""


def _value_end(text: str, key: Leaf | None, value: Spanned) -> int:
    """The end of an entry: of its value, or of its colon where it has none."""
    if key is None or value.start != value.end:
        return value.end
    return _colon(text, key)


def _colon(text: str, key: Leaf) -> int:
    return text.index(":", key.end) + 1


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _line_start(text: str, at: int) -> int:
    return text.rfind("\n", 0, at) + 1


def _line_before(text: str, start: int) -> int | None:
    return None if start == 0 else _line_start(text, start - 1)


def _next_line(text: str, at: int) -> int:
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def _column(text: str, at: int) -> int:
    return at - _line_start(text, at)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _dash(text: str, start: int) -> int:
    """The dash of the item that begins at ``start``: between them stand spaces and comments."""
    line, before = _line_start(text, start), text[_line_start(text, start) : start]
    while not before.strip():
        line, end = _line_start(text, line - 1), line
        before = _COMMENT.sub("", text[line:end])
    return line + before.rindex("-")


def _below(text: str, end: int, indent: int) -> int:
    """The first line after ``end`` that is no comment indented deeper than ``indent``."""
    at = _next_line(text, end)
    while at < len(text):
        line = text[at : _next_line(text, at)]
        if not line.lstrip().startswith("#") or _indent(line) <= indent:
            break
        at = _next_line(text, at)
    return at


def _blank_between(text: str, start: int, end: int) -> bool:
    return any(not line.strip() for line in text[start:end].splitlines()[1:-1])
