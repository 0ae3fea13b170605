"""Keys that are down already where a passage begins, and that it strikes anew.

Enters: a score and the moment at which a passage is cut from it. Leaves: these keys, by the hand
and the place at which the score strikes them. Knows nothing of the cut.
"""

from collections import defaultdict
from collections.abc import Iterator

from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import Event, Moment, Sheet
from engrave.passage.model import HeldOver, Passage
from engrave.remarks import Remark
from engrave.score import Score, measure_and_beat


def held_over(score: Score, start: Moment) -> tuple[HeldOver, ...]:
    """What sounds at ``start`` and was struck before it, from the first place on, low to high."""
    found: defaultdict[tuple[Hand, Moment], set[Pitch]] = defaultdict(set)
    struck: set[tuple[Hand, int]] = set()
    for event in score.sheet.bars[start.bar].events:
        for tone in () if event.grace else event.tones:
            here = Moment(start.bar, event.offset)
            since = _since(score.sheet, event, tone.pitch, here)
            if since < start < Moment(start.bar, event.end):
                found[event.hand, since].add(tone.pitch)
            elif since == start:
                struck.add((event.hand, tone.pitch.midi))
    return tuple(
        HeldOver(hand, *measure_and_beat(score.sheet, since), keys)
        for (hand, since), pitches in sorted(found.items(), key=lambda each: each[0][1])
        if (keys := tuple(_low_to_high(pitches, hand, struck)))
    )


def beside(passage: Passage) -> list[Remark]:
    """What is said beside a passage: a sentence a place, of both hands together."""
    places: defaultdict[tuple[str, int], list[Pitch]] = defaultdict(list)
    for held in passage.held_over:
        places[held.measure, held.beat] += held.pitches
    return [
        Remark.of(
            "held-over.note",
            place=_place(passage, *place),
            keys=tuple(sorted(keys, key=lambda pitch: pitch.midi)),
        )
        for place, keys in places.items()
    ]


def noticed(passage: Passage) -> list[Remark]:
    """What whoever fingers a passage should know, a marked hand and a place each."""
    return [
        Remark.of(
            "held-over.notice",
            place=_place(passage, held.measure, held.beat),
            keys=held.pitches,
            hand=held.hand,
        )
        for held in passage.held_over
        if held.hand in passage.hands
    ]


def _place(passage: Passage, measure: str, beat: int) -> Remark:
    where = "beat" if measure == passage.sheet.bars[0].name else "measure"
    return Remark.of(f"held-over.{where}", measure=measure, beat=beat)


def _low_to_high(pitches: set[Pitch], hand: Hand, struck: set[tuple[Hand, int]]) -> Iterator[Pitch]:
    for pitch in sorted(pitches, key=lambda pitch: pitch.midi):
        if (hand, pitch.midi) not in struck:
            yield pitch


def _since(sheet: Sheet, event: Event, pitch: Pitch, here: Moment) -> Moment:
    """Where a printed note was struck: at the first of the notes that are tied to it."""
    is_tied = any(tone.tie_in for tone in event.tones if tone.pitch == pitch)
    at_start = here.offset == 0
    bar = here.bar - 1 if at_start else here.bar
    if not is_tied or bar < 0:
        return here
    end = sheet.bars[bar].length if at_start else here.offset
    for before in sheet.bars[bar].events:
        if before.end == end and not before.grace:
            for tone in before.tones:
                if tone.tie_out and tone.pitch.midi == pitch.midi:
                    return _since(sheet, before, tone.pitch, Moment(bar, before.offset))
    return here
