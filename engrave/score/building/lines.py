"""Two lines of a staff keep their numbers, though a file exchanges them between measures.

Enters: a sheet whose voices are numbered by the file's names. Leaves: the same, in which a number
follows its line. Programs that number the voices of every measure anew give one line 1 here and 2
there. What holds a line together: ties above all; stems, up for the upper of two; less, which lies
higher, and the way from its last note to its first in the next measure. The file's numbers stand
unless the others are plainly better, so that lines that cross stay crossed.
Knows no hands.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from engrave.music.sheet import Bar, Event, Sheet, Span, home_staff
from engrave.music.units import Quarters

OF_TIE, OF_STEMS, OF_HEIGHT, OF_EXCHANGE = 4.0, 3.0, 2.0, 1.5
"""What it counts against numbers that a tie leaves one for the other, that the stems of the whole
bar contradict, that its heights do, and that are not the file's (judgements, over real scores)."""
A_STEP = 1 / 6
"""What a semitone counts on a line's way over a bar line."""
FAR = 12
"""Semitones of a way that is as far as any; so is that of a line that rests there for long."""
A_REST = Quarters(1)
"""The longest rest over which a line goes on."""
_STEMS = {"up": 1, "down": -1}

_Line = Sequence[Event]
_Lines = Mapping[int, _Line]
"""The notes of each voice of a staff in one bar, in order."""


def following_lines(sheet: Sheet) -> Sheet:
    """The sheet with the numbers exchanged where two lines of a staff have each other's."""
    exchanged: dict[int, dict[int, int]] = defaultdict(dict)
    for staff in sheet.staves:
        bars = [_lines(bar, staff) for bar in sheet.bars]
        if not any(map(_can_be_exchanged, bars)):
            continue
        for number, is_exchanged in enumerate(_best(bars, [bar.length for bar in sheet.bars])):
            if is_exchanged:
                one, other = bars[number]
                exchanged[number] |= {one: other, other: one}
    if not exchanged:
        return sheet
    bars_ = (_renumbered(bar, exchanged.get(n, {})) for n, bar in enumerate(sheet.bars))
    spans = (_moved(span, exchanged) for span in sheet.spans)
    return replace(sheet, bars=tuple(bars_), spans=tuple(spans))


def _lines(bar: Bar, staff: int) -> _Lines:
    lines: dict[int, list[Event]] = defaultdict(list)
    for event in bar.events:
        if event.tones and not event.grace and home_staff(event.voice) == staff:
            lines[event.voice].append(event)
    return dict(sorted(lines.items()))


def _can_be_exchanged(lines: _Lines) -> bool:
    return len(lines) == 2


@dataclass(frozen=True, slots=True)
class _Way:
    """Which bars so far have their numbers exchanged, and what counts against that."""

    against: float
    exchanged: tuple[bool, ...]


def _best(bars: Sequence[_Lines], lengths: Sequence[Quarters]) -> tuple[bool, ...]:
    """For every bar whether its two lines have each other's numbers."""
    ways = [_Way(0.0, ())]
    for number, lines in enumerate(bars):
        choices = (False, True) if _can_be_exchanged(lines) else (False,)
        ways = [
            min(
                (_onward(way, bars, lengths, number, choice) for way in ways),
                key=lambda way: way.against,
            )
            for choice in choices
        ]
    return min(ways, key=lambda way: way.against).exchanged


def _onward(
    way: _Way, bars: Sequence[_Lines], lengths: Sequence[Quarters], number: int, choice: bool
) -> _Way:
    lines = _exchanged(bars[number], choice)
    against = way.against + _within(lines, choice)
    if number:
        before = _exchanged(bars[number - 1], way.exchanged[-1])
        against += _between(before, lines, lengths[number - 1])
    return _Way(against, (*way.exchanged, choice))


def _exchanged(lines: _Lines, choice: bool) -> _Lines:
    if not choice:
        return lines
    one, other = lines
    return {one: lines[other], other: lines[one]}


def _within(lines: _Lines, is_exchanged: bool) -> float:
    """What the bar itself says against the first of two lines being the upper one.

    Against the file's numbers it says so much of it as the lines sound together: a note or two
    beside a line is any voice's.
    """
    if not _can_be_exchanged(lines):
        return 0.0
    upper, lower = lines.values()
    against = OF_STEMS * (_stems(lower) - _stems(upper)) / 2
    against += OF_HEIGHT if _height(upper) < _height(lower) else 0.0
    against = max(against, 0.0)
    if is_exchanged:
        return OF_EXCHANGE + against
    return against * float(_together(upper, lower)) if against else 0.0


def _together(one: _Line, other: _Line) -> Quarters:
    """How much of the longer line sounds with the other, from 0 to 1."""
    shared = sum(
        (max(min(a.end, b.end) - max(a.offset, b.offset), Quarters(0)) for a in one for b in other),
        Quarters(0),
    )
    return shared / max(sum((e.length for e in line), Quarters(0)) for line in (one, other))


def _stems(line: _Line) -> float:
    """1 where all stems go up, -1 where all go down, 0 where as many do, or none is said."""
    total = sum((event.length for event in line), Quarters(0))
    said = sum((_STEMS.get(event.stem or "", 0) * event.length for event in line), Quarters(0))
    return float(said / total)


def _height(line: _Line) -> float:
    heights = [tone.pitch.midi for event in line for tone in event.tones]
    return sum(heights) / len(heights)


def _between(before: _Lines, after: _Lines, length: Quarters) -> float:
    """What the bar line says against the numbers on both sides of it."""
    against = 0.0
    for number in before.keys() & after.keys():
        last, first = before[number][-1], after[number][0]
        goes_on = length - last.end + first.offset <= A_REST
        against += A_STEP * (min(_apart(last, first), FAR) if goes_on else FAR)
    tied = {
        tone.pitch: number
        for number, line in before.items()
        for event in line
        if event.end == length
        for tone in event.tones
        if tone.tie_out
    }
    for number, line in after.items():
        held = [
            tone.pitch for event in line if not event.offset for tone in event.tones if tone.tie_in
        ]
        against += OF_TIE * sum(tied.get(pitch, number) != number for pitch in held)
    return against


def _apart(last: Event, first: Event) -> int:
    """Semitones between the nearest keys."""
    return min(abs(a.pitch.midi - b.pitch.midi) for a in last.tones for b in first.tones)


def _renumbered(bar: Bar, numbers: Mapping[int, int]) -> Bar:
    if not numbers:
        return bar
    events = [replace(e, voice=numbers.get(e.voice, e.voice)) for e in bar.events]
    return replace(
        bar, events=tuple(sorted(events, key=lambda e: (e.offset, e.voice, not e.grace)))
    )


def _moved(span: Span, exchanged: Mapping[int, Mapping[int, int]]) -> Span:
    start, end = exchanged.get(span.start.bar, {}), exchanged.get(span.end.bar, {})
    return replace(
        span,
        voice=start.get(span.voice, span.voice),
        end_voice=end.get(span.end_voice, span.end_voice),
    )
