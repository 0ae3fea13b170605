"""A score divided between two hands, note by note, the whole of it at once.

Enters: a score, what the teacher says of its hands, how far they reach. Leaves: a ``Division``.
The witnesses in their order: the teacher, the words of the score, then, weighed together, staves,
beams across them, and what hands can do (``prices``).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from engrave.errors import Source
from engrave.hands.again import as_before
from engrave.hands.applying import applied
from engrave.hands.blank import expect_from_blank
from engrave.hands.costs import PacedStroke, Player
from engrave.hands.crossing import expect_across
from engrave.hands.doubling import mark_doublings
from engrave.hands.hand_words import bind_by_words
from engrave.hands.neighbour import expect_from_neighbour
from engrave.hands.orders import bind_by_marks
from engrave.hands.questions import questions, state_before, stretches
from engrave.hands.search import Hands, cheapest, expected
from engrave.hands.strokes import TICKS, Strokes, ToneIndex, strokes_of
from engrave.hands.telling import Beyond, Handover, remarks, told
from engrave.marks.model import HandMark
from engrave.messages import notice
from engrave.music.notes import STRETCH_MM, Hand
from engrave.score import Score, tempos_in_force

USUAL_PER_MINUTE = 100
"""Quarters, where the score prints no mark: only the speed of leaps depends on it."""


@dataclass(frozen=True, slots=True)
class Division:
    """A score with every note in the hand that plays it, and what is to be told of that.

    ``handovers`` are the notes that go to another hand than their staff's, ``beyond`` the places
    where no division of ten fingers reaches; the score's notices tell of these.
    """

    score: Score
    handovers: tuple[Handover, ...] = ()
    beyond: tuple[Beyond, ...] = ()


def divide(
    score: Score,
    marks: Sequence[HandMark] = (),
    stretch_mm: Mapping[Hand, float] | None = None,
) -> Division:
    """``score`` divided between the hands; raises ``Mistakes`` where the marks do not fit it."""
    reach = {hand: (stretch_mm or {}).get(hand, STRETCH_MM) for hand in Hand}
    who = Player(reach[Hand.RIGHT], reach[Hand.LEFT])
    strokes = strokes_of(score.sheet)
    across = expect_across(score.sheet, strokes)
    expect_from_blank(score.sheet, strokes, across)
    mark_doublings(strokes)
    expect_from_neighbour(strokes)
    bind_by_words(score.sheet, strokes)
    bind_by_marks(marks, score, strokes)
    hands = _hands(strokes, _seconds(score, strokes), who)
    parts: dict[ToneIndex, Hand] = {
        part: hand
        for stroke, chosen in zip(strokes.all, hands, strict=True)
        for note, hand in zip(stroke.notes, chosen, strict=True)
        for part in note.parts
        if score.sheet.bars[part[0]].events[part[1]].hand is not hand
    }
    handovers, beyond = told(score.sheet, strokes, hands, who)
    sheet = applied(score.sheet, parts) if parts else score.sheet
    notices = (notice(remark, Source(score.file)) for remark in remarks((), beyond))
    divided = replace(score, sheet=sheet, notices=(*score.notices, *notices))
    return Division(divided, handovers, beyond)


def _hands(strokes: Strokes, seconds: Sequence[float], who: Player) -> list[Hands]:
    """The hands of every stroke's notes: as expected, but where that is in question."""
    open_ = questions(strokes.all, seconds, who)
    found = {
        number: chosen
        for stretch in stretches(open_)
        for number, chosen in zip(
            stretch,
            cheapest(
                [PacedStroke(strokes.all[number], seconds[number]) for number in stretch],
                [open_[number] for number in stretch],
                state_before(strokes.all, seconds, stretch.start, who),
                who,
            ),
            strict=True,
        )
    }
    plain = [tuple([expected(note) for note in stroke.notes]) for stroke in strokes.all]
    hands = [found.get(number) or each for number, each in enumerate(plain)]
    if hands == plain:
        return hands
    changed = [one != other for one, other in zip(hands, plain, strict=True)]
    return as_before(strokes, hands, changed)


def _seconds(score: Score, strokes: Strokes) -> list[float]:
    """How long a tick lasts at each stroke."""
    marks = [
        (mark.moment.bar, float(mark.moment.offset), float(mark.beat * mark.per_minute))
        for mark in tempos_in_force(score)
    ]
    per_minute, following = float(USUAL_PER_MINUTE), iter([*marks, (len(strokes.starts), 0.0, 0.0)])
    seconds = []
    after = next(following)
    for stroke in strokes.all:
        while after[0] < stroke.bar or (
            after[0] == stroke.bar and strokes.starts[stroke.bar] + after[1] * TICKS <= stroke.time
        ):
            per_minute, after = after[2] or per_minute, next(following)
        seconds.append(60 / per_minute / TICKS)
    return seconds
