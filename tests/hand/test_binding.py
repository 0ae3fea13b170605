"""The rules that bind, and the grips there are, key by key at a stretch of 205 mm.

MaxPrac of the published table (Parncutt and others 1997): 2-3 five semitones, 3-4 and 4-5 four and
five, 2-5 ten, 1-5 fifteen; a semitone of a reach is 13.75 mm times the stretch over that of the
table. The bass with 5 (4 on black), the top of chords with 5: common practice, no source.
"""

from dataclasses import replace

import pytest

from engrave.fingering.binding import (
    broken,
    held_breaks,
    move_breaks,
    move_rules,
    outer_wanted,
    own_charges,
    own_rules,
)
from engrave.fingering.grips import Grip, grip_amounts, grips_of
from engrave.fingering.hand import hand_span_mm
from engrave.fingering.holding import excess_mm, holds, let_go
from engrave.fingering.line import steps_of
from engrave.fingering.step import Step
from engrave.music.notes import Hand
from tests.hand.lines import line

STRETCH_MM = 205.0
C, CIS, D, DIS, E, F, FIS, G, A, H = 60, 61, 62, 63, 64, 65, 66, 67, 69, 71


def one(key: int, finger: int, *held: tuple[int, int]) -> Grip:
    return Grip(((key, finger),), held, 0, False)


def step(*struck: int, held: tuple[int, ...] = (), joined: bool = False) -> Step:
    return Step(struck, held, (None,) * len(struck), 0.25, 0.0, joined, joined)


@pytest.mark.parametrize(
    ("start", "end", "quick", "rules"),
    [
        ((C, 2), (D, 2), True, ["one-finger"]),
        ((C, 2), (D, 2), False, []),  # slow: the hand has time
        ((C, 2), (C, 2), True, []),  # the same key
        ((CIS, 2), (D, 2), True, []),  # slides from black to white
        ((D, 2), (CIS, 2), True, ["one-finger"]),
        ((C, 2), (E, 3), True, []),
        ((C, 2), (F, 3), True, ["long-reach"]),  # 70.7 mm, of five semitones 68.3
        ((C, 2), (F, 3), False, ["long-reach"]),
        ((C, 3), (E, 4), True, []),
        ((C, 3), (G, 4), True, ["long-reach"]),
        ((C, 2), (A, 5), True, []),  # nine by 2 and 5
        ((C, 2), (H, 5), True, ["long-reach"]),
        ((C, 3), (D, 2), True, ["crossed"]),
        ((C, 3), (D, 2), False, []),
        ((C, 3), (E, 2), True, ["crossed"]),
        ((C, 4), (E, 2), True, ["crossed"]),
        ((C, 4), (F, 2), True, []),  # too far to cross: the hand is set anew
        ((C, 3), (F, 1), True, []),  # a fourth
        ((C, 3), (FIS, 1), True, []),
        ((C, 3), (G, 1), True, ["wide-pass"]),  # a fifth
        ((G, 1), (C, 3), True, ["wide-pass"]),  # and over the thumb
        ((C, 1), (G, 3), True, []),
        ((C, 1), (C + 24, 5), True, []),  # a leap
    ],
)
def test_moves_of_a_single_line(
    start: tuple[int, int], end: tuple[int, int], quick: bool, rules: list[str]
) -> None:
    assert list(move_breaks(one(*start), one(*end), quick, STRETCH_MM)) == rules


def test_what_two_fingers_just_reach_is_joined() -> None:
    """At 21.6 cm five semitones of 2 and 3 are 5 x 13.75 x 216 / 210 mm: a fourth of white keys."""
    assert not list(move_breaks(one(C, 2), one(F, 3), True, 216.0))
    assert list(move_breaks(one(C, 2), one(F, 3), True, 215.9)) == ["long-reach"]


