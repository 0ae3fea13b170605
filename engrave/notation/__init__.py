"""Writes a ``Sheet`` as MusicXML 4.0. Knows the model and the schema's vocabulary, no library."""

from engrave.notation.document import musicxml

__all__ = ["musicxml"]
