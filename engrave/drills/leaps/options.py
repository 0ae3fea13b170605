"""What the marks file can say of leaps."""

from dataclasses import dataclass

from engrave.drills.family import Options, option
from engrave.drills.leaps.steps import STEPS
from engrave.marks.places import measure_range
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import whole
from engrave.music.ranges import MeasureRange


@dataclass(frozen=True, slots=True, kw_only=True)
class LeapOptions(Options):
    """Which steps, and which leaps: without ``at`` those that are leaps whoever asks."""

    steps: tuple[int, ...] = option(list_of(value(whole("a step", 1, 4))), STEPS)
    at: tuple[MeasureRange, ...] | None = option(list_of(value(measure_range)), None)
