"""What stands beside the notes of a bar: clefs, keys, meters, and what is written above and below.

Enters: a music21 element. Leaves: its ``Clef``, ``KeySignature``, ``Meter`` or ``Direction``.
Knows no bars.
"""

import re
from dataclasses import replace
from fractions import Fraction
from typing import Any

from engrave.music.sheet import Clef, Direction, KeySignature, Meter
from engrave.music.units import quarters
from engrave.score.formats.raw import RawSign

_BELOW = {"Dynamic"}
_PROBLEM = "⚠"
"""What converter21 puts for a transcriber's note, which is not printed in the score."""
_UNSPOKEN = re.compile("[\ue000-\uf8ff]")
"""A note of a music font: with it begins a metronome mark within words."""
_MARKS = {"Segno": "segno", "Coda": "coda", "RehearsalMark": "rehearsal"}


def clef_of(element: Any) -> Clef:
    """The clef; one without a line (percussion, none) is printed on its default line."""
    return Clef(element.sign or "G", element.line or 2, element.octaveChange or 0)


def key_of(element: Any) -> KeySignature:
    """The key signature; one that is not made of fifths counts as none."""
    return KeySignature(element.sharps or 0, getattr(element, "mode", None))


def meter_of(element: Any) -> Meter | None:
    """The time signature; None for an unmeasured stretch."""
    if "SenzaMisuraTimeSignature" in element.classSet:
        return None
    symbol = element.symbol if element.symbol in ("common", "cut") else None
    return Meter(element.numerator, element.denominator, symbol)


def direction_of(sign: RawSign) -> Direction | None:
    """The words or sign to print; None for what is not printed or not written to be played."""
    element, classes = sign.element, sign.element.classSet
    if element.style.hideObjectOnPrint:
        return None
    default = "below" if _BELOW & classes else "above"
    placed = Direction(
        sign.offset,
        sign.staff or 1,
        kind="words",
        placement=getattr(element, "placement", None) or default,
    )
    return _filled(placed, element, classes)


def _filled(placed: Direction, element: Any, classes: frozenset[Any]) -> Direction | None:
    if "MetronomeMark" in classes:
        return _metronome(placed, element)
    if "Dynamic" in classes:
        return replace(placed, kind="dynamic", text=element.value)
    for name, kind in _MARKS.items():
        if name in classes:
            return replace(placed, kind=kind, text=getattr(element, "content", None) or "")
    text = _text(element, classes)
    italic = getattr(element.style, "fontStyle", None) == "italic"
    return replace(placed, text=text, italic=italic) if text else None


def _text(element: Any, classes: frozenset[Any]) -> str:
    if "TextExpression" in classes:
        text = str(element.content or "").strip()
        return "" if text == _PROBLEM else text
    if "TempoText" in classes:
        return str(element.text or "").strip()
    if "RepeatExpression" in classes:
        return str(element.getText() or "").strip()
    return ""


def _metronome(placed: Direction, element: Any) -> Direction | None:
    if element.number is None or element.numberImplicit:
        text = "" if element.textImplicit else _UNSPOKEN.split(str(element.text or ""))[0].strip()
        return replace(placed, text=text) if text else None
    return replace(
        placed,
        kind="metronome",
        beat_unit=quarters(element.referent.quarterLength),
        per_minute=Fraction(str(element.number)),
    )
