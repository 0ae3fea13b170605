"""Printed fingers find their tones.

Enters: the fingers that stand at a chord, and its tones. Leaves: a finger, or none, for each tone.
Knows no formats.
"""

import re
from collections.abc import Iterable, Sequence
from typing import Any

_FINGER = re.compile("[1-5]")


def deal(numbers: Sequence[int], count: int, left: bool) -> list[int | None]:
    """The finger of each of ``count`` tones, low to high, from the numbers printed at them.

    A full column lies the way hands do: the right hand's thumb below, the left hand's above. Of
    fewer numbers, one is the thumb's or the outer note's, and two are the outer notes'; what they
    leave open stays open (common practice, no source). Of more numbers than tones the first
    counts: the others change fingers on the held key.
    """
    dealt: list[int | None] = [None] * count
    if len(numbers) == count:
        dealt[:] = sorted(numbers, reverse=left)
    elif count == 1:
        dealt[0] = numbers[0]
    elif len(numbers) == 2:
        dealt[0], dealt[-1] = sorted(numbers, reverse=left)
    elif len(numbers) == 1:
        at_top = (numbers[0] == 1) == left
        dealt[-1 if at_top else 0] = numbers[0]
    return dealt


def finger(notes: Iterable[Any], numbers: Sequence[int], left: bool) -> None:
    """Give the numbers to the tones of music21 ``notes`` that sound together and are struck."""
    from music21.articulations import Fingering

    tones = [tone for note in notes for tone in (note.notes if note.isChord else (note,))]
    keys = [tone for tone in tones if "NotRest" in tone.classSet and hasattr(tone, "pitch")]
    struck = [tone for tone in keys if tone.tie is None or tone.tie.type == "start"]
    struck.sort(key=lambda tone: tone.pitch.ps)
    if struck and numbers:
        for tone, number in zip(struck, deal(numbers, len(struck), left), strict=True):
            if number is not None:
                tone.articulations.append(Fingering(number))


def digits(text: str) -> list[int]:
    """The fingers in ``text``, one a word; of ``1-3`` and ``13`` the first counts."""
    matches = (_FINGER.search(word) for word in text.split())
    return [int(digit[0]) for digit in matches if digit]
