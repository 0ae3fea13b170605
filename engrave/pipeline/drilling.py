"""From passages to drills: the families asked for, or those that suit, in playing order.

Enters: a ``Passage``. Leaves: its drills, and notices about what was refused. Knows no paper.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from engrave.drills import FAMILIES, Family, Options
from engrave.errors import EngraveError, Mistakes, Notice
from engrave.marks.model import DrillRequest
from engrave.model import Drill
from engrave.passage import Passage
from engrave.words import say


@dataclass(frozen=True, slots=True)
class Drilled:
    """A passage with its drills; the first is the passage as written."""

    passage: Passage
    drills: tuple[Drill, ...]
    notices: tuple[Notice, ...]

    @property
    def written(self) -> Drill:
        """The passage as written."""
        return self.drills[0]


def drill(passage: Passage) -> Drilled:
    """All drills of a passage; raises ``Mistakes`` with every family that finds nothing to do."""
    drills: list[Drill] = []
    notices: list[Notice] = []
    errors: list[EngraveError] = []
    for family, request in _requests(passage):
        source = request.source or passage.source
        try:
            made = family.make(passage, Options(dict(request.options), request.source))
        except EngraveError as error:
            placed = EngraveError(error.message, request.source or error.source, error.hint)
            errors.append(placed.at(passage.source))
            continue
        drills += made.drills
        notices += [Notice(say(refused), source) for refused in made.refused]
    if errors:
        raise Mistakes(errors)
    return Drilled(passage, tuple(drills), tuple(notices))


def _requests(passage: Passage) -> Iterable[tuple[Family, DrillRequest]]:
    """Families with what was asked of them; the passage as written always comes first.

    A passage kept as a warm-up is played as written and no more.
    """
    if passage.status == "warm-up":
        return [(family, DrillRequest(family.name)) for family in FAMILIES[:1]]
    if passage.requests is None:
        return [
            (family, DrillRequest(family.name))
            for family in FAMILIES
            if family.name == "as-written" or family.suits(passage)
        ]
    asked = {request.family: request for request in passage.requests}
    asked.setdefault("as-written", DrillRequest("as-written"))
    return [(family, asked[family.name]) for family in FAMILIES if family.name in asked]
