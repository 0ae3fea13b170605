"""Fingers that a file stores as words over its notes become the notes' fingers.

Enters: raw bars. Leaves: the same bars. Numbers at which no note begins stay words, and so do those
of a file in which they are all the same: those count tuplets.
"""

import re
from collections.abc import Sequence
from typing import Any

from engrave.music.notes import Hand, home_hand
from engrave.score.formats.fingerings import deal
from engrave.score.formats.raw import RawBar, RawItem, RawSign

_DIGITS = re.compile(r"\s*[1-5](?:[\s,-]+[1-5]){0,4}\s*")


def take_text_fingers(bars: Sequence[RawBar], staves: int) -> None:
    """Give words of nothing but fingers to the notes that they stand at."""
    digits = [
        (bar, sign, numbers)
        for bar in bars
        for sign in bar.signs
        if (numbers := _numbers(sign)) and _items(bar, sign)
    ]
    if len({number for _, _, numbers in digits for number in numbers}) < 2:
        return
    for bar, sign, numbers in digits:
        items = _items(bar, sign)
        tones = [
            (tone.pitch.ps, printed)
            for item in items
            for tone, printed in zip(_tones(item), item.printed, strict=True)
        ]
        free = [printed for _, printed in sorted(tones, key=lambda tone: tone[0])]
        bar.signs = [each for each in bar.signs if each is not sign]
        if any(printed.fingers for printed in free):
            continue
        left = home_hand(sign.staff or 1, staves) is Hand.LEFT
        for printed, number in zip(free, deal(numbers, len(free), left), strict=True):
            printed.fingers += [number] if number else []


def _numbers(sign: RawSign) -> list[int]:
    if "TextExpression" not in sign.element.classSet:
        return []
    text = str(sign.element.content or "")
    return [int(n) for n in re.findall("[1-5]", text)] if _DIGITS.fullmatch(text) else []


def _items(bar: RawBar, sign: RawSign) -> list[RawItem]:
    """The notes that begin where the words stand, on their staff."""
    return [
        item
        for item in bar.items
        if item.offset == sign.offset
        and item.staff == (sign.staff or 1)
        and not (item.element.isRest or item.element.duration.isGrace or _is_held(item))
    ]


def _is_held(item: RawItem) -> bool:
    return all(tone.tie is not None and tone.tie.type != "start" for tone in _tones(item))


def _tones(item: RawItem) -> Sequence[Any]:
    return item.element.notes if item.element.isChord else (item.element,)
