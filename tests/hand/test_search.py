"""The ways through a lattice, against all of them, one by one."""

from collections.abc import Callable
from itertools import product
from math import exp
from random import Random

import pytest

from engrave.fingering.search import Lattice, Path, cheapest, cost_of, narrowed, shares

SIZES = ((1,), (4,), (2, 3), (3, 1, 2), (2, 3, 2, 3), (3, 2, 4, 1, 3), (2, 2, 2, 2, 2, 2))
"""How many choices there are at each step."""


def lattice(sizes: tuple[int, ...], cost: Callable[[], float]) -> Lattice:
    def between(now: int, back: int) -> list[list[float]]:
        if now < back:
            return []
        return [[cost() for _ in range(sizes[now - back])] for _ in range(sizes[now])]

    steps = range(len(sizes))
    return Lattice(
        [[cost() for _ in range(size)] for size in sizes],
        [between(now, 1) for now in steps],
        [between(now, 2) for now in steps],
    )


def price(net: Lattice, path: Path) -> float:
    """Every cost on the path, one after the other."""
    total = 0.0
    for now, k in enumerate(path):
        total += net.own[now][k]
        if now:
            total += net.moves[now][k][path[now - 1]]
        if now > 1:
            total += net.skips[now][k][path[now - 2]]
    return total


def paths(net: Lattice) -> list[Path]:
    return list(product(*(range(len(row)) for row in net.own)))


@pytest.mark.parametrize("sizes", SIZES)
@pytest.mark.parametrize("seed", range(4))
def test_the_cheapest_path_is_the_cheapest_of_all(sizes: tuple[int, ...], seed: int) -> None:
    chance = Random(seed)
    net = lattice(sizes, lambda: chance.choice((0.0, 0.5, 1.0, 2.0, 5.0, -1.0)))
    path, cost = cheapest(net)
    assert cost == cost_of(net, path) == price(net, path)
    assert cost == min(price(net, each) for each in paths(net))


@pytest.mark.parametrize("sizes", SIZES)
@pytest.mark.parametrize("seed", range(4))
def test_a_share_falls_by_e_for_each_unit_that_a_path_costs_more(
    sizes: tuple[int, ...], seed: int
) -> None:
    chance = Random(seed)
    net = lattice(sizes, lambda: chance.uniform(-1.0, 3.0))
    weights = {each: exp(-price(net, each)) for each in paths(net)}
    whole = sum(weights.values())
    for now, row in enumerate(shares(net)):
        for k, share in enumerate(row):
            through = sum(weight for each, weight in weights.items() if each[now] == k)
            assert share == pytest.approx(through / whole)


def test_where_all_is_dear_shares_go_by_what_is_dearer() -> None:
    """A step on which every grip has to be rolled, or to let keys go, costs more by a hundred."""
    first, dear, last = [[0.0, 1.0], [100.0, 101.0], [0.0, 1.0]]
    level = [[0.0, 0.0], [0.0, 0.0]]
    net = Lattice([first, dear, last], [[], level, level], [[], [], level])
    easier = 1 / (1 + exp(-1))
    assert shares(net) == [pytest.approx([easier, 1 - easier])] * 3


def test_where_every_way_is_out_of_the_question_one_is_taken() -> None:
    """A held key that would have to be let go and cannot: the costs have no end."""
    never = float("inf")
    net = Lattice(
        [[0.0, 2.0], [0.0, 0.0], [0.0, 0.0]],
        [[], [[never, never], [never, never]], [[0.0, 0.0], [0.0, 0.0]]],
        [[], [], [[0.0, 0.0], [0.0, 0.0]]],
    )
    first, second, third = shares(net)
    assert first == pytest.approx([1 / (1 + exp(-2)), exp(-2) / (1 + exp(-2))])
    assert second == third == pytest.approx([0.5, 0.5])


def test_of_equals_the_path_with_the_lower_choices_at_the_end_is_taken() -> None:
    net = lattice((2, 2, 2, 2), lambda: 1.0)
    assert cheapest(net) == ((0, 0, 0, 0), 9.0)
    net.own[0][0] = 2.0
    net.skips[3][0][1] = 3.0
    assert cheapest(net)[0] == (1, 0, 0, 0)


def test_without_a_step_there_is_nothing_to_pay() -> None:
    assert cheapest(Lattice([], [], [])) == ((), 0.0)
    assert shares(Lattice([], [], [])) == []


def test_what_is_left_of_a_lattice_costs_what_it_did() -> None:
    chance = Random(1)
    net = lattice((3, 4, 3, 4), chance.random)
    kept = [[0, 2], [1, 3], [2], [3, 0]]
    small = narrowed(net, kept)
    for path in paths(small):
        whole = tuple(row[k] for row, k in zip(kept, path, strict=True))
        assert price(small, path) == price(net, whole)
