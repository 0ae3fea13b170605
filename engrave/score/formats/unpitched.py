"""Strokes without a pitch (a knock, a clap) are no keys: rests stand for them.

Enters: a raw part. Leaves: the same part, and how many there were among what is lost.
"""

from dataclasses import replace
from typing import Any

from engrave.score.formats.raw import NoteSigns, RawItem, RawPart


def without_unpitched(part: RawPart) -> None:
    """Put a rest in the place of everything that has no pitch."""
    for bar in part.bars:
        for place, item in enumerate(bar.items):
            if {"Unpitched", "PercussionChord"} & item.element.classSet:
                bar.items[place] = _rested(item)
                bar.lost["strokes without a pitch"] += 1
        bar.items = [item for item in bar.items if not _is_grace_rest(item)]


def _rested(item: RawItem) -> RawItem:
    from music21.note import Rest

    rest: Any = Rest()
    rest.duration = item.element.duration
    return replace(item, element=rest, printed=(NoteSigns(),), staves=())


def _is_grace_rest(item: RawItem) -> bool:
    return bool(item.element.isRest and item.element.duration.isGrace)
