"""What a score says of its tempo, the surest first: marks, other numbers, words, playback.

Enters: bars, what stands of tempos elsewhere in the file, its titles. Leaves: ``TempoMark``s. A
tempo without a printed mark counts at the start of a movement, or if it holds for four measures;
one inside a gradual change never does. Knows no files.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from math import inf

from engrave.music.sheet import Bar, Moment, Sheet
from engrave.music.tempo_words import is_gradual, is_return, tempo_of_words
from engrave.music.units import Quarters
from engrave.score.formats.raw import RawTempo
from engrave.score.measures import movements_of
from engrave.score.score import TempoMark, TempoOrigin

HOLDS = 4
"""Measures for which a tempo without a printed mark is to hold; fewer are a nuance."""
OPENING = 1
"""The last bar of a movement (from 0) whose words still name its tempo: after a pickup."""
START = Moment(0, Quarters(0))
ONE = Quarters(1)
QUICKEST = 10.0
"""Onsets a second of a hand's quick notes that tempo words may ask: nobody writes a piece to be
played faster than that without a number (common practice, no source)."""


class _Kind(StrEnum):
    """What a word or a number does to the tempo."""

    NEW = "new"
    BEND = "bend"
    """A gradual change begins."""
    END = "end"
    """Whatever bent it, it does no longer."""
    BACK = "back"
    """The first tempo comes again."""


@dataclass(frozen=True, slots=True)
class _Change:
    """A word or number on the way; ``tempo`` in quarters a minute where it is a new one."""

    moment: Moment
    kind: _Kind
    words: str = ""
    tempo: Fraction = Fraction(0)
    beat: Quarters = ONE


def tempos_of(
    sheet: Sheet, raw: Iterable[RawTempo] = (), headers: Iterable[str] = ()
) -> tuple[TempoMark, ...]:
    """The tempos of a score in order, those at one moment by how sure they are.

    ``headers`` are titles and the like, whose words count where nothing stands at the beginning.
    """
    if not sheet.bars:
        return ()
    placed = [(_moment(sheet.bars, each), each) for each in raw]
    said = sorted((at, each.words) for at, each in placed if each.words and not each.per_minute)
    words = list(_worded(sheet, sorted([*_words(sheet.bars), *said])))
    headed = list(_worded(sheet, ((START, text) for text in headers if text)))
    titled = [change for change in headed if change.kind is _Kind.NEW]
    bends = [_Change(w.moment, _Kind.END if w.kind is _Kind.NEW else w.kind) for w in words]
    unprinted, played = (
        [
            *bends,
            *(
                _Change(at, _Kind.NEW, each.words, each.beat * each.per_minute, each.beat)
                for at, each in placed
                if each.per_minute and each.played is for_playback
            ),
        ]
        for for_playback in (False, True)
    )
    read = [
        *_printed(sheet.bars),
        *_held(sheet, unprinted, TempoOrigin.ELSEWHERE),
        *_slowed(sheet, list(_held(sheet, [*titled, *words], TempoOrigin.WORDS))),
        *_held(sheet, played, TempoOrigin.PLAYBACK),
    ]
    order = list(TempoOrigin)
    return tuple(sorted(read, key=lambda mark: (mark.moment, order.index(mark.origin))))


def _moment(bars: Sequence[Bar], raw: RawTempo) -> Moment:
    bar, offset = min(raw.bar, len(bars) - 1), raw.offset
    while offset >= bars[bar].length and bar + 1 < len(bars):
        bar, offset = bar + 1, offset - bars[bar].length
    return Moment(bar, min(max(offset, Quarters(0)), bars[bar].length))


def _words(bars: Sequence[Bar]) -> Iterator[tuple[Moment, str]]:
    for index, bar in enumerate(bars):
        for sign in sorted(bar.directions, key=lambda sign: sign.offset):
            if sign.kind == "words":
                yield Moment(index, sign.offset), sign.text


def _printed(bars: Sequence[Bar]) -> Iterator[TempoMark]:
    for index, bar in enumerate(bars):
        for word in sorted(bar.directions, key=lambda word: word.offset):
            if word.beat_unit is not None and word.per_minute:
                yield TempoMark(Moment(index, word.offset), word.beat_unit, word.per_minute)


def _worded(sheet: Sheet, words: Iterable[tuple[Moment, str]]) -> Iterator[_Change]:
    for moment, text in words:
        beat = sheet.bars[moment.bar].meter.beat
        tempo = tempo_of_words(text, beat)
        if is_gradual(text):
            yield _Change(moment, _Kind.BEND)
        elif tempo is not None:
            yield _Change(moment, _Kind.NEW, text, tempo, beat)
        elif is_return(text):
            yield _Change(moment, _Kind.BACK)


def _held(sheet: Sheet, changes: Iterable[_Change], origin: TempoOrigin) -> Iterator[TempoMark]:
    """The changes that count, movement by movement."""
    ordered = sorted(changes, key=lambda change: change.moment)
    for bars in movements_of(sheet):
        yield from _held_in(bars, [c for c in ordered if c.moment.bar in bars], origin)


def _held_in(bars: range, changes: Sequence[_Change], origin: TempoOrigin) -> Iterator[TempoMark]:
    first: TempoMark | None = None
    is_bent = False
    for number, change in enumerate(changes):
        if change.kind is _Kind.BACK and first is not None:
            yield replace(first, moment=change.moment)
        if change.kind is not _Kind.NEW:
            is_bent = change.kind is _Kind.BEND
            continue
        opens = change.moment.bar - bars.start <= OPENING and not is_bent
        by_words = origin is TempoOrigin.WORDS
        may_count = by_words or not (is_bent or _slides(changes, number))
        if opens or (may_count and _lasting(bars, changes, number) >= HOLDS):
            at = Moment(bars.start, Quarters(0)) if opens else change.moment
            mark = TempoMark(at, change.beat, change.tempo / change.beat, origin, change.words)
            first, is_bent = mark if opens or first is None else first, False
            yield mark


def _lasting(bars: range, changes: Sequence[_Change], number: int) -> int:
    """For how many measures a new tempo holds: until another, or the one before it again."""
    after = (c for c in changes[number + 1 :] if c.kind in (_Kind.NEW, _Kind.BACK))
    following = next((c.moment.bar for c in after), bars.stop)
    return following - changes[number].moment.bar


def _slides(changes: Sequence[_Change], number: int) -> bool:
    """Whether numbers slower and slower, or quicker and quicker, stand close before this one."""
    new = [c for c in changes[: number + 1] if c.kind is _Kind.NEW][-3:]
    if len(new) < 3 or new[2].moment.bar - new[1].moment.bar > 1:
        return False
    return (new[0].tempo > new[1].tempo) is (new[1].tempo > new[2].tempo)


def _slowed(sheet: Sheet, marks: Sequence[TempoMark]) -> Iterator[TempoMark]:
    """Marks from words, all in proportion: quick notes no quicker than anybody plays them."""
    if not marks:
        return
    most = quickest(sheet, QUICKEST) / float(marks[0].beat * marks[0].per_minute)
    for mark in marks:
        slower = Fraction(max(1, round(mark.per_minute * min(most, 1))))
        yield replace(mark, per_minute=slower)


def quickest(sheet: Sheet, a_second: float) -> float:
    """Quarters a minute at which the quick notes are so many a second."""
    quick = _quick_notes(sheet)
    return 60 * a_second / quick if quick else inf


def _quick_notes(sheet: Sheet) -> float:
    """Notes a quarter in the quick beats of either hand: only a twentieth has more."""
    counts: list[float] = []
    for bar in sheet.bars:
        beat = bar.meter.beat
        moments = {(e.hand, e.offset) for e in bar.events if e.is_struck and not e.grace}
        tally: dict[tuple[str, int], int] = {}
        for hand, offset in moments:
            place = (hand, int(offset / beat))
            tally[place] = tally.get(place, 0) + 1
        counts += [count / float(beat) for count in tally.values()]
    return sorted(counts)[int(0.95 * (len(counts) - 1))] if counts else 0.0
