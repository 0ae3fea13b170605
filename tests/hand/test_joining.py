"""How a figure's fingers are weighed against the ease of the hand's way, on lattices made by hand.

The strain at which a figure gives way, 18 over neighbouring onsets, is a judgement, no source.
"""

import pytest

from engrave.fingering.grips import Grip
from engrave.fingering.joining import _breaks, _loosened, _mended, _models, _trial, joined
from engrave.fingering.search import Lattice, Matrix

STEPS = 9
FINGERS = [[(1,), (2,)]] * STEPS


def net(
    own: dict[int, float], moves: dict[int, Matrix] | None = None, skip: float = 0.0
) -> Lattice:
    """Two fingers a step, the first and the second, which cost nothing but what is said.

    ``own``: by step what its first finger costs; ``moves``: by step what it costs to come to it;
    ``skip``: what it costs that the first finger was taken two steps before the seventh.
    """
    free = [[0.0, 0.0], [0.0, 0.0]]
    return Lattice(
        [[own.get(step, 0.0), 0.0] for step in range(STEPS)],
        [[]] + [(moves or {}).get(step, free) for step in range(1, STEPS)],
        [[], []] + [[[skip, 0.0]] * 2 if step == 6 else free for step in range(2, STEPS)],
    )


def onwards(cost: float) -> dict[int, Matrix]:
    """To go on from the first finger at the fifth step costs as much."""
    return {5: [[cost, 0.0]] * 2}


@pytest.mark.parametrize(
    ("own", "on", "skip", "finger"),
    [
        (22.5, 0.0, 0.0, 2),  # 4 for being let off, and more than 18 saved
        (21.5, 0.0, 0.0, 1),
        (22.0, 0.0, 0.0, 1),
        (10.0, 13.0, 0.0, 2),  # together, over two onsets
        (10.0, 11.0, 0.0, 1),
        (10.0, 0.0, 13.0, 2),  # over three
        (0.0, 0.0, 23.0, 2),
        (0.0, 0.0, 0.0, 1),
    ],
)
def test_a_figure_gives_way_where_it_strains_the_hand(
    own: float, on: float, skip: float, finger: int
) -> None:
    costs = net({4: own}, onwards(on), skip)
    wanted = _trial(costs, FINGERS, {4: (1,)})
    assert FINGERS[4][wanted.path[4]] == (1,)
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert FINGERS[4][path[4]] == (finger,)


@pytest.mark.parametrize(("strain", "near", "finger"), [(18.0, 9.0, 2), (17.5, 10.0, 1)])
@pytest.mark.parametrize(("place", "beside"), [(0, 3), (8, 5)])
def test_a_figure_gives_way_only_where_the_strain_is_felt_at_one_place(
    strain: float, near: float, finger: int, place: int, beside: int
) -> None:
    """As much is saved with 17.5 and 10, but nowhere is it 18 over three neighbouring steps."""
    costs = net({place: strain, beside: near})
    wanted = _trial(costs, FINGERS, dict.fromkeys((place, beside), (1,)))
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert FINGERS[place][path[place]] == FINGERS[beside][path[beside]] == (finger,)


def test_a_figure_gives_way_at_the_place_that_strains_and_nowhere_else() -> None:
    """Of two members, eight steps apart, the easy one keeps its fingers."""
    costs = net({4: 40.0})
    wanted = _trial(costs, FINGERS, {0: (1,), 4: (1,), 8: (1,)})
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert [FINGERS[step][path[step]] for step in (0, 4, 8)] == [(1,), (2,), (1,)]


def test_what_lies_within_three_steps_of_the_strain_gives_way_with_it() -> None:
    """Each of them only a little easier, which by itself is no reason to leave the figure."""
    members = (0, 1, 3, 4, 5, 7, 8)
    costs = net(dict.fromkeys(members, 5.0) | {3: 12.0, 4: 20.0, 5: 12.0})
    wanted = _trial(costs, FINGERS, dict.fromkeys(members, (1,)))
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert [FINGERS[step][path[step]][0] for step in members] == [1, 2, 2, 2, 2, 2, 1]


def test_of_two_places_that_strain_both_give_way() -> None:
    costs = net({0: 30.0, 8: 40.0})
    wanted = _trial(costs, FINGERS, {0: (1,), 8: (1,)})
    path = _loosened(costs, FINGERS, wanted, (1,) * STEPS)
    assert (path[0], path[8]) == (1, 1)


def test_the_fingers_tried_are_the_first_members_and_most_members() -> None:
    """Three members take 2, 1, 1 of themselves: tried are 1 and 2 for all, then 1, drawn."""
    costs = net({0: 5.0} | dict.fromkeys((2, 4), -9.0))
    assert list(_models(costs, FINGERS, [(0, 2, 4)])) == [((1,),), ((2,),), ((1,),)]


