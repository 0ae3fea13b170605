"""The sheet with every event for the hand that plays it.

Enters: a sheet and the hands of its notes. Leaves: the sheet; a chord whose notes go to both hands
is two events on one stem. Where it is printed, and how, stays as it is.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from engrave.hands.strokes import ToneIndex
from engrave.music.notes import Hand
from engrave.music.sheet import Bar, Event, Sheet


def applied(sheet: Sheet, hands: Mapping[ToneIndex, Hand]) -> Sheet:
    """``sheet`` with those printed tones in those hands; what is not named stays."""
    bars = {part[0] for part in hands}
    return replace(
        sheet,
        bars=tuple(
            _bar(number, bar, hands) if number in bars else bar
            for number, bar in enumerate(sheet.bars)
        ),
    )


def _bar(number: int, bar: Bar, hands: Mapping[ToneIndex, Hand]) -> Bar:
    events = [
        piece
        for index, event in enumerate(bar.events)
        for piece in _divided(
            event, [hands.get((number, index, t)) for t in range(len(event.tones))]
        )
    ]
    return replace(bar, events=tuple(_with_others(events)))


def _divided(event: Event, hands: list[Hand | None]) -> Iterator[Event]:
    """The event once for each hand that plays something of it."""
    if event.grace or not event.tones:
        yield event
        return
    whose = [hand or event.hand for hand in hands]
    if len(set(whose)) == 1:
        yield event if whose[0] is event.hand else replace(event, hand=whose[0])
        return
    for number, hand in enumerate((event.hand, event.hand.other)):
        tones = tuple(tone for tone, own in zip(event.tones, whose, strict=True) if own is hand)
        yield replace(event, hand=hand, tones=tones, joined=event.joined or number > 0)


def _with_others(events: Iterable[Event]) -> Iterator[Event]:
    """Grace notes go with the note they lead to, rests with the note of their voice before them."""
    both = list(events)
    for index, event in enumerate(both):
        if event.grace:
            mine = [e for e in both if e.voice == event.voice and e.offset == event.offset]
            main = next((e for e in mine if not e.grace and e.staff == event.staff), event)
            yield replace(event, hand=main.hand)
        elif event.is_rest:
            line = [e for e in both if e.voice == event.voice and e.tones and not e.grace]
            before = [e for e in line if e.offset < event.offset]
            near = before[-1:] or line[:1]
            yield replace(event, hand=near[0].hand) if near else event
        else:
            yield both[index]
