"""The leaps of a drill in figures, and what is said of them.

Enters: what a step plays, in order, and which of its moves are leaps. Leaves: ``LeapFigures`` and
``Remark``s. Knows no time and no paper.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from engrave.drills.leaps.rounds import Ends, Stretch
from engrave.music.drill import LeapFigures, Remark
from engrave.music.notes import Hand
from engrave.passage.positions import leap_between


def leap_figures(
    stretches: Sequence[Stretch], leaps: Mapping[Ends, bool], source: Mapping[int, int], hand: Hand
) -> tuple[LeapFigures, ...]:
    """Each different leap once, measured between the notes that are played.

    ``leaps`` tells of each kind whether it is flagged, ``source`` the place of each onset in the
    drill's source.
    """
    found: dict[Ends, LeapFigures] = {}
    for stretch in stretches:
        for before, after in pairwise(stretch.strikes):
            ends = before.pitches, after.pitches
            if ends in leaps and ends not in found:
                leap = leap_between([before.reduced, after.reduced], 0, 1, hand)
                found[ends] = LeapFigures(
                    start=source[before.onset.index],
                    end=source[after.onset.index],
                    start_pitch=leap.start_pitch,
                    end_pitch=leap.end_pitch,
                    distance_mm=leap.distance_mm,
                    distance_keys=leap.distance_keys,
                    landing_key=leap.landing_key,
                    start_key=leap.start_key,
                    index_of_difficulty=leap.index_of_difficulty,
                    flagged=leaps[ends],
                )
    return tuple(found.values())


def remarks(leaps: Sequence[LeapFigures]) -> Iterator[Remark]:
    """How the rounds are played, and what the sign over a landing means."""
    yield Remark.of("leaps.rounds")
    yield Remark.of("leaps.once")
    flagged = sum(leap.flagged for leap in leaps)
    if flagged:
        yield Remark.of("leaps.worst", count=flagged)
