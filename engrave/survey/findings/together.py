"""What is said of two hands at once: two rhythms, hands that go their own ways.

Enters: a ``Scene`` and the part of its difficulty to be told. Leaves: a ``Remark``.
"""

from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.survey.findings.scene import Scene, said
from engrave.survey.model import LoadShare


def two_rhythms(scene: Scene, part: LoadShare) -> Remark | None:
    """How many notes each hand has in the worst beat."""
    at = scene.worst(part)
    right, left = (len(scene.onsets(hand, at, at)) for hand in (Hand.RIGHT, Hand.LEFT))
    measure = scene.cells[at].measure
    return said("two-rhythms", right=right, left=left, measure=measure)


def independence(scene: Scene, part: LoadShare) -> Remark | None:
    """That the hands go their own ways."""
    return said("independence", measure=scene.cells[scene.worst(part)].measure)
