"""Rhythm drills against the table of patterns: from the source and the drill's onsets alone.

The pattern's proportions are those that the table of section 4.1 of the design prescribes. What a
run is, is found again here from the score: equal onsets of an eighth or less, no rest inside.
"""

import itertools
from collections.abc import Iterator
from fractions import Fraction

from tests.checks.contract import DrillEntry
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
    """Every run of the source follows the pattern, whole groups first, then the end it may have."""
    hand = drill.source[drill.written[0][0]].hand if drill.hand == "both" else drill.hand
    line = [
        (moment, index)
        for (moment, _), onset in zip(onsets_of(heard), drill.written, strict=False)
        for index in onset
        if drill.source[index].hand == hand
    ]
    if [index for _, index in line] != sorted({index for _, index in line}):
        yield f"{drill.id}: a note is lost, doubled or out of order"
    runs = list(_runs(drill, line, score))
    if not runs:
        yield f"{drill.id}: no run was found in its source"
    for run in runs:
        gaps = [after - before for before, after in itertools.pairwise(run)]
        problem = _against_pattern(gaps, drill.variant)
        if problem:
            yield f"{drill.id}: from {run[0]}: {problem}"


def _runs(
    drill: DrillEntry, line: list[tuple[Fraction, int]], score: ScoreReading
) -> Iterator[list[Fraction]]:
    """For each run its drill moments, and that of its landing where one follows without a rest."""
    stretch: list[Fraction] = []
    value: Fraction | None = None
    for (moment, index), (after, following) in itertools.pairwise(line):
        here, there = drill.source[index], drill.source[following]
        start, end = time_of(here, score), time_of(there, score)
        heads = score.notes.get((here.measure, here.offset), ())
        sounds = max((head.length for head in heads if head.pitch in here.pitches), default=None)
        if start is None or end is None or sounds is None:
            continue
        joined = sounds >= end - start and end - start <= Fraction(1, 2)
        if not joined or (value is not None and end - start != value):
            if len(stretch) > SHORTEST_RUN:
                yield stretch
            stretch, value = [], None
        if joined:
            value = end - start
            stretch = [*(stretch or [moment]), after]
    if len(stretch) > SHORTEST_RUN:
        yield stretch


def _against_pattern(gaps: list[Fraction], variant: str) -> str | None:
    """None where ``gaps`` (onset to onset, quarters) are some phase of the pattern and an end.

    The end: a landing that starts a group or takes its long place; or, from a group's start, fewer
    notes than a group in equal values that fill one beat.
    """
    lengths = [unit_of(variant) * part for part in pattern_of(variant)]
    beat, size, best = sum(lengths), len(lengths), 0
    for phase in range(size):
        whole = 0
        while whole < len(gaps) and gaps[whole] == lengths[(whole + phase) % size]:
            whole += 1
        best = max(best, whole)
        place, rest = (whole + phase) % size, gaps[whole:]
        long_place = lengths[place] == max(lengths) > min(lengths)
        if not rest and (place == 0 or long_place):
            return None
        tail = len(gaps) - max(
            (at for at in range(whole + 1) if (at + phase) % size == 0), default=0
        )
        if _fills_a_beat(gaps[len(gaps) - tail :], beat) and tail < size:
            return None
    return f"after {best} notes the gaps {[str(gap) for gap in gaps]} leave {variant}"


def _fills_a_beat(gaps: list[Fraction], beat: Fraction) -> bool:
    return len(set(gaps)) == 1 and sum(gaps) == beat
