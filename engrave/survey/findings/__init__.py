"""What a spot is hard by, as a teacher says it: one plain sentence a trouble, with its place.

Enters: a ``Scene`` and a spot's parts. Leaves: ``Remark``s without a figure of measurement: what
is counted is what a player can count on the page. Knows no weights and no language.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from engrave.remarks import Remark
from engrave.survey.findings import holding, moving, reading, slow, together
from engrave.survey.findings.scene import Scene
from engrave.survey.model import LoadShare, Side

__all__ = ["KINDS", "Scene", "findings", "telling"]

TOLD = 2
"""Sentences a spot: a student reads no list."""

SAID_OF_BOTH = (
    "run", "broken-run", "double-run", "octave-run", "changes", "chords", "double-notes", "octaves",
)  # fmt: skip
BOTH = frozenset(f"survey.finding.{kind}" for kind in SAID_OF_BOTH)
"""Sentences that have a form for both hands."""

_TELLERS: Mapping[str, Callable[[Scene, LoadShare], Remark | None]] = {
    "speed": moving.speed,
    "passes": moving.passes,
    "leaps": moving.leaps,
    "travel": moving.travel,
    "changes": moving.changes,
    "stretch": holding.stretch,
    "weak-fingers": holding.weak_fingers,
    "repeats": holding.repeats,
    "chords": holding.chords,
    "voices": holding.voices,
    "accidentals": reading.accidentals,
    "staff-jumps": reading.staff_jumps,
    "ornaments": reading.ornaments,
    "two-rhythms": together.two_rhythms,
    "independence": together.independence,
}

KINDS: Mapping[str, str] = {load: load for load in _TELLERS} | {
    "travel": "moving", "changes": "moving", "leaps": "moving", "staff-jumps": "moving",
    "two-rhythms": "against", "independence": "against",
}  # fmt: skip
"""Loads that are told in one sentence, by a name of the kind."""


def findings(scene: Scene, parts: Sequence[LoadShare]) -> tuple[Remark, ...]:
    """The sentences for the heaviest parts; what is said of both hands alike is said once.

    The second is of another side than the first, where another has a trouble that can be told. Of a
    slow place without one its line is told; of another nothing.
    """
    told: dict[tuple[str, Side], Remark] = {}
    left = sorted(parts, key=telling, reverse=True)
    while left:
        sides = {side for _, side in told}
        part = min(left, key=lambda each: each.side in sides)
        left.remove(part)
        kind = KINDS[part.load]
        if len(told) == TOLD:
            break
        said = None if (kind, part.side) in told else _TELLERS[part.load](scene, part)
        if said is None or any(_is_told(said, other) for other in told.values()):
            continue
        alike = next((k for k, other in told.items() if _is_both(other, said)), None)
        if alike is None:
            told[kind, part.side] = said
        else:
            told[alike] = replace(said, key=f"{said.key}-both")
    return tuple(told.values()) or slow.line(scene, parts)


def _is_told(said: Remark, other: Remark) -> bool:
    return said == other or other.key == f"{said.key}-both"


def telling(part: LoadShare) -> float:
    """How much a part says of its place: speed says least, as most music is quick somewhere."""
    return part.share / 2 if part.load == "speed" else part.share


def _is_both(one: Remark, other: Remark) -> bool:
    """Whether two sentences differ in the hand alone, and can be said of both."""
    values = [{k: v for k, v in each.values if k != "hand"} for each in (one, other)]
    return one.key == other.key and one.key in BOTH and values[0] == values[1]
