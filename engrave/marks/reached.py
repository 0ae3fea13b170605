"""A mark that was reached, and the day on which it was.

Enters: ``66``, or ``{mark: 66, day: 2027-02-18}``. Leaves: ``Reached``. Whether it lies between the
start and the goal it does not know.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from engrave.marks.days import day
from engrave.marks.nodes import Node, Table
from engrave.marks.placed import Placed
from engrave.marks.readers import Errors, Form, placed, value
from engrave.marks.schema import mark

_mark = placed(mark)
_day = placed(value(day))


@dataclass(frozen=True, slots=True)
class Reached:
    """A mark reached, and the day where one is named; else it is that of the lesson."""

    mark: Placed[Fraction]
    day: Placed[date] | None = None


def reached_mark(node: Node, errors: Errors) -> Reached | None:
    """A mark reached, alone or with its day."""
    if not isinstance(node, Table):
        found = _mark(node, errors)
        return Reached(found) if found else None
    with Form(node, errors, hint="{mark: 66, day: 2027-02-18}") as form:
        found = form.require("mark", _mark, hint="mark: 66")
        on = form.get("day", _day, None)
    return Reached(found, on) if found else None
