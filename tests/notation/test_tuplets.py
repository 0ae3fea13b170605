"""Tuplets: which notes stand under one number, and where a bracket is needed (Gould: where no beam
covers exactly the group)."""

from dataclasses import replace

import pytest

from engrave.music.sheet import Event
from engrave.notation.beams import beams
from engrave.notation.tuplets import groups, line, marks, tuplets_of
from tests.sheets import bar, events


def run(count: int, value: str) -> str:
    return " ".join([f"C5:{value}"] * count)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (run(6, "8t"), [3, 3]),
        (run(6, "16t") + " C5:4", [3, 3]),
        (run(6, "16(6/4)") + " C5:4", [6]),
        (run(5, "16(5/4)") + " " + run(5, "16(5/4)"), [5, 5]),
        ("C5:4t C5:8t C5:8t C5:4t", [2, 2]),
        ("C5:8.t C5:16t C5:8t C5:4", [3]),
        ("C5:16t C5:16t C5:8t C5:8t C5:4", [4]),
        ("r:8t C5:8t r:8t C5:4", [3]),
        (run(3, "4t"), [3]),
    ],
)
def test_groups(words: str, expected: list[int]) -> None:
    found = groups(line(bar(words), 1))
    assert [len(group.indices) for group in found] == expected


@pytest.mark.parametrize(
    ("beams", "expected"),
    [
        ("( -( -) )", [4]),
        ("( -> -< )", [2, 2]),
        (". . . .", [2, 2]),
    ],
)
def test_the_sources_beams_tell_one_triplet_from_two(beams: str, expected: list[int]) -> None:
    """Both are an eighth, two sixteenths and an eighth; an inner beam shows what belongs together
    (common practice)."""
    names = {"(": "begin", "-": "continue", ")": "end", ">": "forward hook", "<": "backward hook"}
    plain = events("C5:8t D5:16t E5:16t F5:8t")
    made = tuple(
        replace(event, beams=tuple(names[sign] for sign in signs if sign != "."))
        for event, signs in zip(plain, beams.split(), strict=True)
    )
    found = groups(line(bar(made), 1))
    assert [len(group.indices) for group in found] == expected


@pytest.mark.parametrize(
    ("words", "brackets"),
    [
        (run(6, "8t"), [False, False]),
        ("C5:8 " + run(3, "16t") + " C5:4", [False]),
        ("C5:4t C5:8t C5:4", [True]),
        ("r:8t C5:8t C5:8t C5:4", [True]),
        (run(3, "4t"), [True]),
        ("C5:8t C5:4", [False]),
    ],
)
def test_a_bracket_only_where_no_beam_covers_the_group(words: str, brackets: list[bool]) -> None:
    made = bar(words)
    starts = [
        mark.bracket
        for _, found in sorted(marks(made, tuplets_of(made), beams(made, tuplets_of(made))).items())
        for mark in found
        if mark.type == "start"
    ]
    assert starts == brackets


@pytest.mark.parametrize(
    ("voices", "placements"),
    [
        ((events("C5:8t D5:8t E5:8t"),), ["below"]),  # away from the right hand's fingers
        ((events("C3:8t D3:8t E3:8t", 5),), ["above"]),
        ((events("C5:8t D5:8t E5:8t"), events("C3:8t D3:8t E3:8t", 5)), ["above", "below"]),
        ((events("C5:8t D5:8t E5:8t"), events("C4:4", 2)), [None]),  # two voices: by the stems
    ],
)
def test_numbers_stand_away_from_the_fingers(
    voices: tuple[tuple[Event, ...], ...], placements: list[str | None]
) -> None:
    made = bar(*voices)
    found = marks(made, tuplets_of(made), beams(made, tuplets_of(made)))
    starts = [mark.placement for each in found.values() for mark in each if mark.type == "start"]
    assert sorted(starts, key=str) == placements


def test_a_group_ends_where_the_ratio_changes() -> None:
    found = groups(line(bar("C5:8t C5:8t C5:8t C5:16(5/4) C5:16(5/4) C5:16(5/4)"), 1))
    assert [(group.tuplet.actual, len(group.indices)) for group in found] == [(3, 3), (5, 3)]
    assert [group.unit for group in found] == ["eighth", None]
