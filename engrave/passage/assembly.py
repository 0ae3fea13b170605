"""From a mark to a passage: cut from the score, fingered, with its goal.

Enters: a ``PassageMark``, the ``Score``, how far the hands reach. Leaves: a ``Passage``. The
teacher's fingers win over the score's, and both over the computed ones. Knows nothing of drills.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.errors import EngraveError, Mistakes, Together
from engrave.marks.model import MarkedTempo, PassageMark
from engrave.marks.placed import value_of
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.ranges import MeasureRange, measures_text
from engrave.music.sheet import Meter, Moment, Sheet
from engrave.music.tempo import LOWEST, Goal, ladder, on_the_scale
from engrave.music.units import Quarters
from engrave.passage.held_over import held_over
from engrave.passage.marked_fingers import Ground, fingered
from engrave.passage.model import Passage
from engrave.passage.onsets import Origin, onsets
from engrave.passage.surroundings import surroundings
from engrave.score import (
    Score,
    TempoMark,
    TempoOrigin,
    cut,
    locate,
    movements_of,
    offset_in_measure,
    tempo_at,
)

PLAYED = "mark measures in which something is played"

UNKNOWN = Goal(Fraction(1), Fraction(96))
"""In the place of a goal that is not to be had, so that what is wrong elsewhere is told as well."""


def assemble(mark: PassageMark, score: Score, stretch_mm: Mapping[Hand, float]) -> Passage:
    """The passage that ``mark`` names; raises ``Mistakes`` with all that is wrong with it."""
    try:
        start, end = locate(score, mark.measures.value)
        _refuse_unread(score, start, end)
        sheet = cut(score, start, end)
    except EngraveError as error:
        raise Mistakes([error.at(mark.measures.source)]) from error
    told, goal = Together(), UNKNOWN
    with told:
        goal = _goal(mark, score, sheet, start)
    origins = dict(enumerate(_origins(score, start, end)))
    lines = {hand: onsets(sheet, hand, origins) for hand in Hand}
    held = held_over(score, start)
    for hand, line in lines.items():
        around = surroundings(score, start, end, hand)
        own = tuple(each for each in held if each.hand is hand)
        ground = Ground(score, sheet, start, hand, stretch_mm[hand], around, own)
        with told:
            lines[hand] = fingered(line, mark, ground, goal.quarters_per_minute)
    with told:
        _refuse_silence(mark, lines)
    told.raise_all()
    return Passage(
        id=mark.id,
        source=mark.source,
        measures=printed_measures(mark.measures.value, sheet),
        hands=tuple(hand for hand in mark.hands if lines[hand]),
        sheet=sheet,
        lines=lines,
        goal=goal,
        stretch_mm=stretch_mm,
        number=mark.number,
        requests=mark.drills,
        trouble=mark.trouble,
        remarks=mark.remarks,
        private=mark.private,
        status=mark.status,
        held_over=held,
    )


def printed_measures(measures: MeasureRange, sheet: Sheet) -> MeasureRange:
    """The measures as the booklet prints them, ``41–44.2``; whole measures without beats."""
    first = measures.from_the_measure
    last_bar = sheet.bars[-1]
    beats = last_bar.meter.length / last_bar.meter.beat
    whole = first.last_beat is not None and first.last_beat >= beats
    return replace(first, last_beat=None) if whole and first.first_beat is None else first


def _refuse_unread(score: Score, start: Moment, end: Moment) -> None:
    for bar, why in score.unread:
        if start.bar <= bar <= end.bar:
            raise EngraveError(
                f"measure {score.sheet.bars[bar].name} could not be read: {why}",
                hint="mend it in the score, or mark measures without it",
            )


def _refuse_silence(mark: PassageMark, lines: Mapping[Hand, Sequence[Onset]]) -> None:
    if any(lines[hand] for hand in mark.hands):
        return
    here = measures_text(mark.measures.value)
    other = next((hand for hand in Hand if lines[hand]), None)
    if other is None:
        raise EngraveError(f"both hands rest in {here}", mark.measures.source, PLAYED)
    raise EngraveError(
        f"the {other.other} hand plays nothing in {here}",
        mark.measures.source,
        f"the {other} hand does: hand: {other}; or mark other measures",
    )


def _goal(mark: PassageMark, score: Score, sheet: Sheet, start: Moment) -> Goal:
    """The goal that the marks give, else the score's; raises where the rest goes not with it."""
    told, tempo, tempo_mark = Together(), mark.tempo, tempo_at(score, start)
    beat = value_of(tempo.beat)
    if tempo.goal:
        goal = _with_steps(tempo, tempo.goal.value, beat or sheet.bars[0].meter.beat)
    elif tempo_mark:
        unit = beat or _counted(tempo_mark, sheet.bars[0].meter)
        per_minute = tempo_mark.per_minute * tempo_mark.beat / unit
        if tempo_mark.origin is not TempoOrigin.MARK:
            per_minute = on_the_scale(per_minute)
        goal = _with_steps(tempo, per_minute, unit)
        with told:
            _refuse_above(goal, mark)
    else:
        raise EngraveError(
            "there is no goal: the score says nothing of its tempo at or before measure "
            f"{mark.measures.value.first}",
            mark.source,
            "give the passage or the file a goal, as in tempo: {beat: quarter, goal: 96}",
            missing=("tempo", "goal"),
        )
    with told:
        _refuse_uncountable(goal, mark)
    told.raise_all()
    return goal


