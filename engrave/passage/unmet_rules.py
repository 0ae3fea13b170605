"""The rules that bind fingers whatever the model, where a passage's suggested ones break them.

Enters: a fingered passage. Leaves: what is broken by hand, and notices of it for the teacher. The
words stand in the word lists, table ``fingering.unmet``.
"""

from collections.abc import Iterator, Mapping, Sequence

from engrave.errors import Notice
from engrave.fingering import FIGURE, Unmet, unmet
from engrave.messages import notice
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.passage.model import Passage
from engrave.remarks import Remark

_CLAIM = frozenset({"one-finger", "one-finger-held", "crossed", "chord-reach"})
"""Rules whose sentence says that no other fingers do better; where others do, another says it."""


def unmet_rules(passage: Passage) -> Mapping[Hand, tuple[Unmet, ...]]:
    """What the marked hands' fingers break."""
    return {
        hand: unmet(
            passage.lines[hand], hand, passage.stretch_mm[hand], passage.goal.quarters_per_minute
        )
        for hand in passage.hands
    }


def unmet_told(passage: Passage, broken: Mapping[Hand, Sequence[Unmet]]) -> Iterator[Notice]:
    """Each of them in words, with its place; figures that come again measure by measure."""
    for hand, found in broken.items():
        line = passage.lines[hand]
        told: set[tuple[str, str]] = set()
        for each in found:
            here, other = line[each.onset], line[each.other]
            if each.rule == FIGURE:
                pair = other.measure, here.measure
                if pair in told:
                    continue
                told.add(pair)
            claims = each.avoidable and each.rule in _CLAIM
            rule = f"{each.rule}-avoidable" if claims else each.rule
            yield notice(_remark(passage, hand, rule, other, here), passage.source)


def _remark(passage: Passage, hand: Hand, rule: str, other: Onset, here: Onset) -> Remark:
    before, after = (line.tones[0] for line in (other, here))
    return Remark.of(
        f"fingering.unmet.{rule}",
        hand=hand,
        place=here.place_in(passage.sheet),
        first=other.place_in(passage.sheet),
        before=before.pitch,
        after=after.pitch,
        fingers=tuple(str(tone.finger.number) for tone in (before, after) if tone.finger),
        keys=here.pitches,
    )
