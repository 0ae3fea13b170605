"""What one stroke costs, divided in a certain way, after what the hands did before.

Enters: a ``State``, a stroke, who plays its notes. Leaves: points, and the state after it. Knows no
other strokes; all prices stand in ``prices``.
"""

from collections.abc import Sequence
from typing import NamedTuple

from engrave.fingering.holding import MM, excess_mm, holds, let_go
from engrave.hands.prices import PRICES
from engrave.hands.strokes import TICKS, Note, Stroke
from engrave.music.notes import Hand

Keys = tuple[int, ...]

_NEAR = 2 * TICKS
"""Of rest, after which a line is still the one that it was."""


class HandState(NamedTuple):
    """One hand: the keys that it should hold and until when; the keys it struck last, and when."""

    held: tuple[tuple[int, int], ...] = ()
    last: Keys = ()
    time: int = 0


class State(NamedTuple):
    """Both hands, and the lines that are not with the hand of their staff, or that have none.

    ``lines``: the voice, the hand that it is with, when its last note ends.
    """

    right: HandState = HandState()
    left: HandState = HandState()
    lines: tuple[tuple[int, Hand, int], ...] = ()


class Player(NamedTuple):
    """Who plays: how far each hand reaches."""

    right_mm: float
    left_mm: float

    def mm(self, hand: Hand) -> float:
        """Thumb to little finger."""
        return self.right_mm if hand is Hand.RIGHT else self.left_mm


class PacedStroke(NamedTuple):
    """A stroke at the pace it has: ``seconds`` a tick."""

    stroke: Stroke
    seconds: float


def play(
    state: State, step: PacedStroke, hands: Sequence[Hand], who: Player
) -> tuple[float, State]:
    """The points of the stroke with its notes in these hands, and the state that it leads to."""
    stroke, time = step.stroke, step.stroke.time
    cost, lines = line_cost(state, stroke.notes, hands)
    mine: dict[Hand, list[Note]] = {Hand.RIGHT: [], Hand.LEFT: []}
    for note, hand in zip(stroke.notes, hands, strict=True):
        mine[hand].append(note)
    struck = {hand: tuple(dict.fromkeys([n.key for n in notes])) for hand, notes in mine.items()}
    held = {
        Hand.RIGHT: tuple([pair for pair in state.right.held if pair[1] > time]),
        Hand.LEFT: tuple([pair for pair in state.left.held if pair[1] > time]),
    }
    bass = _bass(struck, held[Hand.LEFT])
    sides = []
    for hand, side in ((Hand.RIGHT, state.right), (Hand.LEFT, state.left)):
        keys, notes = struck[hand], mine[hand]
        if not keys:
            sides.append(HandState(held[hand], side.last, side.time))
            continue
        cost += grip_cost(keys, hand, who, any(n.rolled for n in notes))
        seconds = (time - side.time) * step.seconds
        cost += leap_cost(side.last, keys, seconds, who.mm(hand), _is_away(state, hand, notes))
        if held[hand]:
            other = (*struck[hand.other], *(key for key, _ in held[hand.other]))
            doubling = any(n.doubling for n in notes)
            cost += held_cost(keys, held[hand], hand, who, bass, other, doubling)
        kept = [pair for pair in held[hand] if pair[0] not in keys]
        sides.append(HandState((*kept, *[(n.key, n.end) for n in notes]), keys, time))
    cost += crossing_cost(struck, held) + again_cost(state, struck)
    return cost, State(sides[0], sides[1], lines)


def _bass(struck: dict[Hand, Keys], held: tuple[tuple[int, int], ...]) -> Keys:
    """The lowest of all keys down, if the left hand holds it, and what ends with it."""
    low = min(held, default=None)
    if low is None or any(keys and keys[0] < low[0] for keys in struck.values()):
        return ()
    return tuple(key for key, end in held if end == low[1])


def line_cost(
    state: State, notes: Sequence[Note], hands: Sequence[Hand]
) -> tuple[float, tuple[tuple[int, Hand, int], ...]]:
    """What it costs that notes leave their hands, and lines are broken; the lines then away."""
    away = {line: (hand, end) for line, hand, end in state.lines}
    now: dict[int, tuple[Hand, int]] = dict(away)
    cost, departed = 0.0, False
    for note, hand in zip(notes, hands, strict=True):
        was = away.get(note.line)
        broken = was is not None and was[1] >= note.start and was[0] is not hand
        if note.home is None:
            cost += _farther(note, hand, state)
            if broken:
                cost += PRICES.line_broken
            now[note.line] = hand, note.end
        elif note.bound is not None:
            if hand is not note.home:
                now[note.line] = hand, note.end
        elif hand is note.home:
            if broken and now.get(note.line) == was:
                cost += PRICES.line_broken
                del now[note.line]
            if note.beamed:
                cost += PRICES.beam_away
        else:
            cost += _leaving(note, hand, was, departed)
            departed = True
            now[note.line] = hand, note.end
    if len(notes) > 1:
        cost += PRICES.chord_divided * _divided(notes, hands)
    start = notes[0].start
    return cost, tuple(
        sorted((line, hand, end) for line, (hand, end) in now.items() if end + _NEAR >= start)
    )


