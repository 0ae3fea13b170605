"""Where goals come from that nobody wrote, and which of the others no metronome has.

Enters: marks and their score. Leaves: notices, one for each such tempo. Makes no goals.
"""

from collections.abc import Iterator
from fractions import Fraction

from engrave.errors import Notice, Source
from engrave.marks import Marks
from engrave.messages import notice
from engrave.music.tempo import HIGHEST, LOWEST, SCALE, floor_to_scale, on_the_scale
from engrave.music.units import Quarters
from engrave.remarks import Remark
from engrave.score import Score, TempoMark, TempoOrigin, locate, tempo_at


def tempos_told(marks: Marks, score: Score) -> Iterator[Notice]:
    """What is to be known of the goals that passages without one of their own have."""
    told: set[object] = set()
    for mark in marks.passages:
        if mark.status == "done":
            continue
        tempo = tempo_at(score, locate(score, mark.measures.value)[0])
        goal = mark.tempo.goal
        known: object = goal.source if goal else tempo
        if known in told or not (goal or tempo):
            continue
        told.add(known)
        place = mark.measures.value.first
        if goal:
            yield from _between(goal.value, "marks", goal.source)
        elif tempo and tempo.origin is TempoOrigin.MARK:
            yield from _between(tempo.per_minute, "score", mark.source)
        elif tempo:
            yield notice(_remark(tempo, score, place), mark.source)


def _between(goal: Fraction, whose: str, source: Source) -> Iterator[Notice]:
    """A goal that somebody wrote stands, but no metronome of the old kind has it."""
    if LOWEST <= goal <= HIGHEST and goal not in SCALE:
        below = floor_to_scale(goal)
        above = min(mark for mark in SCALE if mark > goal)
        remark = Remark.of(f"tempo.between-{whose}", goal=float(goal), below=below, above=above)
        yield notice(remark, source)


def _remark(tempo: TempoMark, score: Score, place: str) -> Remark:
    beat = score.sheet.bars[tempo.moment.bar].meter.beat if tempo.beat == 1 else tempo.beat
    per_minute = tempo.per_minute * tempo.beat / beat
    return Remark.of(
        f"tempo.from-{tempo.origin}",
        measure=place,
        words=tempo.words,
        unit=Quarters(beat),
        mark=max(1, round(on_the_scale(per_minute))),
    )
