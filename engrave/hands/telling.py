"""What a teacher is told of the hands: notes that go to another hand than their staff's, and why.

Enters: a sheet, its strokes, the hands that were found. Leaves: ``Handover`` and ``Beyond``, and
``Remark``s of them; the words stand in the word lists, table ``hands``.
"""

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass

from engrave.fingering.holding import holds, let_go
from engrave.hands.costs import Player
from engrave.hands.orders import staff_names
from engrave.hands.search import Hands
from engrave.hands.strokes import Note, Stroke, Strokes
from engrave.music.notes import Hand, home_hand
from engrave.music.sheet import Moment, Sheet
from engrave.remarks import Remark
from engrave.score import measure_and_beat, place_name


@dataclass(frozen=True, slots=True)
class Handover:
    """Notes of one staff that the hand of another one plays, all for the same reason.

    ``places`` are ranges of measures and beats as a marks file names them; ``moments`` has one for
    each note, ``count`` notes in all. ``why``: ``marks``, ``word``, ``beam``, ``blank``,
    ``figure``, ``reach``, ``held``, ``leap`` or ``line``.
    """

    hand: Hand
    staff: str
    why: str
    moments: tuple[Moment, ...]
    places: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many notes."""
        return len(self.moments)


@dataclass(frozen=True, slots=True)
class Beyond:
    """Keys struck together that no division of ten fingers reaches; ``place`` as in the marks."""

    place: str
    bar: int


def remarks(handovers: Iterable[Handover], beyond: Sequence[Beyond]) -> Iterator[Remark]:
    """The sentences: one for notes of one kind, one for all that is beyond reach."""
    for each in handovers:
        yield Remark.of(
            "hands.taken",
            hand=each.hand,
            staff=each.staff,
            count=each.count,
            places=each.places,
            why=Remark.of(f"hands.why.{each.why}", other=each.hand.other),
        )
    if beyond:
        places = tuple(dict.fromkeys(each.place for each in beyond))
        yield Remark.of("hands.beyond", places=places, count=len(places))


def told(
    sheet: Sheet, strokes: Strokes, hands: Sequence[Hands], who: Player
) -> tuple[tuple[Handover, ...], tuple[Beyond, ...]]:
    """What is to be told of a division."""
    names = staff_names(strokes.staves)
    kinds: dict[tuple[Hand, int, str], list[Note]] = {}
    beyond: list[Beyond] = []
    sounding: list[tuple[Note, Hand]] = []
    for stroke, chosen in zip(strokes.all, hands, strict=True):
        sounding = [pair for pair in sounding if pair[0].end > stroke.time]
        for note, hand in zip(stroke.notes, chosen, strict=True):
            home = home_hand(note.staff, strokes.staves)
            if home is not None and hand is not home:
                why = _why(note, home, stroke, chosen, sounding, who)
                kinds.setdefault((hand, note.staff, why), []).append(note)
        if _is_beyond(stroke, chosen, who):
            place = place_name(sheet, _moment(stroke.notes[0], sheet))
            beyond.append(Beyond(place, stroke.bar))
        sounding += zip(stroke.notes, chosen, strict=True)
    handovers = tuple(
        _handover(hand, names[staff - 1], why, [_moment(note, sheet) for note in notes], sheet)
        for (hand, staff, why), notes in kinds.items()
    )
    return handovers, tuple(beyond)


def in_bars(
    handovers: Iterable[Handover], bars: Container[int], sheet: Sheet
) -> tuple[Handover, ...]:
    """Those of the notes that stand in some of the bars."""
    inside = (
        (each, [moment for moment in each.moments if moment.bar in bars]) for each in handovers
    )
    return tuple(
        _handover(each.hand, each.staff, each.why, here, sheet) for each, here in inside if here
    )


def _handover(
    hand: Hand, staff: str, why: str, moments: Sequence[Moment], sheet: Sheet
) -> Handover:
    return Handover(hand, staff, why, tuple(moments), tuple(_ranges(moments, sheet)))


def _why(
    note: Note,
    home: Hand,
    stroke: Stroke,
    chosen: Hands,
    sounding: Sequence[tuple[Note, Hand]],
    who: Player,
) -> str:
    """What would be wrong, were the note left to the hand of its staff."""
    if note.bound is not None:
        return note.why
    if note.figure:
        return "figure"
    if note.beamed or note.blank:
        return "beam" if note.beamed else "blank"
    own = [n.key for n, h in zip(stroke.notes, chosen, strict=True) if h is home or n is note]
    same = [n.key for n in stroke.notes if n.staff == note.staff]
    for keys in (own, same):
        if not holds(tuple(sorted({*keys})), home, who.mm(home)):
            return "reach"
    held = tuple({n.key for n, h in sounding if h is home})
    if let_go(tuple(sorted({*own})), held, home, who.mm(home)):
        return "held"
    return "line"


def _is_beyond(stroke: Stroke, chosen: Hands, who: Player) -> bool:
    if len(chosen) < 2:
        return False
    for hand in (Hand.RIGHT, Hand.LEFT):
        mine = [n for n, h in zip(stroke.notes, chosen, strict=True) if h is hand]
        keys = tuple(dict.fromkeys([n.key for n in mine]))  # a stroke's notes go upward
        if not holds(keys, hand, who.mm(hand)) and not any(n.rolled for n in mine):
            return True
    return False


def _ranges(moments: Iterable[Moment], sheet: Sheet) -> Iterator[str]:
    """Places in a row as one range: those that are no more than a measure apart."""
    first = last = None
    for moment in dict.fromkeys(moments):
        if last is not None and first is not None and moment.bar > last.bar + 1:
            yield _range(first, last, sheet)
            first = None
        first, last = first or moment, moment
    if first is not None and last is not None:
        yield _range(first, last, sheet)


def _range(first: Moment, last: Moment, sheet: Sheet) -> str:
    """``12.3``, ``12.3–4``, ``12.3–13.1``."""
    (measure, beat), end = (measure_and_beat(sheet, moment) for moment in (first, last))
    if end == (measure, beat):
        return f"{measure}.{beat}"
    return f"{measure}.{beat}–{end[1] if end[0] == measure else f'{end[0]}.{end[1]}'}"


def _moment(note: Note, sheet: Sheet) -> Moment:
    """Where the note is struck."""
    bar, index, _ = note.parts[0]
    return Moment(bar, sheet.bars[bar].events[index].offset)