@pytest.mark.parametrize(("resists", "follows"), [(2.5, 1), (3.5, 1), (4.5, 2)])
def test_what_is_tied_to_a_figure_that_is_drawn_together_follows_it(
    resists: float, follows: int
) -> None:
    """The first of three members would take 2 where the others take 1, and the step after it has
    to take what it takes. Once 1 has drawn the first over, that step, too, is like its own figure.
    """
    apart = {1: [[0.0, 99.0], [99.0, 0.0]]}
    costs = net({0: resists, 2: -9.0, 4: -9.0, 7: -9.0}, apart)
    found = list(_models(costs, FINGERS, [(0, 2, 4), (1, 7)]))
    assert found == [((1,), (2,)), ((2,), (2,)), ((1,), (follows,))]


@pytest.mark.parametrize(("price", "found"), [(24.9, []), (25.0, [5]), (40.0, [5])])
def test_a_move_that_costs_as_much_as_a_rule_that_binds_breaks_one(
    price: float, found: list[int]
) -> None:
    assert _breaks(net({}, onwards(price)), (0,) * STEPS) == found


BREAK = [[30.0, 0.0], [0.0, 0.0]]
"""From the first finger to the first a rule is broken; to the second finger, or from it, not."""


@pytest.mark.parametrize(
    ("groups", "dear", "path"),
    [
        ([(4, 7)], 0, "000010010"),  # its own figure changes its fingers
        ([(3, 7)], 0, "000100010"),  # that of the step before it
        ([(3, 7), (4, 8)], 0, "000010001"),  # of both its own
        ([(2, 7)], 0, "000000000"),  # neither is in a figure: nothing to be changed for all
    ],
)
def test_a_figure_takes_other_fingers_where_its_own_break_a_rule(
    groups: list[tuple[int, ...]], dear: int, path: str
) -> None:
    """Every step likes its first finger better, and the move into the fifth breaks a rule by it."""
    costs = net(dict.fromkeys(range(STEPS), -1.0) | {dear: -9.0}, {4: BREAK})
    held: dict[int, tuple[int, ...]] = dict.fromkeys(range(STEPS), (1,))
    mended = _mended(costs, FINGERS, groups, _trial(costs, FINGERS, held))
    assert "".join(map(str, mended.path)) == path


def test_every_place_where_figures_break_a_rule_is_mended() -> None:
    """What changes at the second step saves the third as well; the sixth is still to be mended."""
    costs = net(dict.fromkeys(range(STEPS), -1.0), {1: BREAK, 2: BREAK, 5: BREAK})
    held: dict[int, tuple[int, ...]] = dict.fromkeys(range(STEPS), (1,))
    mended = _mended(costs, FINGERS, [(1, 8), (2, 7), (5, 6)], _trial(costs, FINGERS, held))
    assert _breaks(costs, mended.path) == []
    assert mended.path == (0, 1, 0, 0, 0, 1, 1, 0, 1)


def chosen(votes: dict[int, float], cost: float, keys: int = 1) -> int:
    """The lowest finger that is taken of 1 and 3, with such votes for both, where 1 costs more."""
    struck = (60, 64)[:keys]
    grips = [
        Grip(tuple(zip(struck, fingers, strict=False)), (), 0, False)
        for fingers in ((1, 2), (3, 4))
    ]
    by_key = [votes, {finger + 1: share for finger, share in votes.items()}][:keys]
    (path,) = joined(Lattice([[cost, 0.0]], [[]], [[]]), [grips], [by_key], [])
    return grips[path].fingers[0]


@pytest.mark.parametrize("keys", [1, 2])
def test_a_finger_that_hardly_any_good_way_takes_is_not_taken_however_easy(keys: int) -> None:
    assert chosen({1: 0.9998, 3: 0.0002}, 99.0, keys) == 1
    assert chosen({1: 0.99, 3: 0.01}, 99.0, keys) == 3
    assert chosen({1: 0.99, 3: 0.01}, 9.0, keys) == 1  # what most agree on, though dearer


def test_where_nothing_is_voted_for_the_cheapest_is_taken() -> None:
    assert chosen({1: 0.0, 3: 0.0}, 1.0) == 3
    assert chosen({1: 0.0, 3: 0.0}, -1.0) == 1


def test_a_figure_has_the_same_fingers_though_others_would_be_easier_here_and_there() -> None:
    """At the first member 3 is cheaper, at the last 1; of two, the first decides."""
    grips = [Grip(((60, finger),), (), 0, False) for finger in (1, 3)]
    votes = [[{1: 0.5, 3: 0.5}]] * 3
    free = [[0.0, 0.0], [0.0, 0.0]]
    net = Lattice([[2.0, 0.0], [0.0, 0.0], [0.0, 5.0]], [[], free, free], [[], [], free])
    assert joined(net, [grips] * 3, votes, []) == (1, 0, 0)
    assert joined(net, [grips] * 3, votes, [(0, 2)]) == (1, 0, 1)
