"""A value and the place where it was written.

The type alone; it knows neither what stands in a marks file nor how it is read.
"""

from dataclasses import dataclass
from typing import Generic, TypeVar

from engrave.errors import Source

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Placed(Generic[T]):
    """A value and the place in the marks file where it stands."""

    value: T
    source: Source


def value_of(placed: Placed[T] | None) -> T | None:
    """What was written, None where nothing was."""
    return placed.value if placed else None
