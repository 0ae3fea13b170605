"""Where goals come from that neither the marks give nor the score prints as a metronome mark.

Enters: marks and their score. Leaves: notices, one for each such tempo. Makes no goals.
"""

from collections.abc import Iterator

from engrave.errors import Notice
from engrave.marks import Marks
from engrave.messages import notice
from engrave.music.drill import Remark
from engrave.music.tempo import on_the_scale
from engrave.music.units import Quarters
from engrave.score import Score, TempoMark, TempoOrigin, locate, tempo_at


def tempos_told(marks: Marks, score: Score) -> Iterator[Notice]:
    """What is to be known of the goals that passages without one of their own have."""
    told: set[TempoMark] = set()
    for mark in marks.passages:
        if mark.tempo.goal or mark.status == "done":
            continue
        tempo = tempo_at(score, locate(score, mark.measures.value)[0])
        if tempo and tempo.origin is not TempoOrigin.MARK and tempo not in told:
            told.add(tempo)
            place = mark.measures.value.first
            yield notice(_remark(tempo, score, place), mark.source)


def _remark(tempo: TempoMark, score: Score, place: str) -> Remark:
    beat = score.sheet.bars[tempo.moment.bar].meter.beat if tempo.beat == 1 else tempo.beat
    per_minute = tempo.per_minute * tempo.beat / beat
    if tempo.origin is TempoOrigin.WORDS:
        per_minute = on_the_scale(per_minute)
    return Remark.of(
        f"tempo.from-{tempo.origin}",
        measure=place,
        words=tempo.words,
        unit=Quarters(beat),
        mark=max(1, round(per_minute)),
    )
