"""A slice of ``tests.hands.hiding``: hands hidden as copyists hide them are found again."""

import pytest

from tests.hands.hiding import HIDINGS, recover, tree

SLICE = ("mozart/k545/movement1_exposition.mxl", "schumann_clara/polonaise_op1n4.mxl")


@pytest.mark.parametrize("hiding", HIDINGS)
def test_hidden_hands_are_found_again(hiding: str) -> None:
    found = [recover(tree(work), work, hiding) for work in SLICE]
    assert sum(each.right for each in found) >= 0.995 * sum(each.notes for each in found)
    hidden = sum(each.hidden for each in found)
    assert hidden > 0
    assert sum(each.hidden_right for each in found) >= 0.97 * hidden
