"""Lines that stand in the wrong column: the commonest slip in a marks file, told as such.

Enters: the text of a file that is no YAML, and the line at which its reader gave up. Leaves: what
is wrong with the line, if it is its column. Knows keys and dashes, and nothing else of YAML.
"""

import re

_LINE = re.compile(r"(?P<indent> *)(?P<dash>- +)?(?P<key>[\w.\"'-]+):(?P<value> .*)?")


def misplaced(text: str, number: int) -> tuple[str, str, int] | None:
    """What is wrong with line ``number`` (from 0), what to do, and the column (from 1).

    Either it stands further right than the key above, which has its value already, or a dash of
    its list is missing before it.
    """
    lines = re.split(r"\r\n|\r|\n", text)
    here = _LINE.fullmatch(lines[number].rstrip()) if number < len(lines) else None
    if here is None:
        return None
    column = len(here["indent"])
    above = [
        found for line in lines[:number] if (found := _LINE.fullmatch(line.rstrip())) is not None
    ]
    if not above:
        return None
    last = above[-1]
    key_column = len(last["indent"]) + len(last["dash"] or "")
    has_value = bool((last["value"] or "").partition(" #")[0].strip())
    if here["dash"] is None and has_value and column > key_column:
        hint = f"begin it in the column of {last['key']!r}, {counted_spaces(key_column)} in"
        return "this line stands too far to the right", hint, column + 1
    dashes = {len(found["indent"]) for found in above[-12:] if found["dash"]}
    if here["dash"] is None and column in dashes and column < key_column:
        hint = f"an entry of this list begins with a dash: - {lines[number].strip()}"
        return "a dash is missing before this", hint, column + 1
    return None


def counted_spaces(count: int) -> str:
    """``1 space``, ``4 spaces``."""
    return f"{count} space{'s' * (count != 1)}"
