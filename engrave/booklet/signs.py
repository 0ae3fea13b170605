"""The note that stands for a beat unit, drawn by us so that no font can lack it.

Enters: a beat unit in quarters. Leaves: SVG shapes in tenths of a millimetre, stem up, the foot of
the head at 42.
"""

from functools import cache
from math import log2

from engrave.music.units import Quarters, fraction_text, is_dotted

_X, _Y = 8.0, 36.0
"""Centre of the note head."""
_STEM_X = _X + 5.6
_STEM_TOP = 8.0
_DOT = 2.6
"""Half the width of the dot, against its head as in verovio's music font."""


@cache
def note_sign(unit: Quarters) -> str:
    """A note of ``unit`` quarters, plain or dotted, from a sixteenth to a whole note."""
    dotted = is_dotted(unit)
    plain = unit * 2 / 3 if dotted else unit
    level = log2(plain)
    if level != int(level) or not -2 <= level <= 2:
        raise ValueError(f"no sign for a beat of {fraction_text(unit)} quarters")
    parts = [_head(hollow=plain >= 2)]
    if plain < 4:
        parts.append(
            f'<path d="M{_STEM_X} {_Y - 2}V{_STEM_TOP}" stroke="#000" stroke-width="1.3"/>'
        )
    parts += [_flag(_STEM_TOP + 8 * n) for n in range(max(0, int(-level)))]
    if dotted:
        clear_of_flag = 12 if plain >= 1 else 16.8
        parts.append(f'<circle cx="{_X + clear_of_flag}" cy="{_Y - 0.5}" r="{_DOT}"/>')
    return "".join(parts)


def _head(hollow: bool) -> str:
    if hollow:
        shape = 'rx="5.6" ry="3.5" fill="none" stroke="#000" stroke-width="1.7"'
    else:
        shape = 'rx="6.4" ry="4.3"'
    return f'<ellipse cx="{_X}" cy="{_Y}" {shape} transform="rotate(-24 {_X} {_Y})"/>'


def _flag(y: float) -> str:
    return f'<path d="M{_STEM_X} {y}c.6 5 7.6 7.4 8 14c.1 2-.5 3.6-1.2 5c.5-5.4-4.4-8.6-6.8-9.4z"/>'