def test_what_just_lies_in_the_hand_is_no_leap() -> None:
    """At 16.8 cm the hand spans 15 x 13.75 x 168 / 210 = 165 mm, an octave; 2 and 5 do not."""
    assert list(move_breaks(one(C, 2), one(C + 12, 5), True, 168.0)) == ["long-reach"]
    assert not list(move_breaks(one(C, 2), one(C + 12, 5), True, 167.9))


def test_a_finger_used_twice_beside_a_held_key_where_another_is_free() -> None:
    thumb = (C, 1)
    assert list(held_breaks(one(F, 3, thumb), one(G, 3, thumb), STRETCH_MM)) == ["one-finger-held"]
    assert not list(held_breaks(one(F, 3, thumb), one(G, 4, thumb), STRETCH_MM))
    assert not list(held_breaks(one(F, 3, thumb), one(F, 3, thumb), STRETCH_MM))
    assert list(held_breaks(one(F, 4, thumb), one(G, 4, thumb), STRETCH_MM)) == ["one-finger-held"]
    # Falling, a finger nearer the thumb is free; a finger further out would cross it.
    top = (G, 5)
    assert list(held_breaks(one(E, 3, top), one(D, 3, top), STRETCH_MM)) == ["one-finger-held"]
    assert not list(held_breaks(one(E, 2, top), one(D, 2, top), STRETCH_MM))
    # It slides from black to white; another held key is let go, and the hand with it.
    assert not list(held_breaks(one(DIS, 3, top), one(D, 3, top), STRETCH_MM))
    let_go_of = Grip(((D, 3),), (top,), 1, False)
    assert not list(held_breaks(one(E, 3, top), let_go_of, STRETCH_MM))
    # From 2 the third finger does not reach as far as a tritone, the fourth does; a seventh none.
    below = (C - 3, 1)
    assert list(held_breaks(one(C, 2, below), one(FIS, 2, below), STRETCH_MM)) == [
        "one-finger-held"
    ]
    assert not list(held_breaks(one(C, 2, below), one(H, 2, below), STRETCH_MM))
    # None of the higher fingers is left when the fifth goes on up.
    assert not list(held_breaks(one(F, 5, thumb), one(G, 5, thumb), STRETCH_MM))


def test_beside_a_held_key_a_finger_may_go_on_where_the_hand_has_time_or_is_free() -> None:
    """Quickly, and with the key held on, another finger has to take over."""
    thumb = (C, 1)
    before, after = step(F, held=(C,)), step(G, held=(C,), joined=True)
    grips = one(F, 3, thumb), one(G, 3, thumb)
    assert list(move_rules(before, after, *grips, STRETCH_MM)) == ["one-finger-held"]
    slow = replace(after, quick=False)
    assert not list(move_rules(before, slow, *grips, STRETCH_MM))
    let_go_of = step(G, joined=True)
    assert not list(move_rules(before, let_go_of, grips[0], one(G, 3), STRETCH_MM))
    third = Grip(((D, 2), (F, 3)), (thumb,), 0, False)
    assert not list(move_rules(step(D, F, held=(C,)), after, third, grips[1], STRETCH_MM))


