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
    """What ``drills`` leave out, each kind once; which drill it is, its music shows."""
    notes = dict.fromkeys(each for drill in drills for each in _notes(drill))
    everywhere = [each for each in notes if all(each in drill.left_out for drill in drills)]
    missing, kept = _signs(drills, kept=False), set(_signs(drills, kept=True))
    kinds = {sign.kind for sign in missing if sign in kept}
    nowhere_kept = [sign for sign in missing if sign.kind not in kinds]
    return LeftOut(
        (*everywhere, *named(nowhere_kept)),
        (
            *(each for each in notes if each not in everywhere),
            *named(sign for sign in missing if sign.kind in kinds),
        ),
    )


def _notes(drill: Drill) -> Iterable[Remark]:
    """The notes that a drill leaves out, but no signs."""
    signs = named(sign for sign in drill.signs if not sign.kept)
    return (each for each in drill.left_out if each not in signs)


def _signs(drills: Sequence[Drill], *, kept: bool) -> list[Sign]:
    """The signs that drills keep, or do not, each once."""
    signs = (sign for drill in drills for sign in drill.signs if sign.kept is kept)
    return list(dict.fromkeys(replace(sign, kept=False) for sign in signs))
