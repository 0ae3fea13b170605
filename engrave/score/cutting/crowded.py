"""Bars with more voices than can be engraved.

Enters: bars. Raises ``EngraveError`` at the first in which two events of one voice sound at once,
which is what becomes of a fifth voice of a staff. What two hands strike of one chord is one thing.
"""

from collections.abc import Iterable

from engrave.errors import EngraveError
from engrave.music.sheet import VOICES_PER_STAFF, Bar, without_twins
from engrave.music.units import Quarters


def refuse_crowded(bars: Iterable[Bar]) -> None:
    """Raise where a voice has two things at a time."""
    for bar in bars:
        ends: dict[int, Quarters] = {}
        for event in sorted(
            without_twins(bar.events), key=lambda event: (event.offset, not event.grace)
        ):
            if event.offset < ends.get(event.voice, Quarters(0)):
                raise EngraveError(
                    f"measure {bar.name} cannot be engraved: one staff has more than "
                    f"{VOICES_PER_STAFF} voices in it",
                    hint="write them as fewer in the score, or choose other measures",
                )
            ends[event.voice] = event.end