@pytest.mark.parametrize(
    ("steps", "now", "wanted"),
    [
        ([step(36), step(C, E, G)], 0, None),  # a left hand's bass is mirrored: higher, not lower
        ([step(84), step(C, E, G)], 0, ("bass", {5})),
        ([step(85), step(C, E, G)], 0, ("bass", {4, 5})),  # on black
        ([step(H), step(C, E, G)], 0, None),  # within the hand
        ([step(84), step(C)], 0, None),  # to a single note
        ([step(84)], 0, None),
        ([step(C, E, G), step(84)], 1, ("bass", {5})),  # the last of all
        ([step(C, E, G), step(84), step(D)], 1, None),
        ([step(84, held=(C,)), step(C, E, G)], 0, None),  # something is held
        ([step(C, E)], 0, None),
        ([step(C, E, G)], 0, ("top", {5})),
        ([step(C, D, E, F, G)], 0, ("top", {5})),
        ([step(C, D, E, F, G, A)], 0, None),
        ([step(C, E, G), step(D, F, A, joined=True)], 0, None),  # in a legato line
        ([step(C, E, G), step(D, F, A, joined=True)], 1, None),
        ([step(C, E, G), step(D, F, A), step(E, G, H)], 1, ("top", {5})),
        ([step(C, E, G, joined=True), step(D, F, A)], 1, ("top", {5})),
        ([step(D, joined=True), step(C, E, G), step(D, F, A)], 1, ("top", {5})),
        # On the way inwards from a key further out, if it is joined to it.
        ([step(89), step(84, joined=True), step(C, E, G)], 1, None),
        ([step(89), step(84), step(C, E, G)], 1, ("bass", {5})),
        ([step(83), step(84, joined=True), step(C, E, G)], 1, ("bass", {5})),
        ([step(84), step(84, joined=True), step(C, E, G)], 1, ("bass", {5})),  # struck twice
        ([step(84), step(C, E)], 0, ("bass", {5})),
        ([step(C, 89), step(84, joined=True), step(C, E, G)], 1, ("bass", {5})),
        ([step(84, joined=True), step(C, E, G), step(89)], 0, ("bass", {5})),
    ],
)
def test_outer_keys(steps: list[Step], now: int, wanted: tuple[str, set[int]] | None) -> None:
    assert outer_wanted(steps, now, STRETCH_MM) == wanted


def test_what_is_broken_is_told_with_its_place() -> None:
    steps = [step(84), step(C, E, G)]
    chord = Grip(((C, 1), (E, 2), (G, 5)), (), 0, False)
    assert list(broken(steps, [one(84, 3), chord], STRETCH_MM)) == [(0, "bass")]
    assert not list(broken(steps, [one(84, 5), chord], STRETCH_MM))
    low = Grip(((C, 1), (E, 2), (G, 3)), (), 0, False)
    assert list(broken(steps, [one(84, 5), low], STRETCH_MM)) == [(1, "top")]


def test_the_hand_goes_on_with_the_finger_that_has_taken_the_key_over() -> None:
    """C is struck by 3 and taken over by 2: the next key is another finger's than 2."""
    steps = [replace(step(C), changes=(2,)), step(D, joined=True), step(E, joined=True)]
    assert list(broken(steps, [one(C, 3), one(D, 2), one(E, 3)], STRETCH_MM)) == [(1, "one-finger")]
    assert not list(broken(steps, [one(C, 3), one(D, 3), one(E, 4)], STRETCH_MM))


def fingers_of(*keys: int, held: tuple[int, ...] = (), fixed: str = "") -> set[str]:
    """The fingers on the struck keys in every grip; ``r`` where it is rolled."""
    given = tuple(int(each) if each != "." else None for each in fixed) or (None,) * len(keys)
    grips = grips_of(Step(keys, held, given, 0.25, 0.0, False, False), STRETCH_MM)
    return {"".join(map(str, grip.fingers)) + "r" * grip.rolled for grip in grips}


def test_the_grips_of_a_key_and_of_chords() -> None:
    assert fingers_of(C) == {"1", "2", "3", "4", "5"}
    assert fingers_of(C, D) == {"12", "13", "14", "15", "23", "24", "25", "34", "35", "45"}
    assert fingers_of(C, C + 12) == {"15", "14"}
    assert fingers_of(C, E, G, C + 12) == {"1235"}
    thumb_on_two = {"11234", "11235", "11245", "11345"}
    assert fingers_of(C, D, E, F, G) == {"12345"} | thumb_on_two


def test_the_thumb_takes_two_white_neighbours_where_there_are_three_keys_or_it_is_asked() -> None:
    assert any(taken.startswith("11") for taken in fingers_of(C, D, G))
    assert not any(taken.startswith("11") for taken in fingers_of(C, DIS, G))
    assert fingers_of(C, D, fixed="11") == {"11"}
    assert {len(taken) for taken in fingers_of(C, D, E, F, G, A)} <= {6, 7}


