"""The leaps of a drill in figures, and what is said of them.

Enters: what a step plays, in order, and which of its moves are leaps. Leaves: ``LeapFigures`` and
``Remark``s. A leap has one displacement, that of the whole hand, whichever of its notes a step
plays. Knows no time and no paper.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from engrave.drills.leaps.rounds import Ends, Excerpt
from engrave.music.drill import LeapFigures
from engrave.music.notes import Hand
from engrave.passage.leaps import Leap, outer_notes
from engrave.remarks import Remark


def leap_figures(
    excerpts: Sequence[Excerpt],
    leaps: Mapping[Ends, Leap],
    source: Mapping[int, int],
    hand: Hand,
) -> tuple[LeapFigures, ...]:
    """Each different leap once, named by the notes that are played.

    ``leaps`` has the leap of each kind, ``source`` the place of each onset in the drill's source.
    """
    figures: dict[Ends, LeapFigures] = {}
    for excerpt in excerpts:
        for before, after in pairwise(excerpt.strikes):
            ends = before.pitches, after.pitches
            if ends in leaps and ends not in figures:
                leap = leaps[ends]
                start, end = outer_notes(before.reduced, after.reduced, hand)
                figures[ends] = LeapFigures(
                    start=source[before.onset.index],
                    end=source[after.onset.index],
                    start_pitch=start,
                    end_pitch=end,
                    moved_from=leap.moved.start,
                    moved_to=leap.moved.end,
                    distance_mm=leap.moved.mm,
                    distance_keys=leap.moved.letters,
                    index_of_difficulty=leap.index_of_difficulty,
                    flagged=leap.flagged,
                    whole=before.is_whole and after.is_whole,
                )
    return tuple(figures.values())


def remarks(leaps: Sequence[LeapFigures], repeated: bool) -> Iterator[Remark]:
    """How the rounds are played, and what the sign over a landing means."""
    yield Remark.of("leaps.rounds")
    if not repeated:
        yield Remark.of("leaps.once")
    flagged = sum(leap.flagged for leap in leaps)
    if flagged:
        yield Remark.of("leaps.worst", count=flagged)
