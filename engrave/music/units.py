"""Units of time and length.

Time is counted in exact fractions of a quarter note (``Quarters``), paper and keyboard in
millimetres (``float``). Nothing here knows what a note, a hand or a page is.
"""

from fractions import Fraction
from functools import lru_cache

Quarters = Fraction

MM_PER_INCH = 25.4
MM_PER_CSS_PIXEL = MM_PER_INCH / 96


@lru_cache(maxsize=4096)
def quarters(value: int | str | float | Fraction) -> Quarters:
    """Exact quarters from what a reader hands over; floats are snapped to 1/5040 of a quarter.

    Readers hand over thirds as ``0.333…``; 5040 = 2·2·2·2·3·3·5·7 holds every tuplet of 3, 5, 7
    and 9 down to the thirty-second, so that the nearest such fraction is the one that was meant.
    """
    if isinstance(value, float):
        return Fraction(value).limit_denominator(5040)
    return Fraction(value)


def is_dyadic(value: Fraction) -> bool:
    """Whether ``value`` is so many halves, quarters, eighths …, so that it needs no tuplet."""
    return value.denominator & (value.denominator - 1) == 0


def is_dotted(value: Fraction) -> bool:
    """Whether ``value`` is a dotted one, made of thirds: the beat of 6/8, say, but not of 2/2."""
    return value.numerator == 3


def fraction_text(value: Fraction) -> str:
    """``3/4``, ``2``: the way fractions stand in the manifest."""
    return (
        str(value.numerator) if value.denominator == 1 else f"{value.numerator}/{value.denominator}"
    )