def _counted(tempo_mark: TempoMark, meter: Meter) -> Quarters:
    """The beat of a tempo; files count in quarters what is not printed, whatever the meter."""
    is_bare = tempo_mark.origin is not TempoOrigin.MARK and tempo_mark.beat == 1
    return meter.beat if is_bare else tempo_mark.beat


def _with_steps(tempo: MarkedTempo, per_minute: Fraction, beat: Quarters) -> Goal:
    return Goal(
        beat,
        per_minute,
        value_of(tempo.start),
        value_of(tempo.step) or 2,
        value_of(tempo.reached),
        beat_stands=tempo.beat is not None,
    )


def _refuse_above(goal: Goal, mark: PassageMark) -> None:
    """Tell a start, and a mark reached, above the goal of the score."""
    told = Together()
    for name, asked in (("start", mark.tempo.start), ("reached", mark.tempo.reached)):
        with told:
            if asked and asked.value > goal.per_minute:
                raise EngraveError(
                    f"{name} {float(asked.value):g} is above the goal {float(goal.per_minute):g}, "
                    f"which the score gives for measure {mark.measures.value.first}",
                    asked.source,
                    "give the passage a goal of its own, or a lower mark here",
                )
    told.raise_all()


def _refuse_uncountable(goal: Goal, mark: PassageMark) -> None:
    """Tell a goal that is on no metronome, and a start too far below it to be on the same."""
    tempo = mark.tempo
    try:
        lowest = LOWEST * ladder(goal).beat_unit / goal.beat
    except EngraveError as error:
        raise error.at(tempo.goal.source if tempo.goal else mark.source) from None
    if tempo.start and goal.start and goal.start < lowest:
        raise EngraveError(
            f"start {float(goal.start):g} is too far below the goal "
            f"{float(goal.per_minute):g}: in no beat are both on the metronome",
            tempo.start.source,
            f"start at {float(lowest):g} or above",
        )


def _origins(score: Score, start: Moment, end: Moment) -> Iterator[Origin]:
    """Where each bar of the cut begins in its measure; a movement's short first bar is a pickup."""
    openings = {bars[0] for bars in movements_of(score.sheet)}
    for index in range(start.bar, end.bar + 1):
        bar = score.sheet.bars[index]
        offset = start.offset if index == start.bar else Fraction(0)
        _, in_measure = offset_in_measure(score.sheet, Moment(index, offset))
        missing = bar.missing if index in openings else Fraction(0)
        yield Origin(in_measure, in_measure + missing)
