"""A passage is cut from a score.

Enters: a score and two moments. Leaves: a ``Sheet`` that stands by itself: it carries what is in
force at its first beat, and nothing in it reaches beyond its edges. Knows no marks and no drills.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from engrave.errors import EngraveError
from engrave.music.sheet import Bar, ClefChange, Direction, Event, Moment, Sheet, without_twins
from engrave.music.units import Quarters
from engrave.score.cutting.beams import mended
from engrave.score.cutting.crowded import refuse_crowded
from engrave.score.cutting.edges import clipped
from engrave.score.cutting.repeats import without_torn_repeats
from engrave.score.cutting.ties import without_loose_ties
from engrave.score.cutting.trim import trimmed
from engrave.score.cutting.tuplets import nearest_beat, tears_tuplet
from engrave.score.measures import movements_of, place_name
from engrave.score.score import Score, TempoMark, TempoOrigin, tempo_at

START = Quarters(0)


def cut(score: Score, start: Moment, end: Moment) -> Sheet:
    """The music of ``score`` from ``start`` to ``end`` (exclusive).

    Clef, key, meter and metronome mark in force at ``start`` stand at its head. A note that sounds
    across an edge becomes a note of what sounds inside, and one to which nothing is tied is struck;
    slurs, wedges, pedals and octave lines are closed at the edge, a slur or wedge of a single onset
    is dropped; repeat signs and endings whose other half is outside are dropped. Bars that the
    edges shorten are implicit. Raises ``EngraveError`` where an edge tears a tuplet or a hand has
    more voices than can be engraved.
    """
    sheet = score.sheet
    start, end = _normal(sheet, start, end)
    _refuse_torn_tuplets(sheet, start, end)
    bars = [_cut_bar(sheet, index, start, end) for index in range(start.bar, end.bar + 1)]
    refuse_crowded(bars)
    head = replace(
        bars[0],
        clefs=(*_clefs_in_force(sheet, start), *bars[0].clefs),
        directions=(*_tempo_in_force(tempo_at(score, start), bars[0]), *bars[0].directions),
    )
    tied = without_loose_ties((head, *bars[1:]))
    whole = without_torn_repeats(tied, _may_repeat_from(sheet, start))
    return Sheet(whole, clipped(sheet.spans, whole, start, end), sheet.staves)


def _may_repeat_from(sheet: Sheet, start: Moment) -> bool:
    """Whether a repeat may begin at ``start`` without a sign."""
    if start.offset > 0:
        return False
    begins = any(start.bar == bars.start for bars in movements_of(sheet))
    return begins or sheet.bars[start.bar - 1].repeat_end


def _normal(sheet: Sheet, start: Moment, end: Moment) -> tuple[Moment, Moment]:
    """The same moments, ``start`` before the end of its bar and ``end`` after the start of its."""
    while start.offset >= sheet.bars[start.bar].length and start.bar + 1 < len(sheet.bars):
        start = Moment(start.bar + 1, START)
    if end.bar == len(sheet.bars) or (end.offset == 0 and end.bar > 0):
        end = Moment(end.bar - 1, sheet.bars[end.bar - 1].length)
    if start >= end:
        raise EngraveError("a cut holds no music when its end does not come after its start")
    return start, end


def _refuse_torn_tuplets(sheet: Sheet, start: Moment, end: Moment) -> None:
    for moment, ends, verb in ((start, False, "begin"), (end, True, "end")):
        if tears_tuplet(sheet.bars[moment.bar], moment.offset):
            near = nearest_beat(sheet, moment, ends)
            hint = (
                f"the nearest that works: {verb} with {place_name(sheet, near, ends)}"
                if near
                else ""
            )
            raise EngraveError(
                f"a tuplet is torn when the passage {verb}s with {place_name(sheet, moment, ends)}",
                hint=hint,
            )


def _cut_bar(sheet: Sheet, index: int, start: Moment, end: Moment) -> Bar:
    bar = sheet.bars[index]
    low = start.offset if index == start.bar else START
    high = end.offset if index == end.bar else bar.length
    is_head, is_whole = index == start.bar, low == 0 and high == bar.length
    events = list(_events(bar, low, high, index == start.bar, index == end.bar))
    if not is_whole:
        events = _beamed(events)
    return replace(
        bar,
        length=high - low,
        events=tuple(events),
        clefs=tuple(
            replace(change, offset=change.offset - low)
            for change in bar.clefs
            if (low < change.offset if is_head else low <= change.offset) and change.offset < high
        ),
        directions=tuple(_directions(bar, low, high)),
        implicit=bar.implicit or not is_whole,
        repeat_start=bar.repeat_start and low == 0,
        repeat_end=bar.repeat_end and high == bar.length,
        barline=bar.barline if high == bar.length else None,
    )


def _events(bar: Bar, low: Quarters, high: Quarters, opens: bool, closes: bool) -> Iterator[Event]:
    """The events that sound inside; at the cut's own edges ties lead nowhere."""
    for event in bar.events:
        for piece in trimmed(event, bar, low, high):
            moved = replace(piece, offset=piece.offset - low)
            if opens and piece.offset == low:
                moved = _untied(moved, entering=True)
            if closes and piece.end == high and not piece.grace:
                moved = _untied(moved, entering=False)
            yield moved


def _untied(event: Event, entering: bool) -> Event:
    tones = (
        replace(tone, tie_in=False) if entering else replace(tone, tie_out=False)
        for tone in event.tones
    )
    return replace(event, tones=tuple(tones))


def _beamed(events: Iterable[Event]) -> list[Event]:
    """``events`` with the beams of each voice mended; rests and grace notes keep theirs."""
    result = list(events)
    for voice in {event.voice for event in result}:
        places = [
            place
            for place, event in enumerate(result)
            if event.voice == voice and event.tones and not event.grace
        ]
        whole = mended(without_twins(result[place] for place in places))
        beams = {(event.offset, event.length): event.beams for event in whole}
        for place in places:
            chord = result[place].offset, result[place].length
            result[place] = replace(result[place], beams=beams[chord])
    return result


def _directions(bar: Bar, low: Quarters, high: Quarters) -> Iterator[Direction]:
    for word in bar.directions:
        if low <= word.offset < high or word.offset == high == bar.length:
            yield replace(word, offset=word.offset - low)


def _clefs_in_force(sheet: Sheet, start: Moment) -> Iterator[ClefChange]:
    force: dict[int, ClefChange] = {}
    for index, bar in enumerate(sheet.bars[: start.bar + 1]):
        for change in bar.clefs:
            if Moment(index, change.offset) <= start:
                force[change.staff] = change
    for staff in sorted(force):
        yield replace(force[staff], offset=START)


def _tempo_in_force(mark: TempoMark | None, head: Bar) -> Iterator[Direction]:
    if mark is None or mark.origin is not TempoOrigin.MARK:
        return
    same = (mark.beat, mark.per_minute)
    signs = [sign for sign in head.directions if sign.kind == "metronome"]
    if not any(sign.offset == 0 or (sign.beat_unit, sign.per_minute) == same for sign in signs):
        yield Direction(START, 1, "metronome", beat_unit=mark.beat, per_minute=mark.per_minute)
