"""Fingers for a whole piece, quickly: the cheapest path, without a second look at figures.

Enters: onsets of one hand. Leaves: the onsets with a finger on every tone. The rules are those of
``engrave.fingering``, the weights the survey's own (``finger_weights``). What is left out is that
figures are fingered alike wherever they come back, which a reader wants, and which takes as long
again. Moves that were weighed once are not weighed again: music repeats itself.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.fingering.costs import RULES, Weights
from engrave.fingering.grips import Grip, grip_cost, grips_of
from engrave.fingering.line import steps_of
from engrave.fingering.moves import move_cost, skip_cost, skip_pace
from engrave.fingering.search import Lattice, Matrix, cheapest
from engrave.fingering.step import Step, step_key
from engrave.music.notes import STRETCH_MM, Finger, FingerOrigin, Hand
from engrave.music.onset import Onset
from engrave.survey.finger_weights import WEIGHTS

MIDDLE_TEMPO = Fraction(96)
_COSTS = Weights(
    {name: WEIGHTS.get(name, rule.start if rule.binding else 0.0) for name, rule in RULES.items()}
)


def fingered(line: Sequence[Onset], hand: Hand) -> tuple[Onset, ...]:
    """The onsets with fingers: the score's where a hand can take them, else computed ones.

    They are those of a middle hand at a middle tempo, whatever the student's and the goal.
    """
    steps, choices = _steps(line, hand)
    path, _ = cheapest(_lattice(steps, choices))
    return tuple(
        _with_fingers(onset, hand, dict(grips[index].struck))
        for onset, grips, index in zip(line, choices, path, strict=True)
    )


def _steps(line: Sequence[Onset], hand: Hand) -> tuple[list[Step], list[tuple[Grip, ...]]]:
    """The steps and what there is to choose from; fingers that no hand can take are not fixed."""
    steps = list(steps_of(line, hand, MIDDLE_TEMPO))
    choices: list[tuple[Grip, ...]] = []
    for index, step in enumerate(steps):
        grips = grips_of(step, STRETCH_MM)
        if not grips:
            steps[index] = replace(step, fixed=(None,) * len(step.fixed))
            grips = grips_of(steps[index], STRETCH_MM)
        choices.append(grips)
    return steps, choices


def _lattice(steps: Sequence[Step], choices: Sequence[tuple[Grip, ...]]) -> Lattice:
    own: dict[tuple[Grip, ...], list[float]] = {}
    moves: dict[object, Matrix] = {}
    skips: dict[object, Matrix] = {}
    net = Lattice([], [[]], [[], []])
    for now, (step, here) in enumerate(zip(steps, choices, strict=True)):
        if here not in own:
            own[here] = [grip_cost(grip, STRETCH_MM, _COSTS) for grip in here]
        net.own.append(own[here])
        if now >= 1:
            key = (_key(steps[now - 1]), _key(step), step.seconds, step.silence)
            if key not in moves:
                moves[key] = _moves(choices[now - 1], here, step)
            net.moves.append(moves[key])
        if now >= 2:
            factor = skip_pace(steps[now - 1], step)
            apart = (_key(steps[now - 2]), _key(step), factor)
            if apart not in skips:
                skips[apart] = _skips(choices[now - 2], here, factor)
            net.skips.append(skips[apart])
    return net


def _key(step: Step) -> object:
    return step.struck, step.held, step.fixed


def _moves(before: Sequence[Grip], after: Sequence[Grip], step: Step) -> Matrix:
    return [[move_cost(a, b, step, STRETCH_MM, _COSTS) for a in before] for b in after]


def _skips(before: Sequence[Grip], after: Sequence[Grip], factor: float) -> Matrix:
    return [[skip_cost(a, b, factor, STRETCH_MM, _COSTS) for a in before] for b in after]


def _with_fingers(onset: Onset, hand: Hand, by_key: dict[int, int]) -> Onset:
    tones = (
        replace(tone, finger=Finger(by_key[step_key(tone.pitch, hand)], FingerOrigin.COMPUTED))
        for tone in onset.tones
    )
    return replace(onset, tones=tuple(tones))
