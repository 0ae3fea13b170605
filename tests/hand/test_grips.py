"""How a hand takes keys at once: which held key goes first, and what a grip meets by itself.

Weights are fitted; the rules are Parncutt 1997's for keys by finger, else common practice.
"""

import pytest

from engrave.fingering.grips import Grip, _kept, grip_amounts, grip_cost, grip_costs, grips_of
from engrave.fingering.step import Step

C, CIS, D, DIS, E, F, G, A = 60, 61, 62, 63, 64, 65, 67, 69
STRETCH_MM = 205.0


@pytest.mark.parametrize(
    ("struck", "held", "kept"),
    [
        ((C,), (C - 12, G), [(G, C - 12), (G,), ()]),
        # How far a key is from a chord is how far the chord's outer key beyond is.
        ((C, G), (C - 5, C + 11), [(C + 11, C - 5), (C + 11,), ()]),  # 12 and 11 semitones
        ((C, G), (C - 4, C + 12), [(C - 4, C + 12), (C - 4,), ()]),  # 11 and 12
        ((C,), (), [()]),
    ],
)
def test_the_farthest_held_key_is_let_go_first(
    struck: tuple[int, ...], held: tuple[int, ...], kept: list[tuple[int, ...]]
) -> None:
    assert list(_kept(struck, held)) == kept


def test_six_keys_of_which_no_two_are_neighbours_are_rolled_by_all_fingers() -> None:
    """A triad over two octaves: the thumb takes two of them, one after the other."""
    step = Step((C, E, G, C + 12, E + 12, G + 12), (), (None,) * 6, 0.5, 0.0, False, False)
    (grip,) = grips_of(step, STRETCH_MM)
    assert grip.rolled
    assert grip.fingers == (1, 1, 2, 3, 4, 5)


@pytest.mark.parametrize(
    ("struck", "met"),
    [
        (((C, 2),), {"white-2"}),
        (((CIS, 5),), {"black-5"}),
        (((C, 1), (G, 5)), {"chord-white-1", "chord-white-5", "two-outer-5", "two-inner-1"}),
        (((CIS, 2), (G, 5)), {"chord-black-2", "chord-white-5", "two-outer-5", "two-inner-2"}),
        (
            ((C, 1), (E, 2), (G, 4)),
            {"chord-white-1", "chord-white-2", "chord-white-4", "more-outer-4", "more-inner-1"},
        ),
        # A third by 1 and 5.
        (
            ((C, 1), (E, 5)),
            {"chord-white-1", "chord-white-5", "two-outer-5", "two-inner-1", "third-by-outer"},
        ),
        (((C, 1), (F, 5)), {"chord-white-1", "chord-white-5", "two-outer-5", "two-inner-1"}),
        (((C, 1), (E, 4)), {"chord-white-1", "chord-white-4", "two-outer-4", "two-inner-1"}),
        # Both keys by the thumb, which is neither outside nor a finger over another.
        (((C, 1), (D, 1)), {"chord-white-1", "two-outer-2", "two-inner-1", "thumb-on-two"}),
        (((C, 1), (D, 2)), {"chord-white-1", "chord-white-2", "two-outer-2", "two-inner-1"}),
        (((E, 4), (F, 5)), {"chord-white-4", "chord-white-5", "two-outer-5", "two-inner-4"}),
    ],
)
def test_what_a_grip_meets_by_its_keys_and_fingers(
    struck: tuple[tuple[int, int], ...], met: set[str]
) -> None:
    """But for how far the fingers are spread."""
    amounts = {rule: n for rule, n in grip_amounts(Grip(struck, (), 0, False), STRETCH_MM) if n}
    spread = ("chord-spread", "chord-cramped", "chord-relaxed", "chord-stretch", "chord-leap")
    found = {rule: amount for rule, amount in amounts.items() if not rule.startswith(spread)}
    assert found == dict.fromkeys(met, 1.0)


def test_an_octave_with_a_key_inside_takes_5_as_well() -> None:
    """White octaves take 5: common practice, no source."""
    outer = {
        finger: dict(grip_amounts(Grip(((C, 1), (E, 2), (C + 12, finger)), (), 0, False), 205.0))
        for finger in (4, 5)
    }
    assert outer[4]["octave-four"] == 1.0
    assert "octave-four" not in outer[5]


def test_fingers_of_a_chord_are_spread_from_a_white_key_apart() -> None:
    """1 and 5 on C and G are at rest, on C and A a white key (1.714 semitones) further apart.

    Held keys are part of the chord.
    """

    def spread(struck: tuple[tuple[int, int], ...], held: tuple[tuple[int, int], ...]) -> float:
        amounts = dict(grip_amounts(Grip(struck, held, 0, False), STRETCH_MM))
        return amounts["chord-spread-15"]

    assert spread(((C, 1), (G, 5)), ()) == pytest.approx(0, abs=1e-9)
    assert spread(((C, 1), (A, 5)), ()) == pytest.approx(1.714, abs=1e-3)
    assert spread(((A, 5),), ((C, 1),)) == pytest.approx(1.714, abs=1e-3)


def test_what_is_let_go_and_what_is_rolled_is_counted() -> None:
    amounts = dict(grip_amounts(Grip(((C, 1), (E, 3)), (), 2, True), STRETCH_MM))
    assert (amounts["released"], amounts["rolled"]) == (2.0, 1.0)


def test_a_grip_costs_what_is_told_of_it() -> None:
    grip = Grip(((C, 1), (E, 2), (A, 4)), (), 1, False)
    told = grip_costs(grip, STRETCH_MM)
    assert grip_cost(grip, STRETCH_MM) == pytest.approx(sum(cost for _, cost in told))
