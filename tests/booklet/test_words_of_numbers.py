"""How often something happens, as people say it."""

import pytest

from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.words import say


@pytest.mark.parametrize(
    ("count", "en", "de"),
    [(1, "once", "einmal"), (2, "twice", "zweimal"), (7, "seven times", "siebenmal"),
     (13, "13 times", "13-mal")],
)  # fmt: skip
def test_how_often_a_hand_leaps(count: int, en: str, de: str) -> None:
    said = Remark.of("why.leaps", hand=Hand.LEFT, count=count)
    assert say(said) == f"the left hand leaps {en}"
    assert say(said, "de") == f"die linke Hand springt {de}"
