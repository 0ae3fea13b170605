"""What drill families take from a marks file, as their own modules say it."""

from typing import Any

import pytest

from engrave.drills import FAMILIES, OPTIONS, Family
from engrave.marks.options import readers_of


def test_every_family_can_be_asked_for_in_the_booklets_order() -> None:
    assert list(OPTIONS) == [family.name for family in FAMILIES]


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.name)
def test_a_family_has_a_ladder_of_its_own_and_defaults(family: Family[Any]) -> None:
    assert readers_of(family.options).keys() >= {"goal", "start", "step", "reached"}
    assert family.options().places == ()
