"""What the drills of a passage leave out: said once, for all of them.

Enters: the drills of a passage. Leaves: ``LeftOut``. Knows neither language nor page.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from engrave.drills.signs import named
from engrave.music.drill import Drill, Sign
from engrave.remarks import Remark


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What no drill has that could have it, and what some have and others have not."""

    by_all: tuple[Remark, ...]
    by_some: tuple[Remark, ...]

    @property
    def sentence(self) -> Remark | None:
        """One sentence of both; None where nothing is left out."""
        if not self.by_some:
            return Remark.of("left-out.by-all", items=self.by_all) if self.by_all else None
        if not self.by_all:
            return Remark.of("left-out.by-some", items=self.by_some)
        return Remark.of("left-out.by-both", all=self.by_all, some=self.by_some)


def left_out(drills: Sequence[Drill]) -> LeftOut:
    """What ``drills`` leave out, each kind once; which drill it is, its music shows.

    Signs before notes: of "a note before the runs and the slurs" one might be before the slurs.
    """
    by_all, by_some = _all_notes(drills)
    missing, kept = _signs(drills, kept=False), set(_signs(drills, kept=True))
    kinds = {sign.kind for sign in missing if sign in kept}
    nowhere_kept = [sign for sign in missing if sign.kind not in kinds]
    return LeftOut(
        (*named(nowhere_kept), *by_all),
        (*named(sign for sign in missing if sign.kind in kinds), *by_some),
    )


def _all_notes(drills: Sequence[Drill]) -> tuple[list[Remark], list[Remark]]:
    """The notes that all drills leave out, and those that some do; counted, the hands' together."""
    notes = [(drill, tuple(_notes(drill))) for drill in drills]
    found: dict[Remark, dict[str, int]] = {}
    for drill, left in notes:
        for each in left:
            values = dict(each.values)
            count = values.pop("count", 0)
            hands = found.setdefault(Remark.of(each.key, **values), {})
            hands[drill.hand] = max(hands.get(drill.hand, 0), int(str(count)))
    by_all: list[Remark] = []
    by_some: list[Remark] = []
    for kind, hands in found.items():
        by_every = all(any(each.key == kind.key for each in left) for _, left in notes)
        count = sum(hands.values())
        remark = Remark.of(kind.key, **dict(kind.values), count=count) if count else kind
        (by_all if by_every else by_some).append(remark)
    return by_all, by_some


def _notes(drill: Drill) -> Iterable[Remark]:
    """The notes that a drill leaves out, but no signs."""
    signs = named(sign for sign in drill.signs if not sign.kept)
    return (each for each in drill.left_out if each not in signs)


def _signs(drills: Sequence[Drill], *, kept: bool) -> list[Sign]:
    """The signs that drills keep, or do not, each once."""
    signs = (sign for drill in drills for sign in drill.signs if sign.kept is kept)
    return list(dict.fromkeys(replace(sign, kept=False) for sign in signs))
