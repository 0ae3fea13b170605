"""Bursts: a few quick notes, then a stop on the next beat; the stop begins the next burst.

Enters: a passage. Leaves: for every marked hand with runs, variants ``burst-1``, ``burst-2`` … by
the number of quick notes. A stop falls where the source's beat is divided into bursts of that size;
each burst is written as an upbeat to its stop, in bars of two of the source's beats.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from engrave.drills.barring import Written, bar_up, rooms
from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    key_at,
    meter_at,
    nothing_to_drill,
    option,
    runs_by_hand,
    source_note,
    written_note,
)
from engrave.drills.sifting import fewer_than_six
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import whole
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Meter
from engrave.music.units import Quarters, is_dotted
from engrave.passage.model import Passage
from engrave.passage.runs import Run
from engrave.remarks import Remark

IN_FOURS = (2, 4, 8)


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstOptions(Options):
    """How many quick notes; without ``sizes`` those of the run's own groups."""

    sizes: tuple[int, ...] | None = option(list_of(value(whole("a burst", 1, 16))), None)


def make(passage: Passage, options: BurstOptions) -> Made:
    """A drill for every size of burst that is shorter than the longest run."""
    by_hand = runs_by_hand(passage, "bursts")
    asked = options.sizes
    drills: list[Drill] = []
    refused: list[Remark] = []
    for hand, runs in by_hand.items():
        longest = max(len(run.notes) for run in runs)
        for number, size in enumerate(asked or _sizes(runs[0])):
            if 1 < size < longest:
                drill = _drill(passage, options, hand, runs, size)
                drills.append(replace(drill, worth=number))
            elif asked:
                refused.append(Remark.of("bursts.refused", size=size, hand=hand, longest=longest))
    if not drills:
        longest = max(len(run.notes) for runs in by_hand.values() for run in runs)
        raise nothing_to_drill(
            passage,
            "bursts",
            f"its longest run has {longest} notes",
            f"ask for bursts of fewer than {longest} notes",
            options.place("sizes"),
        )
    return Made(tuple(drills), tuple(refused))


@dataclass(frozen=True, slots=True)
class _Burst:
    """Quick notes and the note on which they stop."""

    quick: tuple[Onset, ...]
    stop: Onset
    value: Quarters


def _sizes(run: Run) -> tuple[int, ...]:
    """Bursts of the run's own groups: two, four, eight; three, six; five, ten."""
    return IN_FOURS if run.group == 4 else (run.group, 2 * run.group)


def _bursts(run: Run, size: int) -> Iterator[_Burst]:
    line = run.with_landing
    last = len(line) - 1
    stops = [i for i in range(1, last) if (run.place_in_beat + i) % size == 0]
    for start, stop in pairwise([0, *stops, last]):
        yield _Burst(line[start:stop], line[stop], run.value)


def _drill(
    passage: Passage, options: BurstOptions, hand: Hand, hand_runs: Sequence[Run], size: int
) -> Drill:
    bursts = [burst for run in hand_runs for burst in _bursts(run, size)]
    onsets = sorted(
        {onset.time: onset for burst in bursts for onset in (*burst.quick, burst.stop)}.values(),
        key=lambda onset: onset.time,
    )
    index = {onset.time: number for number, onset in enumerate(onsets)}
    first = hand_runs[0].notes[0]
    meter = _two_beats(meter_at(passage, first.bar))
    line = list(_lay(passage, bursts, meter, index))
    pickup = len(bursts[0].quick) * bursts[0].value % meter.length
    sheet = bar_up(
        [line], rooms(meter, line[-1].end, pickup), key_at(passage, first.bar), (hand.staff,)
    )
    drill = drill_of(
        passage,
        options,
        ("bursts", f"burst-{size}"),
        (hand,),
        sheet,
        map(source_note, onsets),
        of=hand,
        factor=passage.goal.beat / meter.beat,
        beat=meter.beat,
    )
    return replace(drill, beams="beats")


def _two_beats(meter: Meter) -> Meter:
    """Two beats, dotted where the source's are."""
    return Meter(6, 8) if is_dotted(meter.beat) else Meter(2, 4)


def _lay(
    passage: Passage, bursts: Sequence[_Burst], meter: Meter, index: dict[Quarters, int]
) -> Iterator[Written]:
    """Every burst as an upbeat to its stop; the stop is held until the next burst begins."""

    def note(onset: Onset, time: Quarters, length: Quarters) -> Written:
        signs = onset.articulations
        return written_note(passage, onset, index[onset.time], time, length, signs)

    now = Fraction(0)
    for burst, following in pairwise([*bursts, None]):
        assert burst is not None
        for onset in burst.quick:
            yield note(onset, now, burst.value)
            now += burst.value
        ahead = len(following.quick) * following.value if following else Fraction(0)
        bars = -(-(ahead + meter.beat) // meter.length)
        hold = bars * meter.length - ahead
        yield note(burst.stop, now, hold)
        now += hold


FAMILY = Family("bursts", make, BurstOptions, never=fewer_than_six)
