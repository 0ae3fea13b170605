"""Measure ranges as a teacher writes them: ``12``, ``12-14``, ``12.3-14.1``, ``12a``.

Enters: text. Leaves: a ``MeasureRange``. Whether a score has such measures it does not know.
"""

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.errors import EngraveError

_PLACE = re.compile(r"(?P<name>\d+[A-Za-z]?)(?:\.(?P<beat>\d+))?")


@dataclass(frozen=True, slots=True)
class MeasureRange:
    """From a beat of one measure to a beat of another, both inclusive.

    Names as printed. Beats count from 1 in the meter's own beat; None stands for the first beat at
    the start and the last at the end.
    """

    first: str
    first_beat: Fraction | None
    last: str
    last_beat: Fraction | None

    def __str__(self) -> str:
        """``12.3-14.1``: what was read."""
        first, last = _place(self.first, self.first_beat), _place(self.last, self.last_beat)
        return first if first == last else f"{first}-{last}"

    @property
    def label(self) -> str:
        """``12.3–14.1``: as it is printed, with an en dash."""
        return str(self).replace("-", "–")

    @property
    def from_the_measure(self) -> "MeasureRange":
        """The same; one that begins with a measure's first beat begins with the measure."""
        return replace(self, first_beat=None) if self.first_beat == 1 else self


def _place(name: str, beat: Fraction | None) -> str:
    return name if beat is None else f"{name}.{beat}"


def parse_place(text: str) -> tuple[str, Fraction | None]:
    """``41.3`` is measure 41, beat 3; ``12.10`` is beat 10, not a decimal."""
    match = _PLACE.fullmatch(text.strip())
    if not match:
        raise EngraveError(
            f"{text.strip()!r} is not a measure",
            hint="write a measure as it is printed, with a beat after a dot if need be: 41 or 41.3",
        )
    beat = match["beat"]
    if beat is not None and int(beat) == 0:
        raise EngraveError(f"{text.strip()!r}: beats count from 1", hint=f"{match['name']}.1")
    return match["name"], None if beat is None else Fraction(int(beat))


def parse_range(text: str) -> MeasureRange:
    """The range that ``text`` writes; a hyphen or an en dash stands between its ends."""
    parts = re.split(r"\s*[-–]\s*", text.strip())
    if len(parts) > 2:
        raise EngraveError(
            f"{text!r} is not a range of measures", hint="write 41-44, 41.3-44.1 or one measure"
        )
    first, first_beat = parse_place(parts[0])
    last, last_beat = parse_place(parts[-1])
    return MeasureRange(first, first_beat, last, last_beat)


def measures_text(measures: MeasureRange) -> str:
    """``measure 12``, ``measures 12–14``: a range as it is printed, with the word before it."""
    return f"{'measures' if '–' in measures.label else 'measure'} {measures.label}"
