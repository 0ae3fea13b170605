"""A hand's onsets as the survey weighs them: fingered, in seconds, with what is held meanwhile.

Enters: a sheet, a hand, its stretch, a clock. Leaves: a ``HandLine``. Knows no loads.

The fingers are those of a middle hand at a middle tempo, whatever the student's and the goal: so
two surveys of one piece compare hands and tempos, not two fingerings, and a smaller hand or a
faster tempo can only make a place harder.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from engrave.fingering.holding import let_go
from engrave.music.notes import STRETCH_MM, Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import KeySignature, Sheet
from engrave.passage.onsets import onsets
from engrave.passage.positions import Position, positions
from engrave.survey.cells import Clock, cell_at
from engrave.survey.model import Cell


@dataclass(frozen=True, slots=True)
class HandLine:
    """One hand's onsets from the start of the score, parallel to them all else.

    ``seconds`` at which each is struck, ``keys`` the signatures in force, ``held`` the tones still
    down when it is struck; ``places`` are the hand's positions.
    """

    hand: Hand
    stretch_mm: float
    onsets: tuple[Onset, ...]
    seconds: tuple[float, ...]
    keys: tuple[KeySignature, ...]
    held: tuple[tuple[tuple[Pitch, int], ...], ...]
    places: tuple[Position, ...]

    def gap(self, index: int) -> float:
        """Seconds from the onset before to this one."""
        return self.seconds[index] - self.seconds[index - 1]

    def by_cell(self, cells: Sequence[Cell]) -> list[list[Onset]]:
        """What is struck in each cell, in order."""
        starts = [cell.start for cell in cells]
        struck: list[list[Onset]] = [[] for _ in cells]
        for onset in self.onsets:
            struck[cell_at(starts, onset.time)].append(onset)
        return struck


def line_of(sheet: Sheet, hand: Hand, stretch_mm: float, clock: Clock) -> HandLine:
    """The line of ``hand``, every tone with a finger."""
    from engrave.survey.fingers import fingered  # a survey that was kept needs none

    fingered_line = fingered(onsets(sheet, hand), hand)
    return HandLine(
        hand=hand,
        stretch_mm=stretch_mm,
        onsets=fingered_line,
        seconds=tuple(clock.seconds(onset.time) for onset in fingered_line),
        keys=tuple(sheet.bars[onset.bar].key for onset in fingered_line),
        held=_held(fingered_line),
        places=positions(fingered_line, hand, STRETCH_MM),
    )


def _held(line: Sequence[Onset]) -> tuple[tuple[tuple[Pitch, int], ...], ...]:
    """For every onset the tones struck before that the hand still holds, with their fingers.

    What it cannot hold while it strikes elsewhere it has let go.
    """
    result: list[tuple[tuple[Pitch, int], ...]] = []
    sounding: list[tuple[Fraction, Pitch, int]] = []
    for onset in line:
        struck = {tone.pitch.midi for tone in onset.tones}
        sounding = [entry for entry in sounding if entry[0] > onset.time]
        down = tuple(sorted({entry[1].midi for entry in sounding}))
        gone = let_go(tuple(sorted(struck)), down, onset.hand, STRETCH_MM)
        sounding = [entry for entry in sounding if entry[1].midi not in gone]
        result.append(
            tuple((pitch, number) for _, pitch, number in sounding if pitch.midi not in struck)
        )
        sounding += [
            (onset.time + tone.length, tone.pitch, tone.finger.number)
            for tone in onset.tones
            if tone.finger
        ]
    return tuple(result)
