"""Rhythm drills against the table of patterns: from the source and the drill's onsets alone.

The proportions are written out here once more (common practice, no source). What a run is, is found
again here from the score: equal onsets of an eighth or less, no rest inside.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise

from tests.checks.manifest import DrillEntry, SourceEntry
from tests.checks.readback import Heard, onsets_of
from tests.checks.sources import ScoreReading, time_of

PATTERNS = {
    "long-short": (3, 1),
    "short-long": (1, 3),
    "short-short-long": (1, 1, 2),
    "long-short-short": (2, 1, 1),
    "short-long-short": (1, 2, 1),
    "in-threes": (1, 1, 1),
    "in-fours-1": (3, 1, 1, 1),
    "in-fours-2": (1, 3, 1, 1),
    "in-fours-3": (1, 1, 3, 1),
    "in-fours-4": (1, 1, 1, 3),
}
SHORTEST_RUN = 4
LONGEST_VALUE = Fraction(1, 2)
SIXTEENTH, TRIPLET_EIGHTH = Fraction(1, 4), Fraction(1, 3)


def pattern_of(variant: str) -> tuple[int, ...]:
    if variant.startswith("custom-"):
        return tuple(int(word) for word in variant.removeprefix("custom-").split("-"))
    return PATTERNS[variant]


def unit_of(variant: str) -> Fraction:
    """The pattern's unit in quarters: the shortest printed value, a sixteenth but in threes."""
    return TRIPLET_EIGHTH if variant == "in-threes" else SIXTEENTH


def rhythm_findings(
    drill: DrillEntry, heard: tuple[Heard, ...], score: ScoreReading
) -> Iterator[str]:
    """Every run of the source follows the pattern, whole groups first, then the end it may have.

    A drill of both hands follows it in one hand, or in a line that passes between them.
    """
    if drill.pattern != pattern_of(drill.variant):
        yield f"{drill.id}: its lengths are {drill.pattern}, not {pattern_of(drill.variant)}"
    lines = {hand: list(_line_findings(drill, hand, heard, score)) for hand in _lines_of(drill)}
    if all(lines.values()):
        yield from min(lines.values(), key=len)


def _lines_of(drill: DrillEntry) -> tuple[str, ...]:
    if drill.hand != "both":
        return (drill.hand,)
    suffix = drill.id.rpartition(".")[2]
    return (suffix,) if suffix in ("right", "left") else ("right", "left", "both")


def _line_findings(
    drill: DrillEntry, hand: str, heard: tuple[Heard, ...], score: ScoreReading
) -> Iterator[str]:
    line = [
        (moment, index)
        for (moment, _), onset in zip(onsets_of(heard), drill.written, strict=False)
        for index in _of_line(drill, hand, onset)
    ]
    if [index for _, index in line] != sorted({index for _, index in line}):
        yield f"{drill.id}: a note is lost, doubled or out of order"
    found = list(_runs(drill, line, score))
    if hand == "both":
        found = [run for run in found if run.passes_between_hands]
    if not found:
        yield f"{drill.id}: no run was found in its source"
    landings: set[Fraction] = set()
    for run in found:
        gaps = [after - before for before, after in pairwise(run.moments)]
        landed = run.moments[0] in landings
        if landed and len(run.moments) == SHORTEST_RUN:
            continue  # a landing, held, and three notes more
        problem = against_pattern(gaps, drill.variant, run.place, landed)
        if problem and not (hand != "both" and _is_drilled_elsewhere(drill, run, gaps, score)):
            yield f"{drill.id}: from {run.moments[0]}: {problem}"
        landings.add(run.moments[-1])


def _of_line(drill: DrillEntry, hand: str, onset: tuple[int, ...]) -> list[int]:
    """What an onset has of a hand's line; of a line through both hands, the right hand's note."""
    if hand != "both":
        return [index for index in onset if drill.source[index].hand == hand]
    return sorted(onset, key=lambda index: drill.source[index].hand != "right")[:1]


def _is_drilled_elsewhere(
    drill: DrillEntry, run: "FoundRun", gaps: list[Fraction], score: ScoreReading
) -> bool:
    """Whether it is one hand's turn in a run that passes between the hands, left as it was written.

    Such runs have a drill of their own, as one line; they are only looked for in passages marked
    for both hands, whose drills name their hand at the end.
    """
    if set(gaps) != {run.value} or not drill.id.endswith(f".{run.hand}"):
        return False
    staff = 2 if run.hand == "right" else 1
    beside = {run.start - run.value, run.start + run.value * len(gaps)}
    return any(
        head.struck and head.staff == staff and head.time in beside
        for heads in score.notes.values()
        for head in heads
    )


