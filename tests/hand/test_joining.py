"""How a figure's fingers are weighed against the ease of the hand's way, on lattices made by hand.

The strain at which a figure gives way, 18 over neighbouring onsets, is a judgement, no source.
"""

import pytest

from engrave.fingering.joining import _loosened, _trial
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
