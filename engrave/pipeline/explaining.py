"""Why the fingers of a passage are what they are, an onset a line.

Enters: checked marks and a passage's id. Leaves: lines for a terminal. Knows no rule by name.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engrave.errors import EngraveError
from engrave.fingering import explain
from engrave.music.notes import FingerOrigin
from engrave.music.onset import Onset
from engrave.passage.model import Passage
from engrave.pipeline.checking import Checked


def why(checked: Checked, id: str) -> Iterator[str]:
    """For each onset: measure, keys, the fingers with their costs by rule, and the next best."""
    passages = {each.passage.id: each.passage for each in checked.passages}
    if id not in passages:
        raise EngraveError(
            f"there is no passage {id!r}",
            checked.marks.source,
            f"the passages are {', '.join(passages)}",
        )
    return _lines(passages[id])


def _lines(passage: Passage) -> Iterator[str]:
    for hand in passage.hands:
        line = _as_asked(passage.lines[hand])
        told = explain(line, hand, passage.stretch_mm[hand], passage.goal.quarters_per_minute)
        yield f"{hand} hand"
        for onset, explanation in zip(line, told, strict=True):
            keys = "-".join(pitch.spelling for pitch in onset.pitches)
            yield f"  {onset.measure:>4}  {keys:<12} {explanation}"


def _as_asked(line: Sequence[Onset]) -> list[Onset]:
    """The line with the teacher's and the score's fingers alone, so that others can be weighed."""
    return [
        replace(
            onset,
            tones=tuple(
                replace(tone, finger=None)
                if tone.finger and tone.finger.origin is FingerOrigin.COMPUTED
                else tone
                for tone in onset.tones
            ),
        )
        for onset in line
    ]
