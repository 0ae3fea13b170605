"""The two rounds of a step: every leap with a wait, then in time in the bars of the passage.

Enters: a passage and the strikes of a step. Leaves: notes and bars in drill time. Leaps that come
again are written once. Knows nothing of chords, ladders or remarks.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from engrave.drills.barring import Room, Written, rooms
from engrave.drills.family import clef_at
from engrave.drills.leaps.steps import Pitches, Strike
from engrave.drills.leaps.thinning import Stop, thinned
from engrave.music.sheet import Meter
from engrave.music.units import Quarters
from engrave.passage.model import Passage

Ends = tuple[Pitches, Pitches]
"""What is struck before and after a leap: leaps with the same ends are the same."""

SHORTEST = Fraction(1, 4)
"""Quarters of the shortest note that can be counted alone: what is shorter, the first note of a
tremolo say, lasts that long where there is room."""

HALF_A_LINE = 2
"""Bars of a drill in half a line of print, or thereabouts: the two rounds stand in one."""


@dataclass(frozen=True, slots=True)
class Round:
    """Notes in drill time and the bars they fill; ``breaks`` count the bars to each double bar."""

    notes: tuple[Written, ...]
    bars: tuple[Room, ...]
    breaks: tuple[int, ...]

    @property
    def length(self) -> Quarters:
        """Length of all bars in quarters."""
        return sum((bar.length for bar in self.bars), Fraction(0))


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Bars of the passage, by index, in which leap follows leap, and what is struck in each."""

    bars: tuple[tuple[int, tuple[Strike, ...]], ...]

    @property
    def strikes(self) -> tuple[Strike, ...]:
        """Everything that is struck, in order."""
        return tuple(strike for _, inside in self.bars for strike in inside)


def excerpts_of(
    passage: Passage, strikes: Sequence[Strike], leaps: Mapping[int, int]
) -> tuple[Excerpt, ...]:
    """The bars in which the leaps lie, those without a new one cut out.

    ``leaps`` maps the index of the onset from which each leap starts to that where it ends. Leaps
    with the same ends in the same time are the same.
    """
    by_index = {strike.onset.index: strike for strike in strikes}
    seen: set[object] = set()
    excerpts = []
    for bars in _joined_bars(strikes, leaps):
        stops = list(_stops(passage, bars, strikes, by_index, leaps))
        kept = thinned(stops, seen)
        if kept:
            excerpts.append(Excerpt(tuple(kept)))
    return tuple(excerpts)


def _joined_bars(strikes: Sequence[Strike], leaps: Mapping[int, int]) -> Iterator[range]:
    """Runs of bars that touch, or that a leap joins."""
    first = last = strikes[0]
    for before, after in pairwise(strikes):
        is_leap = leaps.get(before.onset.index) == after.onset.index
        if not is_leap and after.onset.bar > before.onset.bar + 1:
            yield range(first.onset.bar, before.onset.bar + 1)
            first = after
        last = after
    yield range(first.onset.bar, last.onset.bar + 1)


def _stops(
    passage: Passage,
    bars: range,
    strikes: Sequence[Strike],
    by_index: Mapping[int, Strike],
    leaps: Mapping[int, int],
) -> Iterator[Stop[tuple[int, tuple[Strike, ...]]]]:
    starts = [*passage.sheet.starts, passage.sheet.length]
    origins = {end: start for start, end in leaps.items()}
    last: Strike | None = None
    for bar in bars:
        inside = tuple(strike for strike in strikes if strike.onset.bar == bar)
        arrivals = [
            (by_index[origins[strike.onset.index]], strike)
            for strike in inside
            if strike.onset.index in origins
        ]
        last = inside[-1] if inside else last
        assert last is not None
        yield Stop(
            (bar, inside),
            frozenset(
                (start.pitches, end.pitches, end.onset.time - start.onset.time)
                for start, end in arrivals
            ),
            (last.pitches, starts[bar + 1] - last.onset.time),
            max((bar - start.onset.bar for start, _ in arrivals), default=0),
        )


