"""Engraves a ``Sheet``: verovio lays out the music, this package the fingers, systems and print.

Enters: a sheet and a style. Leaves: pictures of true size. Knows neither pages nor words.
"""

from engrave.engraver.engraving import engrave
from engrave.engraver.style import Engraving, Picture, Style

__all__ = ["Engraving", "Picture", "Style", "engrave"]
