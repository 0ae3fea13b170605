"""Two rhythms on their common grid: onsets and hands, by the arithmetic of least common multiples.

The hands strike m and n even notes in the same time. On a grid of lcm(m, n) steps, a sixteenth
each, they fall on every lcm/m-th and every lcm/n-th; a bar is one such time.
"""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from fractions import Fraction
from math import lcm

from tests.checks.manifest import DrillEntry
from tests.checks.readback import Heard, onsets_of
from tests.checks.sources import ScoreReading, time_of

STEP = Fraction(1, 4)
SIGNS = {"R": "right", "L": "left"}


def grid(right: int, left: int) -> dict[int, set[str]]:
    """Which hands strike at each step of the grid."""
    steps = lcm(right, left)
    found: dict[int, set[str]] = {}
    for hand, count in (("right", right), ("left", left)):
        for number in range(count):
            found.setdefault(number * steps // count, set()).add(hand)
    return dict(sorted(found.items()))


def grid_findings(
    drill: DrillEntry, heard: tuple[Heard, ...], score: ScoreReading
) -> Iterator[str]:
    """Every bar has the composite of the source's two rhythms; its hands are told or played."""
    hands = [entry.hand for entry in drill.source]
    right, left = hands.count("right"), hands.count("left")
    expected = grid(right, left)
    bar = lcm(right, left) * STEP
    times = [time for time, _ in onsets_of(heard)]
    if len(times) != len(drill.written) or len(times) % len(expected):
        yield f"{drill.id}: {len(times)} onsets, {len(drill.written)} prescribed"
        return
    for number, (time, onset) in enumerate(zip(times, drill.written, strict=True)):
        count, place = divmod(number, len(expected))
        step = list(expected)[place]
        if time != count * bar + step * STEP:
            yield f"{drill.id}: onset {number} at {time}, expected {count * bar + step * STEP}"
        struck = {drill.source[index].hand for index in onset}
        if struck != expected[step]:
            yield f"{drill.id}: onset {number} is struck by {struck}, expected {expected[step]}"
        found = _in_score(drill, onset, score)
        if found != {Fraction(step, lcm(right, left))}:
            yield f"{drill.id}: onset {number} stands for {found} of the source"
    yield from _tapped(drill, expected) if drill.pitches == "tapped" else _keys(drill, heard)


def _in_score(drill: DrillEntry, onset: tuple[int, ...], score: ScoreReading) -> set[Fraction]:
    """Which part of the common time has gone by in the score."""
    places = [time for entry in drill.source if (time := time_of(entry, score)) is not None]
    start = min(places)
    mine = [
        time
        for entry in drill.source
        if entry.hand == "right" and (time := time_of(entry, score)) is not None
    ]
    span = (mine[1] - mine[0]) * len(mine)
    return {(places[index] - start) / span for index in onset}


def _tapped(drill: DrillEntry, expected: dict[int, set[str]]) -> Iterator[str]:
    """The letters at each onset name the hands that strike there."""
    told: list[set[str]] = []
    waiting: set[str] = set()
    for measure in ET.parse(drill.musicxml).iter("measure"):
        for child in measure:
            waiting |= {SIGNS[word.text] for word in child.iter("words") if word.text in SIGNS}
            if child.tag == "note" and not any(
                tie.get("type") == "stop" for tie in child.iter("tie")
            ):
                told, waiting = [*told, waiting], set()
    if told != list(expected.values()) * (len(drill.written) // len(expected)):
        yield f"{drill.id}: the hands are told as {told}"


def _keys(drill: DrillEntry, heard: tuple[Heard, ...]) -> Iterator[str]:
    """Each staff has one key, the outer note with which its hand begins, struck in its turn."""
    times = [time for time, _ in onsets_of(heard)]
    for staff, hand in ((1, "right"), (2, "left")):
        mine = [each for each in heard if each.staff == staff]
        first = next(entry for entry in drill.source if entry.hand == hand).pitches
        if {each.pitch for each in mine} != {first[-1 if hand == "right" else 0]}:
            yield f"{drill.id}: the {hand} hand plays {sorted({each.pitch for each in mine})}"
        wanted = [
            time
            for time, onset in zip(times, drill.written, strict=True)
            if any(drill.source[index].hand == hand for index in onset)
        ]
        if [each.time for each in mine] != wanted:
            yield f"{drill.id}: the {hand} hand strikes at other times than the source says"
