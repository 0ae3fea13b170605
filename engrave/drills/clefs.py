"""Clefs and octave lines as an editor sets them.

Enters: a sheet whose clefs are those of the score, note by note. Leaves: the sheet with the clefs
that suit its lines by phrases: none inside a beat, none for fewer than four strokes but at either
end of a line, where the score too has it or for what nobody could read in another, and octave lines
over what is left beyond four ledger lines. Knows no hands.
"""

from collections import defaultdict
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, takewhile

from engrave.music.sheet import BASS, TREBLE, Bar, Clef, ClefChange, Event, Moment, Sheet, Span
from engrave.music.units import Quarters

FEWEST = 4
"""Strokes that a clef serves."""
MOST_LEDGERS = 4
UNREADABLE = 5
"""Ledger lines beyond which a stroke amid a line has a clef of its own, as where hands cross."""
OF_PHRASE = 3
"""Ledger lines of strokes around those, which the octave line takes in."""
FEWEST_BEYOND = 3
"""Strokes beyond so many ledger lines that get an octave line."""
CHANGE, FOREIGN, FAR = 8.0, 0.75, 3.0
"""Prices: of a change, of a stroke in a clef that the score does not have there (twice where that
makes it unreadable), of each ledger line beyond the third; a ledger line costs 1, or half where
there are no more than easy ones."""
EASY = 2
AGAIN = 1 / 3
"""The share of its price that a stroke costs which is struck again: it is read already."""

LINES: dict[Clef, tuple[int, int]] = {TREBLE: (30, 38), BASS: (18, 26)}
"""The lowest and the highest line of a staff, as ``Pitch.diatonic``."""
OCTAVE = 7


@dataclass(frozen=True, slots=True)
class _Stroke:
    """What is printed on a staff at one moment: how low and high, and the clef of the score."""

    start: Moment
    end: Moment
    low: int
    high: int
    clef: Clef
    may_change: bool
    changes: bool
    """Whether the score has another clef here than at the stroke before."""
    is_shifted: bool


def suited(sheet: Sheet) -> Sheet:
    """``sheet`` with the clefs that suit it, and octave lines."""
    opening: dict[tuple[int, int], list[ClefChange]] = defaultdict(list)
    spans = list(sheet.spans)
    for staff in sheet.staves:
        strokes = list(_strokes(sheet, staff))
        clefs = _clefs(strokes, (BASS, TREBLE) if staff == 2 else (TREBLE, BASS))
        first = clefs[0] if clefs else _first_clef(sheet, staff)
        opening[0, staff].append(ClefChange(Quarters(0), staff, first))
        for number, clef in enumerate(clefs[1:], start=1):
            if clef != clefs[number - 1]:
                at = strokes[number].start
                opening[at.bar, staff].append(ClefChange(at.offset, staff, clef))
        spans += _octave_lines(strokes, clefs, staff)
    bars = tuple(
        replace(
            bar,
            clefs=tuple(
                sorted(
                    (change for staff in sheet.staves for change in opening[index, staff]),
                    key=lambda change: (change.offset, change.staff),
                )
            ),
        )
        for index, bar in enumerate(sheet.bars)
    )
    return replace(sheet, bars=bars, spans=tuple(spans))


def _first_clef(sheet: Sheet, staff: int) -> Clef:
    own = (change.clef for bar in sheet.bars for change in bar.clefs if change.staff == staff)
    return next(own, TREBLE if staff == 1 else BASS)