def with_waits(
    passage: Passage,
    excerpts: Sequence[Excerpt],
    same: frozenset[Ends],
    source: Mapping[int, int],
) -> Round:
    """Every leap once, each note on a beat of its own and then a wait for the next.

    ``same`` are the ends of the leaps, ``source`` the place of each onset in the drill's source.
    """
    meter = passage.sheet.bars[excerpts[0].bars[0][0]].meter
    unit, pace = _wait(meter)
    seen: set[object] = set()
    notes: list[Written] = []
    breaks: list[int] = []
    now = Fraction(0)
    for excerpt in excerpts:
        played = _path(excerpt.strikes, same, seen)
        for number, alike in enumerate(played):
            end = now + pace
            is_last = number == len(played) - 1
            if is_last:
                end = -(-end // meter.length) * meter.length
            notes.append(_note(passage, alike, source, now, end - now if is_last else unit))
            notes += [] if is_last else _rests(alike[0], now + unit, end, unit)
            now = end
        if played:
            breaks.append(int(now / meter.length))
    return Round(tuple(notes), tuple(rooms(meter, now)), tuple(breaks))


def _wait(meter: Meter) -> tuple[Quarters, Quarters]:
    """How long a note is, and how long until the next: whole beats that divide the bar."""
    beats = int(meter.length / meter.beat)
    if beats == 1:
        return meter.beat / 2, meter.beat
    return meter.beat, meter.beat * next(n for n in range(2, beats + 1) if beats % n == 0)


def _path(
    strikes: Sequence[Strike], same: frozenset[Ends], seen: set[object]
) -> list[list[Strike]]:
    """The strikes in the order of the leaps, those struck again on the spot together."""
    ends_only = (strike for strike in strikes if strike.is_end)
    groups = [list(alike) for _, alike in groupby(ends_only, key=lambda strike: strike.pitches)]
    stops = []
    for number, alike in enumerate(groups):
        ends = (groups[number - 1][-1].pitches, alike[0].pitches) if number else None
        leaps = frozenset({ends} & same) if ends else frozenset()
        stops.append(Stop(alike, leaps, alike[0].pitches))
    return thinned(stops, seen)


def _rests(strike: Strike, start: Quarters, end: Quarters, unit: Quarters) -> list[Written]:
    """The wait, a rest a beat, so that it can be counted."""
    count = int((end - start) / unit)
    return [Written(start + n * unit, unit, (), strike.onset.hand) for n in range(count)]


def in_time(
    passage: Passage, excerpts: Sequence[Excerpt], source: Mapping[int, int], start: Quarters
) -> Round:
    """The excerpts as the passage has them, bar by bar, from ``start`` on."""
    notes: list[Written] = []
    bars: list[Room] = []
    breaks: list[int] = []
    now = start
    for excerpt in excerpts:
        placed: list[tuple[Quarters, Strike]] = []
        for bar, inside in excerpt.bars:
            room, lead = _room(passage, bar, inside)
            for strike in inside:
                at = now + lead + strike.onset.time - passage.sheet.starts[bar]
                placed.append((at, strike))
            bars.append(room)
            now += room.length
        ends = [*(time for time, _ in placed[1:]), now]
        for (time, strike), end in zip(placed, ends, strict=True):
            length = min(max(strike.length, SHORTEST), end - time)
            notes.append(_note(passage, [strike], source, time, length))
        breaks.append(len(bars))
    return Round(tuple(notes), tuple(bars), tuple(breaks))


def filling(short: Round) -> Round:
    """The round as often as it takes to fill half a line."""
    times = -(-HALF_A_LINE // len(short.bars))
    length = short.length
    notes = (
        replace(note, time=note.time + number * length)
        for number in range(times)
        for note in short.notes
    )
    bars = short.bars * times
    return Round(tuple(notes), bars, (len(bars),))


def _room(passage: Passage, bar: int, inside: Sequence[Strike]) -> tuple[Room, Quarters]:
    """A bar of the passage, and where in it the passage begins; edges of a cut are filled up."""
    printed = passage.sheet.bars[bar]
    edge = bar in (0, len(passage.sheet.bars) - 1)
    if printed.length >= printed.meter.length or not edge:
        return Room(printed.length, printed.meter, implicit=printed.implicit), Fraction(0)
    lead = Fraction(0)
    if bar == 0 and inside:
        lead = inside[0].onset.metric - inside[0].onset.time
    return Room(printed.meter.length, printed.meter), lead


def _note(
    passage: Passage,
    alike: Sequence[Strike],
    source: Mapping[int, int],
    time: Quarters,
    length: Quarters,
) -> Written:
    strike = alike[0]
    return Written(
        time=time,
        length=length,
        tones=strike.tones,
        hand=strike.onset.hand,
        source=tuple(source[each.onset.index] for each in alike),
        measure=strike.onset.measure,
        clef=clef_at(passage, strike.onset.staff, strike.onset.time),
    )
