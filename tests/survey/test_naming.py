"""Where the same music stands too is said in whole measures, each of them once."""

from dataclasses import replace
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.ranges import MeasureRange
from engrave.survey.model import Cell, Spot
from engrave.survey.words import again

CELLS = [
    Cell(
        start=Fraction(3 * bar + beat),
        end=Fraction(3 * bar + beat + 1),
        seconds=0.5,
        bar=bar,
        measure=str(bar + 1),
        beat=beat + 1,
        opens=beat == 0,
        closes=beat == 2,
    )
    for bar in range(20)
    for beat in range(3)
]
"""Twenty measures of three beats."""


def place(first: int, last: int, **places: tuple[range, ...]) -> Spot:
    nowhere = MeasureRange("1", None, "1", None)
    made = Spot(first, last, nowhere, "", (Hand.RIGHT,), 1.0, ())
    return replace(made, **places)  # type: ignore[arg-type]


def test_a_landing_and_an_upbeat_are_no_measures() -> None:
    known = place(0, 6, others=(range(11, 16), range(29, 34)))
    assert again(known, CELLS) == ["The same again in measures 5 and 11."]
    assert again(known, CELLS, "de") == ["Dasselbe noch einmal in den Takten 5 und 11."]


def test_a_measure_is_named_once_and_never_the_passage_s_own() -> None:
    known = place(0, 5, others=(range(12, 18),), varied=(range(3, 6), range(12, 21)))
    assert again(known, CELLS) == [
        "The same again in measures 5–6.",
        "Nearly the same in measure 7.",
    ]


def test_of_many_places_the_first_are_named() -> None:
    known = place(0, 2, like=tuple(range(n, n + 3) for n in range(6, 60, 6)))
    assert again(known, CELLS) == [
        "The same figure also in measures 3, 5, 7, 9, 11, 13 and three more places."
    ]
