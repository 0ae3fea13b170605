"""Rhythms: the runs of a hand in uneven patterns, so that every join is played slow and quick.

Enters: a passage. Leaves: one drill a variant, for the marked hand alone or, with ``together``,
with the other hand following the same map of time. The rules of time are in ``rhythm_line``.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import lcm

from engrave.drills.barring import Written, bar_up, rooms
from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    dynamics_at,
    key_at,
    meter_at,
    no_runs,
    option,
    runs_of,
    source_note,
    written_note,
)
from engrave.drills.needs import Need, seconds, share
from engrave.drills.patterns import FOR_FOURS, FOR_THREES, PATTERNS, Pattern, custom, with_opposites
from engrave.drills.rhythm_line import RhythmLine, lay_out
from engrave.drills.sifting import fewer_than_six as never
from engrave.drills.signs import ARTICULATION
from engrave.drills.time_map import TimeMap
from engrave.errors import EngraveError, Together
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import name, whole, yes_or_no
from engrave.marks.tables import RHYTHMS
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.onset import Onset, in_order
from engrave.music.sheet import Event, Sheet
from engrave.music.units import Quarters
from engrave.music.values import UnprintableError
from engrave.passage.model import Passage
from engrave.passage.rocking import rocking
from engrave.passage.runs import Run, runs_across
from engrave.remarks import Remark

MOST_TIED_NOTES = 2
"""A stretched value that needs more tied notes than this inside a bar is not worth reading."""

TREMOLO = Fraction(2, 3)
"""The share of a run's notes in which the hand rocks, from which it is a tremolo."""

LONG, QUICK = 8, 0.25
"""Notes of a run that is worth rhythms unasked, or of several short ones that land; and the seconds
of each: four a second."""

SHORT_SHARE = Fraction(1, 4)
"""Of the beats, from which short runs are what the passage is about (a judgement)."""
OF_SHORT_RUNS = ("long-short", "short-long")
"""Of the patterns, those that short runs get unasked: one of three notes hardly comes twice."""

