"""Rhythms: the runs of a hand in uneven patterns, so that every join is played slow and quick.

Enters: a passage. Leaves: one drill a variant, for the marked hand alone or, with ``together``,
with the other hand following the same map of time. The rules of time are in ``rhythm_line``.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import lcm

from engrave.drills.barring import Written, bar_up, rooms
from engrave.drills.family import (
    Family,
    Made,
    Options,
    clef_at,
    key_at,
    left_out_of,
    no_runs,
    played,
    runs_of,
    scaled_ladder,
    source_note,
    suffix,
    written,
)
from engrave.drills.patterns import FOR_FOURS, FOR_THREES, PATTERNS, Pattern, custom, with_opposites
from engrave.drills.rhythm_line import RhythmLine, lay_out
from engrave.drills.time_map import TimeMap
from engrave.model import Drill, Event, Hand, Remark, Sheet, Span
from engrave.passage import Onset, Passage
from engrave.runs import Run
from engrave.units import Quarters
from engrave.values import UnprintableError

MOST_TIED_NOTES = 2
"""A stretched value that needs more tied notes than this inside a bar is not worth reading."""


def make(passage: Passage, options: Options) -> Made:
    """A drill for every pattern, for every marked hand that has runs."""
    drills: list[Drill] = []
    refused: list[Remark] = []
    found = False
    for hand in passage.hands:
        hand_runs = runs_of(passage, hand)
        if not hand_runs:
            continue
        found = True
        for pattern in _patterns(hand_runs, options):
            try:
                drills.append(_drill(passage, hand, hand_runs, pattern, options))
            except UnprintableError as reason:
                refused.append(
                    Remark.of(
                        "rhythms.refused", variant=pattern.name, hand=hand, reason=str(reason)
                    )
                )
    if not found:
        raise no_runs(passage, "rhythms")
    if drills:
        drills[0] = replace(drills[0], remarks=(Remark.of("rhythms.speed"), *drills[0].remarks))
    return Made(tuple(drills), tuple(refused))


def suits(passage: Passage) -> bool:
    """Whether a marked hand has a run."""
    return any(runs_of(passage, hand) for hand in passage.hands)


def _patterns(hand_runs: Sequence[Run], options: Options) -> list[Pattern]:
    named = [PATTERNS[name] for name in options.words("variants") or ()]
    lengths = options.values.get("patterns") or ()
    assert isinstance(lengths, tuple)
    own = [custom(tuple(group)) for group in lengths]
    if named or own:
        return with_opposites(named + own)
    threes = sum(len(run.notes) for run in hand_runs if run.in_threes)
    total = sum(len(run.notes) for run in hand_runs)
    return [PATTERNS[name] for name in (FOR_THREES if 2 * threes > total else FOR_FOURS)]


def _drill(
    passage: Passage, hand: Hand, hand_runs: Sequence[Run], pattern: Pattern, options: Options
) -> Drill:
    laid = lay_out(passage.lines[hand], hand_runs, pattern)
    other = []
    if options.flag("together"):
        other = _following(passage.lines[hand.other], laid.time_map)
    together = bool(other)
    onsets = sorted(
        [note.onset for note in laid.notes] + [onset for onset, _, _ in other],
        key=lambda onset: (onset.time, onset.hand.staff),
    )
    index = {(onset.time, onset.hand): number for number, onset in enumerate(onsets)}
    lines = [list(_rewritten(passage, laid, index))]
    if together:
        lines.append([_follow(passage, item, index) for item in other])
    staves = (1, 2) if together else (hand.staff,)
    total = laid.end
    bars = rooms(pattern.meter, total, laid.pickup)
    sheet = bar_up(lines, bars, key_at(passage, hand_runs[0].notes[0].bar), staves)
    if together:
        _refuse_crowded_ties(sheet)
    factor = (
        pattern.shortest
        * passage.goal.beat
        / (pattern.meter.beat * min(run.value for run in hand_runs))
    )
    return Drill(
        passage=passage.id,
        family="rhythms",
        variant=pattern.name,
        hands=(Hand.RIGHT, Hand.LEFT) if together else (hand,),
        sheet=sheet,
        ladder=scaled_ladder(passage, options, factor, pattern.meter.beat),
        source=tuple(source_note(onset) for onset in onsets),
        written=played(sheet),
        suffix=suffix(passage, hand),
        remarks=tuple(_remarks(hand_runs, pattern)),
        left_out=tuple(_left_out(passage, hand, hand_runs, laid)),
    )


def _rewritten(
    passage: Passage, laid: RhythmLine, index: dict[tuple[Quarters, Hand], int]
) -> Iterator[Written]:
    for note in laid.notes:
        onset = note.onset
        kept = tuple(name for name in onset.articulations if name != "accent")
        yield written(
            onset,
            index[onset.time, onset.hand],
            note.time,
            note.length,
            clef_at(passage, onset.staff, onset.time),
            ("accent",) if note.accented else kept,
        )


def _following(line: Sequence[Onset], time_map: TimeMap) -> list[tuple[Onset, Quarters, Quarters]]:
    """The other hand's onsets inside the map, with time and length in the drill."""
    inside = [o for o in line if time_map.start <= o.time < time_map.end]
    nexts = [*(onset.time for onset in inside[1:]), time_map.end][: len(inside)]
    result = []
    for onset, following in zip(inside, nexts, strict=True):
        start, end = time_map(onset.time), time_map(min(onset.time + onset.length, following))
        result.append((onset, start, end - start))
    return result


def _follow(
    passage: Passage,
    item: tuple[Onset, Quarters, Quarters],
    index: dict[tuple[Quarters, Hand], int],
) -> Written:
    onset, time, length = item
    clef = clef_at(passage, onset.staff, onset.time)
    return written(onset, index[onset.time, onset.hand], time, length, clef, onset.articulations)


def _refuse_crowded_ties(sheet: Sheet) -> None:
    for bar in sheet.bars:
        chain = 1
        for event in bar.events:
            chain = chain + 1 if _is_held(event) else 1
            if chain > MOST_TIED_NOTES:
                raise UnprintableError("the other hand would need more than two tied notes")


def _is_held(event: Event) -> bool:
    return event.offset > 0 and bool(event.tones) and all(tone.tie_in for tone in event.tones)


def _remarks(hand_runs: Sequence[Run], pattern: Pattern) -> Iterator[Remark]:
    size = hand_runs[0].group
    cycle = lcm(pattern.size, size)
    if cycle not in (size, pattern.size):
        yield Remark.of("rhythms.cycle", count=cycle)


def _left_out(
    passage: Passage, hand: Hand, hand_runs: Sequence[Run], laid: RhythmLine
) -> Iterator[Remark]:
    yield from left_out_of([note.onset for note in laid.notes])
    if any(run.others for run in hand_runs):
        yield Remark.of("left-out.second-voice", hand=hand)
    if any(_covers(passage.sheet, span, laid.time_map) for span in passage.sheet.spans):
        yield Remark.of("left-out.slurs")
    line = passage.lines[hand]
    before = [o for o in line if o.time < laid.time_map.start]
    after = [o for o in line if o.time >= laid.time_map.end]
    if before or after:
        yield Remark.of("left-out.around-the-runs", count=len(before) + len(after))


def _covers(sheet: Sheet, span: Span, time_map: TimeMap) -> bool:
    start = sheet.starts[span.start.bar] + span.start.offset
    return span.kind == "slur" and time_map.start <= start < time_map.end


FAMILY = Family("rhythms", make, suits)
