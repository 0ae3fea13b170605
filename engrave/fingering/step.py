"""What a right hand does at one onset; of a left hand the mirror image.

Enters: nothing. Leaves: ``Step``, and a key as it stands there. Knows no costs.
"""

from dataclasses import dataclass

from engrave.errors import EngraveError
from engrave.fingering.keyboard import Key, midi_of, mirrored
from engrave.music.notes import Hand


class FingeringError(EngraveError):
    """Fixed fingers that no hand can take; ``onset`` is the index into the onsets given."""

    def __init__(self, message: str, onset: int, hint: str = "") -> None:
        super().__init__(message, hint=hint)
        self.onset = onset


@dataclass(frozen=True, slots=True)
class Step:
    """What a right hand does at one onset.

    ``struck`` and ``held`` are keys (MIDI), low to high; ``fixed`` the finger that each struck key
    must have, ``changes`` the one that then takes it over silently; ``seconds`` have passed since
    the onset before, the last ``silence`` of them with no key down. ``joined``: no rest and no
    staccato lies before it; ``quick``: at the pace of eighths or faster. ``due``: where one key is
    struck three times and more, the finger whose turn it is, or 0 where one takes it throughout.
    ``trill``: it is a stroke of one. ``outer``: a chord further in follows, within the hand.
    ``row``: it is the third of three keys that rise or fall by step. ``main``: the main
    note of a turn, come back to; ``rounded``: the last note of a turn. ``pair``: one of two strokes
    of a key, in a row of such pairs, 1 for the row's first key, 2 for those that follow.
    """

    struck: tuple[int, ...]
    held: tuple[int, ...]
    fixed: tuple[int | None, ...]
    seconds: float
    silence: float
    joined: bool
    quick: bool
    changes: tuple[int | None, ...] = ()
    due: int | None = None
    trill: bool = False
    outer: bool = False
    row: bool = False
    main: bool = False
    rounded: bool = False
    pair: int = 0


def step_key(pitch: Key, hand: Hand) -> int:
    """The key as a right hand's: mirrored for the left."""
    return midi_of(pitch) if hand is Hand.RIGHT else mirrored(pitch)
