"""The rules that bind whatever the model, by a checker that shares no code with it."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engrave.fingering import FIGURE, finger, unmet
from engrave.music.notes import Hand
from tests.hand.lines import fingered, keys_line, line, onsets_fingered, words
from tests.hand.obeying import (
    fewest_broken,
    obeyed,
    some_line_obeys,
    unlike_figures,
    violations,
)
from tests.works import SWEPT, Work

WHITE = [key for key in range(36, 97) if key % 12 in (0, 2, 4, 5, 7, 9, 11)]
hands = st.sampled_from(Hand)
checked = settings(deadline=None, max_examples=60)


@checked
@given(st.lists(st.integers(50, 74), min_size=2, max_size=20), hands, st.floats(180, 240))
def test_no_rule_is_broken_in_single_lines(keys: list[int], hand: Hand, stretch_mm: float) -> None:
    onsets = keys_line(keys, hand)
    fingers = finger(onsets, hand, stretch_mm, 96)
    broken = list(violations(onsets, fingers, hand, stretch_mm))
    if some_line_obeys(keys, hand, stretch_mm):
        assert broken == []
    suggested = onsets_fingered(onsets, fingers)
    told = {each.onset for each in unmet(suggested, hand, stretch_mm, 96) if each.rule != FIGURE}
    assert {number for number, _ in broken} == told


@settings(deadline=None, max_examples=25)
@given(st.lists(st.integers(45, 80), min_size=2, max_size=4), hands, st.floats(180, 240))
def test_the_fewest_broken_rules_are_counted_over_every_fingering(
    keys: list[int], hand: Hand, stretch_mm: float
) -> None:
    onsets = keys_line(keys, hand)
    counts = (
        len(list(violations(onsets, [(each,) for each in fingers], hand, stretch_mm)))
        for fingers in product(range(1, 6), repeat=len(keys))
    )
    assert fewest_broken(keys, hand, stretch_mm) == min(counts)


figures_again = st.builds(
    lambda figure, between, times, away: [
        key + turn * away for turn in range(times) for key in (*figure, *between)
    ],
    st.lists(st.integers(52, 78), min_size=3, max_size=6),
    st.lists(st.integers(45, 85), max_size=2),
    st.integers(1, 3),
    st.sampled_from((0, 0, 2, 5, 12)),
)
"""Lines of a figure that comes again, leaps in it: there is not always a way out."""


@checked
@given(figures_again, hands, st.floats(180, 240))
def test_no_other_fingers_break_fewer_rules(keys: list[int], hand: Hand, stretch_mm: float) -> None:
    """So that it is true where it is said that there is no better way."""
    onsets = keys_line(keys, hand)
    suggested = onsets_fingered(onsets, finger(onsets, hand, stretch_mm, 96))
    told = [e for e in unmet(suggested, hand, stretch_mm, 96) if e.rule != FIGURE]
    assert len(told) == fewest_broken(keys, hand, stretch_mm)
    assert not any(each.avoidable for each in told)


@checked
@given(
    *(st.lists(st.integers(45, 80), min_size=least, max_size=6) for least in (1, 2, 1)),
    hands,
    st.floats(180, 240),
)
def test_a_passage_with_a_better_way_of_its_own_does_not_deny_it(
    before: list[int], keys: list[int], after: list[int], hand: Hand, stretch_mm: float
) -> None:
    """What stands around a passage may call for fingers that it would not need by itself."""
    whole = keys_line([*before, *keys, *after], hand)
    fingers = finger(whole, hand, stretch_mm, 96)
    passage = onsets_fingered(whole, fingers)[len(before) : len(before) + len(keys)]
    told = [e for e in unmet(passage, hand, stretch_mm, 96) if e.rule != FIGURE]
    forced = [each for each in told if not each.avoidable]
    assert len(forced) <= fewest_broken(keys, hand, stretch_mm) <= len(told)
    if len(told) > fewest_broken(keys, hand, stretch_mm):
        assert len(forced) < len(told)


def test_a_figure_is_no_reason_to_cross_fingers() -> None:
    """E F G A after B C D E as 2 3 4 5: with the thumb on C, D would have been the fourth's."""
    onsets = line(
        "E4 F4 G4 A4 B4 C5 D5 E5 A4 B4 C5 D5 E5 C4 D4 E4 D5 E5 C4 D4 E4 F4 G4 A4 D4 E4 F4 G4 A4"
    )
    assert not list(violations(onsets, finger(onsets, Hand.RIGHT), Hand.RIGHT, 205.0))


def test_given_fingers_of_a_figure_are_suggested_again_only_where_no_rule_is_broken() -> None:
    text = "C4 E4 D4 F4 E4 C4 D4 B3"
    onsets = line(f"{text} {text} {text}")
    by_teacher = fingered(onsets, words(". . . 3 3" + " ." * 19))
    fingers = finger(by_teacher, Hand.RIGHT)
    assert [fingers[number] for number in (3, 4)] == [(3,), (3,)]
    suggested = onsets_fingered(by_teacher, fingers)
    assert not [e for e in unmet(suggested, Hand.RIGHT, 205.0, 60) if e.rule != FIGURE]


