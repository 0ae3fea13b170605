"""What lies around an onset, in semitones up to an octave: four onsets on either side."""

import pytest

from engrave.fingering import explain
from engrave.fingering.grips import Grip, grip_amounts
from engrave.fingering.line import steps_of
from engrave.fingering.step import Step
from engrave.fingering.surroundings import around, around_amounts, around_costs
from engrave.music.notes import Hand
from tests.hand.lines import line


def steps(text: str, hand: Hand = Hand.RIGHT) -> tuple[Step, ...]:
    return steps_of(line(text, hand), hand, 60)


def test_four_onsets_on_either_side_are_seen() -> None:
    found = steps("C3 C4 D4 E4 F4 G4 A4-C5 B4 C5 D5 C6")
    assert around(found, 5) == ((60, 65), (69, 74))
    assert around(found, 0) == (None, (60, 65))
    assert around(found, 10) == ((69, 74), None)
    assert around(steps("D4 C4-E5 D4 G3-B4"), 2) == ((60, 76), (55, 71))  # both ends of a chord


@pytest.mark.parametrize(
    ("text", "hand", "met"),
    [
        ("C4 G4 E4", Hand.RIGHT, {"inside-before-2": 7, "inside-after-2": 3}),
        ("G4 C4 G5", Hand.RIGHT, {"outside-before-2": 7, "outside-after-2": 12}),
        ("C4 G4 E4", Hand.LEFT, {"outside-before-2": 7, "outside-after-2": 3}),
        ("C2 C3 B3", Hand.LEFT, {"outside-before-2": 12, "inside-after-2": 11}),
    ],
)
def test_how_far_others_lie_out_and_in(text: str, hand: Hand, met: dict[str, float]) -> None:
    found = steps(text, hand)
    grip = Grip(((found[1].struck[0], 2),), (), 0, False)
    amounts = dict(around_amounts(grip, *around(found, 1)))
    assert amounts == {rule: pytest.approx(amount / 12) for rule, amount in met.items()}


def test_a_chord_shares_it_among_its_keys() -> None:
    found = steps("C4 E4-G4")
    grip = Grip(((64, 1), (67, 3)), (), 0, False)
    amounts = dict(around_amounts(grip, *around(found, 1)))
    assert amounts == {
        "inside-before-1": pytest.approx(4 / 24),
        "inside-before-3": pytest.approx(7 / 24),
    }


def test_what_it_costs_is_the_sum_by_rule_that_is_explained() -> None:
    onsets = line("C4 A4 E4-G4 F5")
    told = explain(onsets, Hand.RIGHT)[2]
    charged = sum(cost for rule, cost in told.costs if rule.startswith(("outside", "inside")))
    found = steps_of(onsets, Hand.RIGHT, 60)
    keys = found[2].struck
    grip = Grip(tuple(zip(keys, told.fingers, strict=True)), (), 0, False)
    assert around_costs(found, 2, [grip]) == [pytest.approx(charged)]


@pytest.mark.parametrize(
    ("low", "high", "outer", "met"),
    [
        (60, 72, 4, True),
        (60, 72, 5, False),
        (61, 73, 4, False),
        (60, 71, 4, False),
        (60, 73, 4, True),
    ],
)
def test_an_octave_with_four_on_white(low: int, high: int, outer: int, met: bool) -> None:
    """White octaves take 5, black ones 4 or 5: common practice, no source."""
    grip = Grip(((low, 1), (high, outer)), (), 0, False)
    assert ("octave-four" in dict(grip_amounts(grip, 205.0))) is met
