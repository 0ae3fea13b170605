"""A struck string and a click as samples: the tone of our own that the screen edition has too.

Enters: keys and times. Leaves: arrays of ``numpy``. No recording is used.
"""

from functools import lru_cache
from typing import Any

from engrave.sound.model import Stress

RATE = 22050
_STRIKE = 1 / 8
_PARTIALS = 18
_CLICKS = {
    Stress.BAR: (2093, 1.0, 0.014),
    Stress.BEAT: (1397, 0.75, 0.011),
    Stress.BETWEEN: (1047, 0.25, 0.008),
}
"""Frequency, level, and seconds in which it falls by a factor of e."""


@lru_cache(maxsize=128)
def string(key: int) -> Any:
    """A string struck at an eighth of its length, until it has died away.

    Partials of a stiff string lie at ``n f √(1 + B n²)`` (Fletcher 1964); each falls quickly at
    first and slowly after (Weinreich 1977), upper ones faster. Figures by ear.
    """
    import numpy

    pitch = 440 * 2 ** ((key - 69) / 12)
    ringing = 1.35 * 2 ** ((60 - key) / 18)
    stiffness = 0.0003 * 2.2 ** ((key - 60) / 12)
    time = numpy.arange(int(min(5.0, max(0.9, 3.2 * ringing)) * RATE)) / RATE
    samples = numpy.zeros(len(time))
    for n in range(1, _PARTIALS + 1):
        frequency = n * pitch * (1 + stiffness * n * n) ** 0.5
        if frequency > 0.42 * RATE:
            break
        level = (abs(numpy.sin(n * numpy.pi * _STRIKE)) + 0.12) / n**1.25
        fall = ringing / (1 + 0.32 * (n - 1))
        wave = numpy.sin(2 * numpy.pi * frequency * time)
        soon, late = numpy.exp(-time / (0.4 * fall)), numpy.exp(-time / (1.6 * fall))
        samples += level * wave * (0.8 * soon + 0.2 * late)
    samples *= numpy.minimum(1, time / 0.0025) * numpy.minimum(1, (time[-1] - time) / 0.06)
    return 0.9 * samples / numpy.abs(samples).max()


@lru_cache(maxsize=8)
def click(stress: Stress) -> Any:
    """A tap on wood."""
    import numpy

    frequency, level, fall = _CLICKS[stress]
    time = numpy.arange(int(6 * fall * RATE)) / RATE
    return level * numpy.cos(2 * numpy.pi * frequency * time) * numpy.exp(-time / fall)
