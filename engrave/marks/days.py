"""A day of the calendar, as a marks file writes it.

Enters: text. Leaves: a date, or an ``EngraveError`` without a place, which shows how to write the
day that was meant. Knows no clock.
"""

import re
from calendar import monthrange
from datetime import date

from engrave.errors import EngraveError
from engrave.marks.scalars import shown, uncurled, within

YEARS = 1900, 2999
EXAMPLE = "2027-03-14"
_NAMES = "jan feb mar apr may jun jul aug sep oct nov dec"
MONTHS = {_NAMES[at : at + 3]: at // 4 + 1 for at in range(0, len(_NAMES), 4)}
MONTHS |= {"jän": 1, "mär": 3, "mai": 5, "okt": 10, "dez": 12}
"""The first three letters of months, English and German."""

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_FORMS = (
    re.compile(r"(?P<day>\d{1,2})\. ?(?P<month>\d{1,2})\. ?(?P<year>\d{4}|\d\d)"),
    re.compile(r"(?P<year>\d{4})[-/. ](?P<month>\d{1,2})[-/. ](?P<day>\d{1,2})"),
    re.compile(
        r"(?:[a-zäöü]+,? )?(?P<day>\d{1,2})(?:\.|st|nd|rd|th)? "
        r"(?P<month>[a-zä]{3,9})\.? (?P<year>\d{4})"
    ),
    re.compile(r"(?P<month>[a-zä]{3,9}) (?P<day>\d{1,2})(?:st|nd|rd|th)?,? (?P<year>\d{4})"),
)
"""How else people write a date; day and month by numbers with strokes have two meanings."""


def day(text: str) -> date:
    """A date as ISO 8601 writes it, ``2027-03-14``, in a year in which somebody may play."""
    if not _DATE.fullmatch(text):
        hint = f"write year, month and day: {_dated(text)}"
        raise EngraveError(f"{shown(text)} is not a date", hint=hint)
    try:
        named = date.fromisoformat(text)
    except ValueError:
        message = f"there is no {text} in the calendar"
        raise EngraveError(message, hint=_days_of_month(text)) from None
    within(named.year, "the year", *YEARS)
    return named


def _dated(text: str) -> str:
    """A date of another form as it is to be written; an example where nothing can be made of it."""
    words = uncurled(text).lower().strip()
    match = next(filter(None, (form.fullmatch(words) for form in _FORMS)), None)
    if not match:
        return EXAMPLE
    month = match["month"]
    number = int(month) if month.isdecimal() else MONTHS.get(month[:3])
    year = int(match["year"])
    try:
        return date(year + 2000 * (year < 100), number or 0, int(match["day"])).isoformat()
    except ValueError:
        return EXAMPLE


def _days_of_month(text: str) -> str:
    year, month = int(text[:4]), int(text[5:7])
    if not 1 <= month <= 12 or not year:
        return f"write year, month and day: {EXAMPLE}"
    return f"that month has {monthrange(year, month)[1]} days"
