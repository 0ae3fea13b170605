"""Where the score stands: in the folder of the marks file or below it, and the log: beside it.

Enters: the text of ``score:`` or ``log:``, and the folder. Leaves: the path of a regular file.
Looks at names and links, never into a file.
"""

from pathlib import Path, PureWindowsPath

from engrave.errors import EngraveError
from engrave.machine import endings
from engrave.marks.scalars import closest, shown

_HINT = "the score stands beside the marks file, or in a folder below it: rondo.musicxml"


def score_path(text: str, folder: Path) -> Path:
    """The file that ``text`` names in ``folder``.

    Raises ``EngraveError`` for addresses, absolute paths (also of other systems), ``..``, a link
    that leads out of the folder, and what is not there or is no regular file.
    """
    windows = PureWindowsPath(text)  # reads both separators, and drives
    if "://" in text:
        raise EngraveError(f"{shown(text)} is an address", hint=_HINT)
    if windows.drive or windows.root:
        raise EngraveError(f"{shown(text)} is an absolute path", hint=_HINT)
    if ".." in windows.parts:
        raise EngraveError(f"{shown(text)} leads out of the folder", hint=_HINT)
    path = folder / text
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
        exists = path.is_file()
    except (OSError, RuntimeError, ValueError):  # a name too long, links in a circle, a null
        raise EngraveError(f"{shown(text)} cannot be followed to a file", hint=_HINT) from None
    if not inside:
        raise EngraveError(f"{shown(text)} leads out of the folder by a link", hint=_HINT)
    if not exists:
        near = closest(text, _scores_in(folder))
        hint = f"did you mean {near!r}?" if near else _HINT
        raise EngraveError(f"there is no file {shown(text)}", hint=hint)
    return path


def log_path(text: str, folder: Path) -> Path:
    """The log beside the marks that ``text`` names; it need not be there yet."""
    windows = PureWindowsPath(text)
    if windows.name != text or text in (".", "..") or not text.strip() or ":" in text:
        hint = "the log stands beside the marks file: log: nell.log.yaml"
        raise EngraveError(f"{shown(text)} is not the name of a file", hint=hint)
    return folder / text


def _scores_in(folder: Path) -> list[str]:
    try:
        return sorted(each.name for each in folder.iterdir() if not endings.is_marks(each))
    except OSError:
        return []
