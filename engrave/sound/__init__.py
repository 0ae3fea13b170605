"""A drill as it is heard: keys struck and clicks, climbing from mark to mark; a file of it.

Enters: a ``Sheet``, its ``Ladder``, a mark. Leaves: a ``Timeline``, a ``Climb``, bytes. Knows no
files, pages or words.
"""

from engrave.sound.audio import mp3, refuse_without_audio
from engrave.sound.climbing import Climb, Take, climb, marks_ahead
from engrave.sound.in_time import timeline, unplayed
from engrave.sound.midi_file import midi
from engrave.sound.model import Click, Head, Sounding, Stress, Timeline

__all__ = [
    "Click", "Climb", "Head", "Sounding", "Stress", "Take", "Timeline", "climb", "marks_ahead",
    "midi", "mp3", "refuse_without_audio", "timeline", "unplayed",
]  # fmt: skip
