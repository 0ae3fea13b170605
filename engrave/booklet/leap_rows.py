"""The leaps of a drill as the rows of a table.

Enters: a drill. Leaves: ``LeapRow``s. Knows neither language nor page.
"""

from dataclasses import dataclass

from engrave.music.drill import Drill, LeapFigures
from engrave.music.notes import Pitch
from engrave.passage.fingering_notes import interval_of
from engrave.remarks import Remark

MOST_ROWS = 8


@dataclass(frozen=True, slots=True)
class LeapRow:
    """A leap, and its way back where that is as wide and lands on a key of the same colour."""

    measure: str
    way: Remark
    moved: Remark
    colours: Remark
    figures: LeapFigures

    @property
    def is_counted_apart(self) -> bool:
        """Whether the hand goes nearer or farther than from one named note to the other."""
        letters = self.figures.end_pitch.diatonic - self.figures.start_pitch.diatonic
        return abs(letters) != self.figures.distance_keys


def leap_rows(drill: Drill) -> tuple[LeapRow, ...]:
    """Each leap once, in the order in which it first comes; ``measure`` is where it lands.

    Of more than ``MOST_ROWS`` the hardest ones.
    """
    rows = _rows(drill)
    hardest = sorted(rows, key=lambda row: -row.figures.index_of_difficulty)[:MOST_ROWS]
    return tuple(row for row in rows if row in hardest)


def _rows(drill: Drill) -> list[LeapRow]:
    by_ends = {(leap.start_pitch, leap.end_pitch): leap for leap in drill.leaps}
    told: set[tuple[Pitch, Pitch]] = set()
    rows = []
    for (start, end), leap in by_ends.items():
        if (start, end) in told:
            continue
        back = by_ends.get((end, start))
        both = back is not None and (back.landing_key, back.flagged) == (
            leap.landing_key,
            leap.flagged,
        )
        told |= {(start, end), (end, start)} if both else {(start, end)}
        way = Remark.of("leaps.both-ways" if both else "leaps.one-way", start=start, end=end)
        colours = Remark.of(f"leaps.{leap.start_key}-to-{leap.landing_key}")
        rows.append(LeapRow(drill.source[leap.end].measure, way, moved_by(leap), colours, leap))
    return rows


def moved_by(leap: LeapFigures) -> Remark:
    """How far the hand is displaced, as an interval and in white keys."""
    return Remark.of(
        "leaps.moved",
        interval=interval_of(leap.distance_keys),
        count=leap.distance_keys,
    )
