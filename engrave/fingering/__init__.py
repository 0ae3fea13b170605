"""Fingering: the cheapest fingers for one hand's onsets, and why.

Enters: onsets of one hand, the hand's stretch, the tempo; fingers already on the tones stay.
Leaves: fingers, low to high, for every onset. Knows nothing of passages, drills or paper.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from operator import add

from engrave.fingering.figures import alike
from engrave.fingering.grips import Grip, grips_of
from engrave.fingering.line import FingeringError, Step, fingers_of, steps_of
from engrave.fingering.search import at_best, cheapest, lattice
from engrave.keyboard import DEFAULT_STRETCH_MM
from engrave.model import Hand
from engrave.passage import Onset

__all__ = ["FingeringError", "finger"]

DEFAULT_TEMPO = Fraction(60)


def finger(
    onsets: Sequence[Onset],
    hand: Hand,
    stretch_mm: float = DEFAULT_STRETCH_MM,
    quarters_per_minute: Fraction | float = DEFAULT_TEMPO,
) -> tuple[tuple[int, ...], ...]:
    """The cheapest fingers, one tuple an onset, parallel to its tones (low to high).

    Tones that already have a finger keep it. Raises ``FingeringError`` at the onset whose fixed
    fingers no hand can take.
    """
    steps = steps_of(onsets, hand, quarters_per_minute)
    choices = [_choices(number, step, stretch_mm) for number, step in enumerate(steps)]
    if not steps:
        return ()
    net = lattice(steps, choices, stretch_mm)
    extra = alike(steps, choices, at_best(net))
    own = [list(map(add, a, b)) for a, b in zip(net.own, extra, strict=True)]
    path, _ = cheapest(replace(net, own=own))
    return tuple(
        fingers_of(onset, hand, dict(grips[k].struck))
        for onset, grips, k in zip(onsets, choices, path, strict=True)
    )


def _choices(number: int, step: Step, stretch_mm: float) -> tuple[Grip, ...]:
    grips = grips_of(step, stretch_mm)
    if not grips:
        raise FingeringError("no hand can take these keys with these fingers", number)
    return grips
