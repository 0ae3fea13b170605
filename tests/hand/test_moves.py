"""Which rules a move meets, how many units of each, and what silence and haste do to their weight.

Distances: keyboard of 165 mm an octave, a semitone 13.75 mm, a white key 23.571 mm; black keys as
in the equal-back model (C sharp 0.9, E flat 2.1, F sharp 3.857 white keys from the left edge of C).
Weights of time are ours, no source; the limit of eight strokes a second is from memory.
"""

import pytest

from engrave.fingering.costs import FINGERING, total
from engrave.fingering.grips import Grip
from engrave.fingering.moves import (
    finger_costs,
    joined_amounts,
    lifted_amounts,
    lowest,
    move_cost,
    move_costs,
    pace,
    position_amounts,
    skip_pace,
    slides,
    whole_amounts,
)
from engrave.fingering.step import Step

C, CIS, D, DIS, E, F, FIS, G, A = 60, 61, 62, 63, 64, 65, 66, 67, 69


def step(seconds: float, silence: float = 0.0, *struck: int) -> Step:
    return Step(struck or (C,), (), (None,) * len(struck or (C,)), seconds, silence, False, False)


@pytest.mark.parametrize(
    ("seconds", "silence", "weighs"),
    [
        (0.25, 0.0, 1.0),  # a sixteenth at quarter = 60
        (0.25, 0.3, 0.5),  # a rest of 0.3 s halves what it costs to move
        (0.25, 0.6, 1 / 3),
        (0.25, 0.9, 0.25),
        (1.0, 0.0, 0.5),  # slow: half, and never less but for rests
        (9.0, 0.0, 0.5),
        (0.0625, 0.0, 1.6),  # quick: at most 1.6
        (0.16, 0.0, 1.25),
        (0.0, 0.0, 1.0),  # the first onset
    ],
)
def test_haste_weighs_and_rests_ease(seconds: float, silence: float, weighs: float) -> None:
    assert pace(step(seconds, silence)) == pytest.approx(weighs)


def test_over_two_steps_the_easier_one_counts_and_a_repeat_not_at_all() -> None:
    slow, quick = step(1.0, 0.0, C), step(0.16, 0.0, D)
    assert skip_pace(slow, quick) == skip_pace(quick, slow) == 0.5
    assert skip_pace(quick, quick) == 0.0


def amounts(start: int, end: int, fingers: str, chords: bool = False) -> dict[str, float]:
    first, second = map(int, fingers)
    found: dict[str, float] = {}
    for rule, amount in joined_amounts(start, end, first, second, 205.0, chords):
        if amount:
            assert rule not in found
            found[rule] = round(amount, 3)
    return found


SECOND = 1.714  # a white key in semitones


@pytest.mark.parametrize(
    ("start", "end", "fingers", "met"),
    [
        # Fingers at rest, a white key apart: nothing but the kind of move.
        (C, D, "12", {"pair-12": 1, "second-12": 1}),
        (D, C, "21", {"pair-12": 1, "second-12": 1}),
        (C, E, "13", {"pair-13": 1, "third-13": 1}),
        (C, F, "14", {"pair-14": 1}),
        # Closer than at rest, wider than at rest.
        (C, D, "13", {"cramped-13": SECOND, "pair-13": 1, "second-13": 1}),
        (D, E, "24", {"cramped-24": SECOND, "pair-24": 1, "second-24": 1}),
        (C, DIS, "13", {"cramped-13": 0.686, "pair-13": 1, "third-13": 1, "black-white-31": 1}),
        # The thumb under, a finger over it.
        (E, F, "31", {"pass-under-3": 1, "pass-level": 1, "pass-size": SECOND, "pair-13": 1,
                      "second-passed-13": 1}),
        (F, E, "13", {"pass-over-3": 1, "pass-level": 1, "pass-size": SECOND, "pair-13": 1,
                      "second-passed-13": 1}),
        (E, FIS, "31", {"pass-under-3": 1, "pass-to-black": 1, "pass-size": 2.326, "pair-13": 1,
                        "second-passed-13": 1, "black-white-13": 1}),
        (FIS, G, "31", {"pass-under-3": 0.643, "pass-size": 1.102, "pair-13": 1,
                        "second-passed-13": 1, "black-white-31": 1}),
        # By a fifth: further than the four semitones to which 1 and 3 pass at all (MinPrac).
        (C, G, "31", {"pass-under-3": 1, "pass-level": 1, "pass-size": 6.857,
                      "pass-stretch": 2.952, "pair-13": 1}),
        # Other fingers cross; the same finger hops, slides, or goes on with its chord.
        (E, F, "32", {"crossing": 1, "stretch": 0.857}),
        (C, D, "22", {"same-finger-2": 1, "same-finger-size": SECOND}),
        (CIS, D, "22", {"slide": 1, "same-finger-size": 1.029}),
        (D, CIS, "22", {"same-finger-2": 1, "same-finger-size": 1.029}),
        # One key again.
        (C, C, "11", {}),
        (C, C, "21", {"repeat-inwards": 1}),
        (C, C, "12", {"repeat-outwards": 1}),
    ],
)  # fmt: skip
def test_what_a_move_meets(start: int, end: int, fingers: str, met: dict[str, float]) -> None:
    assert amounts(start, end, fingers) == met


