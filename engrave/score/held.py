"""A score file, read once.

Enters: a path. Leaves: a ``Held``: the bytes that every reader is given, and the digest by which
what was made of them is known. A file may be saved while it is read: nobody opens it a second time.
"""

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

from engrave.errors import EngraveError
from engrave.machine import endings
from engrave.machine.missing import instead

MAX_BYTES = 16 * 2**20
"""The largest file that is opened: a whole evening of piano music is a third of this."""

_MIB = 2**20


@dataclass(frozen=True, slots=True)
class Held:
    """What stood in a file when it was opened: its name, its bytes, their SHA-256 in hex."""

    name: str
    data: bytes = field(repr=False)
    sha256: str


def absent(path: Path) -> EngraveError:
    """The error for a score that is not at ``path``: what lies there instead."""
    return EngraveError(f"there is no score {path.name}", hint=instead(path, endings.SCORES))


def hold(path: Path) -> Held:
    """The file at ``path``. Raises ``EngraveError``."""
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise absent(path) from None
    except OSError as error:
        raise EngraveError(f"{path.name} cannot be read: {error.strerror}") from None
    if len(data) > MAX_BYTES:
        raise EngraveError(
            f"{path.name} is larger than {MAX_BYTES // _MIB} MiB",
            hint="export the movement that is practised as a score of its own",
        )
    return Held(path.name, data, hashlib.sha256(data).hexdigest())
