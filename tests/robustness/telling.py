"""The command run in this process, and the form of what it tells."""

import contextlib
import io
import re
import traceback
from collections.abc import Sequence

from engrave.cli import main as engrave

LINE = re.compile(r"(\S.*: )?(error|warning): \S.*|  hint: \S.*")


def wrongly_told(code: int, told: str, rest: bool = False) -> str:
    """What is odd about it; ``rest``: errors may be told though the work was done."""
    if code not in (0, 2):
        return told or f"exit code {code} without a word"
    odd = next((line for line in told.splitlines() if not LINE.fullmatch(line)), None)
    if odd is not None:
        return f"a line of another form: {odd!r}"
    has_error = re.search(r"^(.*: )?error: ", told, re.MULTILINE) is not None
    if (code == 2) is not has_error and not (rest and code == 0):
        return f"exit code {code}, and told: {told!r}"
    return ""


def run(arguments: Sequence[str]) -> tuple[int, str]:
    """The exit code and what was told; -1 with a traceback where something escaped."""
    told = io.StringIO()
    try:
        with contextlib.redirect_stderr(told), contextlib.redirect_stdout(io.StringIO()):
            return engrave(arguments), told.getvalue()
    except (Exception, SystemExit):
        return -1, traceback.format_exc(limit=-4)
