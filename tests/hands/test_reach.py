"""Nothing impossible: no hand strikes what it cannot where a division would help."""

from itertools import groupby

import pytest

from engrave.fingering.holding import holds
from engrave.hands import divide
from engrave.hands.strokes import strokes_of
from engrave.music.notes import Hand
from engrave.music.sheet import Event
from engrave.score import read_score
from tests.works import corpus

STRETCH_MM = 205.0
WORKS = (
    "joplin/maple_leaf_rag.mxl",
    "schumann_clara/opus17/movement3.xml",
    "schoenberg/opus19/movement6.mxl",
    "cpebach/h186.mxl",
)


def fits(keys: list[int], hand: Hand) -> bool:
    return holds(tuple(sorted(set(keys))), hand, STRETCH_MM)


@pytest.mark.parametrize("work", WORKS)
def test_what_a_hand_strikes_at_once_lies_in_it_or_in_no_division(work: str) -> None:
    division = divide(read_score(corpus() / work))
    told = {(each.bar, each.place) for each in division.beyond}
    bars = {bar for bar, _ in told}
    for number, bar in enumerate(division.score.sheet.bars):
        struck = sorted(
            (e for e in bar.events if e.is_struck and not e.grace), key=lambda e: e.offset
        )
        for _, moment in groupby(struck, key=lambda e: e.offset):
            events = list(moment)
            mine = {hand: _keys(events, hand) for hand in Hand}
            if any(e.arpeggio for e in events) or all(fits(mine[h], h) for h in Hand):
                continue
            keys = sorted(mine[Hand.LEFT] + mine[Hand.RIGHT])
            cuts = range(len(keys) + 1)
            assert number in bars
            assert not any(fits(keys[:n], Hand.LEFT) and fits(keys[n:], Hand.RIGHT) for n in cuts)
    assert strokes_of(division.score.sheet).all


def _keys(events: list[Event], hand: Hand) -> list[int]:
    return [
        tone.pitch.midi
        for event in events
        if event.hand is hand
        for tone in event.tones
        if not tone.tie_in
    ]
