"""Lines that stand in the wrong column: the commonest slip in a marks file, told as such.

Enters: the lines of a file that is no YAML, and the line at which its reader gave up. Leaves: which
line stands wrong and by how many spaces, if that is the cause. Knows keys and dashes, and nothing
else of YAML.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from engrave.marks.tables import PASSAGE

LINE = re.compile(r"(?P<indent> *)(?P<dash>- +)?(?P<key>[\w.\"'-]+):(?P<value> .*)?")
"""A line with a key."""
_ITEM = re.compile(r"(?P<indent> *)(?P<dash>- +)(?P<value>.+)")

Slip = tuple[int, int, str, str]
"""Line and column from 0, what is wrong, what to do."""


@dataclass(frozen=True, slots=True)
class _Line:
    """A line with a key, a dash or both, and the columns in which they stand."""

    number: int
    indent: int
    dash: bool
    key: str
    key_column: int
    has_value: bool
    text: str


def misplaced(texts: Sequence[str], number: int) -> Slip | None:
    """What is wrong with the column of line ``number`` (from 0), or of the one before it."""
    lines = [_line(each, at) for at, each in enumerate(texts[: number + 1])]
    here = lines[-1] if number < len(lines) else None
    above = [each for each in lines[:-1] if each]
    if here is None or not above:
        return None
    if len(above) == 1 and above[0].indent and not here.indent:
        have = above[0].indent
        return above[0].number, have, _spaces(have, 0), "begin it at the margin"
    return _dash_slip(here, above) if here.dash else _key_slip(here, above)


def _line(text: str, number: int) -> _Line | None:
    if not (match := LINE.fullmatch(text.rstrip()) or _ITEM.fullmatch(text.rstrip())):
        return None
    named = match.groupdict()
    value = (named["value"] or "").partition(" #")[0].strip()
    indent, dash = len(named["indent"]), named["dash"] or ""
    key = (named.get("key") or "").strip("\"'")
    return _Line(number, indent, bool(dash), key, indent + len(dash), bool(value), text.strip())


def _open(lines: list[_Line]) -> list[_Line]:
    """The lines whose lists and tables are not yet at their end behind the last of ``lines``."""
    unclosed: list[_Line] = []
    for each in lines:
        while unclosed and _closes(each, unclosed[-1]):
            unclosed.pop()
        unclosed.append(each)
    return unclosed


def _closes(line: _Line, before: _Line) -> bool:
    """Whether ``before`` is at its end with ``line``. A list may stand in the column of its key."""
    if line.indent == before.indent:
        return before.dash or not line.dash
    return line.indent < before.indent


def _key_slip(here: _Line, above: list[_Line]) -> Slip | None:
    last, column = above[-1], here.indent
    if here.key.startswith("-"):
        last = here
    if last.key.startswith("-"):
        message, hint = "a space is missing behind the dash", f"write - {last.text[1:]}"
        return last.number, last.indent + 1, message, hint
    around = _open(above)
    if last.has_value and column > last.key_column:
        before = [each for each in _open(above[:-1]) if each.key_column == column]
        if before and not last.dash and last.key in PASSAGE and not last.indent:
            return _moved(last, last.indent, column, before[-1])
        return _moved(here, column, last.key_column, last)
    if any(each.key_column == column and each.key for each in around):
        return None
    for each in around:
        if each.dash and each.indent == column:
            item = [line for line in above if line.number >= each.number]
            if here.key in {line.key for line in item if line.key_column == each.key_column}:
                hint = f"an entry of this list begins with a dash: - {here.text}"
                return here.number, column, "a dash is missing before this", hint
            return _moved(here, column, each.key_column, each)
    keyed = [each for each in around if each.key]
    if not keyed or column > last.key_column:
        return None
    near = min(keyed, key=lambda each: (abs(each.key_column - column), -each.key_column))
    return _moved(here, column, near.key_column, near)


def _dash_slip(here: _Line, above: list[_Line]) -> Slip | None:
    column = here.indent
    dashes = [each for each in _open(above) if each.dash]
    if any(each.indent == column for each in dashes):
        return None
    if dashes:
        near = min(dashes, key=lambda each: (abs(each.indent - column), -each.indent))
        return _moved(here, column, near.indent, near)
    parents = [each for each in above if each.key and not each.has_value and each.indent <= column]
    if not parents:
        hint = "the passages stand below the line passages:, each with a dash"
        return here.number, column, "no list begins in the line above", hint
    first = next((each for each in above if each.number > parents[-1].number), None)
    if first and first.indent > parents[-1].indent:
        hint = f"an entry of this list begins with a dash: - {first.text}"
        return first.number, first.indent, "a dash is missing before this", hint
    return None


def _moved(line: _Line, have: int, want: int, below: _Line) -> Slip:
    what = "the dash" if line.dash else repr(below.key)
    hint = f"begin it exactly below {what} in line {below.number + 1}"
    return line.number, have, _spaces(have, want), hint


def _spaces(have: int, want: int) -> str:
    if have < want:
        return f"too few spaces before this line: {have} instead of {want}"
    return f"too many spaces before this line: {have} instead of {want}"
