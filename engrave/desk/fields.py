"""Which field of the page a mistake belongs to.

Enters: the text of a marks file and a place in it. Leaves: the path of what stands there.
"""

import re

from engrave.errors import EngraveError
from engrave.marks.spans import Branch, KeyPath, PathStep, Spanned, read_spans


def path_at(text: str, line: int, column: int, file: str = "marks") -> KeyPath:
    """The innermost key or item that holds the character at ``line`` and ``column`` (from 1).

    Empty for a place that belongs to nothing, or where the text is no YAML.
    """
    try:
        node = read_spans(text, file)
    except EngraveError:
        return ()
    at = _index(text, line, column)
    steps: list[PathStep] = []
    while isinstance(node, Branch):
        found = _child_at(node, at)
        if found is None:
            break
        step, node = found
        steps.append(step)
    return tuple(steps)


def _child_at(branch: Branch, at: int) -> tuple[PathStep, Spanned] | None:
    for number, (key, value) in enumerate(branch.children):
        start = key.start if key else value.start
        if start <= at <= max(value.end, key.end if key else 0):
            return (key.text if key else number), value
    return None


def _index(text: str, line: int, column: int) -> int:
    starts = [0, *(match.end() for match in re.finditer(r"\r\n|\r|\n", text))]
    return starts[min(max(line, 1), len(starts)) - 1] + max(column, 1) - 1
