"""What custom has for repeated notes, trills, turns and rows: common practice, no source."""

from collections.abc import Callable, Iterable
from itertools import accumulate, combinations, pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.fingering import explain, finger
from engrave.fingering.customs import after_two_amounts, custom_amounts, is_of_custom, own_amounts
from engrave.fingering.grips import Grip
from engrave.fingering.step import Step
from engrave.music.notes import Hand, Pitch
from tests.hand.lines import fingered, keys_line, line, numbers, words

checked = settings(deadline=None, max_examples=40)
hands = st.sampled_from(Hand)
keys = st.integers(50, 74)
_MAJOR = (0, 2, 4, 5, 7, 9, 11)


@checked
@given(keys, hands, st.integers(1, 4), st.sampled_from([80, 100, 132]))
def test_repeated_sixteenths_are_taken_by_4321_from_beat_to_beat(
    key: int, hand: Hand, beats: int, tempo: int
) -> None:
    onsets = keys_line([key] * 4 * beats, hand)
    assert numbers(onsets, hand, quarters_per_minute=tempo) == "4321" * beats


@checked
@given(keys, hands, st.integers(1, 4), st.sampled_from([100, 132]))
def test_repeated_triplets_are_taken_by_321(key: int, hand: Hand, beats: int, tempo: int) -> None:
    onsets = keys_line([key] * 3 * beats, hand, "1/6")
    assert numbers(onsets, hand, quarters_per_minute=tempo) == "321" * beats


