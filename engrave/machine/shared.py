"""Many pieces of work shared between this process and a copy of it: whoever is free takes the next.

Enters: functions without arguments whose values can be pickled. Leaves: their values, in order. The
copy begins at once, this process when it asks for the values. Which of them does a piece makes no
difference to its value; what goes wrong anywhere is done again here, in order, and so is told as if
there had been no other process.
"""

import os
from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from engrave.machine.beside import Beside

T = TypeVar("T")

_SIZE = 4
"""Bytes of a number. A pipe gives out as many as are asked for at a time to one reader."""
_MOST = 1024
"""Numbers that a pipe holds, however small it is made: Linux gives a user of many pipes one page
of memory for each (pipe(7))."""


class Shared(Generic[T]):
    """``works`` under way. Leaving its ``with`` block ends a process that nobody waits for.

    ``alone``: no other process is wanted.
    """

    def __init__(self, works: Sequence[Callable[[], T]], alone: bool = False) -> None:
        self._works = works
        self._at_once = max(1, -(-len(works) // _MOST))
        self._numbers, writing = os.pipe()
        for first in range(0, len(works), self._at_once):
            os.write(writing, first.to_bytes(_SIZE, "big"))
        os.close(writing)
        self._copy = Beside(self._taken, alone or not works)

    def values(self) -> list[T]:
        """What every piece returns; raises what the first one raises that fails."""
        done: dict[int, T] = {}
        try:
            done.update(self._taken())
        except Exception:  # it is met again below, in its turn
            while os.read(self._numbers, _SIZE * _MOST):
                pass
        done.update(self._copy.value())
        return [done[each] if each in done else work() for each, work in enumerate(self._works)]

    def _taken(self) -> dict[int, T]:
        """The values of the pieces that nobody else has taken."""
        done: dict[int, T] = {}
        while number := os.read(self._numbers, _SIZE):
            first = int.from_bytes(number, "big")
            for each in range(first, min(first + self._at_once, len(self._works))):
                done[each] = self._works[each]()
        return done

    def __enter__(self) -> "Shared[T]":
        return self

    def __exit__(self, *_: object) -> None:
        self._copy.end()
        self._works = ()  # it and its copy hold each other, and what is to be done may be much
        os.close(self._numbers)
