"""What is left of a passage as printed when one hand plays alone.

Enters: bars and the hands that play. Leaves: the bars with their notes alone: what the other hand
has in their voices becomes rests, voices in which they have nothing go. Knows no fingers.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Event, Moment, Span, without_twins
from engrave.score.cutting.beams import mended


def alone(bar: Bar, hands: Sequence[Hand]) -> list[Event]:
    """The events of ``bar`` that ``hands`` play, and their rests."""
    if all(event.hand in hands for event in bar.events if event.tones):
        return list(bar.events)
    lines: dict[int, list[Event]] = {}
    for event in bar.events:
        lines.setdefault(event.voice, []).append(event)
    full = {voice for voice, line in lines.items() if _fills(line, bar, hands)}
    kept: list[Event] = []
    for voice, line in sorted(lines.items()):
        own = [event for event in line if event.tones and event.hand in hands]
        if own:
            kept += _with_beams(_resting(line, own, hands, hidden=bool(full - {voice})))
    order = {id(event): place for place, event in enumerate(kept)}
    return sorted(kept, key=lambda e: (e.offset, e.voice, not e.grace, order[id(e)]))


def _fills(line: Sequence[Event], bar: Bar, hands: Sequence[Hand]) -> bool:
    """Whether a voice counts the bar for these hands alone, from one end to the other."""
    counted = [event for event in without_twins(line) if not event.grace and not event.silent]
    mine = all(event.hand in hands for event in line if event.tones)
    has_notes = any(event.tones for event in line)
    return mine and has_notes and sum(event.length for event in counted) == bar.length


def _resting(
    line: Sequence[Event], own: Sequence[Event], hands: Sequence[Hand], hidden: bool
) -> list[Event]:
    """One voice with rests where the other hand plays, on the staff of the hand's notes nearby.

    They are ``hidden`` where another voice of the hand counts the bar.
    """
    taken = {(event.offset, event.length) for event in own if not event.grace}
    result: list[Event] = []
    for event in line:
        if event.tones and event.hand in hands:
            torn = (event.tremolo or "").startswith(("start", "stop"))
            result.append(replace(event, tremolo=None) if torn and len(own) < 2 else event)
        elif event.grace or (event.tones and (event.offset, event.length) in taken):
            continue
        else:
            staff = min(own, key=lambda e: abs(e.offset - event.offset)).staff
            rest = _rest(event, staff, hidden) if event.tones else replace(event, staff=staff)
            result.append(rest)
    return result


def _rest(event: Event, staff: int, hidden: bool) -> Event:
    """A rest as long as the event."""
    return Event(
        event.offset, event.length, event.value, (), event.hand, staff, event.voice, silent=hidden
    )


def _with_beams(events: Sequence[Event]) -> list[Event]:
    whole = mended(without_twins(e for e in events if e.tones and not e.grace))
    beams = {(event.offset, event.length): event.beams for event in whole}
    return [
        replace(event, beams=beams[event.offset, event.length])
        if event.tones and not event.grace
        else event
        for event in events
    ]


def with_both_ends(spans: Iterable[Span], bars: Sequence[Bar]) -> tuple[Span, ...]:
    """The slurs of which both ends stand in the bars."""
    notes = {
        (Moment(index, event.offset), event.voice, event.grace)
        for index, bar in enumerate(bars)
        for event in bar.events
        if event.tones
    }
    return tuple(
        span
        for span in spans
        if (span.start, span.voice, span.from_grace) in notes
        and (span.end, span.end_voice, False) in notes
    )
