"""What is said of notes that are hard to read: accidentals, jumps on the staff, ornaments.

Enters: a ``Scene`` and the part of its difficulty to be told. Leaves: a ``Remark``, or None where
nothing that can be counted bears it out.
"""

from engrave.remarks import Remark
from engrave.survey.findings.scene import Scene, hand_of, said
from engrave.survey.model import LoadShare


def accidentals(scene: Scene, part: LoadShare) -> Remark | None:
    """How many notes of the worst measure are not those of the key signature."""
    hand = hand_of(part)
    first, last = scene.measure_of(scene.worst(part))
    line = scene.lines[hand]
    count = sum(
        pitch.alter != line.keys[onset.index].alter_of(pitch.step)
        for onset in scene.onsets(hand, first, last)
        for pitch in onset.pitches
    )
    if count < 3:
        return None
    return said("accidentals", hand=hand, count=count, measure=scene.cells[first].measure)


def staff_jumps(scene: Scene, part: LoadShare) -> Remark | None:
    """That the notes jump on the page."""
    at = scene.worst(part)
    return said("staff-jumps", hand=hand_of(part), measure=scene.cells[at].measure)


def ornaments(scene: Scene, part: LoadShare) -> Remark | None:
    """That there are ornaments."""
    at = scene.worst(part)
    return said("ornaments", hand=hand_of(part), measure=scene.cells[at].measure)
