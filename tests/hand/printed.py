"""Printed fingerings to learn from and to be measured by, and who is kept aside.

Reads a file of lines as JSON, gzipped, one a print and hand: ``composer``, ``hand`` (R, L) and
``onsets`` with ``t`` (quarters, a fraction), ``midi`` (low to high), ``fing`` (a digit a key or
null) and ``off`` (the end of each key).
"""

import gzip
import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from engrave.fingering import finger
from engrave.fingering.published import RULES, practical
from engrave.fingering.step import step_key
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.onset import Onset, Struck
from tests.hand.lines import pitch

TEMPO = Fraction(100)
"""Quarters a minute: the prints' own are not known."""
AROUND = 8
"""How many onsets on either side of a passage are seen."""
_PASSAGE = 16
"""Four measures of common time, in quarters."""

Digits = tuple[int | None, ...]


@dataclass(frozen=True)
class Print:
    """One hand of one print: what it strikes, and the digits printed there, key by key."""

    composer: str
    hand: Hand
    onsets: tuple[Onset, ...]
    digits: tuple[Digits, ...]

    @property
    def aside(self) -> bool:
        """Whether the composer is one of the third that nothing is fitted on or chosen by."""
        return _hash(self.composer) % 3 == 0


def _hash(text: str) -> int:
    return int(hashlib.sha256(text.encode()).hexdigest(), 16)


def read(path: Path) -> Iterator[Print]:
    """All prints of a file."""
    with gzip.open(path, "rt", encoding="utf-8") as lines:
        for line in lines:
            yield _print(json.loads(line))


def _print(row: dict[str, Any]) -> Print:
    hand = Hand.RIGHT if row["hand"] == "R" else Hand.LEFT
    onsets = tuple(
        _onset(number, hand, Fraction(each["t"]), each["midi"], [*map(Fraction, each["off"])])
        for number, each in enumerate(row["onsets"])
    )
    digits = tuple(tuple(each["fing"]) for each in row["onsets"])
    return Print(row["composer"], hand, onsets, digits)


def _onset(number: int, hand: Hand, time: Fraction, keys: list[int], ends: list[Fraction]) -> Onset:
    tones = tuple(Struck(pitch(k), end - time, 1) for k, end in zip(keys, ends, strict=True))
    return Onset(number, time, hand, 0, "1", time, time, tones, hand.staff)


def whole(each: Print) -> list[tuple[int, ...]]:
    """The model's fingers for the whole line."""
    return list(finger(each.onsets, each.hand, STRETCH_MM, TEMPO))


def by_passages(each: Print) -> list[tuple[int, ...]]:
    """The model's fingers, passage by passage of four measures, its surroundings in view."""
    found: list[tuple[int, ...]] = []
    parts = [onset.time // _PASSAGE for onset in each.onsets]
    starts = [n for n in range(len(parts)) if not n or parts[n] != parts[n - 1]]
    for start, end in zip(starts, [*starts[1:], len(each.onsets)], strict=True):
        first = max(start - AROUND, 0)
        seen = each.onsets[first : end + AROUND]
        fingers = finger(seen, each.hand, STRETCH_MM, TEMPO)
        found += fingers[start - first : end - first]
    return found


def by_rules_of_1997(each: Print) -> list[tuple[int, ...]]:
    """The fingers of the rules of 1997, unit weights, on single notes; 0 on chords.

    The rules know no chords: there a line ends.
    """
    found = [(0,) * len(onset.tones) for onset in each.onsets]
    singles: list[list[int]] = [[]]
    for number, onset in enumerate(each.onsets):
        if len(onset.tones) == 1:
            singles[-1].append(number)
        elif singles[-1]:
            singles.append([])
    for line in singles:
        keys = [step_key(each.onsets[n].tones[0].pitch, each.hand) for n in line]
        for number, taken in zip(line, _cheapest(keys), strict=True):
            found[number] = (taken,)
    return found


def _cheapest(keys: Sequence[int]) -> tuple[int, ...]:
    """The cheapest fingers of a line, the first of equals: what follows depends on two alone.

    Where no fingers go on, the line begins anew.
    """
    paths: dict[tuple[int, ...], tuple[int, tuple[int, ...]]] = {(): (0, ())}
    for end in range(1, len(keys) + 1):
        longer: dict[tuple[int, ...], tuple[int, tuple[int, ...]]] = {}
        for cost, path in paths.values():
            for new in range(1, 6):
                if path and not practical(keys[end - 2], path[-1], keys[end - 1], new):
                    continue
                taken = (*path, new)
                added = sum(
                    rule(keys[end - size : end], taken[-size:])
                    for size, rule in RULES.values()
                    if end >= size
                )
                least = longer.get(taken[-2:])
                if least is None or (cost + added, taken) < least:
                    longer[taken[-2:]] = cost + added, taken
        if not longer:
            return min(paths.values())[1] + _cheapest(keys[end - 1 :])
        paths = longer
    return min(paths.values())[1]
