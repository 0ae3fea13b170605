"""Identical leaps once: a way through the music that passes every leap, with the rest cut out.

Enters: stops of a way, each with the leaps that end there. Leaves: those that are needed. What a
stop is, a bar or a single onset, it does not know.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Stop(Generic[T]):
    """A stop of the way.

    ``leaps`` are those that end here and ``state`` is where the hand is left: two stops of one
    state can be followed by the same. ``back`` says how many stops ago the leaps begin at most.
    """

    item: T
    leaps: frozenset[Hashable]
    state: Hashable
    back: int = 1


def thinned(stops: Sequence[Stop[T]], seen: set[Hashable]) -> list[T]:
    """The stops that are needed for every leap not yet ``seen``, which grows by them.

    Stops without a new leap are cut out where the hand comes back to where it was, and at both
    ends; elsewhere they lead on to a new leap and stay.
    """
    kept: list[Stop[T]] = []
    waiting: list[Stop[T]] = []
    for stop in stops:
        if stop.leaps - seen:
            lead = waiting if kept else waiting[max(len(waiting) - stop.back, 0) :]
            kept += [*lead, stop]
            waiting = []
            seen |= stop.leaps
            continue
        before = [*kept[-1:], *waiting]
        again = next((at for at, old in enumerate(before) if old.state == stop.state), None)
        if again is None:
            waiting.append(stop)
        else:
            waiting = before[: again + 1][len(kept[-1:]) :]
    return [stop.item for stop in kept]
