"""Formats other than MusicXML, by the readers there are.

Enters: a path. Leaves: a music21 score. Knows nothing of parts.
"""

from pathlib import Path
from typing import Any


def parsed(path: Path) -> Any:
    """The music21 score of the file at ``path``, past music21's own cache."""
    from music21 import converter

    reader = converter.Converter()
    reader.parseFileNoPickle(str(path))
    return reader.stream