@dataclass(frozen=True)
class FoundRun:
    """A run's moments in the drill, that of its landing last where one follows without a rest.

    ``place`` counts its values from the source beat in which it starts; None where the measure is
    irregular and has no certain beats. ``start`` is its time in the score. ``hands`` play its
    notes, the landing not counted.
    """

    moments: tuple[Fraction, ...]
    place: int | None
    value: Fraction
    hands: tuple[str, ...]
    start: Fraction

    @property
    def hand(self) -> str:
        """The hand that begins."""
        return self.hands[0]

    @property
    def passes_between_hands(self) -> bool:
        """Whether each hand takes its turns, two notes or more at a time."""
        turns = [len(list(turn)) for _, turn in groupby(self.hands)]
        return len(turns) > 1 and min(turns) > 1


def _runs(
    drill: DrillEntry, line: list[tuple[Fraction, int]], score: ScoreReading
) -> Iterator[FoundRun]:
    stretch: list[tuple[Fraction, int]] = []
    value = Fraction(0)
    for here, after in pairwise(line):
        gap = _joined(drill.source[here[1]], drill.source[after[1]], score)
        if gap is None or (stretch and gap != value):
            if _is_run(drill, stretch, value, score):
                yield _run(drill, stretch, value, score)
            stretch = []
        if gap is not None:
            value, stretch = gap, [*(stretch or [here]), after]
    if _is_run(drill, stretch, value, score):
        yield _run(drill, stretch, value, score)


def _is_run(
    drill: DrillEntry,
    stretch: list[tuple[Fraction, int]],
    value: Fraction,
    score: ScoreReading,
) -> bool:
    """Whether there are notes enough: the last of a stretch lands, or all four are as long."""
    if len(stretch) < SHORTEST_RUN or _repeats(drill, stretch):
        return False
    if len(stretch) > SHORTEST_RUN:
        return True
    return all(_sounds(drill.source[index], score) == value for _, index in stretch)


def _repeats(drill: DrillEntry, stretch: list[tuple[Fraction, int]]) -> bool:
    """Whether it mostly strikes the same keys again: an accompaniment, and no run.

    Single notes, none struck more than four times and at least three of them, are a figure with
    changing fingers.
    """
    keys = [drill.source[index].pitches for _, index in stretch[:-1]]
    figure = [len(list(same)) for _, same in groupby(keys)]
    if len(figure) >= 3 and max(figure) <= 4 and all(len(each) == 1 for each in keys):
        return False
    return 2 * sum(one == two for one, two in pairwise(keys)) >= len(keys) - 1


def _run(
    drill: DrillEntry, stretch: list[tuple[Fraction, int]], value: Fraction, score: ScoreReading
) -> FoundRun:
    first = drill.source[stretch[0][1]]
    return FoundRun(
        moments=tuple(moment for moment, _ in stretch),
        place=_place(first, value, score),
        value=value,
        hands=tuple(drill.source[index].hand for _, index in stretch[:-1]),
        start=time_of(first, score) or Fraction(0),
    )


def _joined(here: SourceEntry, there: SourceEntry, score: ScoreReading) -> Fraction | None:
    """The distance of two onsets where it is an eighth or less and the first sounds that long."""
    start, end = time_of(here, score), time_of(there, score)
    sounds = _sounds(here, score)
    if start is None or end is None or sounds is None:
        return None
    return end - start if end - start <= min(sounds, LONGEST_VALUE) else None


def _sounds(here: SourceEntry, score: ScoreReading) -> Fraction | None:
    """How long the longest of an onset's notes sounds."""
    heads = score.notes.get((here.measure, here.offset), ())
    return max((head.length for head in heads if head.pitch in here.pitches), default=None)


def _place(first: SourceEntry, value: Fraction, score: ScoreReading) -> int | None:
    beat = score.beats.get(first.measure)
    if beat is None or (first.offset % beat) % value:
        return None
    return int((first.offset % beat) / value)


def against_pattern(
    gaps: list[Fraction], variant: str, place: int | None = 0, landed: bool = False
) -> str | None:
    """None where ``gaps`` (onset to onset, quarters) are the pattern from its phase, and an end.

    The phase is the place in the source beat; any will do where that is None. The end: a landing
    that starts a group or takes its long place; or, from a group's start, fewer notes than a group
    in equal values that fill one beat. ``landed``: the first note is the landing of a run before
    it, and held before it goes on.
    """
    lengths = [unit_of(variant) * part for part in pattern_of(variant)]
    phases = range(len(lengths)) if place is None else [place % len(lengths)]
    for phase in phases:
        held = gaps[0] - lengths[phase] if landed else Fraction(0)
        if held >= 0 and _fits([gaps[0] - held, *gaps[1:]], lengths, phase):
            return None
    return f"the gaps {' '.join(str(gap) for gap in gaps)} are not {variant} from place {place}"


def _fits(gaps: list[Fraction], lengths: list[Fraction], phase: int) -> bool:
    size, whole = len(lengths), 0
    while whole < len(gaps) and gaps[whole] == lengths[(whole + phase) % size]:
        whole += 1
    place = (whole + phase) % size
    if whole == len(gaps) and (place == 0 or lengths[place] == max(lengths) > min(lengths)):
        return True
    tail = gaps[max(whole - place, 0) :]
    return len(tail) < size and len(set(tail)) == 1 and sum(tail) == sum(lengths)
