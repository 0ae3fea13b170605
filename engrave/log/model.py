"""The entries of a log, as frozen values. The package says what each of them means.

Knows neither files nor YAML.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TypeAlias

from engrave.music.units import Quarters

CLEAN_TIMES = 3
"""How often running a mark is played clean until it is reached: the booklet's rule."""


@dataclass(frozen=True, slots=True)
class Practised:
    """A drill, or a passage as written, practised; ``mark`` with its ``beat`` and ``clean``."""

    target: str
    is_drill: bool
    mark: int | None = None
    beat: Quarters | None = None
    clean: int | None = None
    minutes: Fraction | None = None
    word: str = ""

    @property
    def passage(self) -> str:
        """The id of the passage."""
        return self.target.partition(".")[0] if self.is_drill else self.target

    @property
    def is_reached(self) -> bool:
        """Whether its mark was played clean as often as a box asks for."""
        return self.mark is not None and (self.clean or 0) >= CLEAN_TIMES


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson: the passages that its booklet had, and those of them that were done."""

    passages: tuple[str, ...]
    done: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """An entry that counts no more, by its id."""

    entry: str


@dataclass(frozen=True, slots=True)
class Adoption:
    """Another piece's or student's key, whose entries count here too."""

    key: str


What: TypeAlias = Practised | Lesson | Withdrawal | Adoption


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a log."""

    id: str
    day: date
    piece: str
    student: str
    what: What
