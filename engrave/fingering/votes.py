"""What good fingerings agree on, key by key.

Enters: steps, grips with their shares among all good paths, groups of onsets that are to be alike.
Leaves: ``Votes``.
"""

from collections import defaultdict
from collections.abc import Sequence

from engrave.fingering.figures import Group, likenesses
from engrave.fingering.grips import Choices, Grip
from engrave.fingering.search import Lattice, shares
from engrave.fingering.step import Step

Votes = list[dict[int, float]]
"""For each struck key of an onset, low to high, the share of every finger among all good paths."""


def voted(
    steps: Sequence[Step], choices: Choices, net: Lattice, groups: Sequence[Group]
) -> list[Votes]:
    """The votes of every onset: alike within figures, leaning towards those of like places."""
    votes = [_votes(grips, row) for grips, row in zip(choices, shares(net), strict=True)]
    for group in groups:
        pooled = _pooled([votes[number] for number in group])
        for number in group:
            votes[number] = pooled
    return _leaning(steps, votes)


def _votes(grips: Sequence[Grip], row: Sequence[float]) -> Votes:
    votes: Votes = []
    for fingers in zip(*(grip.fingers for grip in grips), strict=True):
        by_finger: dict[int, float] = defaultdict(float)
        for finger, share in zip(fingers, row, strict=True):
            by_finger[finger] += share
        votes.append(by_finger)
    return votes


def _pooled(members: Sequence[Votes]) -> Votes:
    """What the members of a figure vote together."""
    pooled: Votes = []
    for place in zip(*members, strict=True):
        together: dict[int, float] = defaultdict(float)
        for by_finger in place:
            for finger, share in by_finger.items():
                together[finger] += share / len(members)
        pooled.append(together)
    return pooled


def _leaning(steps: Sequence[Step], votes: Sequence[Votes]) -> list[Votes]:
    """The votes of every onset, leaning towards those of others with the same keys beside them."""
    leaning = list(votes)
    for group in likenesses(steps):
        together = _pooled([votes[number] for number in group])
        for number in group:
            leaning[number] = _pooled([leaning[number], together])
    return leaning
