"""The teacher's marks: a YAML file in, ``Marks`` out, or all of the file's mistakes at once.

The chain: ``text`` reads the bytes, ``events`` and ``tree`` make ``nodes`` of them, ``readers``
typed values of the nodes with the help of ``scalars`` and ``places``; ``options`` is how drill
families say what they take, ``schema`` has the small vocabularies; ``reader``, ``passages``,
``requests``, ``fingering``, ``hands`` and ``tempos`` read the file's parts into the values of
``model``.
"""

from engrave.marks.model import (
    DrillRequest,
    FingeringMark,
    HandMark,
    MarkedTempo,
    Marks,
    PassageMark,
    Piece,
    Placed,
    Practice,
    Student,
)
from engrave.marks.options import Families, Options
from engrave.marks.reader import MarksMistakes, read_marks

__all__ = [
    "DrillRequest",
    "Families",
    "FingeringMark",
    "HandMark",
    "MarkedTempo",
    "Marks",
    "MarksMistakes",
    "Options",
    "PassageMark",
    "Piece",
    "Placed",
    "Practice",
    "Student",
    "read_marks",
]
