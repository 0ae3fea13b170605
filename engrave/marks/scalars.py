"""What a single value of the marks file can be.

Enters: text. Leaves: a typed value. Knows nothing of YAML, and of music only its numbers.

Each function here takes the text as it stands in the file and returns the value, or raises an
``EngraveError`` without a place; who called it knows the place. Those with arguments make such a
function.
"""

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import date
from difflib import get_close_matches
from fractions import Fraction
from types import MappingProxyType
from typing import TypeVar

from engrave.errors import EngraveError
from engrave.marks.tables import ANSWERS

T = TypeVar("T")
N = TypeVar("N", int, Fraction)

LONGEST_LINE = 300
LONGEST_TEXT = 20_000
LONGEST_ID = 60
YEARS = 1900, 2999
LONGEST_SHOWN = 60

_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?")
_MEASURED = re.compile(r"(?P<number>[0-9]{1,6}([.,][0-9]{1,6})?) ?(?P<unit>[^0-9,\s]{0,8})")
_WHOLE = re.compile(r"[0-9]{1,9}")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DOTTED = re.compile(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})")
_ID = re.compile(r"[A-Za-z0-9]+([-_][A-Za-z0-9]+)*")
_RESERVED = re.compile(r"con|prn|aux|nul|com[0-9]|lpt[0-9]", re.IGNORECASE)
"""Names that Windows keeps for devices, with any ending."""


def shown(text: str) -> str:
    """``text`` in quotes, as a message shows it: on one line and not too long."""
    flat = " ".join(text.split())
    return repr(flat if len(flat) <= LONGEST_SHOWN else flat[:LONGEST_SHOWN] + "…")


def closest(text: str, known: Iterable[str]) -> str | None:
    """What ``text`` may have been meant to be."""
    return next(iter(get_close_matches(text[:LONGEST_SHOWN].lower(), list(known), n=1)), None)


def nearest(text: str, known: Collection[str]) -> str:
    """A hint that names what ``text`` may have been meant to be, or all that is ``known``."""
    near = closest(text, known)
    return f"did you mean {near!r}?" if near else f"known here: {', '.join(known)}"


def to_the_letter(text: str) -> str:
    """Text as it stands, such as the name of a file."""
    return _no_longer(text, LONGEST_LINE)


def line(text: str) -> str:
    """One line of text, such as a title or a name; runs of space become one space."""
    return " ".join(_no_longer(text, LONGEST_LINE).split())


def prose(text: str) -> str:
    """Text of any number of lines."""
    return _no_longer(text, LONGEST_TEXT).strip()


def _no_longer(text: str, most: int) -> str:
    if len(text) > most:
        raise EngraveError(
            f"this text has {len(text):,} characters", hint=f"{most:,} is the most that fits here"
        )
    return text


def choice(
    what: str, known: Mapping[str, T], also: Mapping[str, str] = MappingProxyType({})
) -> Callable[[str], T]:
    """One of the names in ``known``, for what it stands for; ``what`` names the kind.

    ``also`` are other words for names in ``known``: ``rh`` for ``right``. Case is no matter.
    """

    def read(text: str) -> T:
        if text not in known:
            word = " ".join(text.lower().split())
            meant = word if word in known else also.get(word, text)
            text = meant if meant in known else text
        if text not in known:
            raise EngraveError(f"unknown {what} {shown(text)}", hint=nearest(text, known))
        return known[text]

    return read


def name(
    what: str, known: Iterable[str], also: Mapping[str, str] = MappingProxyType({})
) -> Callable[[str], str]:
    """One of the names in ``known``, for itself."""
    return choice(what, {each: each for each in known}, also)


yes_or_no = choice("answer", {"yes": True, "no": False, "true": True, "false": False}, ANSWERS)


def whole(what: str, least: int, most: int) -> Callable[[str], int]:
    """A whole number from ``least`` to ``most``."""

    def read(text: str) -> int:
        if not _WHOLE.fullmatch(text):
            raise EngraveError(
                f"{what} must be a whole number, not {shown(text)}",
                hint=_meant(text, "", "min") or f"a number from {least} to {most}",
            )
        return _within(int(text), what, least, most)

    return read


def number(what: str, least: int, most: int, unit: str = "") -> Callable[[str], Fraction]:
    """A number from ``least`` to ``most``, with or without decimals, exactly."""

    def read(text: str) -> Fraction:
        if not _NUMBER.fullmatch(text):
            hint = _meant(text, unit) or (
                f"a number from {least} to {most}{unit}, decimals after a point"
            )
            raise EngraveError(f"{what} must be a number, not {shown(text)}", hint=hint)
        return _within(Fraction(text), what, least, most, unit)

    return read


def _meant(text: str, *units: str) -> str:
    """A hint for a number that is written otherwise: ``18,5``, ``8 inches``, ``20 cm``."""
    found = _MEASURED.fullmatch(text.strip())
    if not found:
        return ""
    number = Fraction(found["number"].replace(",", "."))
    named = (found["unit"] or "").lower()
    if named.startswith("in") or named in ('"', "″", "”", "zoll"):
        cm = f"{float(number * Fraction('2.54')):.1f}"
        return f"in centimetres: {cm}" if " cm" in units else ""
    if not named or named.rstrip(".").removesuffix("s") in (unit.strip() for unit in units):
        shown_as = f"{float(number):g}"
        return f"decimals stand after a point: {shown_as}" if not named else f"only {shown_as}"
    return ""


def _within(value: N, what: str, least: int, most: int, unit: str = "") -> N:
    if not least <= value <= most:
        raise EngraveError(
            f"{what} cannot be {float(value):g}{unit}", hint=f"from {least} to {most}{unit}"
        )
    return value


def day(text: str) -> date:
    """A date as ISO 8601 writes it, ``2027-03-14``, in a year in which somebody may play."""
    hint = f"write year, month and day: {_dated(text)}"
    if not _DATE.fullmatch(text):
        raise EngraveError(f"{shown(text)} is not a date", hint=hint)
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise EngraveError(f"there is no {text} in the calendar", hint=hint) from None
    _within(found.year, "the year", *YEARS)
    return found


def _dated(text: str) -> str:
    """``20.2.2027`` as it is to be written; an example where it is no date with dots."""
    found = _DOTTED.fullmatch(text.strip())
    if not found:
        return "2027-03-14"
    number, month, year = map(int, found.groups())
    return f"{year}-{month:02}-{number:02}"


def identifier(text: str) -> str:
    """A name that is safe in a file name on every system and has no dot: ``turn-figure``."""
    hint = f"letters a to z, digits and single hyphens, at most {LONGEST_ID}: turn-figure"
    if len(text) > LONGEST_ID or not _ID.fullmatch(text):
        raise EngraveError(f"{shown(text)} cannot be an id", hint=hint)
    if _RESERVED.fullmatch(text):
        raise EngraveError(f"{text!r} cannot be an id: Windows keeps it for a device", hint=hint)
    return text
