"""Fingering: the cheapest fingers for one hand's onsets, and why.

Enters: onsets of one hand, the hand's stretch, the tempo; fingers already on the tones stay.
Leaves: fingers, low to high, for every onset. Knows nothing of passages, drills or paper.
"""

from collections.abc import Sequence
from fractions import Fraction

from engrave.fingering.checking import FIGURE, Unmet, alike, unmet
from engrave.fingering.explaining import Explanation, explanations
from engrave.fingering.line import DEFAULT_TEMPO, steps_of
from engrave.fingering.published import fingerings
from engrave.fingering.solution import solve
from engrave.fingering.step import FingeringError, step_key
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.onset import Onset

__all__ = [
    "FIGURE",
    "Explanation",
    "FingeringError",
    "Unmet",
    "alike",
    "explain",
    "finger",
    "unmet",
]


def finger(
    onsets: Sequence[Onset],
    hand: Hand,
    stretch_mm: float = STRETCH_MM,
    quarters_per_minute: Fraction | float = DEFAULT_TEMPO,
    rules: str = "default",
) -> tuple[tuple[int, ...], ...]:
    """The cheapest fingers, one tuple an onset, parallel to its tones (low to high).

    Tones that already have a finger keep it. ``rules`` are ``default``, or ``published`` for the
    unit weights of 1997, which know single lines alone and neither stretch nor tempo. Raises
    ``FingeringError`` at the onset whose fixed fingers no hand can take.
    """
    if rules == "published":
        return _as_published(onsets, hand)
    solution = solve(onsets, hand, stretch_mm, quarters_per_minute)
    return tuple(
        _parallel(onset, hand, dict(grip.struck))
        for onset, grip in zip(onsets, solution.grips, strict=True)
    )


def explain(
    onsets: Sequence[Onset],
    hand: Hand,
    stretch_mm: float = STRETCH_MM,
    quarters_per_minute: Fraction | float = DEFAULT_TEMPO,
) -> tuple[Explanation, ...]:
    """For every onset what its fingers cost by rule, and what the others would cost more.

    Onsets whose tones all have fingers are explained as they are, so that a fingered passage (the
    teacher's, the score's) can be asked what it costs.
    """
    return explanations(solve(onsets, hand, stretch_mm, quarters_per_minute))


def _as_published(onsets: Sequence[Onset], hand: Hand) -> tuple[tuple[int, ...], ...]:
    steps = steps_of(onsets, hand, DEFAULT_TEMPO)
    for number, step in enumerate(steps):
        if len(step.struck) > 1:
            raise FingeringError("the rules of 1997 know no chords", number, "rules: default")
    keys = [key for step in steps for key in step.struck]
    found, _ = fingerings(keys, [given for step in steps for given in step.fixed])
    if not found:
        raise FingeringError("the rules of 1997 find no fingering for this line", 0)
    return tuple(
        (number,) * len(onset.tones) for onset, number in zip(onsets, found[0], strict=True)
    )


def _parallel(onset: Onset, hand: Hand, by_key: dict[int, int]) -> tuple[int, ...]:
    """The fingers of the onset's tones, from those of the steps' keys."""
    return tuple(by_key[step_key(tone.pitch, hand)] for tone in onset.tones)