def test_what_no_hand_takes_is_rolled() -> None:
    assert all(taken.endswith("r") for taken in fingers_of(C, C + 24))
    assert fingers_of(C, E, G, C + 12, C + 16, C + 19, C + 24) == {"1123345r"}


def test_held_keys_keep_fingers_and_the_farthest_is_let_go_first() -> None:
    grips = grips_of(Step((G,), (C,), (None,), 0.25, 0.0, False, False), STRETCH_MM)
    assert {grip.released for grip in grips} == {0, 1}
    assert {grip.held for grip in grips if grip.released} == {()}
    assert ((C, 1),) in {grip.held for grip in grips}
    two = grips_of(Step((C + 12,), (C - 5, A), (None,), 0.25, 0.0, False, False), STRETCH_MM)
    assert {tuple(key for key, _ in grip.held) for grip in two if not grip.rolled} <= {(A,), ()}


@pytest.mark.parametrize(
    ("keys", "holds_them"),
    [
        ((), True),
        ((C,), True),
        ((C, C + 12), True),
        ((C, C + 14), True),  # a ninth
        ((C, C + 16), False),  # a tenth at 205 mm
        ((C, D, E, F, G, A), True),  # the thumb on two
        ((CIS, D, DIS, E, F, FIS), False),
        ((C, D, E, F, G, A, H), False),
    ],
)
def test_what_a_hand_holds(keys: tuple[int, ...], holds_them: bool) -> None:
    assert holds(keys, Hand.RIGHT, STRETCH_MM) is holds_them


def test_what_has_to_be_let_go() -> None:
    assert let_go((C,), (C, C + 7), Hand.RIGHT, STRETCH_MM) == ()
    assert let_go((C,), (C + 19,), Hand.RIGHT, STRETCH_MM) == (C + 19,)
    assert let_go((C,), (C - 12, C + 19, C + 7), Hand.RIGHT, STRETCH_MM) == (C + 19, C - 12)
    # The farther of two is the one farther from either end of what is struck.
    assert let_go((C, C + 12), (C - 5, C + 18), Hand.RIGHT, STRETCH_MM) == (C + 18, C - 5)
    assert let_go((C, C + 12), (C - 6, C + 17), Hand.RIGHT, STRETCH_MM) == (C - 6, C + 17)
    assert excess_mm((C, C + 12), STRETCH_MM) == 0
    assert excess_mm((), STRETCH_MM) == 0
    two_octaves = pytest.approx(330 - hand_span_mm(STRETCH_MM))
    assert excess_mm((C, C + 24), STRETCH_MM) == two_octaves
    assert excess_mm((C, E, C + 24), STRETCH_MM) == two_octaves
    assert 188.6 < hand_span_mm(STRETCH_MM) < 212.1  # a ninth, no tenth


def test_what_a_grip_meets_in_itself() -> None:
    single = {rule: amount for rule, amount in grip_amounts(one(FIS, 3), STRETCH_MM) if amount}
    assert single == {"black-3": 1.0}
    chord = Grip(((C, 1), (E, 2), (G, 3)), (), 1, False)
    met = {rule: round(amount, 2) for rule, amount in grip_amounts(chord, STRETCH_MM) if amount}
    assert {rule: met[rule] for rule in met if not rule.startswith("chord-spread")} == {
        "chord-white-1": 1.0, "chord-white-2": 1.0, "chord-white-3": 1.0,
        "more-outer-3": 1.0, "more-inner-1": 1.0, "released": 1.0,
        **{rule: met[rule] for rule in met if "span" in rule or "stretch" in rule},
    }  # fmt: skip
    two = dict(grip_amounts(Grip(((C, 1), (D, 1)), (), 0, True), STRETCH_MM))
    assert (two["thumb-on-two"], two["two-outer-2"], two["rolled"]) == (1.0, 1.0, 1.0)


