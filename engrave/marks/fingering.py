"""Fingers as the teacher writes them over a passage.

Enters: a mapping from places to words (``"41.1": "1-3-5 . 2"``), a word an onset, for one hand or,
under ``right`` and ``left``, for both. Leaves: ``FingeringMark`` values. Whether there are so many
onsets it does not know; that no hand can take a chord with its fingers crossed it does.
"""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from engrave.errors import EngraveError, Source
from engrave.marks.model import FingeringMark, Placed
from engrave.marks.nodes import List, Node, Table, Text
from engrave.marks.places import Order, end_of, order, parse_beat, start_of
from engrave.marks.readers import Errors, Form, expect
from engrave.marks.scalars import shown
from engrave.marks.slips import with_pieces
from engrave.music.notes import Hand
from engrave.music.ranges import MeasureRange

_WORD = r"[^\s,“”„‟\"'‘’]+"
"""A word ends at a space; a comma, or quotes that a word processor has curled, say nothing."""

Digits = tuple[int | None, ...]
_FINGERS = ("1", "2", "3", "4", "5")

MOST_WORDS = 1000
MOST_KEYS = 10
"""A thumb can lie on two keys, and a hand may be replaced; more is a slip of the pen."""

_HINT = 'from a beat on, a word an onset: {"41.1": "1 2 3 1-3-5 . 2"}'


def fingering(
    node: Node, hands: Sequence[Hand], measures: Placed[MeasureRange] | None, errors: Errors
) -> tuple[FingeringMark, ...]:
    """The fingers of a passage over ``measures`` for ``hands``.

    Where the passage's own hand or measures could not be read (no ``hands``, None), the fingers are
    checked as far as they can be; those of no known hand are none. In a file with mistakes a word
    that could not be read leaves its onset open.
    """
    if isinstance(node, Text | List):
        errors.append(_without_place(node, measures))
        return ()
    table = expect(Table, node, errors, _HINT)
    if table is None:
        return ()
    named = [key for key, _ in table.entries if key.text in tuple(Hand)]
    if named:
        return tuple(_of_named_hands(table, named, hands, measures, errors))
    if len(hands) > 1:
        message = "it is not said for which hand these fingers are"
        hint = "write hand: right or hand: left above them, or {right: {…}, left: {…}}"
        errors.append(EngraveError(message, node.source, hint))
    hand = hands[0] if len(hands) == 1 else None
    found = tuple(_of_one_hand(table, hand, measures, errors))
    return found if hand else ()


def _of_named_hands(
    table: Table,
    named: Sequence[Text],
    hands: Sequence[Hand],
    measures: Placed[MeasureRange] | None,
    errors: Errors,
) -> Iterator[FingeringMark]:
    for key in named:
        if hands and Hand(key.text) not in hands:
            message = f"the passage is for the {hands[0]} hand alone"
            errors.append(EngraveError(message, key.source, "hand: both"))
    with Form(table, errors) as form:
        for hand in Hand:
            node = form.node(hand)
            fingers = expect(Table, node, errors, _HINT) if node else None
            if fingers:
                yield from _of_one_hand(fingers, hand, measures, errors)


def _of_one_hand(
    table: Table, hand: Hand | None, measures: Placed[MeasureRange] | None, errors: Errors
) -> Iterator[FingeringMark]:
    seen: dict[Order, int] = {}
    for key, node, pieces in with_pieces(table.entries):
        place = _place(key, measures, seen, errors)
        if pieces and isinstance(node, Text):
            errors.append(_unquoted(key, node, pieces))
            continue
        words = _words(node, hand, errors)
        if place and words:
            taken, sources = zip(*words, strict=True)
            fingers, changes = zip(*taken, strict=True)
            yield FingeringMark(hand or Hand.RIGHT, *place, fingers, key.source, sources, changes)


def _place(
    key: Text, measures: Placed[MeasureRange] | None, seen: dict[Order, int], errors: Errors
) -> tuple[str, Fraction] | None:
    try:
        measure, beat = parse_beat(key.text)
    except EngraveError as error:
        errors.append(error.at(key.source))
        return None
    where = order(measure, beat)
    if measures and not start_of(measures.value) <= where <= end_of(measures.value):
        message, hint = f"{key.text} lies outside the passage", f"the passage is {measures.value}"
        errors.append(EngraveError(message, key.source, hint))
    if where in seen:
        message, hint = f"{key.text} is fingered twice", f"first in line {seen[where]}"
        errors.append(EngraveError(message, key.source, hint))
        return None
    seen[where] = key.source.line
    return measure, beat


