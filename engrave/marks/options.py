"""How a drill family says which options it takes, and how they are read from a marks file.

Enters: a class of options, its fields made by ``option``, and a mapping of the marks file. Leaves:
an instance, which remembers where each option stands. Knows no family: every family's module
derives its own class, and whoever reads a marks file hands all of them in as ``Families``.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from fractions import Fraction
from typing import Any, Self, TypeAlias, TypeVar, cast

from engrave.errors import Source
from engrave.marks.reached import Reached, reached_mark
from engrave.marks.readers import Form, Reader
from engrave.marks.schema import mark, step

T = TypeVar("T")
D = TypeVar("D")

_READER = "reader"


def option(reader: Reader[T], default: D) -> T | D:
    """A field of a class of options: how its value is read, and what holds where it is not given.

    Of use in a class body alone, as ``dataclasses.field`` is.
    """
    return cast(T | D, field(default=default, metadata={_READER: reader}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What every family takes: a ladder of its own, in the beat of the drill.

    ``places`` are where the options stand that were given, by name.
    """

    reached: Reached | None = option(reached_mark, None)  # noqa: RUF009 (makes a field)
    goal: Fraction | None = option(mark, None)
    start: Fraction | None = option(mark, None)
    step: int | None = option(step, None)
    places: tuple[tuple[str, Source], ...] = ()

    def place(self, name: str) -> Source | None:
        """Where an option stands, None where it was not given."""
        return dict(self.places).get(name)

    def without_ladder(self) -> Self:
        """The same, but for the ladder."""
        return replace(self, reached=None, goal=None, start=None, step=None)


Families: TypeAlias = Mapping[str, type[Options]]
"""What each family takes, by the family's name."""


def readers_of(kind: type[Options]) -> Mapping[str, Reader[object]]:
    """How each option of a class is read, by name."""
    return {each.name: each.metadata[_READER] for each in fields(kind) if _READER in each.metadata}


def read_options(kind: type[Options], form: Form) -> Options:
    """The options in a mapping that is being read key by key."""
    given: dict[str, Any] = {}
    for name, reader in readers_of(kind).items():
        value = form.get(name, reader, None)
        if value is not None:
            given[name] = value
    places = tuple((name, form.place(name)) for name in given)
    return kind(**given, places=places)
