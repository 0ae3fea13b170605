"""What is said of a slow place in which nothing is hard by itself: its line, and how long that is.

Enters: a ``Scene`` and the parts of its difficulty. Leaves: a ``Remark``, or none of what is quick.
"""

from collections.abc import Sequence

from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.remarks import Remark
from engrave.survey.findings.scene import Scene, said
from engrave.survey.model import LoadShare, Side

SLOW = 2.0
"""Strokes a second of a hand below which a place is slow (a judgement)."""

FEWEST_IN_LINE = 4
"""Notes that follow each other without a rest and are a line."""


def line(scene: Scene, parts: Sequence[LoadShare]) -> tuple[Remark, ...]:
    """The longest line of the hands whose parts these are, if all of it is slow."""
    hands = [hand for hand in Hand if any(part.side is Side(hand) for part in parts)] or list(Hand)
    played = {hand: scene.onsets(hand, scene.first, scene.last) for hand in hands}
    lasts = sum(cell.seconds for cell in scene.cells[scene.first : scene.last + 1])
    if any(len(struck) >= SLOW * lasts for struck in played.values()):
        return ()
    lines = [(hand, each) for hand in hands for each in _without_rests(played[hand])]
    hand, longest = max(lines, key=lambda each: len(each[1]), default=(hands[0], []))
    if len(longest) < FEWEST_IN_LINE:
        return (said("slow", measure=scene.cells[scene.first].measure),)
    return (said("slow-line", hand=hand, count=len(longest), measure=longest[0].measure),)


def _without_rests(struck: Sequence[Onset]) -> list[list[Onset]]:
    """What is struck, cut where the hand rests."""
    lines: list[list[Onset]] = []
    for onset in struck:
        if lines and lines[-1][-1].time + lines[-1][-1].length >= onset.time:
            lines[-1].append(onset)
        else:
            lines.append([onset])
    return lines
