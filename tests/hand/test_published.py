"""The rules of 1997 as published, against the worked examples of their paper.

Parncutt, Sloboda, Clarke, Raekallio and Desain 1997, "An ergonomic model of keyboard fingering for
melodic fragments", Music Perception 14. Each example gives the finger of its last note.
"""

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.fingering import FingeringError, finger
from engrave.fingering.published import RULES, fingerings, practical
from engrave.music.notes import Hand, Pitch
from tests.hand.lines import fingered, line, words

EXAMPLES = (
    ("E5 G5 F5 G5 E5 F5 D5 E5", 3, ["24342313"]),
    ("E4 C#4 E4 A4 E4", 1, ["21241", "21251"]),
    ("C#4 E#4 D#4 F#4 E#4 G#4 F#4", 2, ["1323132", "1324132"]),
    ("A5 G#6 A6 E6 F6 C#6 D6 G#5", 2, ["14523152"]),
    ("G3 Bb3 D4 Bb3 G4 D4", 1, ["124251"]),
    ("F#6 G6 F#6 E6 F#6 E6 D6", 1, ["3432321"]),
)


def costs_by_rule(notes: Sequence[int], fingers: Sequence[int]) -> dict[str, int]:
    """What each of the twelve rules charges for a whole fingering, where it charges anything."""
    charged = {
        name: sum(
            rule(notes[start : start + size], fingers[start : start + size])
            for start in range(len(notes) - size + 1)
        )
        for name, (size, rule) in RULES.items()
    }
    return {name: cost for name, cost in charged.items() if cost}


def keys(text: str) -> list[int]:
    return [Pitch.parse(name).midi for name in text.split()]


@pytest.mark.parametrize(("text", "last", "published"), EXAMPLES)
def test_the_published_best_are_our_best(text: str, last: int, published: list[str]) -> None:
    notes = keys(text)
    fixed = [*[None] * (len(notes) - 1), last]
    best, _ = fingerings(notes, fixed)
    assert ["".join(map(str, fingers)) for fingers in best] == published


@pytest.mark.parametrize(("text", "last", "published"), EXAMPLES)
def test_the_rules_are_selectable(text: str, last: int, published: list[str]) -> None:
    notes = line(text)
    fixed = [*words(". " * (len(notes) - 1)), (last,)]
    chosen = finger(fingered(notes, fixed), Hand.RIGHT, rules="published")
    assert "".join(str(number) for (number,) in chosen) in published


def test_costs_by_rule_of_the_first_example() -> None:
    # Counted by hand from the rules as the paper words them.
    assert costs_by_rule(keys("E5 G5 F5 G5 E5 F5 D5 E5"), (2, 4, 3, 4, 2, 3, 1, 3)) == {
        "small-span": 1,
        "position-change-count": 1,
        "position-change-size": 1,
        "weak-finger": 2,
        "three-to-four": 1,
    }


@settings(deadline=None, max_examples=40)
@given(st.lists(st.integers(55, 79), min_size=1, max_size=6))
def test_the_least_cost_is_the_least_of_all(notes: list[int]) -> None:
    best, least = fingerings(notes, [None] * len(notes))
    every: list[tuple[int, ...]] = [()]
    for number, key in enumerate(notes):
        every = [
            (*fingers, new)
            for fingers in every
            for new in range(1, 6)
            if not number or practical(notes[number - 1], fingers[-1], key, new)
        ]
    costs = {fingers: sum(costs_by_rule(notes, fingers).values()) for fingers in every}
    assert set(best) == {fingers for fingers, cost in costs.items() if cost == least}
    assert not costs or least == min(costs.values())


def test_what_no_fingers_join_has_no_fingering() -> None:
    """Two octaves: the widest of the practical spans is 15 semitones."""
    assert fingerings([60, 84], [None, None]) == ((), 0)
    assert practical(60, 1, 75, 5)
    assert not practical(60, 1, 76, 5)
    with pytest.raises(FingeringError, match="find no fingering") as caught:
        finger(line("C4 C6"), Hand.RIGHT, rules="published")
    assert caught.value.onset == 0


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_one_finger_takes_one_key_again_and_no_other(number: int) -> None:
    near = [key for key in range(55, 66) if practical(60, number, key, number)]
    assert near == [60]


