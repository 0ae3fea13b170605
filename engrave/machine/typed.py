"""A name as it is typed in a terminal.

Enters: a path. Leaves: text for a command that a reader is told to type. Knows no command.
"""

import re
from pathlib import PurePath

_PLAIN = re.compile(r"[\w@%+=:,./\\~-]+")


def as_typed(path: PurePath | str) -> str:
    """The path in double quotes where a shell would take it apart: both kinds of shells take these.

    What stands for more than itself inside such quotes is marked.
    """
    text = str(path)
    if _PLAIN.fullmatch(text):
        return text
    return '"' + re.sub(r'(["$`\\])', r"\\\1", text) + '"'