@checked
@given(st.integers(0, 3), st.lists(st.sampled_from([-3, -2, -1, 1, 2, 3]), max_size=5), hands)
def test_every_white_key_that_is_repeated_has_the_same_turn(
    degree: int, steps: list[int], hand: Hand
) -> None:
    places = list(accumulate(steps, initial=28 + degree))
    near = [12 * (place // 7) + _MAJOR[place % 7] + 12 for place in places]
    onsets = keys_line([key for key in near for _ in range(4)], hand)
    assert numbers(onsets, hand, quarters_per_minute=112) == "4321" * len(near)


@checked
@given(keys, hands, st.integers(3, 12))
def test_one_finger_repeats_without_haste(key: int, hand: Hand, count: int) -> None:
    onsets = keys_line([key] * count, hand, "1/2")
    assert len(set(numbers(onsets, hand, quarters_per_minute=80))) == 1


@checked
@given(keys, st.sampled_from([-2, -1, 1, 2]), hands, st.integers(3, 10))
def test_a_trill_keeps_one_pair_that_trills(key: int, step: int, hand: Hand, times: int) -> None:
    onsets = keys_line([key, key + step] * times, hand, "1/8")
    found = numbers(onsets, hand, quarters_per_minute=80)
    assert set(found[:2]) in ({"1", "3"}, {"2", "3"}, {"2", "4"})
    assert found == found[:2] * times


@checked
@given(st.integers(0, 4), hands, st.integers(5, 9))
def test_thirds_in_a_row_towards_the_thumb_never_go_on_with_one_finger(
    sharps: int, hand: Hand, count: int
) -> None:
    tonic = 60 + 7 * sharps % 12
    scale = [tonic + 12 * octave + step for octave in (-2, -1, 0, 1) for step in _MAJOR]
    thirds = [(low, high) for low, high in zip(scale, scale[2:], strict=False)]
    start = 12
    row = thirds[start - count : start]
    row = row[::-1] if hand is Hand.RIGHT else row
    found = finger(keys_line(row, hand), hand, 205.0, 96)
    for before, after in pairwise(found):
        assert not set(before) & set(after)


def test_a_turn_that_is_given_goes_on() -> None:
    onsets = fingered(line("G4 G4 G4 G4 G4 G4"), words("3 . . . . ."))
    found = numbers(onsets, Hand.RIGHT, quarters_per_minute=100)
    assert found[:3] == "321"


def test_why_says_that_it_was_another_fingers_turn() -> None:
    onsets = fingered(line("G4 G4 G4 G4"), words("4 4 2 5"))
    rules = [{rule for rule, _ in each.costs} for each in explain(onsets, Hand.RIGHT, 205.0, 100)]
    assert "repeat-unchanged" in rules[1]
    assert "repeat-skipping" in rules[3]
    assert {"repeat-out-of-turn"} <= rules[1] & rules[3]


@checked
@given(st.integers(0, 4), st.sampled_from([5, 7, 10]), hands)
def test_no_third_is_gone_through_from_thumb_to_little_finger(
    degree: int, count: int, hand: Hand
) -> None:
    scale = [12 * octave + step for octave in (4, 5, 6) for step in _MAJOR]
    figure = [*range(count), *range(count - 2, -1, -1)]
    found = numbers(keys_line([scale[degree + place] for place in figure], hand), hand)
    outer = {a + c for a, _, c in zip(found, found[1:], found[2:], strict=False)}
    assert not {"15", "51"} & outer


@checked
@given(st.integers(0, 4), hands, st.sampled_from([66, 80, 96]))
def test_keys_struck_twice_keep_their_finger_without_haste(
    degree: int, hand: Hand, tempo: int
) -> None:
    scale = [12 * octave + step for octave in (4, 5) for step in _MAJOR]
    row = [scale[degree + place] for place in range(5) for _ in range(2)]
    found = numbers(keys_line(row, hand, "1/2"), hand, quarters_per_minute=tempo)
    assert all(found[n] == found[n + 1] for n in range(0, 10, 2))


@checked
@given(st.integers(40, 60), st.sampled_from([(4, 7), (7, 12), (5, 9)]))
def test_a_bass_within_the_hand_is_taken_by_the_outer_fingers(
    bass: int, chord: tuple[int, ...]
) -> None:
    keys = [(bass,), *[tuple(bass + step for step in chord)] * 2] * 2
    found = finger(keys_line(keys, Hand.LEFT, "1"), Hand.LEFT, 205.0, 100)
    assert {found[0][0], found[3][0]} <= {4, 5}


@checked
@given(st.integers(0, 4), st.sampled_from([66, 100, 132]), hands, st.booleans())
def test_quick_pairs_are_taken_by_two_neighbours_the_same_on_every_key(
    degree: int, tempo: int, hand: Hand, falling: bool
) -> None:
    scale = [12 * octave + step for octave in (4, 5) for step in _MAJOR]
    row = [scale[degree + place] for place in range(6) for _ in range(2)]
    found = numbers(keys_line(row[::-1] if falling else row, hand), hand, quarters_per_minute=tempo)
    assert found in ("21" * 6, "32" * 6, "43" * 6)


@pytest.mark.parametrize(
    ("row", "hand", "fingers"),
    [
        ("C4 C4 D4 D4 E4 E4 F4 F4 G4 G4", Hand.RIGHT, "1122334455"),
        ("G4 G4 F4 F4 E4 E4 D4 D4 C4 C4", Hand.RIGHT, "5544332211"),
        ("C4 C4 D4 D4 E4 E4 F4 F4 G4 G4", Hand.LEFT, "5544332211"),
        ("G4 G4 E4 E4 C4 C4", Hand.RIGHT, "553311"),  # no steps: a triad's own fingers
    ],
)
def test_slow_pairs_go_on_with_the_next_finger(row: str, hand: Hand, fingers: str) -> None:
    assert numbers(line(row, hand, "1/2"), hand, quarters_per_minute=80) == fingers


@pytest.mark.parametrize("fingers", ["1 2 3 2 3 2 3 2", "3 1 3 2 3 2 3 2", "1 1 3 2 3 2 3 2"])
def test_quick_pairs_are_alike_whatever_comes_before_them(fingers: str) -> None:
    """The row is C D E, each by 3 and 2; G and B before it are no part of it."""
    onsets = fingered(line("G3 B3 C4 C4 D4 D4 E4 E4"), words(fingers))
    told = explain(onsets, Hand.RIGHT, 205.0, 80)
    assert not [rule for each in told for rule, _ in each.costs if rule == "struck-twice-unlike"]


@pytest.mark.parametrize("tempo", [66, 100, 132])
def test_a_turn_lies_under_three_neighbouring_fingers(tempo: int) -> None:
    onsets = line("E5 F5 E5 D5 D5 E5 D5 C5 C5 D5 C5 B4")
    found = numbers(onsets, Hand.RIGHT, quarters_per_minute=tempo)
    assert [found[at : at + 4] for at in (0, 4, 8)] == ["2321"] * 3


def test_a_scale_that_begins_with_a_turn_passes_the_thumb() -> None:
    found = numbers(line("Eb4 D4 Eb4 F4 G4 Ab4 Bb4 C5 D5 Eb5"), Hand.RIGHT, quarters_per_minute=80)
    assert found == "3231234123"


@pytest.mark.parametrize(
    ("keys", "fingers", "charged"),
    [
        ("D5 C5", "4 1", 2.0),
        ("C5 D5", "1 5", 2.0),
        ("E5 D5", "5 2", 2.0),
        ("E5 C5", "5 1", 1.0),  # a third: half of it
        ("E5 C5", "4 1", 0.0),
        ("D5 C5", "3 1", 0.0),
        ("E5 B4", "5 1", 0.0),
        ("C5 B4", "1 4", 0.0),  # passed over the thumb
    ],
)
def test_the_hand_closes_up_for_a_step(keys: str, fingers: str, charged: float) -> None:
    found = explain(fingered(line(keys), words(fingers)), Hand.RIGHT, 205.0, 100)
    assert dict(found[1].costs).get("closed-up", 0.0) == charged


@checked
@given(st.integers(52, 68), st.sampled_from([3, 4]), hands, st.sampled_from([-4, -3, 3, 4]))
def test_no_third_is_struck_by_thumb_and_little_finger(
    low: int, third: int, hand: Hand, step: int
) -> None:
    keys = [(low + n * step, low + n * step + third) for n in range(4)]
    for fingers in finger(keys_line(keys, hand, "1/2"), hand, 205.0, 100):
        assert set(fingers) != {1, 5}


def grip(text: str) -> Grip:
    """``C4:1 E4:3`` as a grip."""
    each = (word.split(":") for word in text.split())
    return Grip(tuple((Pitch.parse(k).midi, int(finger)) for k, finger in each), (), 0, False)


@pytest.mark.parametrize(
    ("before", "after", "step", "charged"),
    [
        # Thirds a step apart: the finger that goes on, but for a thumb that rises; their pairs.
        ("C4:1 E4:3", "D4:2 F4:4", {}, {}),
        ("C4:1 E4:3", "D4:1 F4:3", {}, {"thirds-by-one": 1}),
        ("D4:1 F4:3", "C4:1 E4:3", {}, {"thirds-by-one": 2}),
        ("C4:1 E4:2", "D4:3 F4:5", {}, {}),
        ("D4:3 F4:5", "C4:1 E4:2", {}, {"thirds-by-others": 1}),
        ("D4:2 F4:5", "C4:1 E4:4", {}, {"thirds-by-others": 2}),
        ("D4:1 F4:3", "C4:1 E4:3", {"joined": False}, {}),
        # Not a step apart, or not thirds.
        ("F4:1 A4:3", "C4:1 E4:3", {}, {}),
        ("C4:1 E4:3", "D4:1 G4:3", {}, {}),
        ("C4:1 F4:3", "D4:1 F4:3", {}, {}),
        ("C4:1 D4:3", "D4:1 F4:3", {}, {}),
        ("D4:1 F4:3", "C4:1 D4:3", {}, {}),
        ("C4:1 E4:3", "C4:1 D#4:3", {}, {}),
        ("C4:1 E4:3", "C#4:1 E4:4", {}, {"thirds-by-others": 1}),  # a semitone apart
        # A chord is no stroke of the key that is repeated after it.
        ("C4:1 E4:3", "C4:1", {"due": 3}, {}),
        ("C4:1 E4:3", "C4:1", {"trill": True}, {}),
        # The hand closes up for a step, half for a third by 1 and 5, not for more.
        ("E4:1", "F4:5", {}, {"closed-up": 1}),
        ("E4:1", "F4:5", {"joined": False}, {}),
        ("D4:1", "F4:5", {}, {"closed-up": 0.5}),
        ("D4:1", "F4:4", {}, {}),
        ("C4:1", "F4:5", {}, {}),
        # A trill.
        ("C4:2", "D4:3", {"trill": True}, {}),
        ("D4:3", "C4:1", {"trill": True}, {}),
        ("C4:1", "D4:2", {"trill": True}, {"trill-pair": 1}),
        # One key again: a turn taken, not taken, left out; without haste.
        ("C4:4", "C4:3", {"due": 3}, {}),
        ("C4:4", "C4:4", {"due": 3}, {"repeat-unchanged": 1}),
        ("C4:4", "C4:2", {"due": 3}, {"repeat-skipping": 1}),
        ("C4:1", "C4:4", {"due": 4}, {}),
        ("C4:1", "C4:3", {"due": 3}, {}),
        ("C4:1", "C4:2", {"due": 4}, {"repeat-skipping": 1}),
        ("C4:2", "C4:2", {"due": 0}, {}),
        ("C4:2", "C4:1", {"due": 0}, {"repeat-changed": 1}),
        ("C4:2", "D4:2", {"due": 4}, {}),
        # Rows of keys struck twice, quickly and at leisure.
        ("C4:2", "C4:1", {"pair": 2}, {}),
        ("C4:2", "C4:2", {"pair": 2}, {"struck-twice-by-others": 1}),
        ("C4:3", "C4:1", {"pair": 2}, {"struck-twice-by-others": 1}),
        ("C4:1", "D4:2", {"pair": 2}, {}),
        ("C4:1", "D4:3", {"pair": 2}, {}),
        ("C4:1", "D4:2", {"pair": 2, "due": 0}, {}),
        ("C4:1", "D4:3", {"pair": 2, "due": 0}, {"struck-twice-skipped": 1}),
        ("D4:3", "C4:1", {"pair": 2, "due": 0}, {"struck-twice-skipped": 1}),
        ("E4:3", "F4:1", {"pair": 2, "due": 0}, {}),  # the thumb passed
        ("F4:1", "E4:4", {"pair": 2, "due": 0}, {}),
        ("E4:2", "F4:1", {"pair": 2, "due": 0}, {"struck-twice-skipped": 1}),
        ("C4:1", "E4:3", {"pair": 2, "due": 0}, {}),  # no step: a triad's own fingers
        ("D4:1", "F4:3", {"pair": 2, "due": 0}, {}),
        # The row's first key: come to by step as the others are, and struck as they are.
        ("B3:1", "C4:3", {"pair": 1, "due": 0}, {"struck-twice-skipped": 1}),
        ("C4:2", "C4:2", {"pair": 1}, {"struck-twice-by-others": 1}),
    ],
)
def test_what_custom_charges(
    before: str, after: str, step: dict[str, Any], charged: dict[str, float]
) -> None:
    made = grip(after)
    keys = tuple(key for key, _ in made.struck)
    there = Step(
        keys, (), (None,) * len(keys), 0.2, 0.0, **{"joined": True, "quick": False, **step}
    )
    found = {rule: amount for rule, amount in custom_amounts(grip(before), made, there) if amount}
    assert found == charged
    assert not charged or is_of_custom(grip(before), made, there)


def step(*struck: int, **named: Any) -> Step:
    return Step(struck, (), (None,) * len(struck), 0.2, 0.0, True, False, **named)


def pairs_free_of(rule: str, found: Callable[[int, int], Iterable[tuple[str, float]]]) -> set[str]:
    """The pairs of fingers, lower finger first, which do not meet a rule."""
    return {
        f"{one}{other}"
        for one, other in combinations(range(1, 6), 2)
        if not dict(found(one, other)).get(rule)
    }


def test_the_pairs_that_trill() -> None:
    def struck(one: int, other: int) -> Iterable[tuple[str, float]]:
        return custom_amounts(grip(f"C4:{one}"), grip(f"D4:{other}"), step(62, trill=True))

    assert pairs_free_of("trill-pair", struck) == {"13", "23", "24"}


@pytest.mark.parametrize(
    ("before", "after", "pairs"),
    [
        ("D4:{} F4:{}", "C4:1 E4:3", {"13", "24", "35"}),
        ("C4:{} E4:{}", "D4:1 F4:3", {"12", "13", "24", "35"}),  # rising
    ],
)
def test_the_pairs_that_take_thirds_in_a_row(before: str, after: str, pairs: set[str]) -> None:
    def struck(one: int, other: int) -> Iterable[tuple[str, float]]:
        return custom_amounts(grip(before.format(one, other)), grip(after), step(60, 64))

    assert pairs_free_of("thirds-by-others", struck) == pairs


def test_the_pairs_that_take_the_outer_ones_of_three_neighbours() -> None:
    """All but 1-5, which would be cramped, and 4-5, with a finger between that is not there."""

    def struck(one: int, other: int) -> Iterable[tuple[str, float]]:
        return after_two_amounts(grip(f"C4:{one}"), grip(f"E4:{other}"), step(64, row=True))

    assert pairs_free_of("row-spanned", struck) == {
        *("12", "13", "14", "23", "24", "25", "34", "35"),
    }


@pytest.mark.parametrize(
    ("first", "last", "step", "charged"),
    [
        ("C4:1", "E4:3", {"row": True}, {}),
        ("C4:1", "E4:5", {"row": True}, {"row-spanned": 1}),
        ("E4:5", "C4:4", {"row": True}, {"row-spanned": 1}),
        ("C4:1", "E4:5", {}, {}),
        ("D4:3", "F#4:5", {"row": True}, {"row-to-black": 1}),
        ("F#4:5", "D4:3", {"row": True}, {}),
        ("C4:2", "C4:2", {"main": True}, {}),
        ("C4:2", "C4:1", {"main": True}, {"turn-about": 1}),
        ("D4:3", "B3:1", {"rounded": True}, {}),
        ("D4:4", "B3:1", {"rounded": True}, {}),
        ("D4:3", "B3:2", {"rounded": True}, {"turn-about": 1}),
        ("D4:1", "B3:3", {"rounded": True}, {"turn-about": 1}),
        ("C4:2", "D4:2", {"pair": 2}, {}),
        ("C4:2", "D4:3", {"pair": 1}, {}),  # C is before the row
        ("C4:2", "D4:3", {"pair": 2}, {"struck-twice-unlike": 1}),
        ("C4:2", "D4:3", {"pair": 2, "due": 0}, {}),
    ],
)
def test_what_custom_charges_over_two_steps(
    first: str, last: str, step: dict[str, Any], charged: dict[str, float]
) -> None:
    there = Step((60,), (), (None,), 0.2, 0.0, True, False, **step)
    found = after_two_amounts(grip(first), grip(last), there)
    assert {rule: amount for rule, amount in found if amount} == charged


@pytest.mark.parametrize(
    ("finger", "step", "charged"),
    [
        (3, {"due": 3}, {}),
        (2, {"due": 3}, {"repeat-out-of-turn": 1}),
        (2, {"due": 0}, {}),
        (4, {"outer": True}, {}),
        (3, {"outer": True}, {"bass-within": 1}),
    ],
)
def test_what_custom_charges_for_a_finger(
    finger: int, step: dict[str, Any], charged: dict[str, float]
) -> None:
    there = Step((60,), (), (None,), 0.2, 0.0, True, False, **step)
    assert dict(own_amounts(grip(f"C4:{finger}"), there)) == charged