def _strokes(sheet: Sheet, staff: int) -> Iterator[_Stroke]:
    """The strokes of a staff in order; graces count with the note that they lead to."""
    clef = _first_clef(sheet, staff)
    lines = [span for span in sheet.spans if span.kind.startswith("octave") and span.staff == staff]
    for index, bar in enumerate(sheet.bars):
        changes = [change for change in bar.clefs if change.staff == staff]
        events = [event for event in bar.events if event.staff == staff and event.tones]
        events.sort(key=lambda event: event.offset)
        for offset, group in groupby(events, key=lambda event: event.offset):
            together = list(group)
            before = clef
            clef = next((c.clef for c in reversed(changes) if c.offset <= offset), clef)
            start = Moment(index, offset)
            shift = sum(_shift(span) for span in lines if span.start <= start < span.end)
            heights = [tone.pitch.diatonic - shift for e in together for tone in e.tones]
            yield _Stroke(
                start=start,
                end=Moment(index, max(event.end for event in together)),
                low=min(heights),
                high=max(heights),
                clef=clef,
                may_change=_begins_beat(bar, offset) and not _is_tied(together),
                changes=clef != before and not _is_tied(together),
                is_shifted=shift != 0,
            )


def _shift(span: Span) -> int:
    return (OCTAVE if span.kind == "octave-up" else -OCTAVE) * (2 if span.size == 15 else 1)


def _begins_beat(bar: Bar, offset: Quarters) -> bool:
    return (offset + bar.lead) % bar.meter.beat == 0


def _is_tied(events: Sequence[Event]) -> bool:
    return any(tone.tie_in for event in events for tone in event.tones)