@checked
@given(st.lists(st.tuples(st.integers(33, 45), st.integers(58, 66), st.integers(3, 5)),
                min_size=2, max_size=8))  # fmt: skip
def test_a_bass_from_which_the_left_hand_leaps_takes_the_fifth(
    beats: list[tuple[int, int, int]],
) -> None:
    keys: list[tuple[int, ...]] = []
    for bass, low, third in beats:
        keys += [(bass,), (low, low + third)]
    onsets = keys_line(keys, Hand.LEFT, "1/2")
    fingers = finger(onsets, Hand.LEFT, 205.0, 100)
    assert list(violations(onsets, fingers, Hand.LEFT, 205.0)) == []


@checked
@given(
    st.lists(st.integers(0, 8), min_size=3, max_size=8),
    st.lists(st.integers(0, 8), min_size=2, max_size=2),
    st.lists(st.integers(0, 8), min_size=2, max_size=2),
    st.integers(1, 9),
    hands,
)
def test_a_figure_on_other_white_keys_has_the_same_fingers(
    figure: list[int], before: list[int], after: list[int], away: int, hand: Hand
) -> None:
    whole = [*before, *figure, *after]
    assume(len(set(figure)) > 1 and whole != sorted(whole) and whole != sorted(whole, reverse=True))
    assume(all(a != b for a, b in pairwise(whole)))
    keys = [WHITE[14 + step] for step in whole] + [WHITE[14 + away + step] for step in whole]
    onsets = keys_line(keys, hand)
    fingers = finger(onsets, hand, 205.0, 96)
    count = len(whole)
    assert fingers[2 : count - 2] == fingers[count + 2 : 2 * count - 2]


@checked
@given(
    st.lists(st.integers(0, 5), min_size=3, max_size=6),
    st.integers(3, 6),
    st.sampled_from((-2, -1, 1, 2)),
    hands,
)
def test_a_sequence_has_the_same_fingers_all_along(
    figure: list[int], times: int, away: int, hand: Hand
) -> None:
    """A figure moved on and on by one or two white keys; what is not alike is told."""
    walk = [away * turn + step for turn in range(times) for step in figure]
    assume(all(a != b for a, b in pairwise(walk)))
    rises = {b > a for a, b in pairwise(walk)}
    assume(len(rises) == 2)
    onsets = keys_line([WHITE[18 + step] for step in walk], hand)
    fingers = finger(onsets, hand, 205.0, 96)
    size = len(figure)
    unlike = [n for n in range(2, len(walk) - size - 2) if fingers[n] != fingers[n + size]]
    if unlike:
        suggested = onsets_fingered(onsets, fingers)
        assert any(each.rule == FIGURE for each in unmet(suggested, hand, 205.0, 96))


def test_a_finger_given_in_a_figure_is_suggested_where_it_comes_again() -> None:
    text = "C4 E4 D4 F4 E4 C4 D4 B3"
    onsets = line(f"{text} {text} {text}")
    given_one = fingered(onsets, words(". " * 11 + "5" + " ." * 12))
    fingers = finger(given_one, Hand.RIGHT)
    assert [fingers[number] for number in (3, 11, 19)] == [(5,), (5,), (5,)]


@pytest.mark.parametrize(
    ("text", "taken", "hand", "rule"),
    [
        ("C4 D4", "1 1", Hand.RIGHT, "one finger"),
        ("C#4 D4", "2 2", Hand.RIGHT, ""),
        ("C4 C5", "2 4", Hand.RIGHT, "beyond"),
        ("C2 E4-G4", "1 2-1", Hand.LEFT, "bass"),
        ("C#2 E4-G4", "4 2-1", Hand.LEFT, ""),
        ("C4-E4-G4 . C4-E4-G4", "1-2-4 1-3-5", Hand.RIGHT, "top"),
        ("C4-E4-G4 C4-E4-G4", "1-2-4 1-3-5", Hand.RIGHT, ""),
    ],
)
def test_the_checker_finds_what_is_broken(text: str, taken: str, hand: Hand, rule: str) -> None:
    fingers = [tuple(int(n) for n in word.split("-")) for word in taken.split()]
    found = list(violations(line(text, hand), fingers, hand, 205.0))
    assert len(found) == (1 if rule else 0)
    assert all(rule in text for _, text in found)


def test_the_checker_finds_a_figure_fingered_otherwise() -> None:
    text = "C4 E4 D4 F4 E4 C4 "
    fingers = [(int(n),) for n in "132431132431132531"]
    assert (9, 15) in list(unlike_figures(line(text * 3), fingers))


def test_a_held_note_frees_the_line_beside_it_from_the_rule() -> None:
    held, first, second = line("C5 C4 D4")
    long = replace(held, tones=(replace(held.tones[0], length=Fraction(1)),))
    assert list(violations((long, first, second), [(5,), (1,), (1,)], Hand.RIGHT, 205.0)) == []


@pytest.mark.parametrize("work", SWEPT[::4], ids=lambda work: work.name)
def test_a_rule_that_is_broken_in_a_real_work_is_told(work: Work) -> None:
    """A slice; ``python -m tests.hand.obeying`` goes through all of the sweep's works."""
    counts = obeyed(work, share=0.2, seed=5)
    assert counts.onsets > 0
    assert counts.untold == []
