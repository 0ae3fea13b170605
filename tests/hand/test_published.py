"""The rules of 1997 as published, against the worked examples of their paper.

Parncutt, Sloboda, Clarke, Raekallio and Desain 1997, "An ergonomic model of keyboard fingering for
melodic fragments", Music Perception 14. Each example gives the finger of its last note.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.errors import EngraveError
from engrave.fingering import finger
from engrave.fingering.published import costs_by_rule, fingerings, practical
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


def test_single_lines_alone() -> None:
    with pytest.raises(EngraveError, match="no chords"):
        finger(line("C4 C4-E4"), Hand.RIGHT, rules="published")
