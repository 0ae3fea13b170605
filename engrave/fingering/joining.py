"""The path that joins the fingers voted for, figures fingered alike where they come again.

Enters: a line's costs, the grips to choose from, votes, groups of onsets. Leaves: a ``Path``.
"""

from collections import Counter
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace

from engrave.fingering.costs import BREAKS, DRAWN, STRAIN, UNLIKE, UNLIKE_WHERE_LOOSE, VOTED
from engrave.fingering.figures import Group
from engrave.fingering.grips import Choices
from engrave.fingering.search import Lattice, Path, cheapest, narrowed
from engrave.fingering.votes import Votes

Fingers = tuple[int, ...]

_RARE = 0.0003
"""Choices whose fingers have less of the share are left out when the path is chosen."""
_ROUNDS = 4
"""How often members of a figure are drawn together."""
_MENDED = 6
"""Moves that break a rule that binds: so many are looked into."""
_NEAR, _WINDOWS = 3, 24
"""So many onsets around a strain are let off their figure, at so many places at most."""


def joined(net: Lattice, choices: Choices, votes: Sequence[Votes], groups: Sequence[Group]) -> Path:
    """The path that joins the fingers voted for, every group of onsets fingered alike.

    The fingers of a group are tried as its first member and as most of its members have them in the
    path chosen without regard to groups, and as most have them once they are drawn together.
    """
    worth = [
        [sum(by_finger[finger] for by_finger, finger in zip(vote, grip.fingers, strict=True))
         for grip in grips]
        for grips, vote in zip(choices, votes, strict=True)
    ]  # fmt: skip
    kept = [_likeliest(row, len(vote)) for row, vote in zip(worth, votes, strict=True)]
    small = narrowed(net, kept)
    own = [
        [cost - VOTED * worth[now][k] for cost, k in zip(row, kept[now], strict=True)]
        for now, row in enumerate(small.own)
    ]
    small = replace(small, own=own)
    left = [[choices[now][k].fingers for k in row] for now, row in enumerate(kept)]
    path, _ = cheapest(small)
    if groups:
        models = dict.fromkeys(_models(small, left, groups))
        trials = (_trial(small, left, _for_all(groups, model)) for model in models)
        best = min(trials, key=lambda trial: trial.cost)
        best = _mended(small, left, groups, best)
        path = _loosened(small, left, best, path)
    return tuple(kept[now][k] for now, k in enumerate(path))


def _likeliest(row: Sequence[float], keys: int) -> list[int]:
    """The choices for so many keys, but for those whose fingers hardly any good path takes."""
    found = [k for k, worth in enumerate(row) if worth > _RARE * keys]
    return found or list(range(len(row)))


def _models(
    net: Lattice, left: Sequence[Sequence[Fingers]], groups: Sequence[Group]
) -> Iterator[tuple[Fingers, ...]]:
    """The fingers of every group, in some ways worth trying.

    Round after round the members of a group are drawn towards what most of them take, from the
    path that knows of no groups.
    """
    free = _taken(net, left, groups)
    yield tuple(map(_most, free))
    yield tuple(next(iter(each)) for each in free)
    for _ in range(_ROUNDS):
        if any(len(each) > 1 for each in free):
            net = _drawn(net, left, groups, free)
            free = _taken(net, left, groups)
    yield tuple(map(_most, free))


def _taken(
    net: Lattice, left: Sequence[Sequence[Fingers]], groups: Sequence[Group]
) -> list[Counter[Fingers]]:
    """What so many members of each group take on the cheapest path, the first member's first."""
    path, _ = cheapest(net)
    return [Counter(left[number][path[number]] for number in group) for group in groups]


def _most(taken: Counter[Fingers]) -> Fingers:
    """What most members take, of equals what the first of these takes."""
    return max(taken, key=taken.__getitem__)