_variant = value(name("variant", PATTERNS, RHYTHMS))
_pattern = list_of(value(whole("a length", 1, 16)), least=2, most=12, repeats=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class RhythmOptions(Options):
    """Which patterns; without ``variants`` and ``patterns`` those that suit the run's groups.

    ``patterns`` are the teacher's own relative lengths. ``together``: the other hand follows.
    """

    variants: tuple[str, ...] = option(list_of(_variant), ())
    patterns: tuple[tuple[int, ...], ...] = option(list_of(_pattern), ())
    together: bool = option(value(yes_or_no), False)


@dataclass(frozen=True, slots=True)
class _Strand:
    """One line of onsets with runs: a hand's, or both hands' where runs pass between them.

    ``aside`` are onsets that follow the line's map of time on a line of their own; ``again`` are
    measures in which a run comes that has come before.
    """

    hands: tuple[Hand, ...]
    line: tuple[Onset, ...]
    runs: tuple[Run, ...]
    aside: tuple[Onset, ...] = ()
    again: tuple[str, ...] = ()

    @property
    def crosses(self) -> bool:
        """Whether the line lies in both hands."""
        return len(self.hands) > 1


def make(passage: Passage, options: RhythmOptions) -> Made:
    """A drill for every pattern, for every marked hand that has runs."""
    drills: list[Drill] = []
    refused: list[Remark] = []
    strands = [_once(strand) for strand in _strands(passage)]
    if not strands:
        raise no_runs(passage, "rhythms")
    if options.together:
        strands = [max(strands, key=_weight)]
    for strand in strands:
        for number, pattern in enumerate(_patterns(strand.runs, options)):
            try:
                drill = _drill(passage, strand, pattern, options)
                drills.append(replace(drill, worth=number // 2))
            except UnprintableError as reason:
                refused.append(_refusal(strand, pattern, options, reason))
    return Made(tuple(drills), tuple(refused))


def need(passage: Passage) -> Need | None:
    """The beats of runs that are fast at the goal: long ones, else short ones together."""
    fast = [(strand, run) for strand in _strands(passage) for run in _fast(passage, strand)]
    if not fast:
        return None
    hands = tuple(dict.fromkeys(hand for strand, _ in fast for hand in strand.hands))
    of = share(passage, [(run.start, run.end) for _, run in fast])
    variants = () if any(len(run.notes) >= LONG for _, run in fast) else OF_SHORT_RUNS
    if len(passage.hands) == 1 or any(strand.crosses for strand, _ in fast):
        return Need(of, 3, hands, _why("rhythms", [run for _, run in fast]), variants=variants)
    by_hand = {hand: [run for strand, run in fast if hand in strand.hands] for hand in hands}
    each = ((h, _why("run", by_hand[h], hand=h)) for h in hands)
    return Need(of, 3, hands, each=tuple(each), joined="why.runs", variants=variants)


def _fast(passage: Passage, strand: _Strand) -> list[Run]:
    """The long runs of a strand that are quick at the goal; without one, short ones together."""
    quick = [
        run for run in strand.runs if seconds(passage, run.value) < QUICK and not _is_tremolo(run)
    ]
    long = [run for run in quick if len(run.notes) >= LONG]
    short = [run for run in quick if run.landing]
    are_many = sum(len(run.notes) for run in short) >= LONG
    are_often = share(passage, [(run.start, run.end) for run in short]) >= SHORT_SHARE
    return long or (short if are_many and are_often else [])


def _is_tremolo(run: Run) -> bool:
    """Whether the hand mostly rocks between two strokes that five fingers do not cover: the arm's
    work, which no long note makes evener."""
    return sum(rocking(run.notes)) >= TREMOLO * len(run.notes)


def _why(kind: str, runs: Sequence[Run], **values: object) -> Remark:
    """The longest run: how many notes, and where; of short ones how many, and from where on."""
    longest = max(runs, key=lambda run: len(run.notes))
    count, first = len(longest.notes), longest
    if count < LONG:
        kind, count, first = f"{kind}-short", len(runs), runs[0]
    return Remark.of(f"why.{kind}", count=count, measure=first.notes[0].measure, **values)


def _strands(passage: Passage) -> Iterator[_Strand]:
    """The lines with runs; a run that passes between the hands is drilled as one line."""
    crossing = None
    if len(passage.hands) > 1:
        crossing = runs_across(passage.lines, lambda bar: meter_at(passage, bar))
    taken = crossing.runs if crossing else ()
    for hand in passage.hands:
        own = tuple(
            run
            for run in runs_of(passage, hand)
            if not any(cross.start <= run.start < cross.end for cross in taken)
        )
        if own:
            yield _Strand((hand,), passage.lines[hand], own)
    if crossing and taken:
        yield _Strand((Hand.RIGHT, Hand.LEFT), crossing.line, taken, crossing.aside)


def _weight(strand: _Strand) -> Fraction:
    """How much a passage is about a line: notes, the quicker the more."""
    return sum((len(run.notes) / run.value for run in strand.runs), Fraction(0))


def _once(strand: _Strand) -> _Strand:
    """The strand without the runs at its end that only say again what came before.

    A run is the same with the same steps between like keys, the same fingers and the same way on.
    """
    kinds = [_kind(run) for run in strand.runs]
    last = max(number for number, kind in enumerate(kinds) if kind not in kinds[:number])
    again = tuple(run.notes[0].measure for run in strand.runs[last + 1 :])
    return replace(strand, runs=strand.runs[: last + 1], again=again)


def _kind(run: Run) -> tuple[object, ...]:
    line = run.with_landing
    first = line[0].tones[0].pitch.diatonic
    keys = tuple(
        tuple(
            (t.pitch.diatonic - first, t.pitch.is_black, t.finger.number if t.finger else None)
            for t in onset.tones
        )
        for onset in line
    )
    return run.value, run.place_in_beat % run.group, run.landing is None, keys


def _refusal(
    strand: _Strand, pattern: Pattern, options: RhythmOptions, reason: UnprintableError
) -> Remark:
    hand = "both" if strand.crosses else strand.hands[0]
    with_other = options.together and not strand.crosses
    key = "rhythms.refused-together" if with_other else "rhythms.refused"
    return Remark.of(key, variant=pattern.name, hand=hand, reason=reason.told)


def _patterns(hand_runs: Sequence[Run], options: RhythmOptions) -> list[Pattern]:
    named = [PATTERNS[name] for name in options.variants]
    own, told = list[Pattern](), Together()
    for group in options.patterns:
        with told:
            try:
                own.append(custom(group))
            except EngraveError as error:
                raise error.at(options.place("patterns")) from None
    told.raise_all()
    if named or own:
        return with_opposites(named + own)
    threes = sum(len(run.notes) for run in hand_runs if run.in_threes)
    total = sum(len(run.notes) for run in hand_runs)
    return [PATTERNS[name] for name in (FOR_THREES if 2 * threes > total else FOR_FOURS)]


def _drill(passage: Passage, strand: _Strand, pattern: Pattern, options: RhythmOptions) -> Drill:
    laid = lay_out(strand.line, strand.runs, pattern)
    together = options.together and not strand.crosses
    aside = passage.lines[strand.hands[0].other] if together else strand.aside
    other = _following(aside, laid.time_map)
    onsets = in_order([*(note.onset for note in laid.notes), *(each.onset for each in other)])
    index = {(onset.time, onset.hand): number for number, onset in enumerate(onsets)}
    lines = [list(_rewritten(passage, strand, laid, index))]
    if other:
        lines.append([_follow(passage, each, index) for each in other])
    hands = (Hand.RIGHT, Hand.LEFT) if other else strand.hands
    sheet = bar_up(
        lines,
        rooms(pattern.meter, laid.end, laid.pickup),
        key_at(passage, strand.runs[0].notes[0].bar),
        tuple(sorted(hand.staff for hand in hands)),
    )
    if other:
        _refuse_crowded_ties(sheet)
    # Speed: s/(d·T) = v/(u·g), the drill's shortest note s in its beat d against the run's v in u.
    run_value = min(run.value for run in strand.runs)
    factor = pattern.shortest * passage.goal.beat / (pattern.meter.beat * run_value)
    drill = drill_of(
        passage,
        options,
        ("rhythms", pattern.name),
        hands,
        sheet,
        map(source_note, onsets),
        of=None if strand.crosses else strand.hands[0],
        factor=factor,
        beat=pattern.meter.beat,
        remarks=_remarks(strand, pattern),
        left_out=_left_out(strand, laid),
        on_purpose=(ARTICULATION,),
    )
    return replace(drill, beams="beats", pattern=pattern.lengths)


def _rewritten(
    passage: Passage,
    strand: _Strand,
    laid: RhythmLine,
    index: dict[tuple[Quarters, Hand], int],
) -> Iterator[Written]:
    before = {after.time: onset for onset, after in pairwise(strand.line)}
    for note in laid.notes:
        onset = note.onset
        kept = tuple(name for name in onset.articulations if name != "accent")
        plain = written_note(
            passage,
            onset,
            index[onset.time, onset.hand],
            note.time,
            note.length,
            ("accent",) if note.accented else kept,
        )
        plain = replace(plain, signs=dynamics_at(passage, onset, before.get(onset.time)))
        yield replace(plain, staff=onset.staff, voice=1) if strand.crosses else plain


@dataclass(frozen=True, slots=True)
class _Following:
    """An onset of the other hand, at the time and length that the map of time gives it."""

    onset: Onset
    time: Quarters
    length: Quarters


def _following(line: Sequence[Onset], time_map: TimeMap) -> list[_Following]:
    """The other hand's onsets inside the map."""
    inside = [o for o in line if time_map.start <= o.time < time_map.end]
    nexts = [*(onset.time for onset in inside[1:]), time_map.end][: len(inside)]
    result = []
    for onset, following in zip(inside, nexts, strict=True):
        start, end = time_map(onset.time), time_map(min(onset.time + onset.length, following))
        result.append(_Following(onset, start, end - start))
    return result


def _follow(passage: Passage, each: _Following, index: dict[tuple[Quarters, Hand], int]) -> Written:
    onset = each.onset
    number = index[onset.time, onset.hand]
    return written_note(passage, onset, number, each.time, each.length, onset.articulations)


def _refuse_crowded_ties(sheet: Sheet) -> None:
    for bar in sheet.bars:
        chain = 1
        for event in bar.events:
            chain = chain + 1 if _is_held(event) else 1
            if chain > MOST_TIED_NOTES:
                raise UnprintableError("the other hand would need chains of ties", "tied")


def _is_held(event: Event) -> bool:
    return event.offset > 0 and bool(event.tones) and all(tone.tie_in for tone in event.tones)


def _remarks(strand: _Strand, pattern: Pattern) -> Iterator[Remark]:
    hand_runs = strand.runs
    yield Remark.of("rhythms.speed")
    if strand.again:
        places = list(dict.fromkeys(strand.again))
        yield Remark.of("rhythms.again", measures=places, count=len(places))
    size = hand_runs[0].group
    cycle = lcm(pattern.size, size)
    if cycle in (size, pattern.size) or cycle > max(len(run.notes) for run in hand_runs):
        return
    if cycle < size * pattern.size:
        yield Remark.of("rhythms.anew", count=cycle)
    elif pattern.long_places:
        yield Remark.of("rhythms.cycle", count=cycle)
    elif pattern.accent is not None:
        yield Remark.of("rhythms.accent-cycle", count=cycle)


def _left_out(strand: _Strand, laid: RhythmLine) -> Iterator[Remark]:
    if any(run.others for run in strand.runs) and not strand.crosses:
        yield Remark.of("left-out.second-voice", hand=strand.hands[0])
    around = [
        onset for onset in strand.line if not laid.time_map.start <= onset.time < laid.time_map.end
    ]
    if around:
        yield Remark.of("left-out.around-the-runs", count=len(around))


FAMILY = Family("rhythms", make, RhythmOptions, need, never, variants=tuple(PATTERNS))
