"""Where the hands are in question: strokes that the staves alone do not settle.

Enters: strokes that know which hand they are expected in. Leaves: which are open, and the stretches
around them. This is the quick way past all that needs no thought.
"""

from collections.abc import Iterator, Sequence

from engrave.fingering.holding import holds, let_go
from engrave.hands.costs import HandState, Player, State, leap_cost
from engrave.hands.prices import PRICES
from engrave.hands.search import expected
from engrave.hands.strokes import Note, Stroke
from engrave.music.notes import Hand

BEFORE, AFTER = 3, 6
"""Strokes around an open one that are weighed with it."""
_RUN_UP = 24
"""Strokes before a stretch from which what the hands hold there is worked out."""


class _Side:
    """A hand on its way through the score: the notes it should hold, the keys it struck last."""

    __slots__ = ("held", "last", "time")

    def __init__(self) -> None:
        self.held: list[Note] = []
        self.last: tuple[int, ...] = ()
        self.time = 0


class _Walk:
    """The way of both hands through the strokes, as long as nothing speaks against the staves."""

    def __init__(self, who: Player) -> None:
        self.who = who
        self.sides = {Hand.RIGHT: _Side(), Hand.LEFT: _Side()}
        self.begun: dict[int, int] = {}

    def take(self, number: int, stroke: Stroke, seconds: float) -> Iterator[int]:
        """Strike; yields the numbers of the strokes that this puts in question."""
        self.begun[stroke.time] = number
        right: list[Note] = []
        left: list[Note] = []
        for note in stroke.notes:
            (right if expected(note) is Hand.RIGHT else left).append(note)
            if note.home is None and note.bound is None:
                yield number
        if right:
            yield from self._strike(Hand.RIGHT, right, number, seconds)
        if left:
            yield from self._strike(Hand.LEFT, left, number, seconds)

    def _strike(self, hand: Hand, notes: list[Note], number: int, seconds: float) -> Iterator[int]:
        side, time, stretch = self.sides[hand], notes[0].start, self.who.mm(hand)
        keys = tuple(dict.fromkeys([note.key for note in notes]))
        held = [note for note in side.held if note.end > time and note.key not in keys]
        if not holds(keys, hand, stretch):
            yield number
        gone = let_go(keys, tuple([note.key for note in held]), hand, stretch) if held else ()
        if gone:
            low = min((*held, *notes), key=lambda note: note.key)
            pedalled = hand is Hand.LEFT and not any(note.doubling for note in notes)
            for note in held:
                if note.key in gone and not (pedalled and note.end == low.end):
                    yield from (number, self.begun[note.start])
        if side.last:
            waited = (time - side.time) * seconds
            if leap_cost(side.last, keys, waited, stretch) >= PRICES.leap_at_most:
                yield number
        side.held, side.last, side.time = held + notes, keys, time

    def state(self) -> State:
        """What the hands hold now."""
        right, left = (
            HandState(tuple((n.key, n.end) for n in side.held), side.last, side.time)
            for side in (self.sides[Hand.RIGHT], self.sides[Hand.LEFT])
        )
        return State(right, left)


def questions(strokes: Sequence[Stroke], seconds: Sequence[float], who: Player) -> list[bool]:
    """Which strokes are open."""
    walk, open_ = _Walk(who), [False] * len(strokes)
    for number, stroke in enumerate(strokes):
        for doubtful in walk.take(number, stroke, seconds[number]):
            open_[doubtful] = True
    return open_


def state_before(
    strokes: Sequence[Stroke], seconds: Sequence[float], number: int, who: Player
) -> State:
    """What the hands hold before a stroke, as the staves have it."""
    walk = _Walk(who)
    for each in range(max(number - _RUN_UP, 0), number):
        list(walk.take(each, strokes[each], seconds[each]))
    return walk.state()


def stretches(open_: Sequence[bool]) -> Iterator[range]:
    """The stretches of strokes around those that are open."""
    start = end = None
    for number, is_open in enumerate(open_):
        if not is_open:
            continue
        if end is not None and start is not None and number - BEFORE > end:
            yield range(start, end)
            start = None
        start = max(number - BEFORE, 0) if start is None else start
        end = min(number + 1 + AFTER, len(open_))
    if start is not None and end is not None:
        yield range(start, end)