def _without_place(node: Text | List, measures: Placed[MeasureRange] | None) -> EngraveError:
    """Fingers that do not say where they begin."""
    first = (measures.value.first, measures.value.first_beat or 1) if measures else (41, 1)
    hint = f'write fingering: {{"{first[0]}.{first[1]}": "{_in_a_row(node)}"}}'
    return EngraveError("fingers need the place at which they begin", node.source, hint)


def _in_a_row(node: Text | List) -> str:
    """Fingers as they are written: ``1 2 3``."""
    nodes = node.items if isinstance(node, List) else (node,)
    texts = [each.text for each in nodes if isinstance(each, Text)]
    return " ".join(re.findall(_WORD, " ".join(texts))) or "1 2 3"


def _unquoted(key: Text, node: Text, pieces: Sequence[Text]) -> EngraveError:
    """Fingers without quotation marks, which end at their first comma."""
    fingers = " ".join((node.text, *(piece.text for piece in pieces)))
    message = "fingers parted by commas need quotation marks around them"
    return EngraveError(message, node.source, f'write "{key.text}": "{fingers}"')


def _words(
    node: Node, hand: Hand | None, errors: Errors
) -> list[tuple[tuple[Digits, Digits], Source]]:
    if isinstance(node, List) and node.items:
        message = "fingers stand in quotation marks, not in brackets"
        hint = f'write "{_in_a_row(node)}" in a row; a chord has hyphens, as in "1-3-5"'
        errors.append(EngraveError(message, node.source, hint))
        return []
    text = expect(Text, node, errors, _HINT)
    if text is None:
        return []
    found = list(re.finditer(_WORD, text.text))
    if len(found) == 1 and re.fullmatch(r"[1-5]{2,}", found[0][0]):
        found = list(re.finditer(r"[1-5]", text.text))  # without spaces: a chord has hyphens
    if not 0 < len(found) <= MOST_WORDS:
        message, hint = f"{len(found):,} words stand here", f"from 1 to {MOST_WORDS:,} can"
        errors.append(EngraveError(message, node.source, hint))
    words = []
    for word in found[:MOST_WORDS]:
        source = text.at(word.start())
        try:
            words.append((parse_word(word[0], hand), source))
        except EngraveError as error:
            errors.append(error.at(source))
            words.append((((None,), (None,)), source))
    return words


def parse_word(word: str, hand: Hand | None = None) -> tuple[Digits, Digits]:
    """The fingers of one onset, low to high: ``1-3-5``; a dot leaves a key or an onset open.

    Beside them those that take a key over silently: of ``4>5`` the fifth, else None. With a
    ``hand``, fingers that cross in the chord, and a finger other than the thumb on two keys, are
    refused.
    """
    parts = word.split("-")
    for part in parts:
        first, change, then = part.partition(">")
        if change and first in _FINGERS and then in _FINGERS and first != then:
            continue
        if part not in (*_FINGERS, "."):
            where = f" in {shown(word)}" if len(parts) > 1 else ""
            hint = (
                "the finger that strikes, then the one that takes the key over: 4>5"
                if change
                else "1 (thumb) to 5; chords low to high, 1-3-5; a dot for a key left open"
            )
            raise EngraveError(f"{shown(part)}{where} is no finger", hint=hint)
    if len(parts) > MOST_KEYS:
        raise EngraveError(f"{len(parts)} keys are too many for a hand", hint="1-3-5")
    fingers = tuple(None if part == "." else int(part[0]) for part in parts)
    changes = tuple(int(part[2]) if ">" in part else None for part in parts)
    if hand:
        _hold(word, [finger for finger in fingers if finger], hand)
        after = [then or finger for finger, then in zip(fingers, changes, strict=True)]
        _hold(word, [finger for finger in after if finger], hand)
    return fingers, changes


def _hold(word: str, fingers: Sequence[int], hand: Hand) -> None:
    outward = fingers if hand is Hand.RIGHT else fingers[::-1]
    example = "1-3-5" if hand is Hand.RIGHT else "5-3-1"
    for inner, outer in pairwise(outward):
        if inner > outer:
            raise EngraveError(
                f"the fingers of {shown(word)} cross",
                hint=f"low to high, as the {hand} hand takes {example}",
            )
        if inner == outer != 1:
            raise EngraveError(
                f"finger {inner} stands on two keys in {shown(word)}",
                hint="the thumb alone can lie on two keys",
            )
