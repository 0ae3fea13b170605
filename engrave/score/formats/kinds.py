"""What a file is that was given as a score and is none that can be read.

Enters: its first bytes and its name. Leaves: the error that says so, and what to do.
"""

from engrave.errors import EngraveError

_EXPORT = "open it in the program that made it and export MusicXML (.musicxml or .mxl)"
_PICTURES = (b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"II*\x00", b"MM\x00*", b"RIFF")


def no_score(data: bytes, name: str, known: str) -> EngraveError:
    """The error for a file of no kind in ``known`` (endings, listed)."""
    head = data[:2048].lstrip()
    if data.startswith(_PICTURES) or b"<svg" in head:
        return EngraveError(
            f"{name} is a picture of a score: there are no notes in it that could be read",
            hint=f"{_EXPORT}, or have a program for reading printed music make one",
        )
    if b"\x00" in head or data.startswith(b"PK"):
        return EngraveError(
            f"{name} is a program's own file, not a score to exchange", hint=_EXPORT
        )
    return EngraveError(
        f"{name} is of no kind that can be read", hint=f"the kinds are {known}; or {_EXPORT}"
    )
