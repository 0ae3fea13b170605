"""The cheapest division of a stretch of strokes: a beam search, ties broken alike every time.

Enters: strokes with their pace, those that are in question, the state before. Leaves: the hands of
every note. Knows no sheet.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engrave.hands.costs import PacedStroke, Player, State, play
from engrave.hands.prices import PRICES
from engrave.hands.strokes import Note
from engrave.music.notes import Hand

BEAM = 6
"""Divisions that are followed at a time."""
SPARE = PRICES.impossible + 60
"""Divisions so much dearer than the cheapest are followed no further; what no hand can do may still
lie before the cheaper one, on its way back."""

Hands = tuple[Hand, ...]
"""The hands of a stroke's notes."""


class _Path(NamedTuple):
    cost: float
    order: int
    state: State
    hands: Hands
    before: "_Path | None"


def cheapest(
    steps: Sequence[PacedStroke], open_: Sequence[bool], state: State, who: Player
) -> list[Hands]:
    """The hands of every stroke's notes, on the cheapest way through all of them."""
    paths = [_Path(0.0, 0, state, (), None)]
    for step, is_open in zip(steps, open_, strict=True):
        best: dict[State, _Path] = {}
        order = 0
        for path in paths:
            for hands in _choices(step.stroke.notes, path.state, is_open):
                cost, after = play(path.state, step, hands, who)
                longer = _Path(round(path.cost + cost, 6), order, after, hands, path)
                order += 1
                known = best.get(after)
                if known is None or longer.cost < known.cost:
                    best[after] = longer
        paths = sorted(best.values(), key=lambda path: (path.cost, path.order))[:BEAM]
        limit = paths[0].cost + SPARE
        paths = [path for path in paths if path.cost <= limit]
    return _walked(paths[0])


def _walked(path: _Path) -> list[Hands]:
    walked = []
    here: _Path | None = path
    while here is not None and here.before is not None:
        walked.append(here.hands)
        here = here.before
    return walked[::-1]


def expected(note: Note) -> Hand:
    """The hand that the note is for, as long as nothing speaks against it."""
    return note.bound or note.home or (Hand.RIGHT if note.key >= 60 else Hand.LEFT)


def _choices(notes: Sequence[Note], state: State, is_open: bool) -> Iterator[Hands]:
    """Divisions worth weighing, the expected one first: by pitch, by line, note by note."""
    plain = tuple(expected(note) for note in notes)
    yield plain
    seen = {plain}
    for hands in _others(notes, plain, state, is_open):
        bound = tuple(n.bound or h for n, h in zip(notes, hands, strict=True))
        if bound not in seen:
            seen.add(bound)
            yield bound


def _others(notes: Sequence[Note], plain: Hands, state: State, is_open: bool) -> Iterator[Hands]:
    away = {line: hand for line, hand, _ in state.lines}
    if away:
        yield tuple(away.get(n.line, h) for n, h in zip(notes, plain, strict=True))
    if not is_open:
        return
    count = len(notes)
    for low in range(count + 1):
        yield (Hand.LEFT,) * low + (Hand.RIGHT,) * (count - low)
    if count > 1:
        for place in range(count):
            yield (*plain[:place], plain[place].other, *plain[place + 1 :])