def outer_of_left(text: str, *now: int) -> list[object]:
    """What is wanted of the left hand's outer finger at these onsets."""
    steps = steps_of(line(text, Hand.LEFT), Hand.LEFT, 90)
    return [outer_wanted(steps, each, STRETCH_MM) for each in now]


def test_the_bass_is_the_key_from_which_the_hand_comes_in() -> None:
    """Clara Schumann, op. 17, third movement, measure 62: from A1 over B2 to a chord.

    A1 is the bass; alone, or come to from above, B2 would be.
    """
    assert outer_of_left("A1 B2 E3-G#3-D4", 1) == [None]
    assert outer_of_left("B2 E3-G#3-D4", 0) == [("bass", frozenset({5}))]
    assert outer_of_left("C3 B2 E3-G#3-D4", 1) == [("bass", frozenset({5}))]


def test_the_bass_may_leap_to_one_key_and_on_to_the_chord() -> None:
    """Measure 62, second beat: A1, C3 a tenth above it, and the chord."""
    assert outer_of_left("A1 C3 E3-A3-C4", 0, 1) == [("bass", frozenset({5})), None]
    assert outer_of_left("C#2 E3 B3-C#4-G4", 0, 1) == [("bass", frozenset({4, 5})), None]
    assert outer_of_left("A1 B2 E3-G#3-D4", 0, 1) == [None, None]  # within the hand
    assert outer_of_left("A1 C3 E3", 0, 1) == [None, None]


@pytest.mark.parametrize(
    ("struck", "breaks"),
    [
        (((60, 1), (62, 2), (71, 3)), ["chord-reach"]),  # 2 and 3 on a sixth, within the hand
        (((60, 1), (64, 2), (77, 5)), []),  # wider than the hand: no fingers hold it
        (((60, 1), (67, 2), (72, 3)), ["chord-reach"]),  # a fourth, 70.7 mm: they reach 70.1
        (((60, 1), (67, 2), (71, 3)), []),
        # Seven keys within the hand, which has to roll them: the third finger goes on to the next.
        (((60, 1), (62, 1), (64, 2), (65, 3), (67, 3), (69, 4), (71, 5)), []),
    ],
)
def test_long_fingers_of_a_rolled_chord(
    struck: tuple[tuple[int, int], ...], breaks: list[str]
) -> None:
    keys = tuple(key for key, _ in struck)
    step = Step(keys, (), (None,) * len(keys), 0.5, 0.0, True, False)
    assert list(own_rules([step], 0, Grip(struck, (), 0, True), 205.0)) == breaks
    assert not list(own_rules([step], 0, Grip(struck, (), 0, False), 205.0))


def test_long_fingers_of_a_chord_strike_a_little_beside_the_middle() -> None:
    """2 and 3 on a fourth: they reach five semitones, and 1.5 mm at either end are allowed for."""
    stretch_mm = (3 * 165 / 7 - 2 * 1.5) / (5 * 165 / 12) * 210
    steps = [step(C, G, C + 12, joined=True)]
    rolled = Grip(((C, 1), (G, 2), (C + 12, 3)), (), 0, True)
    assert not list(own_rules(steps, 0, rolled, stretch_mm))
    assert list(own_rules(steps, 0, rolled, stretch_mm - 0.01)) == ["chord-reach"]


def test_the_top_of_a_chord_by_itself_is_charged_for_by_finger() -> None:
    step = Step((60, 64, 67), (), (None,) * 3, 0.5, 0.2, False, False)
    grips = grips_of(step, 205.0)
    charges = own_charges([step], 0, grips, 205.0)
    assert charges == [0.0 if grip.fingers[-1] == 5 else 30.0 for grip in grips]
    assert set(charges) == {0.0, 30.0}
    assert own_charges([replace(step, joined=True)], 0, grips, 205.0) is None