def _divided(notes: Sequence[Note], hands: Sequence[Hand]) -> int:
    """How many chords the hands share."""
    whole = {(note.event, hand) for note, hand in zip(notes, hands, strict=True)}
    return len(whole) - len({note.event for note in notes})


def _leaving(note: Note, hand: Hand, was: tuple[Hand, int] | None, departed: bool) -> float:
    """For a note away from its staff's hand: less where its line, or its chord, is away already."""
    if was is not None and was[0] is hand and was[1] + _NEAR >= note.start:
        return PRICES.away
    if departed:
        return PRICES.with_chord
    if note.beamed:
        return PRICES.beam
    if note.blank:
        return PRICES.blank
    return PRICES.doubling if note.doubling else PRICES.staff


def _farther(note: Note, hand: Hand, state: State) -> float:
    """For a note that no staff claims: how much farther it is from this hand than the other."""
    places = {
        side: sum(MM[key] for key in at.last) / len(at.last) if at.last else MM[rest]
        for side, at, rest in ((Hand.RIGHT, state.right, 72), (Hand.LEFT, state.left, 48))
    }
    own, other = (abs(MM[note.key] - places[side]) for side in (hand, hand.other))
    return max(own - other, 0.0) * PRICES.farther


def grip_cost(keys: Keys, hand: Hand, who: Player, rolled: bool) -> float:
    """What it costs to strike these keys at once."""
    if holds(keys, hand, who.mm(hand)):
        return 0.0
    if rolled and len(keys) <= 5:
        return PRICES.rolled
    return PRICES.impossible + excess_mm(keys, who.mm(hand))


def _is_away(state: State, hand: Hand, notes: Sequence[Note]) -> bool:
    """Whether a hand goes to notes of the other's staff, or comes from them."""
    return any(here is hand for _, here, _ in state.lines) or any(
        note.home is hand.other and note.bound is None for note in notes
    )


def leap_cost(
    last: Keys, keys: Keys, seconds: float, stretch_mm: float, is_away: bool = False
) -> float:
    """What it costs to come there from the keys struck last; ``is_away``: of the other staff."""
    if not last or seconds <= 0:
        return 0.0
    low, high = min(last[0], keys[0]), max(last[-1], keys[-1])
    beyond = excess_mm((low, high), stretch_mm)
    if not beyond:
        return 0.0
    speed = beyond / 1000 / seconds
    if is_away and speed > PRICES.no_time:
        return PRICES.impossible
    return min(PRICES.leap_at_most, PRICES.leap * max(speed - PRICES.easy_leap, 0.0))


def held_cost(
    keys: Keys,
    held: tuple[tuple[int, int], ...],
    hand: Hand,
    who: Player,
    bass: Keys,
    other: Keys,
    doubling: bool,
) -> float:
    """What it costs to let go of held keys that are out of reach of those struck now."""
    gone = let_go(keys, tuple(key for key, _ in held), hand, who.mm(hand))
    if not gone:
        return 0.0
    cost = sum(PRICES.pedal_bass if key in bass else PRICES.let_go for key in gone)
    if any(key not in bass for key in gone) or doubling:
        both = tuple(sorted({*keys, *other}))
        if holds(both, hand.other, who.mm(hand.other)):
            cost += PRICES.needlessly
    return cost


def crossing_cost(struck: dict[Hand, Keys], held: dict[Hand, tuple[tuple[int, int], ...]]) -> float:
    """What it costs that one hand strikes beyond the other."""
    right, left = struck[Hand.RIGHT], struck[Hand.LEFT]
    low = min((*right[:1], *(key for key, _ in held[Hand.RIGHT])), default=128)
    high = max((*left[-1:], *(key for key, _ in held[Hand.LEFT])), default=-1)
    beyond = (left and left[-1] > low) or (right and right[0] < high)
    return PRICES.crossed if beyond else 0.0


def again_cost(state: State, struck: dict[Hand, Keys]) -> float:
    """What it costs that the keys of the stroke before are struck again, divided otherwise."""
    right, left = struck[Hand.RIGHT], struck[Hand.LEFT]
    if len(right) + len(left) < 2:
        return 0.0
    time = max(state.right.time, state.left.time)
    was_right = state.right.last if state.right.time == time else ()
    was_left = state.left.last if state.left.time == time else ()
    if (right, left) == (was_right, was_left) or {*right, *left} != {*was_right, *was_left}:
        return 0.0
    return PRICES.divided_otherwise
