"""The way out of fingers that break a rule: as few other fingers as will do.

Which rules bind is common practice, no source, but for the reaches (Parncutt and others 1997).
"""

import pytest

from engrave.fingering.binding import broken
from engrave.fingering.grips import Choices, Grip, grips_of, taken
from engrave.fingering.line import steps_of
from engrave.fingering.repair import way_out
from engrave.fingering.search import Lattice, Matrix
from engrave.fingering.step import Step
from engrave.music.notes import Hand
from tests.hand.lines import line, words

STRETCH_MM = 205.0


def level(choices: Choices, back: int) -> list[Matrix]:
    """No move costs anything, from so many steps back."""
    return [[[0.0] * len(choices[n - back]) for _ in choices[n]] for n in range(back, len(choices))]


def led_out(
    text: str, stand: str, liked: str, by: float = 1.0
) -> tuple[str, list[tuple[int, str]]]:
    """The fingers that lead out of those that ``stand``, and the rules that they break.

    All costs the same, but that the fingers ``liked`` are cheaper ``by`` so much each.
    """
    steps: tuple[Step, ...] = steps_of(line(text), Hand.RIGHT, 100, STRETCH_MM)
    choices = [grips_of(step, STRETCH_MM) for step in steps]
    own = [
        [-by * (grip.fingers == fingers) for grip in grips]
        for grips, fingers in zip(choices, words(liked), strict=True)
    ]
    net = Lattice(own, [[], *level(choices, 1)], [[], [], *level(choices, 2)])
    path = tuple(
        [grip.fingers for grip in grips].index(fingers)  # type: ignore[arg-type]
        for grips, fingers in zip(choices, words(stand), strict=True)
    )
    grips: tuple[Grip, ...] = taken(choices, way_out(steps, choices, net, path, STRETCH_MM))
    fingers = " ".join("-".join(map(str, grip.fingers)) for grip in grips)
    return fingers, list(broken(steps, grips, STRETCH_MM))


@pytest.mark.parametrize(
    ("text", "stand", "liked", "fingers"),
    [
        # One finger on two keys in a row: the thumb is free, and nothing else has to be moved.
        ("C4 D4 E4 F4 G4", "2 2 3 4 5", "1 2 3 4 5", "1 2 3 4 5"),
        ("C4 D4 E4 F4 G4", "2 2 3 4 5", "1 2 3 1 2", "1 2 3 4 5"),
        # After a chord as well; of the ways out the one that is liked.
        ("C4-E4 F4 G4 A4", "1-3 4 4 5", "1-3 2 4 5", "1-3 2 4 5"),
        ("C4-E4 F4 G4 A4", "1-3 4 4 5", "1-3 3 4 5", "1-3 3 4 5"),
        # Where the hand leaps in from, the fifth finger.
        ("C6 C4-E4-G4", "3 1-3-5", "3 1-3-5", "5 1-3-5"),
        # What breaks nothing stays, whatever is liked better.
        ("C4 D4 E4 F4 G4", "1 2 3 4 5", "1 2 3 1 2", "1 2 3 4 5"),
    ],
)
def test_other_fingers_no_more_than_have_to_be(
    text: str, stand: str, liked: str, fingers: str
) -> None:
    assert led_out(text, stand, liked) == (fingers, [])


def test_fingers_stay_that_none_would_break_fewer_rules_than() -> None:
    """Two octaves up: the key between cannot be the fifth finger's and the thumb's at once."""
    for liked in ("1 5 5", "1 1 5"):
        assert led_out("C4 C5 C6", "1 5 5", liked, by=9.0) == ("1 5 5", [(2, "one-finger")])