def ledgers(low: int, high: int, clef: Clef) -> int:
    """How many ledger lines the lower or the higher of two heights needs in a clef."""
    bottom, top = LINES[clef]
    return max((bottom - low) // 2, (high - top) // 2, 0)


def _price(stroke: _Stroke, clef: Clef) -> float:
    lines = ledgers(stroke.low, stroke.high, clef)
    foreign = FOREIGN if clef != stroke.clef else 0.0
    if lines > UNREADABLE:
        foreign *= 2
    return (lines if lines > EASY else lines / 2) + FAR * max(lines - 3, 0) + foreign


@dataclass(frozen=True, slots=True)
class _Path:
    price: float
    clefs: tuple[Clef, ...]
    run: int
    """Strokes since the last change, as far as they are counted."""


def _clefs(strokes: Sequence[_Stroke], choice: Sequence[Clef]) -> tuple[Clef, ...]:
    """The clef of every stroke: the cheapest way through the line; of equals the first."""
    if not strokes:
        return ()
    paths: dict[tuple[Clef, int], _Path] = {}
    for clef in choice:
        count = FEWEST if _is_excused(strokes, 0, clef, choice) else 1
        paths[clef, count] = _Path(_price(strokes[0], clef), (clef,), count)
    plain = dict.fromkeys(choice, 0.0)
    for number, stroke in enumerate(strokes):
        again = number > 0 and _is_again(strokes[number - 1], stroke)
        prices = {clef: _price(stroke, clef) * (AGAIN if again else 1) for clef in choice}
        for clef in choice:
            plain[clef] += prices[clef]
        if number == 0:
            continue
        longer: dict[tuple[Clef, int], _Path] = {}
        for (clef, run), path in paths.items():
            for new in choice:
                if new != clef and (run < FEWEST or not _may_change(strokes, number, new)):
                    continue
                count = min(run + 1, FEWEST) if new == clef else 1
                if _is_excused(strokes, number, new, choice) or _returns(strokes, path, new):
                    count = FEWEST
                price = path.price + prices[new] + (CHANGE if new != clef else 0)
                if (new, count) not in longer or price < longer[new, count].price:
                    longer[new, count] = _Path(price, (*path.clefs, new), count)
        paths = longer
    best = min((path for path in paths.values() if path.run == FEWEST), key=_of_price, default=None)
    single = min(choice, key=lambda clef: plain[clef])
    if best is None or plain[single] <= best.price:
        return (single,) * len(strokes)
    return best.clefs


def _is_again(before: _Stroke, stroke: _Stroke) -> bool:
    """Whether a stroke is as low and high as the one before."""
    return (before.low, before.high, before.clef) == (stroke.low, stroke.high, stroke.clef)


def _may_change(strokes: Sequence[_Stroke], number: int, clef: Clef) -> bool:
    """Whether a clef may begin at a stroke: at a beat; and inside one where the score has it there
    and would not be read without, before ledger lines that nobody counts or after them."""
    stroke = strokes[number]
    if stroke.may_change:
        return True
    if not stroke.changes or stroke.clef != clef:
        return False
    last = strokes[number - 1]
    coming = strokes[number : number + 2]
    return _is_far(last, clef) or any(_is_far(each, last.clef) for each in coming)


def _is_excused(
    strokes: Sequence[_Stroke], number: int, clef: Clef, choice: Sequence[Clef]
) -> bool:
    """Whether a stroke may have the clef with too few beside it, as the score has or at an end: a
    low chord before a line in the treble, which would hang from ledger lines that nobody counts;
    anywhere if it would be unreadable in any other."""
    stroke = strokes[number]
    is_at_end = number < FEWEST - 1 or number > len(strokes) - FEWEST
    others = [other for other in choice if other != clef]
    if all(_is_unreadable(stroke, other) for other in others):
        return True
    return (is_at_end or stroke.clef == clef) and all(_is_far(stroke, other) for other in others)


def _returns(strokes: Sequence[_Stroke], path: _Path, clef: Clef) -> bool:
    """Whether the line comes back to its ``clef`` from strokes that are unreadable in it."""
    if path.clefs[-1] == clef or clef not in path.clefs:
        return False
    away = takewhile(lambda number: path.clefs[number] != clef, reversed(range(len(path.clefs))))
    return all(_is_unreadable(strokes[number], clef) for number in away)


def _is_far(stroke: _Stroke, clef: Clef) -> bool:
    return ledgers(stroke.low, stroke.high, clef) > MOST_LEDGERS


def _is_unreadable(stroke: _Stroke, clef: Clef) -> bool:
    return ledgers(stroke.low, stroke.high, clef) > UNREADABLE


def _of_price(path: _Path) -> float:
    return path.price


def _octave_lines(strokes: Sequence[_Stroke], clefs: Sequence[Clef], staff: int) -> Iterator[Span]:
    """A line over each stretch with enough strokes beyond the ledger lines that can be read."""
    for kind, above in (("octave-up", True), ("octave-down", False)):
        fits = [_fits(s, c, above) for s, c in zip(strokes, clefs, strict=True)]
        for can_be, group in groupby(range(len(strokes)), key=lambda number: fits[number]):
            numbers = list(group)
            lines = {n: _lines(strokes[n], clefs[n], above) for n in numbers}
            beyond = [n for n in numbers if lines[n] > MOST_LEDGERS]
            if can_be and len(beyond) >= FEWEST_BEYOND:
                first, last = beyond[0], beyond[-1]
                while lines.get(first - 1, 0) >= OF_PHRASE:
                    first -= 1
                under = {(strokes[n].low, strokes[n].high) for n in range(first, last + 1)}
                while _goes_on(last + 1, lines, strokes, under):
                    last += 1
                yield Span(kind, strokes[first].start, strokes[last].end, staff)


def _goes_on(
    number: int,
    lines: Mapping[int, int],
    strokes: Sequence[_Stroke],
    under: Container[tuple[int, int]],
) -> bool:
    """Whether an octave line goes on over a stroke: a high one, or one that stands under it before,
    as where a leap is played again: no key is printed in two places."""
    if number not in lines:
        return False
    return lines[number] >= OF_PHRASE or (strokes[number].low, strokes[number].high) in under


def _fits(stroke: _Stroke, clef: Clef, above: bool) -> bool:
    """Whether the stroke can be read an octave nearer to the staff."""
    bottom, top = LINES[clef]
    near = stroke.low - OCTAVE >= bottom if above else stroke.high + OCTAVE <= top
    return near and not stroke.is_shifted


def _lines(stroke: _Stroke, clef: Clef, above: bool) -> int:
    """The ledger lines on one side of the staff."""
    bottom, top = LINES[clef]
    return (stroke.high - top) // 2 if above else (bottom - stroke.low) // 2
