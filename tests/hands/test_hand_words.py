"""Words in the score that name a hand, and what they hold for."""

from fractions import Fraction

import pytest

from engrave.hands import divide
from engrave.hands.hand_words import hand_of
from engrave.music.notes import Hand
from engrave.music.sheet import Direction
from tests.hands.lines import Line, bar, hands, score

# Abbreviations as dictionaries of music have them, s.v. "mano", "main", "hand" (from memory).
LEFT = ["l.h.", "L.H.", "l. h.", "lh", "m.s.", "M. S.", "m.g.", "(m.g.)", "main gauche",
        "linke Hand", "mano sinistra", "con la mano sinistra", "left hand over",
        "l.h. dolce", "links", "mano izquierda"]  # fmt: skip
RIGHT = ["r.h.", "R. H.", "m.d.", "m. d.", "main droite", "mano destra", "rechte Hand",
         "right hand", "rechts", "mano derecha"]  # fmt: skip
NEITHER = ["M.D.C.", "D.S.", "legato", "m.v.", "mf", "rall.", "l'istesso",
           "main gauche et main droite", "simile"]  # fmt: skip


@pytest.mark.parametrize("text", LEFT)
def test_the_left_hand_is_named(text: str) -> None:
    assert hand_of(text) is Hand.LEFT


@pytest.mark.parametrize("text", RIGHT)
def test_the_right_hand_is_named(text: str) -> None:
    assert hand_of(text) is Hand.RIGHT


@pytest.mark.parametrize("text", NEITHER)
def test_other_words_name_no_hand(text: str) -> None:
    assert hand_of(text) is None


def word(text: str, at: str, staff: int = 1, placement: str = "above") -> Direction:
    return Direction(Fraction(at), staff, "words", text, placement)


MELODY: Line = (1, 1, "E5*1/2 r*1/2 G5*1/2 r*1/2")
BASS: Line = (5, 2, "r*1/2 C3*1/2 r*1/2 G3*1/2")


def test_a_word_holds_until_the_other_word() -> None:
    words = (word("m.g.", "0"), word("m.d.", "1"))
    found = divide(score(bar(MELODY, BASS, words=words))).score.sheet
    assert hands(found)[1] == "L R"


def test_a_word_holds_through_rests_and_as_long_as_the_figure_repeats() -> None:
    bars = [
        bar(MELODY, BASS, words=(word("l.h.", "0"),)),
        bar(MELODY, BASS, name="2"),
        bar((1, 1, "E5*1 G5*1"), BASS, name="3"),
    ]
    found = divide(score(*bars)).score.sheet
    assert [hands(found, number)[1] for number in range(3)] == ["L L", "L L", "R R"]


def test_a_word_ends_where_the_voice_returns_to_its_hands_staff() -> None:
    line = (5, 2, "C3*1/2 C5@1*1/2 E5@1*1/2 C3*1/2 G5@1*1/2 G5@1*1/2")
    upper = (1, 1, "E4*3")
    words = (word("m.s.", "1/2", placement="above"),)
    found = divide(score(bar(upper, line, words=words))).score.sheet
    assert hands(found)[5].split()[:4] == ["L", "L", "L", "L"]


def test_a_word_is_for_the_voice_at_which_it_stands() -> None:
    lines: tuple[Line, ...] = ((1, 1, "G5*1 A5*1"), (2, 1, "C5*1 D5*1"), BASS)
    below = divide(score(bar(*lines, words=(word("l.h.", "0", 1, "below"),)))).score.sheet
    above = divide(score(bar(*lines, words=(word("l.h.", "0"),)))).score.sheet
    assert (hands(below)[1], hands(below)[2]) == ("R R", "L L")
    assert (hands(above)[1], hands(above)[2]) == ("L L", "R R")


def test_what_words_decide_is_told_as_theirs() -> None:
    (taken,) = divide(score(bar(MELODY, BASS, words=(word("m.s.", "0"),)))).handovers
    assert (taken.hand, taken.staff, taken.why, taken.count) == (Hand.LEFT, "upper", "word", 2)
    assert taken.places == ("1.1–2",)
