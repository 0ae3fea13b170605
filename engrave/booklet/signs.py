"""The note that stands for a beat unit, drawn by us so that no font can lack it.

Enters: a beat unit in quarters. Leaves: SVG whose viewBox is in tenths of a staff space.
"""

from functools import cache
from math import log2

from engrave.units import Quarters, fraction_text

_HEAD_RADII = (6.4, 4.3)
_STEM_TOP = 8.0
_HEAD = (8.0, 36.0)


@cache
def note_sign(unit: Quarters) -> bytes:
    """A note of ``unit`` quarters, plain or dotted, from a sixteenth to a whole note."""
    dotted = unit.numerator == 3
    plain = unit * 2 / 3 if dotted else unit
    level = log2(plain)
    if level != int(level) or not -2 <= level <= 2:
        raise ValueError(f"no sign for a beat of {fraction_text(unit)} quarters")
    x, y = _HEAD
    parts = [_head(x, y, hollow=plain >= 2)]
    if plain < 4:
        parts.append(f'<path d="M{x + 5.6} {y - 2}V{_STEM_TOP}" stroke="#000" stroke-width="1.3"/>')
    parts += [_flag(x + 5.6, _STEM_TOP + 8 * n) for n in range(max(0, int(-level)))]
    if dotted:
        parts.append(f'<circle cx="{x + 12}" cy="{y - 2}" r="1.7"/>')
    width = 26 if dotted or plain < 1 else 18
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} 42" '
        f'width="{width / 10}mm" height="4.2mm">{"".join(parts)}</svg>'
    ).encode()


def _head(x: float, y: float, hollow: bool) -> str:
    rx, ry = _HEAD_RADII
    paint = ' fill="none" stroke="#000" stroke-width="1.7"' if hollow else ""
    inset = 0.8 if hollow else 0
    return (
        f'<ellipse cx="{x}" cy="{y}" rx="{rx - inset}" ry="{ry - inset}"{paint} '
        f'transform="rotate(-24 {x} {y})"/>'
    )


def _flag(x: float, y: float) -> str:
    return f'<path d="M{x} {y}c.6 5 7.6 7.4 8 14c.1 2-.5 3.6-1.2 5c.5-5.4-4.4-8.6-6.8-9.4z"/>'
