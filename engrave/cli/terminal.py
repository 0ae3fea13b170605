"""What is printed reaches its reader, whoever it is, or ends without noise.

Enters: text for standard output and error. Leaves: the same without what would steer a terminal,
and with what its encoding can hold. A reader that goes away, or a full disk, is no traceback.
"""

import codecs
import errno
import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from engrave.cli.exits import TOOL_FAILURE
from engrave.errors import EngraveError

PLAIN = {
    "–": "-", "—": "-", "−": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "…": "...", "·": "*",
    "„": '"',
    "×": "x", "→": "->", "\u00a0": " ", "\u202f": " ", "ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae",
    "Ö": "Oe", "Ü": "Ue", "ß": "ss", "♯": "#", "♭": "b", "½": "1/2", "█": "#",
}  # fmt: skip
"""What stands for a character that an encoding lacks."""

_WRITING = (errno.ENOSPC, errno.EIO, errno.EBADF, errno.EFBIG, errno.EDQUOT)
"""What may go wrong with what is printed."""

_STEERING = {
    code: f"\\x{code:02x}" for code in (*range(0x20), *range(0x7F, 0xA0)) if chr(code) not in "\n\t"
}
"""Control characters (ECMA-48, C0 and C1), shown instead of sent: scores come from anywhere."""


def shown(text: str) -> str:
    """``text`` without characters that would steer a terminal; unpaired surrogates become ``?``."""
    return text.translate(_STEERING).encode("utf-8", "replace").decode("utf-8")


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    held = error.object[error.start : error.end]
    return "".join(PLAIN.get(character, "?") for character in held), error.end


@contextmanager
def to_a_reader() -> Iterator[None]:
    """Standard output and error for one command: there, and able to hold every character."""
    codecs.register_error("engrave.plain", _plain)
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by whoever started us
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="engrave.plain")
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        _write_no_more()
    except OSError as error:
        if error.filename is not None:
            raise
        _write_no_more()
        refused = (
            "the output cannot be written" if error.errno in _WRITING else "the system refuses"
        )
        with suppress(OSError):
            print(f"error: {refused}: {error.strerror or error}", file=sys.stderr)
        raise SystemExit(TOOL_FAILURE) from None


def _write_no_more() -> None:
    """What is left to say goes nowhere: at the end of the process it would be tried again."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def refuse_gone() -> None:
    """Paths are told as they are given: from a folder that is no more, none leads anywhere."""
    try:
        os.getcwd()
    except OSError:
        raise EngraveError(
            "the folder in which this was called is gone", hint="go to another, and call it again"
        ) from None
