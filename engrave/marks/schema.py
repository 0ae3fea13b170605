"""Small vocabularies of the marks file, and the values that stand at more than one place in it.

What drill families take stands in the families' own modules (see ``options``), what the other keys
of the file hold where they are read: ``reader``, ``passages``, ``tempos``, ``fingering``.
"""

from engrave.marks.readers import value
from engrave.marks.scalars import metronome_mark, whole

STATUSES = ("learning", "warm-up", "done")
STAFF_MM = 5, 12
"""Staves that can be read from a stand and fit a page."""
STRETCH_CM = 12, 30
"""Stretches of hands that exist, with room to spare."""
PAPERS = ("a4", "letter")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

SLOWEST, FASTEST = 10, 600
"""Beats a minute that a tempo can have; a ladder moves to another unit long before either."""

mark = value(metronome_mark(SLOWEST, FASTEST))
step = value(whole("the step", 1, 10))
