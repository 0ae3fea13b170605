"""What binds whatever the model: rules that are broken only where nothing else is left.

Enters: steps, the hand's stretch, and grips. Leaves: what they cost, and which are broken where.
Knows no learned weights.
"""

from collections.abc import Iterator, Sequence

from engrave.fingering.costs import weight
from engrave.fingering.grips import Grip
from engrave.fingering.keyboard import hand_span_mm, is_black, reach, signed_mm
from engrave.fingering.line import Step
from engrave.fingering.moves import slides

_BASS_WHITE, _BASS_BLACK, _TOP = frozenset({5}), frozenset({4, 5}), frozenset({5})


def is_line(before: Step, after: Step) -> bool:
    """Whether single notes are joined here, and nothing else is held."""
    singles = len(before.struck) == len(after.struck) == 1
    return singles and after.joined and not before.held and not after.held


def move_breaks(
    before: Grip, after: Grip, quick: bool, stretch_mm: float
) -> Iterator[str]:  # fmt: skip
    """The rules that a move inside a single line breaks."""
    ((start, first),), ((end, second),) = before.struck, after.struck
    if start == end:
        return
    if first == second:
        if quick and not slides(start, end):
            yield "one-finger"
    elif 1 not in (first, second):
        span = abs(signed_mm(start, end))
        low, high = min(first, second), max(first, second)
        far = span > reach(low, high, stretch_mm).max_prac + 1e-6
        if far and span <= hand_span_mm(stretch_mm) + 1e-6:
            yield "long-reach"


def outer_wanted(
    steps: Sequence[Step], now: int, stretch_mm: float
) -> tuple[str, frozenset[int]] | None:
    """The rule that says which fingers the outer key of a step takes, and these fingers."""
    step = steps[now]
    if len(step.struck) == 1:
        if not step.held and _is_bass(steps, now, stretch_mm):
            return "bass", _BASS_BLACK if is_black(step.struck[0]) else _BASS_WHITE
    elif 3 <= len(step.struck) <= 5:
        joined = step.joined or (now + 1 < len(steps) and steps[now + 1].joined)
        return None if joined else ("top", _TOP)
    return None


def _is_bass(steps: Sequence[Step], now: int, stretch_mm: float) -> bool:
    """Whether the hand leaps inwards from this key to a chord, or came from one and stops."""
    span = hand_span_mm(stretch_mm) + 1e-6

    def inwards(other: Step) -> bool:
        return len(other.struck) > 1 and signed_mm(other.struck[0], steps[now].struck[0]) > span

    if now + 1 < len(steps):
        return inwards(steps[now + 1])
    return now > 0 and inwards(steps[now - 1])


def broken(
    steps: Sequence[Step], path: Sequence[Grip], stretch_mm: float
) -> Iterator[tuple[int, str]]:
    """Every rule that a whole fingering breaks: the number of the step, and the rule."""
    for now, (step, grip) in enumerate(zip(steps, path, strict=True)):
        wanted = outer_wanted(steps, now, stretch_mm)
        if wanted and grip.fingers[-1] not in wanted[1]:
            yield now, wanted[0]
        if now and is_line(steps[now - 1], step):
            for rule in move_breaks(path[now - 1], grip, step.quick, stretch_mm):
                yield now, rule


def own_charges(
    steps: Sequence[Step], now: int, grips: Sequence[Grip], stretch_mm: float
) -> list[float] | None:
    """What every grip of a step costs for the rules that bind; None where none does."""
    wanted = outer_wanted(steps, now, stretch_mm)
    if wanted is None:
        return None
    rule, fingers = wanted
    return [0.0 if grip.fingers[-1] in fingers else weight(rule) for grip in grips]


def move_charge(before: Grip, after: Grip, quick: bool, stretch_mm: float) -> float:
    """What a move inside a single line costs for the rules that bind."""
    return sum(map(weight, move_breaks(before, after, quick, stretch_mm)))
