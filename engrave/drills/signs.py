"""Which signs stand at the notes of a drill in the score, and which of them the drill prints.

Enters: a passage, the notes that a drill rewrites, its sheet. Leaves: ``Sign``s, and words for
those that are not printed. Knows no family: what is left out is seen on the paper, not told by
whoever made it.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from engrave.music.drill import Sign, SourceNote
from engrave.music.notes import Hand, Pitch, home_hand
from engrave.music.sheet import Direction, Event, Sheet
from engrave.music.signs import ORNAMENTS
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.remarks import Remark

GRACES, TREMOLOS, ROLLS, FERMATAS = "graces", "tremolos", "rolls", "fermatas"
ARTICULATION, SLURS, DYNAMICS, HAIRPINS = "articulation", "slurs", "dynamics", "hairpins"
PEDAL = "pedal"

_BEFORE, _AFTER = (GRACES,), (TREMOLOS, ROLLS, FERMATAS)
_SIGNS = (ARTICULATION, SLURS, DYNAMICS, HAIRPINS, PEDAL)
"""Kinds in the order in which they are named; ornaments, by their own names, stand between what
comes before and after."""

EVERY = frozenset({*_BEFORE, *ORNAMENTS, *_AFTER, *_SIGNS})
"""For what is no longer music: a rhythm that is tapped."""

_SPANS = {"slur": SLURS, "crescendo": HAIRPINS, "diminuendo": HAIRPINS, "pedal": PEDAL}
_LOUDNESS_IN_WORDS = re.compile(r"\b(cresc|decresc|dim)(\.|\b|endo\b|inuendo\b)", re.IGNORECASE)

Place = tuple[Hand, Quarters]
"""An onset of the passage: whose, and when, in quarters from its start."""


@dataclass(frozen=True, slots=True)
class _Found:
    """A sign at an onset; ``keys`` are those of the note it stands at, none for a rest."""

    kind: str
    place: Place
    keys: frozenset[Pitch] = frozenset()


def signs_of(
    passage: Passage, source: Sequence[SourceNote], sheet: Sheet, on_purpose: Collection[str] = ()
) -> tuple[Sign, ...]:
    """The passage's signs at the notes of ``source``, and whether ``sheet`` prints them.

    Not the kinds that a drill changes ``on_purpose``: nobody misses an accent where it lies on
    another note. A sign at a note counts where the drill plays a key of that note, an arpeggio sign
    where it plays two; a sign of the staff where it plays that staff's hand, or the passage does
    not, and is printed if one of its kind is, the hand's own dynamics if all are.
    """
    by_name = {
        (onset.measure, onset.offset, hand): (hand, onset.time)
        for hand in Hand
        for onset in reversed(passage.lines[hand])
    }
    places = [by_name[note.measure, note.offset, note.hand] for note in source]
    keys: dict[Place, frozenset[Pitch]] = defaultdict(frozenset)
    for place, note in zip(places, source, strict=True):
        keys[place] |= frozenset(note.pitches)
    struck = {
        hand: [(onset.time, ((hand, onset.time),)) for onset in passage.lines[hand]]
        for hand in Hand
    }
    found = [each for each in _found(passage.sheet, struck) if _is_played(each, keys)]
    printed = {(each.kind, each.place) for each in _found(sheet, _played(sheet, places))}
    signs = [*_at_notes(found, printed), *_of_kinds(found, printed)]
    signs += _of_staves(passage, set(keys), sheet)
    return tuple(sign for sign in signs if sign.kind not in on_purpose)


def named(signs: Iterable[Sign]) -> tuple[Remark, ...]:
    """Words for signs, a kind once: all hairpins are dynamics where the letters go too."""
    by_kind: dict[str, list[Sign]] = defaultdict(list)
    for sign in signs:
        by_kind[sign.kind].append(sign)
    if DYNAMICS in by_kind:
        by_kind.pop(HAIRPINS, None)
    return tuple(_words(kind, by_kind[kind]) for kind in sorted(by_kind, key=_rank))


def _words(kind: str, signs: Sequence[Sign]) -> Remark:
    if kind in _SIGNS:
        return Remark.of(f"left-out.{kind}")
    key = f"left-out.{kind}" if kind in (*_BEFORE, *_AFTER) else f"ornament.{kind}"
    if kind in (ROLLS, FERMATAS):  # both hands' at once are one
        return Remark.of(key, count=len({sign.time for sign in signs}))
    return Remark.of(key, count=sum(sign.count for sign in signs))


def _rank(kind: str) -> tuple[int, str]:
    if kind in _BEFORE:
        return 0, ""
    others = (*_AFTER, *_SIGNS)
    return (2 + others.index(kind), "") if kind in others else (1, kind)


def _is_played(sign: _Found, keys: Mapping[Place, frozenset[Pitch]]) -> bool:
    mine = keys.get(sign.place, frozenset())
    return bool(mine & sign.keys if sign.keys else mine) and (sign.kind != ROLLS or len(mine) > 1)


def _at_notes(found: Sequence[_Found], printed: Collection[tuple[str, Place]]) -> Iterator[Sign]:
    """The signs that are counted: each has its place."""
    single = (each for each in found if each.kind not in _SIGNS)
    by_place = sorted(single, key=lambda each: (each.place[1], each.place[0].staff, each.kind))
    for (kind, place), alike in groupby(by_place, key=lambda each: (each.kind, each.place)):
        count = len(list(alike)) if kind == GRACES else 1
        hand, time = place
        yield Sign(kind, hand, time, count, kept=(kind, place) in printed)


def _of_kinds(found: Sequence[_Found], printed: Collection[tuple[str, Place]]) -> Iterator[Sign]:
    """Articulation and slurs of each hand: printed where any of the kind are."""
    kinds = {kind for kind, _ in printed}
    for kind in (ARTICULATION, SLURS):
        for hand in Hand:
            if any(each.kind == kind and each.place[0] is hand for each in found):
                yield Sign(kind, hand, kept=kind in kinds)


def _of_staves(passage: Passage, places: Collection[Place], sheet: Sheet) -> Iterator[Sign]:
    """Dynamics and pedal, which stand between the staves and below, as long as the drill lasts."""
    hands = {hand for hand, _ in places}
    first = min(time for _, time in places)
    last = max(time for _, time in places)
    here, texts = {kind for kind, _ in _on_staves(sheet)}, Counter(_texts(sheet))
    wanted = {
        hand: Counter(_texts(passage.sheet, staff, first, last))
        for staff in passage.sheet.staves
        for hand in [home_hand(staff, len(passage.sheet.staves))]
    }
    seen = dict.fromkeys(
        (kind, home_hand(staff, len(passage.sheet.staves)))
        for (kind, staff), (start, end) in _lasting(passage.sheet)
        if start <= last and first <= end
    )
    for kind, hand in seen:
        if hand is None or hand in hands or hand not in passage.hands:
            is_own = kind == DYNAMICS and hand in hands
            kept = wanted[hand] <= texts if is_own else kind in here
            yield Sign(kind, hand, kept=kept)


def _texts(
    sheet: Sheet, staff: int = 0, first: Quarters | None = None, last: Quarters | None = None
) -> Iterator[str]:
    """The dynamics of a sheet as they are written, ``mf``; of a staff, from a time to another."""
    for start, bar in zip(sheet.starts, sheet.bars, strict=True):
        for sign in bar.directions:
            time = start + sign.offset
            is_here = staff in (0, sign.staff) and (first is None or first <= time)
            if _is_dynamic(sign) and is_here and (last is None or time <= last):
                yield sign.text


def _is_dynamic(sign: Direction) -> bool:
    is_words = sign.kind == "words" and _LOUDNESS_IN_WORDS.search(sign.text)
    return sign.kind == "dynamic" or bool(is_words)


def _on_staves(sheet: Sheet) -> Iterator[tuple[str, int]]:
    return (sign for sign, _ in _lasting(sheet))


def _lasting(sheet: Sheet) -> Iterator[tuple[tuple[str, int], tuple[Quarters, Quarters]]]:
    """Kind and staff of every sign of a staff, and from when to when it lasts."""
    for span in sheet.spans:
        kind = _SPANS.get(span.kind, SLURS)
        if kind != SLURS:
            yield (kind, span.staff), (sheet.time_of(span.start), sheet.time_of(span.end))
    for start, bar in zip(sheet.starts, sheet.bars, strict=True):
        for sign in bar.directions:
            if _is_dynamic(sign):
                at = start + sign.offset
                yield (DYNAMICS, sign.staff), (at, at)


_Struck = Mapping[Hand, Sequence[tuple[Quarters, tuple[Place, ...]]]]
"""By hand, when something is struck, and which onsets of the passage that is."""


def _played(sheet: Sheet, places: Sequence[Place]) -> _Struck:
    """What a drill strikes; ``places`` are those of its source."""
    struck: dict[Hand, list[tuple[Quarters, tuple[Place, ...]]]] = {hand: [] for hand in Hand}
    for time, _, event in sheet.timed():
        if event.source:
            here = tuple(places[index] for index in event.source)
            struck[event.hand].append((time, here))
    return {hand: sorted(line, key=lambda each: each[0]) for hand, line in struck.items()}


def _found(sheet: Sheet, struck: _Struck) -> Iterator[_Found]:
    """Every sign at a note or rest, and the onsets of the passage to which it belongs."""
    main = {(time, event.voice): event for time, _, event in sheet.timed() if not event.grace}
    slurs = {
        (sheet.time_of(s.start), s.voice, s.from_grace) for s in sheet.spans if _is_slur(s.kind)
    }
    for time, _, event in sheet.timed():
        kinds = list(_kinds(event))
        if event.tones and (time, event.voice, event.grace) in slurs:
            kinds.append(SLURS)
        if not kinds:
            continue
        bearer = main.get((time, event.voice), event) if event.grace else event
        keys = frozenset(tone.pitch for tone in bearer.tones)
        for kind in kinds:
            for place in _owners(struck[event.hand], time, event.grace):
                yield _Found(kind, place, keys)


def _is_slur(kind: str) -> bool:
    return _SPANS.get(kind) == SLURS


def _kinds(event: Event) -> Iterator[str]:
    if event.grace:
        if not event.joined:
            yield GRACES
        return
    yield from event.ornaments
    if event.tremolo and not event.tremolo.startswith("stop"):
        yield TREMOLOS
    if event.arpeggio:
        yield ROLLS
    if event.fermata:
        yield FERMATAS
    if event.articulations:
        yield ARTICULATION


def _owners(
    line: Sequence[tuple[Quarters, tuple[Place, ...]]], time: Quarters, grace: bool
) -> tuple[Place, ...]:
    """The onsets at ``time``, or those that sound on there; of a grace note those it leads to."""
    before = [each for each in line if each[0] <= time]
    after = [each for each in line if each[0] >= time]
    near = (after[:1] or before[-1:]) if grace else (before[-1:] or after[:1])
    at = near[0][0] if near else time
    return tuple(place for when, places in line if when == at for place in places)
