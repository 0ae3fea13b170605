"""Whose hand plays what, as the teacher says it: ``hands:`` of the file and of a passage.

Enters: a mapping from places to what is meant there and the hand that plays it, as in
``{"121.2-124": {upper: left}, "31": {upper: {stems-down: left}}, "40.2": {A4: left}}``. Leaves:
``HandMark`` values. Whether the score has such notes it does not know.
"""

import re
from collections.abc import Iterator
from dataclasses import replace

from engrave.errors import EngraveError
from engrave.marks.model import HandMark, Placed
from engrave.marks.nodes import Node, Table, Text
from engrave.marks.places import lies_in, measure_range
from engrave.marks.readers import Errors, Reader, expect, value
from engrave.marks.scalars import choice, shown
from engrave.marks.tables import HANDS
from engrave.music.notes import Hand, Pitch
from engrave.music.ranges import MeasureRange

STAVES = ("upper", "lower", "1", "2", "3", "4")
STEMS = {"stems-up": "up", "stems-down": "down"}
_PITCH = re.compile(r"(?P<step>[A-Ga-g])(?P<alter>##|bb|#|b|)(?P<octave>[0-8])")
_HINT = 'a place, what is meant there, its hand: {"31-33": {upper: left}}'
_WHAT = "upper, lower or a staff's number from the top, or a key: A4, F#5, Bb3"

_hand = value(choice("hand", {hand.value: hand for hand in Hand}, HANDS))


def hand_marks(measures: Placed[MeasureRange] | None = None) -> Reader[tuple[HandMark, ...]]:
    """The reader of ``hands:``; those of a passage must lie in its ``measures``."""

    def read(node: Node, errors: Errors) -> tuple[HandMark, ...]:
        return tuple(_marks(node, measures, errors))

    return read


def _marks(node: Node, measures: Placed[MeasureRange] | None, errors: Errors) -> Iterator[HandMark]:
    if isinstance(node, Text) and _is_hand(node.text):
        message = "hands: needs places and staves, not one hand for all"
        hint = f"did you mean 'hand'? write hand: {node.text}"
        if measures is None:
            hint = f"in a passage you can write hand: {node.text}"
        errors.append(EngraveError(message, node.source, hint))
        return
    table = expect(Table, node, errors, _HINT)
    for key, meant in table.entries if table else ():
        place = _place(key, measures, errors)
        named = expect(Table, meant, errors, "{upper: left}")
        for what, whose in named.entries if named else ():
            for mark in _named(what, whose, errors):
                if place:
                    yield replace(mark, measures=place, in_passage=measures is not None)


def _is_hand(text: str) -> bool:
    word = " ".join(text.lower().split())
    return word in HANDS or word in HANDS.values()


def _place(
    key: Text, measures: Placed[MeasureRange] | None, errors: Errors
) -> Placed[MeasureRange] | None:
    try:
        place = measure_range(key.text)
    except EngraveError as error:
        errors.append(error.at(key.source))
        return None
    # Measures without a first one are told as unreadable themselves.
    if measures and measures.value.first and not lies_in(place, measures.value):
        message, hint = f"{key.text} lies outside the passage", f"the passage is {measures.value}"
        errors.append(EngraveError(message, key.source, hint))
    return Placed(place, key.source)


def _named(what: Text, whose: Node, errors: Errors) -> Iterator[HandMark]:
    """The marks of one entry, their place still open."""
    nowhere = Placed(MeasureRange("0", None, "0", None), what.source)
    if what.text not in STAVES:
        pitch = _pitch(what, errors)
        hand = _hand(whose, errors)
        if pitch and hand:
            yield HandMark(nowhere, hand, what.source, pitch=pitch)
    elif isinstance(whose, Table):
        for key, node in whose.entries:
            if key.text not in STEMS:
                message = f"{shown(key.text)} is no voice of a staff"
                hint = "stems-up or stems-down: {upper: {stems-down: left}}"
                errors.append(EngraveError(message, key.source, hint))
            elif hand := _hand(node, errors):
                yield HandMark(nowhere, hand, key.source, what.text, STEMS[key.text])
    elif hand := _hand(whose, errors):
        yield HandMark(nowhere, hand, what.source, what.text)


def _pitch(text: Text, errors: Errors) -> Pitch | None:
    match = _PITCH.fullmatch(text.text)
    if match is None:
        errors.append(
            EngraveError(f"{shown(text.text)} is no staff and no key", text.source, _WHAT)
        )
        return None
    alter = match["alter"].count("#") - match["alter"].count("b")
    return Pitch(match["step"].upper(), alter, int(match["octave"]))
