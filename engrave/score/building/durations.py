"""A music21 duration becomes printed values.

Enters: a music21 ``Duration``. Leaves: the values that print it, and what each really lasts. Knows
neither notes nor bars.
"""

from collections.abc import Sequence
from typing import Any

from engrave.music.notes import NOTE_TYPES, Tuplet, Value
from engrave.music.units import Quarters, quarters

ROUNDING = Quarters(1, 64)
"""Files count in ticks; a length this near to its printed value is meant to be that value."""

_TYPES = {"longa": "long", **{name: name for name in NOTE_TYPES}}


def printed_lengths(duration: Any) -> list[tuple[Value, Quarters]]:
    """Values and lengths in quarters: one, or several that are tied where no single one will do."""
    if duration.isGrace:
        return [(_value(duration.components[0], duration.tuplets), Quarters(0))]
    if duration.type in _TYPES:
        length = quarters(duration.quarterLength)
        value = _value(duration, duration.tuplets)
        return [(value, value.length if abs(value.length - length) < ROUNDING else length)]
    values = [_value(piece, duration.tuplets) for piece in duration.components]
    return [(value, value.length) for value in values]


def exact_length(duration: Any) -> Quarters:
    """What the duration lasts, in quarters, by its printed values."""
    return sum((length for _, length in printed_lengths(duration)), Quarters(0))


def _value(piece: Any, tuplets: Sequence[Any]) -> Value:
    actual = normal = 1
    for tuplet in tuplets:
        actual *= tuplet.numberNotesActual
        normal *= tuplet.numberNotesNormal
    return Value(
        _TYPES.get(piece.type, "256th"), piece.dots, Tuplet(actual, normal) if tuplets else None
    )
