"""The whole score as a browser shows it: system by system, each engraved when it comes into view.

Enters: a score and the width of a line. Leaves: which measures a system holds, its drawing, and
where beats and notes stand in it. Knows no marks.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from engrave.engraver import Picture, Style
from engrave.machine.cache import Cache
from engrave.music.sheet import Bar, Moment, Sheet
from engrave.music.units import Quarters
from engrave.pipeline import keeping
from engrave.score import Score, cut, measures_of

STAFF_MM = 6.0
NOTE_MM = 5.2
"""Width that a moment of a bar takes, on the average of many scores; finer ones a little less."""
BAR_MM = 7.0
HEAD_MM = 24.0
"""Clef, key signature and brace."""
LEAST_MM, WIDEST_MM = 90, 400


@dataclass(frozen=True, slots=True)
class Beat:
    """A beat of the score: the measure's printed name, the beat's number in it from 1, whether it
    is the measure's first and last, and its time in quarters from the start of the score."""

    measure: str
    number: int
    is_first: bool
    is_last: bool
    time: Quarters


@dataclass(frozen=True, slots=True)
class BoardNote:
    """A note in a system: its head's box in millimetres, its time, the hand that plays it."""

    box: tuple[float, float, float, float]
    time: Quarters
    hand: str


@dataclass(frozen=True, slots=True)
class BoardSystem:
    """A drawn system: ``beats`` are the left edges in millimetres of the beats from ``first`` on,
    and of what follows them."""

    picture: Picture
    first: int
    edges: tuple[float, ...]
    notes: tuple[BoardNote, ...]


def beats_of(sheet: Sheet) -> tuple[Beat, ...]:
    """Every beat of the score in order."""
    beats = []
    starts = sheet.starts
    for measure in measures_of(sheet):
        start = starts[measure.bars[0]]
        count = measure.beats
        beats += [
            Beat(measure.name, n + 1, n == 0, n + 1 == count, start + n * measure.beat)
            for n in range(count)
        ]
    return tuple(beats)


def plan(sheet: Sheet, width_mm: float) -> tuple[range, ...]:
    """The bars of every system, so many that a line of ``width_mm`` is well filled."""
    wants = [_wants(bar) for bar in sheet.bars]
    lines, first, room = [], 0, width_mm - HEAD_MM
    for index, want in enumerate(wants):
        if index > first and want > room:
            lines.append(range(first, index))
            first, room = index, width_mm - HEAD_MM
        room -= want
    return (*lines, range(first, len(wants)))


def _wants(bar: Bar) -> float:
    moments = {event.offset for event in bar.events if not event.silent}
    signs = sum(1 for event in bar.events if event.grace)
    return BAR_MM + NOTE_MM * max(1, len(moments)) + 3 * signs + 6 * len(bar.clefs)


def checked_width(width: str) -> int | None:
    """The width that a page asks for, in whole tens of millimetres; None for none we draw."""
    if not (width.isascii() and width.isdecimal() and len(width) < 5):
        return None
    return max(LEAST_MM, min(WIDEST_MM, int(width) // 10 * 10))


class Systems:
    """The systems of one score, drawn on demand; of ``score`` only the hands may change."""

    def __init__(self, score: Score, cache: Cache) -> None:
        self.score, self._cache = score, cache
        self.beats = beats_of(score.sheet)
        self._plans: dict[int, tuple[range, ...]] = {}

    def plan(self, width_mm: int) -> tuple[range, ...]:
        """The bars of every system at this width."""
        if width_mm not in self._plans:
            self._plans[width_mm] = plan(self.score.sheet, width_mm)
        return self._plans[width_mm]

    def first_beats(self, width_mm: int) -> list[int]:
        """The index of the first beat of every system, and the number of all beats."""
        starts = self.score.sheet.starts
        times = [beat.time for beat in self.beats]
        firsts = [bisect_left(times, starts[bars[0]]) for bars in self.plan(width_mm)]
        return [*firsts, len(times)]

    def system(self, width_mm: int, number: int) -> BoardSystem:
        """A system, drawn; raises ``EngraveError`` for one that cannot be."""
        bars = self.plan(width_mm)[number]
        firsts = self.first_beats(width_mm)
        sheet = self._cut(bars)
        style = Style(STAFF_MM, max(width_mm, 8 * STAFF_MM), 10_000, is_justified=True)
        (picture,) = keeping.engrave_sheet(sheet, style, self._cache).pictures
        starts = sheet.starts
        origin = self.score.sheet.starts[bars[0]]
        notes = []
        anchors: dict[Quarters, float] = {}
        for place in picture.notes:
            event = sheet.bars[place.bar].events[place.event]
            time = origin + starts[place.bar] + event.offset
            if event.grace:
                continue  # before its time, and nobody marks from there
            if not event.whole_bar:
                anchors[time] = min(anchors.get(time, place.left_mm), place.left_mm)
            if event.tones:
                box = (place.left_mm, place.top_mm, place.right_mm, place.bottom_mm)
                notes.append(BoardNote(box, time, str(event.hand)))
        end = origin + sheet.length
        wanted = [beat.time for beat in self.beats[firsts[number] : firsts[number + 1]]]
        edges = _edges(anchors, [*wanted, end], origin, picture.width_mm)
        return BoardSystem(picture, firsts[number], edges, tuple(notes))

    def _cut(self, bars: range) -> Sheet:
        printed = self.score.sheet.bars
        end = Moment(bars[-1], printed[bars[-1]].length)
        sheet = cut(self.score, Moment(bars[0], Fraction(0)), end)
        shown = [_is_meter_shown(printed, index) for index in bars]
        first = _going_on(sheet.bars[0], printed[bars[0]])
        return replace(
            sheet,
            bars=tuple(
                replace(bar, meter_shown=is_shown)
                for bar, is_shown in zip((first, *sheet.bars[1:]), shown, strict=True)
            ),
        )


def _is_meter_shown(bars: Sequence[Bar], index: int) -> bool:
    """Whether the score prints a meter in this bar."""
    bar = bars[index]
    return bar.meter_shown and (index == 0 or bars[index - 1].meter != bar.meter)


def _going_on(first: Bar, printed: Bar) -> Bar:
    """A system's first bar as it stands in the score, which goes on from the line before: the
    tempo in force is not printed again."""
    directions = tuple(
        each for each in first.directions if each.kind != "metronome" or each in printed.directions
    )
    return replace(first, directions=directions)


def _edges(
    anchors: dict[Quarters, float], times: Sequence[Quarters], origin: Quarters, width_mm: float
) -> tuple[float, ...]:
    """Where each of ``times`` begins: at the note that stands there, else between its neighbours.

    The music of a picture of several lines is told line after line; there places go back, and a
    beat without a note takes its neighbour's.
    """
    known = dict(anchors) or {origin: HEAD_MM}
    known.setdefault(times[-1], width_mm)
    moments = sorted(known)
    edges = []
    for time in times:
        if time in known:
            edges.append(known[time])
            continue
        before = max((each for each in moments if each < time), default=moments[0])
        after = min((each for each in moments if each > time), default=moments[-1])
        share = (time - before) / (after - before) if after > before else Fraction(0)
        edges.append(known[before] + float(share) * (known[after] - known[before]))
    rising = [edges[0]]
    for left, right in pairwise(edges):
        rising.append(right if right >= left else left)
    return tuple(round(edge, 2) for edge in rising)