def test_single_lines_alone() -> None:
    with pytest.raises(FingeringError, match="no chords") as caught:
        finger(line("C4 C4-E4"), Hand.RIGHT, rules="published")
    assert caught.value.onset == 1


@pytest.mark.parametrize(
    ("notes", "fingers", "charged"),
    [
        # One key again by one finger: no span at all.
        ("C4 C4", "33", {}),
        # The thumb on black, 1, and 2 for each white neighbour.
        ("C#4 D#4", "12", {"thumb-on-black": 1}),
        ("C#4 D4", "12", {"thumb-on-black": 1, "thumb-on-black, white beside it": 2}),
        ("C#4 F4 C#4", "121", {"thumb-on-black": 2, "thumb-on-black, white beside it": 4}),
        # Five on black, 2 for each white neighbour; a use of 4 or 5, 1.
        ("E4 G#4", "35", {"weak-finger": 1, "five-on-black, white beside it": 2}),
        ("F#4 A#4", "35", {"weak-finger": 1}),
        # The thumb passes: 1 on one level, 3 from white to black, nothing from black to white.
        # Small span with the thumb: 1 a semitone under MinRel of 1-3, which is 3.
        ("C4 D4", "31", {"small-span": 5, "thumb-passing": 1}),
        ("C4 C4", "21", {"small-span": 1}),  # on one key no thumb passes
        ("C#4 D4", "31", {"small-span": 4}),
        ("C4 C#4", "31", {"small-span": 4, "thumb-passing": 3, "thumb-on-black": 1,
                          "thumb-on-black, white beside it": 2}),
        # Three to four; three on white beside four on black; three, four and five.
        ("E4 F4", "34", {"weak-finger": 1, "three-to-four": 1}),
        ("E4 F#4", "34", {"weak-finger": 1, "three-to-four": 1, "four-on-black": 1}),
        ("F#4 E4", "43", {"weak-finger": 1, "four-on-black": 1}),
        ("E4 F4 G4", "345", {"weak-finger": 2, "three-to-four": 1, "three-four-five": 1}),
        # Stretch: 2 a semitone beyond MaxComf (2-3: 3); large span: beyond MaxRel (2-3: 2), 2 a
        # semitone without the thumb, 1 with it (1-4: 9); small span: under MinRel (2-5: 5), 2.
        ("C4 E4", "23", {"stretch": 2, "large-span": 4}),
        ("C4 B4", "14", {"large-span": 2, "weak-finger": 1}),
        ("C4 E4", "25", {"small-span": 2, "weak-finger": 1}),
        # The hand moves: half a change 1 (the first and the third note beyond comfort, 1-2: 8), a
        # full one 2 (the thumb between, and they cannot be joined at all); 1 a semitone each. The
        # third finger on F and the second on A above it: 4 below nothing, 5 under MinComf of 2-3.
        ("C4 F4 A4", "132", {"position-change-count": 1, "position-change-size": 1,
                             "small-span": 10, "stretch": 10}),
        ("C4 D4 E4", "212", {"position-change-count": 2, "position-change-size": 4,
                             "small-span": 3, "thumb-passing": 1}),
        # A fifth from 2 to 3 is no more to be joined; a third is, though it is beyond comfort.
        ("C4 D4 G4", "213", {"position-change-count": 2, "position-change-size": 4,
                             "small-span": 3, "thumb-passing": 1}),
        ("C4 D4 E4", "213", {"position-change-count": 1, "position-change-size": 1,
                             "small-span": 4, "thumb-passing": 1}),
        # A thumb on the same key as the finger before it does not lie between: half a change.
        ("C4 C4 G4", "213", {"position-change-count": 1, "position-change-size": 4,
                             "small-span": 1}),
        ("G4 G4 C4", "312", {"position-change-count": 1, "position-change-size": 4,
                             "small-span": 11, "stretch": 8, "thumb-passing": 1}),
        ("E4 D4 C4", "212", {"position-change-count": 2, "position-change-size": 4,
                             "small-span": 3, "thumb-passing": 1}),
    ],
)  # fmt: skip
def test_what_each_rule_charges(notes: str, fingers: str, charged: dict[str, int]) -> None:
    """Counted by hand from the paper's rules and table of spans."""
    found = costs_by_rule(keys(notes), tuple(map(int, fingers)))
    assert found == charged
