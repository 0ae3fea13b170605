"""What is said in words beside a drill, and what all drills of a family say, once at its head.

Enters: drills. Leaves: ``Said``. Knows neither language nor page.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from engrave.music.drill import Drill
from engrave.remarks import Remark

COUNTED = {
    "rhythms.cycle": "cycle-in",
    "rhythms.accent-cycle": "accent-cycle-in",
    "rhythms.anew": "anew-in",
}
"""What several drills of a family say alike but for a number of notes."""


@dataclass(frozen=True, slots=True)
class Said:
    """Remarks, and why a ladder counts in another unit than asked for."""

    remarks: tuple[Remark, ...] = ()
    moved: tuple[Remark, ...] = ()

    @property
    def sentences(self) -> tuple[Remark, ...]:
        """All of it in order."""
        return (*self.remarks, *self.moved)

    def shared(self, other: "Said") -> "Said":
        """What both say."""
        return Said(
            tuple(each for each in self.remarks if each in other.remarks),
            tuple(each for each in self.moved if each in other.moved),
        )

    def but(self, other: "Said") -> "Said":
        """What this says and ``other`` does not."""
        return Said(
            tuple(each for each in self.remarks if each not in other.remarks),
            tuple(each for each in self.moved if each not in other.moved),
        )


def said_of(drill: Drill) -> Said:
    """What is said of one drill; what it leaves out is said once in a passage (``left_out``)."""
    moved = moved_of(drill)
    return Said(drill.remarks, (moved,) if moved else ())


def all_said_of(drill: Drill) -> Said:
    """All that is said of a drill that stands alone; what it leaves out makes one sentence."""
    said, items = said_of(drill), drill.left_out
    left_out = (Remark.of("left-out.sentence", items=items),) if items else ()
    return replace(said, remarks=(*said.remarks, *left_out))


def moved_of(drill: Drill) -> Remark | None:
    """Why its ladder counts in another unit, in whichever beat its goal was asked for: the sentence
    is the same."""
    moved = drill.ladder.moved
    return moved and replace(moved, values=tuple(v for v in moved.values if v[0] != "asked"))


def said_of_all(drills: Sequence[Drill]) -> Said:
    """What each of several drills says; nothing where there is but one, which says it itself."""
    return reduce(Said.shared, map(said_of, drills)) if len(drills) > 1 else Said()


def gathered(drills: Sequence[tuple[str, Drill]]) -> Said:
    """What is ``COUNTED``, each in one sentence that names its drills: several, but not all of
    which say it with one number."""
    common = said_of_all([drill for _, drill in drills])
    return Said(tuple(each for key in COUNTED for each in _gathered(key, drills, common)))


def _gathered(key: str, drills: Sequence[tuple[str, Drill]], common: Said) -> Iterator[Remark]:
    names: dict[Remark, list[str]] = {}
    for name, drill in drills:
        for each in drill.remarks:
            if each.key == key and each not in common.remarks:
                names.setdefault(each, []).append(name)
    if sum(map(len, names.values())) > 1:
        places = [
            Remark.of("rhythms.after", count=dict(each.values)["count"], drills=saying)
            for each, saying in names.items()
        ]
        yield Remark.of(f"rhythms.{COUNTED[key]}", places=places)


def said_alone(drill: Drill, told: Said) -> Said:
    """All that is said of a drill, but what is ``gathered`` in ``told``."""
    keys = {each.key.partition(".")[2] for each in told.remarks}
    said = said_of(drill)
    return replace(said, remarks=tuple(r for r in said.remarks if COUNTED.get(r.key) not in keys))
