"""What a single value of the marks file can be.

Enters: text. Leaves: a typed value. Knows nothing of YAML, and of music only its numbers.

Each function here takes the text as it stands in the file and returns the value, or raises an
``EngraveError`` without a place; who called it knows the place. Those with arguments make such a
function.
"""

import re
from collections.abc import Callable, Collection, Iterable, Mapping
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
LONGEST_SHOWN = 60
NEAR = 0.7
"""How much of two words is alike that may be one, from 0 to 1: `sprints` is no `sprung`."""

CURLED = re.compile("[“”„»«‘’‚‹›]([^“”„»«‘‚‹›]*)[“”«»‘’‹›]")
_ONE_NUMBER = re.compile(r"[^0-9]*?(?P<number>[0-9]{1,3})[^0-9]*")
_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?")
_MEASURED = re.compile(r"(?P<number>[0-9]{1,6}([.,][0-9]{1,6})?) ?(?P<unit>[^0-9,\s]{0,8})")
_DIGITS = re.compile(r"[0-9]+")
_WHOLE = re.compile(r"[0-9]{1,9}")
_ID = re.compile(r"[A-Za-z0-9]+([-_][A-Za-z0-9]+)*")
_RESERVED = re.compile(r"con|prn|aux|nul|com[0-9]|lpt[0-9]", re.IGNORECASE)
"""Names that Windows keeps for devices, with any ending."""


def shown(text: str) -> str:
    """``text`` in quotes, as a message shows it: on one line and not too long."""
    flat = " ".join(text.split())
    flat = flat if len(flat) <= LONGEST_SHOWN else flat[:LONGEST_SHOWN] + "…"
    quote = '"' if "'" in flat else "'"
    return f"{quote}{flat}{quote}" if flat.isprintable() and quote not in flat else repr(flat)


def uncurled(text: str) -> str:
    """``text`` without the quotation marks of a word processor around all of it."""
    match = CURLED.fullmatch(text.strip())
    return match[1] if match else text


def closest(text: str, known: Iterable[str]) -> str | None:
    """What ``text`` may have been meant to be."""
    near = get_close_matches(text[:LONGEST_SHOWN].lower(), list(known), n=1, cutoff=NEAR)
    return next(iter(near), None)


def nearest(
    text: str, known: Collection[str], also: Mapping[str, str] = MappingProxyType({})
) -> str:
    """A hint that names what ``text`` may have been meant to be, or all that is ``known``.

    ``also`` are other words for what is known. Of names that differ in their number alone none is
    nearer than another: the first and the last are named.
    """
    alike = [name for name in known if _unnumbered(name) == _unnumbered(text.lower())]
    if len(alike) > 1:
        return f"choose from {alike[0]!r} to {alike[-1]!r}"
    near = closest(text, (*known, *also))
    near = also.get(near, near) if near else None
    return f"did you mean {near!r}?" if near else f"known here: {', '.join(known)}"


def _unnumbered(name: str) -> str:
    return _DIGITS.sub("0", name)


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
            word = " ".join(uncurled(text).lower().split())
            meant = word if word in known else also.get(word, text)
            text = meant if meant in known else text
        if text not in known:
            raise EngraveError(f"unknown {what} {shown(text)}", hint=nearest(text, known, also))
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
                hint=_meant(text, "", "min", "minuten", "minute")
                or f"a number from {least} to {most}",
            )
        return within(int(text), what, least, most)

    return read


def number(what: str, least: int, most: int, unit: str = "") -> Callable[[str], Fraction]:
    """A number from ``least`` to ``most``, with or without decimals, exactly."""

    def read(text: str) -> Fraction:
        if not _NUMBER.fullmatch(text):
            hint = _meant(text, unit) or (
                f"a number from {least} to {most}{unit}, decimals after a point"
            )
            raise EngraveError(f"{what} must be a number, not {shown(text)}", hint=hint)
        return within(Fraction(text), what, least, most, unit)

    return read


def _meant(text: str, *units: str) -> str:
    """A hint for a number that is written otherwise: ``18,5``, ``8 inches``, ``20 cm``."""
    match = _MEASURED.fullmatch(text.strip())
    if not match:
        return ""
    number = Fraction(match["number"].replace(",", "."))
    named = (match["unit"] or "").lower()
    if named.startswith("in") or named in ('"', "″", "”", "zoll"):
        cm = f"{float(number * Fraction('2.54')):.1f}"
        return f"in centimetres: {cm}" if " cm" in units else ""
    if not named or named.rstrip(".").removesuffix("s") in (unit.strip() for unit in units):
        shown_as = f"{float(number):g}"
        return f"decimals stand after a point: {shown_as}" if not named else f"only {shown_as}"
    return ""


def metronome_mark(least: int, most: int) -> Callable[[str], Fraction]:
    """Beats a minute; of ``ca. 110`` or ``quarter = 110`` the number alone is wanted."""
    read_number = number("a metronome mark", least, most)

    def read(text: str) -> Fraction:
        try:
            return read_number(text)
        except EngraveError as error:
            match = None if _NUMBER.fullmatch(text) else _ONE_NUMBER.fullmatch(uncurled(text))
            if match is None:
                raise
            beat = "; its beat stands by itself, beat: quarter" if "=" in text else ""
            raise EngraveError(error.message, hint=f"only {match['number']}{beat}") from None

    return read


def within(value: N, what: str, least: int, most: int, unit: str = "") -> N:
    """``value``, if it lies between the least and the most."""
    if not least <= value <= most:
        raise EngraveError(
            f"{what} cannot be {float(value):g}{unit}", hint=f"from {least} to {most}{unit}"
        )
    return value


def identifier(text: str) -> str:
    """A name that is safe in a file name on every system and has no dot: ``turn-figure``."""
    hint = f"letters a to z, digits and single hyphens, at most {LONGEST_ID}: turn-figure"
    if len(text) > LONGEST_ID or not _ID.fullmatch(text):
        raise EngraveError(f"{shown(text)} cannot be an id", hint=hint)
    if _RESERVED.fullmatch(text):
        raise EngraveError(f"{text!r} cannot be an id: Windows keeps it for a device", hint=hint)
    return text
