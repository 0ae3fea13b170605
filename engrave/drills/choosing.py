"""Which drills a passage gets where nobody asked: few, and each for a reason.

Enters: a passage, its drill as written, the families. Leaves: ``Chosen``. What a family
answers, and how much of a passage needs it, the families say; here they are weighed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from engrave.drills.family import Family, Made, unprintable
from engrave.drills.needs import Need
from engrave.drills.sifting import (
    MOST,
    MOST_BESIDE_OTHERS,
    Dropped,
    at_most,
    without_near_twins,
    without_twins,
)
from engrave.errors import EngraveError, Mistakes
from engrave.music.drill import Drill
from engrave.music.values import UnprintableError
from engrave.passage.model import Passage
from engrave.remarks import Remark

LEAST_SHARE = Fraction(1, 10)
"""A trouble in fewer of the beats is not what the passage is about."""

MOST_FAMILIES = 2
FEWEST = 3

FEWEST_LEFT = 4
"""Strokes that are left where leaps are drilled: fewer are no more than the leaps over again."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The drills of a passage, why it gets them, and what was not made and why.

    ``refused`` are the families that were wanted and could not all be made, and what they say.
    """

    drills: tuple[Drill, ...] = ()
    why: tuple[Remark, ...] = ()
    dropped: tuple[Dropped, ...] = ()
    refused: tuple[tuple[str, Remark], ...] = ()


@dataclass(slots=True)
class _Choice:
    """Families as they are taken, with what they make of the passage."""

    passage: Passage
    written: Drill
    made: dict[str, tuple[Drill, ...]] = field(default_factory=dict)
    why: list[Remark] = field(default_factory=list)
    dropped: list[Dropped] = field(default_factory=list)
    refused: list[tuple[str, Remark]] = field(default_factory=list)

    @property
    def drills(self) -> list[Drill]:
        return [drill for made in self.made.values() for drill in made]

    def take(
        self, family: Family[Any], need: Need | None = None, why: Remark | None = None
    ) -> None:
        """Add the drills of a family, if it makes any that are worth making.

        Why, its ``need`` says, where it is taken for one.
        """
        made = made_of(family, self.passage)
        self.refused += [
            (family.name, remark)
            for remark in made.refused
            if need is None or dict(remark.values).get("hand") in (None, *need.hands)
        ]
        makes = worth_making(family, made.drills, self.dropped)
        if need:
            makes = _needed(makes, need, self.dropped)
        sifted = without_twins(self.passage, self.written, [*self.drills, *makes])
        near = without_near_twins([drill for drill in sifted.kept if drill in makes])
        fresh = near.kept
        self.dropped += (*sifted.dropped, *near.dropped)
        if fresh:
            self.made[family.name] = fresh
            if need:
                self.why += need.told({hand for drill in fresh for hand in drill.hands})
            elif why:
                self.why.append(why)

    @property
    def is_unexplained(self) -> bool:
        """Whether nothing says yet that there is no more to teach."""
        return not any(why.key.startswith("why.no-more") for why in self.why)


def _needed(drills: Iterable[Drill], need: Need, dropped: list[Dropped]) -> list[Drill]:
    """The drills for the hands that have the trouble, in forms that answer it."""
    kept = []
    for drill in drills:
        if drill.suffix is not None and drill.suffix not in need.hands:
            dropped.append(Dropped(drill, Remark.of("never.other-hand")))
        elif need.variants and drill.variant not in need.variants:
            dropped.append(Dropped(drill, Remark.of("never.short-runs")))
        else:
            kept.append(drill)
    return kept


def choose(passage: Passage, written: Drill, families: Sequence[Family[Any]]) -> Chosen:
    """Three to six drills of at most two families: those with most of the passage's difficulty.

    Of these the most pressing first; fewer where there is no more to teach.
    """
    by_name = {family.name: family for family in families}
    choice = _Choice(passage, written)
    for name, need in _needs(passage, families):
        if len(choice.made) == MOST_FAMILIES:
            break
        choice.take(by_name[name], need)
        if name not in choice.made:
            continue
        for other in need.then[: MOST_FAMILIES - len(choice.made)]:
            choice.take(by_name[other])
    if len(choice.made) < MOST_FAMILIES and len(choice.drills) < FEWEST and _is_left(choice):
        _fill_up(choice, families)
    if len(choice.drills) < FEWEST and choice.is_unexplained:
        more = Remark.of("why.no-more-alone") if choice.made else Remark.of("why.no-more-at-all")
        choice.why.append(more)
    return _limited(choice, families)


def _fill_up(choice: _Choice, families: Iterable[Family[Any]]) -> None:
    """Take the first family that steps in; where nothing else was made, the first that can be."""
    turns = [(turn, family) for family in families if (turn := family.steps_in(choice.passage))]
    turns.sort(key=lambda each: each[0])
    key = "why.no-more-beside" if choice.made else "why.no-more"
    for turn, family in turns:
        if choice.made and (turn > 1 or family.name in choice.made):
            break
        choice.take(family, why=Remark.of(key, how=Remark.of(f"why.by.{family.name}")))


def _is_left(choice: _Choice) -> bool:
    """Whether the hands strike enough beside the leaps, which end in time as the passage has it."""
    drilled = {
        (note.hand, note.pitches) for drill in choice.drills if drill.leaps for note in drill.source
    }
    passage = choice.passage
    left = sum(
        (hand, onset.pitches) not in drilled
        for hand in passage.hands
        for onset in passage.lines[hand]
    )
    return not choice.made or left >= FEWEST_LEFT


def _needs(passage: Passage, families: Iterable[Family[Any]]) -> list[tuple[str, Need]]:
    """The families that are needed most, the most pressing first; then the rest by their weight."""
    weighed = [(family.name, need) for family in families if (need := family.need(passage))]
    weighed = [each for each in weighed if each[1].share >= LEAST_SHARE]
    weighed.sort(key=lambda each: (-each[1].weight, -each[1].urgency))
    first = sorted(weighed[:MOST_FAMILIES], key=lambda each: -each[1].urgency)
    return first + weighed[MOST_FAMILIES:]


def _limited(choice: _Choice, families: Sequence[Family[Any]]) -> Chosen:
    """At most six: the first family four where there is a second, that what is left."""
    names = list(choice.made)
    total = len(choice.drills)
    kept: list[Drill] = []
    for place, name in enumerate(names):
        drills = choice.made[name]
        rest = sum(len(choice.made[other]) for other in names[place + 1 :])
        most = MOST - len(kept)
        if rest and total > MOST:
            most = max(MOST_BESIDE_OTHERS, MOST - rest)
        sifted = at_most(drills, most)
        kept += sifted.kept
        choice.dropped += sifted.dropped
    order = [family.name for family in families]
    kept.sort(key=lambda drill: order.index(drill.family))
    return Chosen(
        tuple(kept), tuple(choice.why), tuple(choice.dropped), tuple(dict.fromkeys(choice.refused))
    )


def everything(passage: Passage, written: Drill, families: Sequence[Family[Any]]) -> Chosen:
    """All that can be made of the passage and is worth making."""
    dropped: list[Dropped] = []
    drills: list[Drill] = []
    refused: list[tuple[str, Remark]] = []
    for family in families:
        made = made_of(family, passage)
        refused += [(family.name, remark) for remark in made.refused]
        drills += worth_making(family, made.drills, dropped)
    sifted = without_twins(passage, written, drills)
    return Chosen(sifted.kept, (), (*dropped, *sifted.dropped), tuple(refused))


def made_of(family: Family[Any], passage: Passage) -> Made:
    """What a family makes unasked, or why it is unprintable; nothing where it finds nothing."""
    try:
        return family.unasked(passage)
    except (EngraveError, Mistakes):
        return Made(())
    except UnprintableError as reason:
        return Made((), (unprintable(family, reason),))


def worth_making(
    family: Family[Any], drills: Iterable[Drill], dropped: list[Dropped]
) -> list[Drill]:
    """The drills that teach something; the others join those ``dropped``."""
    kept = []
    for drill in drills:
        why = family.never(drill)
        if why:
            dropped.append(Dropped(drill, why))
        else:
            kept.append(drill)
    return kept
