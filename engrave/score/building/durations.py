"""A music21 duration becomes printed values.

Enters: a music21 ``Duration``. Leaves: the values that print it, and what each really lasts. Knows
neither notes nor bars.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from math import prod
from typing import Any

from engrave.music.notes import NOTE_TYPES, Tuplet, Value
from engrave.music.units import Quarters, quarters

ROUNDING = Quarters(1, 64)
"""Files count in ticks; a length this near to its printed value is meant to be that value."""

_TYPES = {"longa": "long", **{name: name for name in NOTE_TYPES}}


def printed_lengths(duration: Any) -> Sequence[tuple[Value, Quarters]]:
    """Values and lengths in quarters: one, or several that are tied where no single one will do."""
    tuplets = tuple((each.numberNotesActual, each.numberNotesNormal) for each in duration.tuplets)
    if duration.isGrace:
        first = duration.components[0]
        return [(_value(first.type, first.dots, tuplets), Quarters(0))]
    if duration.type in _TYPES:
        return _single(duration.type, duration.dots, tuplets, duration.quarterLength)
    values = [_value(piece.type, piece.dots, tuplets) for piece in duration.components]
    return [(value, value.length) for value in values]


def exact_length(duration: Any) -> Quarters:
    """What the duration lasts, in quarters, by its printed values."""
    first, *more = (length for _, length in printed_lengths(duration))
    return sum(more, first)


_Tuplets = tuple[tuple[int, int], ...]
"""So many in the time of so many, from the outermost in."""


@lru_cache(maxsize=1024)
def _single(
    kind: str, dots: int, tuplets: _Tuplets, lasts: float | Fraction
) -> tuple[tuple[Value, Quarters]]:
    value, length = _value(kind, dots, tuplets), quarters(lasts)
    return ((value, value.length if abs(value.length - length) < ROUNDING else length),)


def _value(kind: str, dots: int, tuplets: _Tuplets) -> Value:
    actual, normal = (
        (prod(numbers) for numbers in zip(*tuplets, strict=True)) if tuplets else (1, 1)
    )
    return Value(_TYPES.get(kind, "256th"), dots, Tuplet(actual, normal) if tuplets else None)
