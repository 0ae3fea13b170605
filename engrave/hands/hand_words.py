"""Words in the score that name a hand: l.h., m.d., main gauche, mano destra, linke Hand …

Enters: a sheet and its strokes. Leaves nothing: the notes that the words are for are bound. A word
holds for the voice at which it stands, rests included, until the other word, the voice's return to
its hand's staff, or the end of the figure that repeats.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engrave.hands.strokes import Strokes
from engrave.music.notes import Hand, home_hand
from engrave.music.sheet import Bar, Direction, Event, Sheet
from engrave.music.units import Quarters

_SHORT = {Hand.LEFT: r"l\.? ?h|m\.? ?[sg]|l\.? ?hand|l\. ?hd|m\.? ?sin|m\.? ?i",
          Hand.RIGHT: r"r\.? ?h|m\.? ?d|r\.? ?hand|r\. ?hd|m\.? ?des(?:tr)?|m\.? ?dr"}  # fmt: skip
_LONG = {
    Hand.LEFT: r"left hand|linke(?:r|n)? hand|links|main gauche|mano (?:sinistra|izquierda)|"
    r"m[aã]o esquerda|linkerhand|v[aä]nster hand|venstre h[aå]nd|lewa ręka|lev[aá] ruka|"
    r"bal k[eé]z|лев(?:ая|ой) рук(?:а|ой)|sinistra",
    Hand.RIGHT: r"right hand|rechte(?:r|n)? hand|rechts|main droite|mano (?:destra|dritta|derecha)|"
    r"m[aã]o direita|rechterhand|h[oö]ger hand|h[oø]j?re h[aå]nd|prawa ręka|prav[aá] ruka|"
    r"jobb k[eé]z|прав(?:ая|ой) рук(?:а|ой)|destra",
}
_PATTERNS = {
    hand: re.compile(rf"\(?(?:{_SHORT[hand]})\.?\)?(?=$|[\s,;:])(?!\.)|.*\b(?:{_LONG[hand]})\b.*")
    for hand in Hand
}


def hand_of(text: str) -> Hand | None:
    """The hand that a word or sign names; None where it names none, or both."""
    plain = " ".join(text.casefold().split())
    named = [hand for hand in Hand if _PATTERNS[hand].match(plain)]
    return named[0] if len(named) == 1 else None


@dataclass(frozen=True, slots=True)
class _Word:
    """A hand word, the voice that it is for, where it stands."""

    bar: int
    offset: Quarters
    hand: Hand
    voice: int
    staff: int


def bind_by_words(sheet: Sheet, strokes: Strokes) -> None:
    """Bind the notes that words of the score give to a hand."""
    words = [
        word
        for number, bar in enumerate(sheet.bars)
        for sign in bar.directions
        if sign.kind == "words"
        and (hand := hand_of(sign.text)) is not None
        and (word := _placed(number, bar, sign, hand)) is not None
    ]
    for word in words:
        for (bar, index), hand in _told(word, words, sheet):
            for note in strokes.by_event.get((bar, index), ()):
                note.bound, note.why = hand, "word"


def _placed(number: int, bar: Bar, sign: Direction, hand: Hand) -> _Word | None:
    """The voice at which the word stands: above the highest there, below the lowest."""
    here = [e for e in bar.events if e.staff == sign.staff and e.is_struck and not e.grace]
    start = min((e.offset for e in here if e.offset >= sign.offset), default=None)
    if start is None:
        return None
    there = [e for e in here if e.offset == start]
    high = sign.placement != "below"
    event = max(there, key=lambda e: e.tones[-1].pitch.midi if high else -e.tones[0].pitch.midi)
    return _Word(number, start, hand, event.voice, sign.staff)


def _told(
    word: _Word, words: Sequence[_Word], sheet: Sheet
) -> Iterator[tuple[tuple[int, int], Hand]]:
    """The events that the word gives to its hand, by bar and index."""
    later = [
        w for w in words if w.voice == word.voice and (w.bar, w.offset) > (word.bar, word.offset)
    ]
    stop = min(((w.bar, w.offset) for w in later), default=None)
    own = home_hand(word.staff, len(sheet.staves))
    first = sheet.bars[word.bar]
    figure = _rhythm(first, word)
    ends = _end_of_beam(first, word)
    for number in range(word.bar, len(sheet.bars)):
        bar = sheet.bars[number]
        if number > word.bar and _rhythm(bar, word) != figure:
            return
        for index, event in _line(bar, word.voice):
            if number == word.bar and event.offset < word.offset:
                continue
            if stop is not None and (number, event.offset) >= stop:
                return
            returned = event.staff != word.staff
            if (
                returned
                and home_hand(event.staff, len(sheet.staves)) is word.hand
                and own is not word.hand
            ):
                return
            if ends is not None and not _again(event, word, ends):
                continue
            if number > word.bar and event.offset < word.offset and _is_late(first, word):
                continue
            yield (number, index), word.hand


def _line(bar: Bar, voice: int) -> list[tuple[int, Event]]:
    line = [(i, e) for i, e in enumerate(bar.events) if e.voice == voice and e.tones]
    return sorted(line, key=lambda item: item[1].offset)


def _rhythm(bar: Bar, word: _Word) -> tuple[tuple[Quarters, Quarters], ...]:
    """When the voice strikes on the word's staff, and how long."""
    return tuple(
        (e.offset, e.length)
        for _, e in _line(bar, word.voice)
        if e.staff == word.staff and not e.grace
    )


def _is_late(bar: Bar, word: _Word) -> bool:
    """Whether the voice has notes before the word in its bar, which are not meant."""
    return any(e.offset < word.offset for _, e in _line(bar, word.voice))


def _end_of_beam(bar: Bar, word: _Word) -> Quarters | None:
    """Where the beam ends that the word stands in the middle of; None where it stands in none."""
    line = [e for _, e in _line(bar, word.voice) if not e.grace]
    at = next((n for n, e in enumerate(line) if e.offset == word.offset), None)
    if at is None or (line[at].beams or ("",))[0] not in ("continue", "end"):
        return None
    for event in line[at:]:
        if (event.beams or ("",))[0] == "end":
            return event.end
    return line[-1].end


def _again(event: Event, word: _Word, ends: Quarters) -> bool:
    """Whether the event lies where the word's do, in the figure or in one of its repetitions."""
    length = ends - word.offset
    return word.offset <= event.offset < ends or (
        event.length == length and (event.beams or ("",))[0] == "end"
    )
