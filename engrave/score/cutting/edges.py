"""Signs that reach across the edges of a cut are closed there.

Enters: the spans of a score, the bars of the cut, its moments in the score. Leaves: the cut's
spans. Knows no notes beyond where they begin.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engrave.music.sheet import Bar, Moment, Span

_NEEDS_TWO = ("slur", "crescendo", "diminuendo")


def clipped(
    spans: Sequence[Span], bars: Sequence[Bar], start: Moment, end: Moment
) -> tuple[Span, ...]:
    """The spans inside the cut; what would hold a single onset (slur, wedge) is dropped."""
    return tuple(_clipped(spans, bars, start, end))


def _clipped(
    spans: Sequence[Span], bars: Sequence[Bar], start: Moment, end: Moment
) -> Iterator[Span]:
    for span in spans:
        if span.start >= end or span.end < start or (span.end == start and span.kind != "slur"):
            continue
        enters, leaves = span.start < start, span.end > end
        inside = replace(
            span,
            start=_moved(max(span.start, start), start),
            end=_moved(min(span.end, end), start),
            from_grace=span.from_grace and not enters,
        )
        if span.kind == "slur":
            mended = _slur(inside, bars, enters, span.end >= end)
            if mended:
                yield mended
        elif not (enters or leaves) or _count(bars, inside) >= (
            2 if span.kind in _NEEDS_TWO else 1
        ):
            yield inside


def _moved(moment: Moment, start: Moment) -> Moment:
    """A moment of the score as the cut counts it."""
    offset = moment.offset - start.offset if moment.bar == start.bar else moment.offset
    return Moment(moment.bar - start.bar, offset)


def _slur(span: Span, bars: Sequence[Bar], enters: bool, leaves: bool) -> Span | None:
    """A slur from note to note: at an edge, from the first or to the last note of its voice."""
    if enters:
        first = next((at for at in _onsets(bars, span.voice) if at >= span.start), None)
        if first is None or first > span.end:
            return None
        span = replace(span, start=first)
    if leaves:
        own = [at for at in _onsets(bars, span.end_voice) if at < span.end]
        voice = span.end_voice
        if not own or own[-1] < span.start:
            voice, own = span.voice, [at for at in _onsets(bars, span.voice) if at < span.end]
        if not own:
            return None
        span = replace(span, end=own[-1], end_voice=voice)
    return span if span.start < span.end or span.from_grace else None


def _onsets(bars: Sequence[Bar], voice: int) -> Iterator[Moment]:
    for index, bar in enumerate(bars):
        for event in sorted(bar.events, key=lambda event: event.offset):
            if event.voice == voice and event.tones and not event.grace:
                yield Moment(index, event.offset)


def _count(bars: Sequence[Bar], span: Span) -> int:
    """How many moments inside ``span`` have an onset on its staff."""
    return len(
        {
            Moment(index, event.offset)
            for index, bar in enumerate(bars)
            for event in bar.events
            if event.staff == span.staff
            and event.tones
            and span.start <= Moment(index, event.offset) < span.end
        }
    )
