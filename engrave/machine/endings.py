"""What the names of files end in, and so what kind they are taken for, whatever their case."""

from pathlib import PurePath

XML = (".musicxml", ".xml", ".mxl", ".mei")
KERN = (".krn", ".kern")
MIDI = (".mid", ".midi")
SCORES = (*XML, *KERN, ".abc", *MIDI)
MARKS = (".yaml", ".yml")


def is_marks(path: PurePath | str) -> bool:
    """Whether a file is named as marks are."""
    return PurePath(path).suffix.lower() in MARKS
