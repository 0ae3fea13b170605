"""Which rules that bind are not met by fingers that stand, whoever chose them.

Enters: onsets of one hand, every tone with a finger. Leaves: ``Unmet`` rules, with the onset. What
is given by the teacher or the score alone is theirs, and no rule's business.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.fingering.binding import broken
from engrave.fingering.figures import recurrences
from engrave.fingering.grips import Grip, grips_of, left_by, taken
from engrave.fingering.hand import can_hold
from engrave.fingering.holding import holds
from engrave.fingering.line import DEFAULT_TEMPO, steps_of
from engrave.fingering.pricing import lattice
from engrave.fingering.repair import fewest
from engrave.fingering.step import Step
from engrave.music.notes import FingerOrigin, Hand
from engrave.music.onset import Onset

FIGURE = "figure"
_OUTER = frozenset({"bass", "top"})
_MOVES = frozenset({"one-finger", "one-finger-held", "long-reach", "wide-pass", "crossed"})


@dataclass(frozen=True, slots=True)
class Unmet:
    """A rule by name, the index of the onset that breaks it, and of the one it is compared with.

    That is the onset before for a move, the first like it for a figure, else the onset itself.
    ``avoidable``: other fingers than those suggested would keep it, or break fewer rules in all.
    """

    rule: str
    onset: int
    other: int
    avoidable: bool = False


def unmet(
    onsets: Sequence[Onset], hand: Hand, stretch_mm: float, quarters_per_minute: Fraction | float
) -> tuple[Unmet, ...]:
    """Every rule that suggested fingers break, in the order of the onsets; a figure once."""
    steps = steps_of(onsets, hand, quarters_per_minute, stretch_mm)
    rules = list(_rules(onsets, steps, stretch_mm))
    if rules:
        open_steps = steps_of(list(map(_bare, onsets)), hand, quarters_per_minute, stretch_mm)
        forced = _forced(steps, open_steps, stretch_mm)
        rules = [replace(each, avoidable=(each.onset, each.rule) not in forced) for each in rules]
    found = [*rules, *_figures(onsets, steps)]
    return tuple(sorted(found, key=lambda each: (each.onset, each.rule)))


def alike(onsets: Sequence[Onset], hand: Hand) -> tuple[tuple[int, int], ...]:
    """Onsets of figures that come again with the same fingers, each with the first like it."""
    steps = steps_of(onsets, hand, DEFAULT_TEMPO)
    pairs = sorted(set(recurrences(steps)))
    return tuple((n, first) for n, first in pairs if steps[n].fixed == steps[first].fixed)


def _rules(onsets: Sequence[Onset], steps: Sequence[Step], stretch_mm: float) -> Iterator[Unmet]:
    grips = _grips(steps, stretch_mm)
    for number, rule in broken(steps, grips, stretch_mm):
        if rule in _OUTER and number == len(steps) - 1:
            continue  # what follows decides, and is not here
        other = number - 1 if rule in _MOVES else number
        if _is_suggested(onsets[number]) or _is_suggested(onsets[other]):
            yield Unmet(rule, number, other)


def _forced(
    steps: Sequence[Step], open_steps: Sequence[Step], stretch_mm: float
) -> set[tuple[int, str]]:
    """What is broken even by the fingers that break least, near those that stand in ``steps``.

    In ``open_steps`` only the fingers stand that are given. A chord is out of reach for any.
    """
    choices = [grips_of(step, stretch_mm) for step in open_steps]
    grips = _grips(steps, stretch_mm)
    net = lattice(open_steps, choices, stretch_mm)
    path = fewest(open_steps, choices, net, [grip.fingers for grip in grips], stretch_mm)
    here = list(broken(steps, grips, stretch_mm))
    least = list(broken(open_steps, taken(choices, path), stretch_mm))
    return {
        (number, rule)
        for number, rule in (least if len(least) < len(here) else here)
        if rule != "chord-reach" or not holds(steps[number].struck, Hand.RIGHT, stretch_mm)
    }


def _figures(onsets: Sequence[Onset], steps: Sequence[Step]) -> Iterator[Unmet]:
    """Figures that come again with other fingers, each at its first onset that has them."""
    unlike = {(n, first) for n, first in recurrences(steps) if steps[n].fixed != steps[first].fixed}
    for number, first in sorted(unlike):
        goes_on = unlike & {(number - 1, first - 1), (number - 2, first - 2)}
        if not goes_on and (_is_suggested(onsets[number]) or _is_suggested(onsets[first])):
            yield Unmet(FIGURE, number, first)


def _grips(steps: Sequence[Step], stretch_mm: float) -> list[Grip]:
    grips: list[Grip] = []
    down: dict[int, int] = {}
    for step in steps:
        fingers = tuple(finger or 0 for finger in step.fixed)
        held = tuple((key, down[key]) for key in step.held)
        rolled = not can_hold(step.struck, fingers, Hand.RIGHT, stretch_mm)
        grip = Grip(tuple(zip(step.struck, fingers, strict=True)), held, 0, rolled)
        down.update(left_by(grip, step).struck)
        grips.append(grip)
    return grips


def _bare(onset: Onset) -> Onset:
    """The onset without the fingers that are only suggested."""
    tones = (
        replace(tone, finger=None)
        if tone.finger and tone.finger.origin is FingerOrigin.COMPUTED
        else tone
        for tone in onset.tones
    )
    return replace(onset, tones=tuple(tones))


def _is_suggested(onset: Onset) -> bool:
    return any(
        tone.finger is None or tone.finger.origin is FingerOrigin.COMPUTED for tone in onset.tones
    )
