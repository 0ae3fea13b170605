"""How a figure's fingers are weighed against the ease of the hand's way, on lattices made by hand.

The strain at which a figure gives way, 18 over neighbouring onsets, is a judgement, no source.
"""

import pytest

from engrave.fingering.joining import _breaks, _loosened, _models, _trial
from engrave.fingering.search import Lattice

STEPS = 9
FINGERS = [[(1,), (2,)]] * STEPS


def net(own: float, onwards: float) -> Lattice:
    """Two fingers a step: the first costs ``own`` at the fifth step, and ``onwards`` after it."""
    free = [[0.0, 0.0], [0.0, 0.0]]
    return Lattice(
        [[own if step == 4 else 0.0, 0.0] for step in range(STEPS)],
        [[]] + [[[onwards, 0.0]] * 2 if step == 5 else free for step in range(1, STEPS)],
        [[], []] + [free] * (STEPS - 2),
    )


@pytest.mark.parametrize(
    ("own", "onwards", "finger"),
    [
        (23.0, 0.0, 2),  # 4 for being let off, and 18 saved
        (21.0, 0.0, 1),
        (10.0, 13.0, 2),  # together, over two onsets
        (10.0, 11.0, 1),
        (0.0, 0.0, 1),
    ],
)
def test_a_figure_gives_way_where_it_strains_the_hand(
    own: float, onwards: float, finger: int
) -> None:
    costs = net(own, onwards)
    wanted = _trial(costs, FINGERS, {4: (1,)})
    assert FINGERS[4][wanted.path[4]] == (1,)
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert FINGERS[4][path[4]] == (finger,)


def test_a_figure_gives_way_at_the_place_that_strains_and_nowhere_else() -> None:
    """Of two members, eight steps apart, the easy one keeps its fingers."""
    costs = net(40.0, 0.0)
    wanted = _trial(costs, FINGERS, {0: (1,), 4: (1,), 8: (1,)})
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert [FINGERS[step][path[step]] for step in (0, 4, 8)] == [(1,), (2,), (1,)]


def test_the_fingers_tried_are_the_first_members_and_most_members() -> None:
    """Three members take 2, 1, 1 of themselves: tried are 1 and 2 for all, then 1, drawn."""
    own = [[5.0, 0.0], [0.0, 0.0], [0.0, 9.0], [0.0, 0.0], [0.0, 9.0]]
    free = [[0.0, 0.0]] * 2
    costs = Lattice(own, [[], *[free] * 4], [[], [], *[free] * 3])
    fingers = [[(1,), (2,)]] * 5
    found = list(_models(costs, fingers, [(0, 2, 4)], (1, 0, 0, 0, 0)))
    assert found[:2] == [dict.fromkeys((0, 2, 4), (1,)), dict.fromkeys((0, 2, 4), (2,))]
    assert found[2:] == [dict.fromkeys((0, 2, 4), (1,))]


@pytest.mark.parametrize(("price", "found"), [(24.9, []), (25.0, [5]), (40.0, [5])])
def test_a_move_that_costs_as_much_as_a_rule_that_binds_breaks_one(
    price: float, found: list[int]
) -> None:
    costs = net(0.0, price)
    assert _breaks(costs, (0,) * STEPS) == found
