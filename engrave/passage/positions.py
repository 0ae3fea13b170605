"""Where the hand is: its positions in a passage, and the shifts between them.

Enters: fingered onsets of one hand and the hand's stretch. Leaves: ``Position``s. Knows nothing of
how the fingers were chosen, nor of drills.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from engrave.fingering.hand import obstacles
from engrave.fingering.keyboard import WHITE_MM, centre_mm
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset


@dataclass(frozen=True, slots=True)
class Position:
    """Consecutive onsets that the hand can hold at once, each key on a finger of its own.

    ``first`` and ``last`` are indices into the onsets given, both inclusive; ``keys`` and
    ``fingers`` what the hand holds, low to high, each key once. ``shift_mm`` and
    ``shift_white_keys`` say how far the hand has come from the position before, up positive, by
    the place of the thumb. ``why`` says of a single onset that the hand cannot take at once why
    it cannot: the chord is to be rolled or split.
    """

    first: int
    last: int
    keys: tuple[Pitch, ...]
    fingers: tuple[int, ...]
    shift_mm: float = 0.0
    shift_white_keys: int = 0
    why: tuple[str, ...] = ()

    @property
    def held(self) -> bool:
        """Whether the hand can hold all of it at once."""
        return not self.why

    @property
    def onsets(self) -> range:
        """Indices of the onsets that the position holds."""
        return range(self.first, self.last + 1)


Hold = dict[Pitch, int]
"""The keys that a hand holds, each with its finger."""


Agree = Callable[[Collection[Pitch]], bool]
"""Whether keys that the hand can hold may stand in one position; then any part of them may."""


def positions(
    onsets: Sequence[Onset], hand: Hand, stretch_mm: float, agree: Agree = lambda keys: True
) -> tuple[Position, ...]:
    """The fewest hand positions that the fingering allows, in order, every onset in one.

    A new one begins where the thumb passes, a finger is needed on a second key or a key gets
    another finger, the stretch is too wide, two alterations of one letter would stand in one
    chord, or the keys do not ``agree``; not where keys are struck again on the spot, even with
    other fingers. Where it may begin at one onset or another, it begins at the stronger place of
    the measure. Every tone must have its finger (``ValueError``).
    """
    return positions_at(onsets, _starts(onsets, hand, stretch_mm, agree), hand, stretch_mm)


def positions_at(
    onsets: Sequence[Onset], starts: Sequence[int], hand: Hand, stretch_mm: float
) -> tuple[Position, ...]:
    """The positions that begin at ``starts``, indices into the onsets, each up to the next."""
    ends = [*starts[1:], len(onsets)]
    placed = []
    for first, end in zip(starts, ends, strict=False):
        hold = dict[Pitch, int]()
        for onset in onsets[first:end]:
            hold = _hold_of(onset) | hold
        placed.append(_position(first, end - 1, hold, hand, stretch_mm))
    shifts = (_shifted(a, b, hand) for a, b in pairwise(placed))
    return (*placed[:1], *shifts)


def _starts(onsets: Sequence[Onset], hand: Hand, stretch_mm: float, agree: Agree) -> list[int]:
    """Where the fewest positions begin.

    Whatever a hand can hold it can hold a part of. So positions taken from the back, each as far as
    it goes, are the fewest and begin at the earliest; and each may begin as late as the one before
    goes.
    """
    moves = [
        number
        for number, onset in enumerate(onsets)
        if number == 0 or onset.pitches != onsets[number - 1].pitches
    ]
    held = [_hold_of(onsets[number]) for number in moves]

    def taken(first: Hold, *others: Hold) -> int:
        """How many holds, from the first, make one position."""
        hold = first
        for count, own in enumerate(others, 1):
            both = _joined(hold, own)
            if both is None or not _holds(both, hand, stretch_mm) or not agree(both):
                return count
            hold = both
        return 1 + len(others)

    edges = [len(held)]
    while edges[-1]:
        edges.append(edges[-1] - taken(*reversed(held[: edges[-1]])))
    starts = [0] if held else []
    for earliest in reversed(edges[1:-1]):
        latest = starts[-1] + taken(*held[starts[-1] :])
        places = range(earliest, latest + 1)
        starts.append(max(places, key=lambda place: (_strength(onsets[moves[place]]), place)))
    return [moves[start] for start in starts]


def _strength(onset: Onset) -> tuple[bool, int]:
    """How strong a place the onset has in its measure: the first, then quarters, then eighths."""
    return onset.metric == 0, -onset.metric.denominator


def _hold_of(onset: Onset) -> Hold:
    return dict(zip(onset.pitches, onset.finger_numbers, strict=True))


def _joined(hold: Hold, own: Hold) -> Hold | None:
    """Both together, None where a key would change its finger, or a finger its keys.

    A thumb may hold two keys; where it strikes one of them alone it has left the other.
    """
    both = {*hold.values()} & {*own.values()}
    moved = any(_keys_under(finger, hold) != _keys_under(finger, own) for finger in both)
    changed = any(hold.get(pitch, finger) != finger for pitch, finger in own.items())
    return None if moved or changed else hold | own


def _keys_under(finger: int, hold: Hold) -> set[Pitch]:
    return {pitch for pitch, own in hold.items() if own == finger}


def _holds(hold: Hold, hand: Hand, stretch_mm: float) -> bool:
    letters = {(pitch.step, pitch.octave) for pitch in hold}
    return len(letters) == len(hold) and not _obstacles(hold, hand, stretch_mm)


def _obstacles(hold: Hold, hand: Hand, stretch_mm: float) -> tuple[str, ...]:
    return obstacles(tuple(hold), tuple(hold.values()), hand, stretch_mm)


def _position(first: int, last: int, hold: Hold, hand: Hand, stretch_mm: float) -> Position:
    keys = tuple(sorted(hold, key=lambda pitch: (pitch.midi, pitch.diatonic)))
    why = _obstacles(hold, hand, stretch_mm)
    fingers = tuple(hold[key] for key in keys)
    return Position(first, last, keys, fingers, why=why)


def _shifted(before: Position, after: Position, hand: Hand) -> Position:
    (start_mm, start), (end_mm, end) = _thumb_place(before, hand), _thumb_place(after, hand)
    return replace(after, shift_mm=round(end_mm - start_mm, 6), shift_white_keys=end - start)


def _thumb_place(position: Position, hand: Hand) -> tuple[float, int]:
    """Where the thumb is, in mm and letters: its key, or counted back from the lowest finger's.

    A finger at rest lies over the next white key.
    """
    finger, pitch = min(zip(position.fingers, position.keys, strict=True), key=lambda pair: pair[0])
    back = (finger - 1) * (-1 if hand is Hand.RIGHT else 1)
    return centre_mm(pitch) + back * WHITE_MM, pitch.diatonic + back
