"""Places in a score by name: what can be said of their order before the score is read.

Enters: text, ranges. Leaves: ranges and places that do not run backward. Whether a score has them
it does not know.
"""

import re
from fractions import Fraction
from math import inf
from typing import TypeAlias

from engrave.errors import EngraveError
from engrave.marks.scalars import shown
from engrave.music.ranges import MeasureRange, parse_place, parse_range

LONGEST = 40
QUOTES = " \t\"'“”„"
"""What may be left around a place where one of two quotation marks is missing."""

_NAMED = re.compile(r"(?i)(?:measures?|mm?\.?|bars?|takte?|t\.)\s*(?=\d)")
_PICKUP = re.compile(r"(?i)\b(?:auftakt|pickup|upbeat)\b")
_ORDINAL = re.compile(r"(?<=\d)\.(?=\s*(?:[-–]|$))")
"""The dot behind a German number: ``12. bis 14.``."""
_DASH = re.compile(r"(?i)(?<=[\w.])\s+(?:to|bis)\s+(?=\d)|\s*[—−‐‑]\s*")

Order: TypeAlias = tuple[int, str, Fraction | float]
"""Number, suffix and beat: measures of one movement, and their beats, rise in this order."""


def measure_range(text: str) -> MeasureRange:
    """``41.3-44.1`` as ``ranges.parse_range`` reads it, refused where it runs backward."""
    meant = parse_range(_plainly(_short(text)))
    if start_of(meant) > end_of(meant):
        raise EngraveError(
            f"{shown(text)} runs backward", hint="the earlier measure comes first: 12-14"
        )
    return meant


def parse_beat(text: str) -> tuple[str, Fraction]:
    """A measure by its printed name and a beat, counted from 1; the first where none is named."""
    measure, beat = parse_place(_plainly(_short(text)))
    return measure, beat or Fraction(1)


def _plainly(text: str) -> str:
    """``Takt 12 bis 14`` and ``12.-14.`` as ``12-14``: words and signs with one meaning."""
    plain = _DASH.sub("-", _NAMED.sub("", _PICKUP.sub("0", text.strip(QUOTES))))
    return _ORDINAL.sub("", plain)


def _short(text: str) -> str:
    if len(text) > LONGEST:
        raise EngraveError(f"{shown(text)} is not a place in a score", hint="41, 41.3 or 41-44")
    return text


def order(measure: str, beat: Fraction | float) -> Order:
    """What sorts a place among the others of its movement: 12, 12a, 13."""
    digits = re.match(r"\d+", measure)
    assert digits is not None
    return int(digits[0]), measure[digits.end() :].lower(), beat


def start_of(measures: MeasureRange) -> Order:
    """Where a range begins."""
    return order(measures.first, measures.first_beat or Fraction(1))


def end_of(measures: MeasureRange) -> Order:
    """The last beat that a range takes in; infinite where it takes in the whole measure."""
    return order(measures.last, measures.last_beat or inf)


def lies_in(part: MeasureRange, whole: MeasureRange) -> bool:
    """Whether ``whole`` takes in all of ``part``."""
    return start_of(whole) <= start_of(part) and end_of(part) <= end_of(whole)
