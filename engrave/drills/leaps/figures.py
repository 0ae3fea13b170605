"""The leaps of a drill in figures and in words.

Enters: what a step plays, in order, and which of its moves are leaps. Leaves: ``LeapFigures`` and
``Remark``s. Knows no time and no paper.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from engrave.drills.leaps.rounds import Ends, Stretch
from engrave.model import Hand, LeapFigures, Pitch, Remark
from engrave.positions import Leap, leap_between

MOST_NAMED = 4

_COLOURS = {
    ("white", "white"): "leaps.white-to-white",
    ("white", "black"): "leaps.white-to-black",
    ("black", "white"): "leaps.black-to-white",
    ("black", "black"): "leaps.black-to-black",
}


@dataclass(frozen=True, slots=True)
class Shown:
    """A leap as the drill plays it, from ``start`` to ``end`` in its source; where it lands."""

    leap: Leap
    start: int
    end: int
    measure: str

    @property
    def figures(self) -> LeapFigures:
        """The leap as the manifest lists it."""
        return LeapFigures(
            start=self.start,
            end=self.end,
            distance_mm=self.leap.distance_mm,
            distance_keys=self.leap.distance_keys,
            landing_key=self.leap.landing_key,
            start_key=self.leap.start_key,
            index_of_difficulty=self.leap.index_of_difficulty,
            flagged=self.leap.flagged,
        )

    @property
    def named(self) -> Remark:
        """``C 2 to E 3 in measure 41``."""
        start, end = self.leap.start_pitch, self.leap.end_pitch
        return Remark.of("leaps.pair", start=start, end=end, measure=self.measure)


def shown_leaps(
    stretches: Sequence[Stretch], leaps: Mapping[Ends, bool], source: Mapping[int, int], hand: Hand
) -> tuple[Shown, ...]:
    """Each different leap once, measured between the notes that are played.

    ``leaps`` tells of each kind whether it is flagged, ``source`` the place of each onset in the
    drill's source.
    """
    found: dict[Ends, Shown] = {}
    for stretch in stretches:
        for before, after in pairwise(stretch.strikes):
            ends = before.pitches, after.pitches
            if ends in leaps and ends not in found:
                leap = leap_between([before.reduced, after.reduced], 0, 1, hand)
                found[ends] = Shown(
                    replace(leap, flagged=leaps[ends]),
                    source[before.onset.index],
                    source[after.onset.index],
                    after.onset.measure,
                )
    return tuple(found.values())


def remarks(shown: Sequence[Shown], in_figures: bool) -> Iterator[Remark]:
    """How to play the rounds and which leaps are the worst; if asked, every leap in figures."""
    yield Remark.of("leaps.rounds")
    if in_figures:
        yield Remark.of("leaps.once")
        yield Remark.of("leaps.figures", leaps=list(_in_figures([each.leap for each in shown])))
    worst = [each.named for each in shown if each.leap.flagged]
    if worst:
        yield Remark.of("leaps.worst", leaps=worst)
    black = [
        each.named for each in shown if each.leap.start_key == each.leap.landing_key == "black"
    ]
    if len(black) > MOST_NAMED:
        yield Remark.of("leaps.black-many", count=len(black))
    elif black:
        yield Remark.of("leaps.between-black", leaps=black)


def _in_figures(leaps: Sequence[Leap]) -> Iterator[Remark]:
    """Each leap in words; one that comes back as it went, to a key as wide, is named once."""
    told: set[tuple[Pitch, Pitch]] = set()
    ways = {(leap.start_pitch, leap.end_pitch) for leap in leaps}
    for leap in leaps:
        way, back = (leap.start_pitch, leap.end_pitch), (leap.end_pitch, leap.start_pitch)
        if way in told:
            continue
        both = back in ways and leap.start_key == leap.landing_key
        told |= {way, back} if both else {way}
        yield Remark.of(
            "leaps.leap",
            way=Remark.of(
                "leaps.both-ways" if both else "leaps.one-way",
                start=leap.start_pitch,
                end=leap.end_pitch,
            ),
            keys=leap.distance_keys,
            mm=leap.distance_mm,
            colours=Remark.of(_COLOURS[leap.start_key, leap.landing_key]),
            index=leap.index_of_difficulty,
        )