@pytest.mark.parametrize(
    ("end", "semitones"), [(E, 1.714), (G, 5.143), (A, 6.857), (C + 12, 6.857)]
)
def test_beyond_four_white_keys_from_rest_fingers_do_not_feel_that_they_spread(
    end: int, semitones: float
) -> None:
    """1 and 2 are at rest on C and D. Our limit, no source: further out the reach alone matters."""
    assert amounts(C, end, "12")["spread-12"] == semitones


def test_a_chord_goes_on_as_a_whole() -> None:
    assert amounts(C, D, "22", chords=True) == {"shift": 1, "same-finger-size": SECOND}


def test_sliding_is_from_black_to_the_white_beside_it() -> None:
    pairs = [(a, b) for a in range(C, C + 5) for b in range(C, C + 5) if slides(a, b)]
    assert pairs == [(CIS, C), (CIS, D), (DIS, D), (DIS, E)]


def test_a_lifted_hand_pays_by_the_distance() -> None:
    assert dict(lifted_amounts(C, C + 12)) == {"lift": 1.0, "lift-size": pytest.approx(12)}
    assert dict(lifted_amounts(C, D))["lift-size"] == pytest.approx(SECOND, abs=1e-3)


def test_a_slide_is_not_made_cheaper_by_calling_it_a_lift() -> None:
    assert {rule for rule, _ in finger_costs(CIS, D, 2, 2, 205.0, False)} == {
        "slide",
        "same-finger-size",
    }
    assert "lift" in {rule for rule, _ in finger_costs(D, CIS, 2, 2, 205.0, False)}


@pytest.mark.parametrize(
    ("start", "end", "fingers", "met"),
    [
        (C, C, (1, 1), {}),
        (C, C, (1, 2), {"key-change": 1}),
        (C, E, (1, 3), {"third-after-two-13": 1}),
        (E, C, (3, 1), {"third-after-two-13": 1}),
        (C, G, (1, 5), {"fifth-after-two-15": 1}),
        (C, D, (1, 3), {"closed-thumb": SECOND}),
        (D, F, (2, 4), {"third-after-two-24": 1}),
        (D, E, (2, 4), {"closed-long": SECOND, "closed-hand": SECOND}),
        # One finger that comes again within a white key has not moved the hand; further, it has.
        (C, D, (2, 2), {"open-long": SECOND}),
        (D, C, (2, 2), {"closed-long": SECOND}),
        (C, E, (2, 2), {"position-change": 1, "position-size": SECOND, "open-long": 3.429,
                        "third-after-two-22": 1}),
        # Two octaves and more count as one, and what is more than eight semitones off rest as
        # eight: the hand has been set anew.
        (C, C + 24, (1, 3), {"position-change": 1, "position-size": 12, "open-thumb": 8}),
        (C, C - 24, (1, 3), {"position-change": 1, "position-size": 12, "closed-thumb": 8}),
        (C, C + 24, (2, 3), {"position-change": 1, "position-size": 12, "open-long": 8}),
        (C, C - 24, (2, 3), {"position-change": 1, "position-size": 12, "closed-long": 8,
                             "closed-hand": SECOND}),
    ],
)  # fmt: skip
def test_what_two_onsets_apart_meet(
    start: int, end: int, fingers: tuple[int, int], met: dict[str, float]
) -> None:
    found = {
        rule: round(amount, 3)
        for rule, amount in position_amounts(start, end, *fingers, 205.0)
        if amount
    }
    assert found == met


def test_thirds_are_what_scales_make_after_two_and_fifths_and_sixths_what_arpeggios_make() -> None:
    found = {
        semitones: rule.removesuffix("-after-two-14")
        for semitones in range(1, 13)
        for rule, _ in position_amounts(C, C + semitones, 1, 4, 205.0)
        if "after-two" in rule
    }
    assert found == {3: "third", 4: "third", 7: "fifth", 8: "fifth", 9: "fifth"}


