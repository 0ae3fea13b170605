"""What a build is made with, whatever it makes: who hears of it, what is kept, who helps.

Enters: nothing. Leaves: ``Means``, which go through all stages.
"""

from collections.abc import Callable
from dataclasses import dataclass

from engrave.machine.cache import NO_CACHE, Cache

Tell = Callable[[str], None]


def silent(_: str) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True)
class Means:
    """``tell`` hears of every stage that begins; unless ``alone``, a copy of the process helps."""

    tell: Tell = silent
    cache: Cache = NO_CACHE
    alone: bool = True
