"""Engraves a ``Sheet``: verovio lays out the music, this package the fingers, systems and print.

Enters: a sheet and a style. Leaves: pictures of true size. Knows neither pages nor words.
"""

from engrave.engraver.style import Engraving, Picture, Style
from engrave.music.sheet import Sheet

__all__ = ["Engraving", "Picture", "Style", "engrave", "load_verovio"]


def engrave(sheet: Sheet, style: Style) -> Engraving:
    """``sheet`` as pictures of true size, the same for the same sheet and style.

    Raises ``EngraveError`` for a style that no music fits, or music that verovio cannot read. What
    engraves is loaded here, since most sheets of most builds have been engraved before.
    """
    from engrave.engraver import engraving

    return engraving.engrave(sheet, style)


def load_verovio() -> None:
    """Load what engraves, where it is sure to be needed."""
    from engrave.engraver import engraving, toolkit  # noqa: F401

    toolkit.begin()