@pytest.mark.parametrize(
    ("seconds", "times"), [(0.8, 0.0), (0.475, 0.5), (0.15, 1.0), (0.05, 1.154), (3.0, 0.0)]
)
def test_a_quick_repetition_by_one_finger(seconds: float, times: float) -> None:
    """None is due at 0.8 s, one at 0.15 s (about eight a second is one finger's limit)."""
    grip = Grip(((C, 2),), (), 0, False)
    assert dict(whole_amounts(grip, grip, step(seconds))) == {
        "repeat": pytest.approx(times, abs=1e-3)
    }


def test_moves_between_chords_are_shared_out_among_their_fingers() -> None:
    one = Grip(((C, 1), (E, 3)), (), 0, False)
    other = Grip(((D, 1), (F, 3)), (), 0, False)
    costs = move_costs(one, other, step(0.25), 205.0)
    shift = [cost for rule, cost in costs if rule == "shift"]
    assert shift == [pytest.approx(FINGERING["shift"] / 4)] * 2


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (((C, 2),), ((C, 2),)),  # one key again
        (((C, 2),), ((D, 3),)),
        (((C, 1),), ((D, 1), (F, 3))),
        (((D, 1), (F, 3)), ((C, 1),)),
        (((C, 1), (E, 3)), ((D, 1), (F, 3))),
        (((C, 1), (E, 3)), ((C, 2), (E, 4))),  # one chord again, by other fingers
    ],
)
@pytest.mark.parametrize("held", [(), ((A, 4),)])
def test_what_a_move_costs_is_what_is_told_of_it(
    before: tuple[tuple[int, int], ...],
    after: tuple[tuple[int, int], ...],
    held: tuple[tuple[int, int], ...],
) -> None:
    """Also beside a key that is held, on which a finger changes."""
    here, there = (
        Grip((*before, *((A, 5) for _ in held)), (), 0, False),
        Grip(after, held, 0, False),
    )
    now = step(0.16, 0.0, *(key for key, _ in after))
    told = move_costs(here, there, now, 205.0)
    assert move_cost(here, there, now, 205.0) == pytest.approx(total(told))
    assert dict(told).get("substitution") == (FINGERING["substitution"] if held else None)


def test_a_key_that_was_let_go_is_no_longer_held() -> None:
    here, there = Grip(((C, 1),), (), 1, False), Grip(((D, 2),), ((A, 5),), 0, False)
    assert move_cost(here, there, step(0.25, 0.0, D), 205.0) == float("inf")


def test_a_move_is_the_same_in_every_octave() -> None:
    assert [lowest(key, key + 5) for key in (C, C + 24, CIS - 12)] == [(0, 5), (0, 5), (1, 6)]
    assert lowest(C + 11, C) == (11, 0)


def test_the_thumb_is_dear_on_black_and_the_fifth_finger_next() -> None:
    """Parncutt 1997, rules 10 and 11; learned from prints, not to be turned round by learning."""
    black = {finger: FINGERING[f"black-{finger}"] for finger in range(1, 6)}
    assert sorted(black, key=black.__getitem__)[-2:] == [5, 1]
    assert black[1] > FINGERING["white-1"] + 2
    assert black[5] > FINGERING["white-5"] + 1
    assert FINGERING["pass-to-black"] > FINGERING["pass-level"] + 5


def test_only_a_chord_goes_on_from_a_chord() -> None:
    one, chord = Grip(((C, 1),), (), 0, False), Grip(((D, 1), (F, 3)), (), 0, False)
    for before, after in ((one, chord), (chord, one)):
        rules = {rule for rule, _ in move_costs(before, after, step(0.25), 205.0)}
        assert "shift" not in rules


def test_a_chord_struck_again_keeps_its_fingers() -> None:
    first, other = (Grip(((C, 1), (E, high)), (), 0, False) for high in (2, 3))
    assert dict(whole_amounts(first, other, step(0.25))) == {"chord-again": 1.0}
    assert not dict(whole_amounts(first, first, step(0.25)))
    single, changed = (Grip(((C, finger),), (), 0, False) for finger in (1, 2))
    assert not dict(whole_amounts(single, changed, step(0.25)))
    moved = Grip(((D, 1), (F, 3)), (), 0, False)
    assert "chord-again" not in dict(whole_amounts(first, moved, step(0.25)))