def _for_all(groups: Sequence[Group], fingers: Sequence[Fingers]) -> dict[int, Fingers]:
    """Every member of each group with the group's fingers."""
    return {n: wanted for group, wanted in zip(groups, fingers, strict=True) for n in group}


def _drawn(
    net: Lattice,
    left: Sequence[Sequence[Fingers]],
    groups: Sequence[Group],
    taken: Sequence[Counter[Fingers]],
) -> Lattice:
    """The costs, those of the fingers that many members of a group have taken less."""
    own = list(net.own)
    for group, each in zip(groups, taken, strict=True):
        for number in group:
            own[number] = [
                cost - DRAWN * each[fingers] / len(group)
                for cost, fingers in zip(own[number], left[number], strict=True)
            ]
    return replace(net, own=own)


@dataclass(frozen=True, slots=True)
class _Trial:
    """The cheapest path where onsets are ``wanted`` to take certain fingers, and its cost."""

    wanted: dict[int, Fingers]
    path: Path
    cost: float


def _trial(
    net: Lattice,
    left: Sequence[Sequence[Fingers]],
    wanted: dict[int, Fingers],
    loose: Container[int] = frozenset(),
) -> _Trial:
    own = list(net.own)
    for number, fingers in wanted.items():
        unlike = UNLIKE_WHERE_LOOSE if number in loose else UNLIKE
        own[number] = [
            cost + unlike * (here != fingers)
            for cost, here in zip(own[number], left[number], strict=True)
        ]
    return _Trial(wanted, *cheapest(replace(net, own=own)))


def _mended(
    net: Lattice, left: Sequence[Sequence[Fingers]], groups: Sequence[Group], best: _Trial
) -> _Trial:
    """The trial, other fingers tried for the groups that make a move break what binds."""
    of = {number: group for group in groups for number in group}
    for now in _breaks(net, best.path)[:_MENDED]:
        if now in _breaks(net, best.path):
            for number in (now, now - 1):
                for fingers in dict.fromkeys(left[number] if number in of else ()):
                    changed = best.wanted | dict.fromkeys(of[number], fingers)
                    best = min(best, _trial(net, left, changed), key=lambda trial: trial.cost)
    return best


def _loosened(net: Lattice, left: Sequence[Sequence[Fingers]], best: _Trial, free: Path) -> Path:
    """The path, onsets let off their figure where that makes the hand's way much easier.

    ``free`` is the path that knows of no figures: where it is much cheaper, letting off is tried.
    """
    least = _local(net, free)
    loose: frozenset[int] = frozenset()
    tried: set[int] = set()
    for _ in range(_WINDOWS):
        excess = [here - there for here, there in zip(_local(net, best.path), least, strict=True)]
        threes = zip(excess, excess[1:], excess[2:], strict=False)
        sums = dict(enumerate(map(sum, threes), start=1))
        strained = [now for now, each in sums.items() if each >= STRAIN and now not in tried]
        if not strained:
            return best.path
        now = max(strained, key=sums.__getitem__)
        window = range(now - _NEAR, now + _NEAR + 1)
        tried.update(window)
        trial = _trial(net, left, best.wanted, loose.union(window))
        if trial.cost < best.cost - STRAIN:
            best, loose = trial, loose.union(window)
    return best.path


def _local(net: Lattice, path: Path) -> list[float]:
    """What each step of a path costs, by itself and by how it is come to."""
    found = [row[k] for row, k in zip(net.own, path, strict=True)]
    for now, (moves, skips) in enumerate(zip(net.moves, net.skips, strict=True)):
        if moves:
            found[now] += moves[path[now]][path[now - 1]]
        if skips:
            found[now] += skips[path[now]][path[now - 2]]
    return found


def _breaks(net: Lattice, path: Path) -> list[int]:
    """The steps into which a move breaks a rule that binds."""
    return [n for n in range(1, len(path)) if net.moves[n][path[n]][path[n - 1]] >= BREAKS]
