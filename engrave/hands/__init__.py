"""Whose hand plays each note: decided over the whole score at once, whatever the voices say.

A score comes in with every note for the hand that reads its staff, and leaves with every note for
the hand that plays it. ``prices`` is the table by which it is decided, ``dividing`` the order of
the witnesses.
"""

from engrave.hands.dividing import Division, divide
from engrave.hands.telling import Beyond, Handover, in_bars, remarks

__all__ = ["Beyond", "Division", "Handover", "divide", "in_bars", "remarks"]
