"""Values written as YAML, as a careful person would write them.

Enters: texts, lists and tables. Leaves: YAML text. Knows nothing of marks beyond what its reader
takes every scalar for: text.
"""

import json
import re
from collections.abc import Mapping, Sequence
from textwrap import wrap

YamlValue = str | Sequence["YamlValue"] | Mapping[str, "YamlValue"]
"""What can be written: a text, a list, a table."""

WIDTH = 100
"""Columns; longer texts are folded, longer tables are set in lines."""

_PLAIN = re.compile(r"[^\W_](?:[\w .()/+°'’!?;%&=–—-]|:(?=\S)|,(?= )|#(?<=\S#))*")
"""No colon before a space, no ``#`` behind one: there YAML ends a text."""
_NOT_IN_BRACKETS = re.compile(r"[,\[\]{}:]")
_NULL = re.compile(r"(?i)null|~")
_LIKE_FINGERS = re.compile(r"[\d.>-]+(?: [\d.>-]+)+")
_LIKE_A_NUMBER = re.compile(r"\d.*")


def scalar(text: str, flow: bool = False, style: str = "") -> str:
    """One line for ``text``: plain where nothing can be mistaken, else quoted as ``style`` was."""
    if style == "'" and _fits_single(text):
        return "'" + text.replace("'", "''") + "'"
    if style != '"' and _is_plain(text, flow):
        return text
    return json.dumps(text, ensure_ascii=False)


def flow(value: YamlValue) -> str:
    """``value`` on one line, tables and lists in brackets."""
    if isinstance(value, str):
        return scalar(value, flow=True)
    if isinstance(value, Mapping):
        entries = (f"{key(name, True)}: {flow(each)}" for name, each in value.items())
        return "{" + ", ".join(entries) + "}"
    return "[" + ", ".join(map(flow, value)) + "]"


def entry(name: str, value: YamlValue, indent: int) -> list[str]:
    """``key: value`` in lines that begin at column ``indent``; the first has no indentation."""
    head = f"{key(name)}:"
    if isinstance(value, str):
        return _prose(head, value, indent)
    short = f"{head} {flow(value)}"
    tables = not isinstance(value, Mapping) and all(isinstance(each, Mapping) for each in value)
    if not value or (len(short) + indent <= WIDTH and not tables):
        return [short]
    return [head, *block(value, indent + 2)]


def block(value: Mapping[str, YamlValue] | Sequence[YamlValue], indent: int) -> list[str]:
    """A table or list in lines of its own, every line indented."""
    pad = " " * indent
    lines = []
    if isinstance(value, Mapping):
        for key, each in value.items():
            first, *more = entry(key, each, indent)
            lines += [pad + first, *more]
        return lines
    for each in value:
        lines += item(each, indent)
    return lines


def item(value: YamlValue, indent: int) -> list[str]:
    """An item of a list in lines: ``- measures: 3`` and what belongs to it below."""
    pad = " " * indent
    if isinstance(value, Mapping) and value:
        lines = block(value, indent + 2)
        return [f"{pad}- {lines[0].lstrip()}", *lines[1:]]
    return [f"{pad}- {flow(value)}"]


def _prose(head: str, text: str, indent: int) -> list[str]:
    """A text behind its key: on the line, folded below it, or as the lines it has."""
    short = f"{head} {scalar(text)}"
    pad = " " * (indent + 2)
    if "\n" in text and _can_stand_in_lines(text):
        return [f"{head} |-", *(pad + line if line else "" for line in text.split("\n"))]
    if len(short) + indent <= WIDTH or not _can_be_folded(text):
        return [short]
    width = max(40, WIDTH - len(pad))
    lines = wrap(text, width, break_long_words=False, break_on_hyphens=False)
    return [f"{head} >-", *(pad + line for line in lines)]


def _can_stand_in_lines(text: str) -> bool:
    lines = text.split("\n")
    ends_well = not text.startswith((" ", "\n", "\t")) and not text.endswith("\n")
    return ends_well and not any(line != line.rstrip() for line in lines) and "\r" not in text


def _can_be_folded(text: str) -> bool:
    return " ".join(text.split()) == text and bool(text)


def key(text: str, inside: bool = False) -> str:
    """A key; one like a number is quoted, as other readers of YAML would need it."""
    return scalar(text, inside, '"' if _LIKE_A_NUMBER.fullmatch(text) else "")


def _is_plain(text: str, inside: bool) -> bool:
    if not _PLAIN.fullmatch(text) or text.endswith((" ", ":")) or _NULL.fullmatch(text):
        return False
    if _LIKE_FINGERS.fullmatch(text) or "  " in text:
        return False
    return not (inside and _NOT_IN_BRACKETS.search(text))


def _fits_single(text: str) -> bool:
    return text.isprintable() and bool(text)
