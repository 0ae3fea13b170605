"""One hand's line cut into blocks: its hand positions, or the broken chords that it goes through.

Enters: a passage whose onsets have their fingers. Leaves: ``Block``s. Where the hand is,
``positions`` says; what a block is for, this module does not know.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import accumulate, groupby, pairwise

from engrave.drills.family import meter_at
from engrave.music.notes import Finger, Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Tone
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.passage.positions import Position, positions, positions_at


@dataclass(frozen=True, slots=True)
class Block:
    """What a hand holds, and the onsets that it does; their indices are those of the line."""

    position: Position
    onsets: tuple[Onset, ...]

    @property
    def source(self) -> tuple[int, ...]:
        """The indices of its onsets."""
        return tuple(self.position.onsets)

    @property
    def start(self) -> Quarters:
        """When the hand must be there, in quarters from the start of the passage."""
        return self.onsets[0].time

    @property
    def tones(self) -> tuple[Tone, ...]:
        """Every key that the hand holds, once, with its finger."""
        fingers: dict[int, Finger | None] = {}
        for onset in self.onsets:
            for tone in onset.tones:
                fingers.setdefault(tone.pitch.midi, tone.finger)
        return tuple(Tone(pitch, fingers[pitch.midi]) for pitch in self.position.keys)

    @property
    def is_broken_chord(self) -> bool:
        """Whether three keys or more are struck one after another, mostly a third or more apart."""
        moves = [
            abs(after.pitches[0].diatonic - before.pitches[0].diatonic)
            for before, after in pairwise(self.onsets)
            if after.pitches != before.pitches
        ]
        wide = sum(move >= 2 for move in moves)
        return len(self.position.keys) >= 3 and len(moves) >= 2 and 2 * wide > len(moves)


def blocks_of(passage: Passage, hand: Hand) -> tuple[Block, ...]:
    """The passage as one hand's blocks, in order; every onset is in one.

    A block is a hand position. Only where broken chords come one a beat or one a bar, as in Alberti
    basses, each chord is a block, although fingers that lie still may go through several: all of
    them struck at once would be a cluster and no chord.
    """
    line, stretch_mm = passage.lines[hand], passage.stretch_mm[hand]
    whole = _blocks(line, positions(line, hand, stretch_mm))
    starts: list[int] = []
    for broken, group in groupby(whole, key=lambda block: block.is_broken_chord):
        blocks = list(group)
        if broken:
            first, onsets = blocks[0].position.first, [o for block in blocks for o in block.onsets]
            starts += [first + start for start in _chord_starts(passage, onsets, hand)]
        else:
            starts += [block.position.first for block in blocks]
    return _blocks(line, positions_at(line, starts, hand, stretch_mm))


def _chord_starts(passage: Passage, onsets: Sequence[Onset], hand: Hand) -> list[int]:
    """Where the broken chords begin, as indices into the onsets.

    By the shortest span of whole beats in which three keys, that the hand can hold, are struck
    every time (the first and the last may be incomplete); without one, as the hand moves.
    """
    stretch_mm = passage.stretch_mm[hand]

    def is_one(onsets: Sequence[Onset]) -> bool:
        return len(positions(onsets, hand, stretch_mm, _is_chord)) == 1

    meter = meter_at(passage, onsets[0].bar)
    beats = int(meter.length / meter.beat)
    for span in (meter.beat * count for count in range(1, beats + 1) if beats % count == 0):
        groups = [
            list(group) for _, group in groupby(onsets, key=lambda o: (o.bar, o.metric // span))
        ]
        whole = groups[1:-1] or groups
        if all(map(is_one, groups)) and all(len(_keys(group)) >= 3 for group in whole):
            chords: list[list[Onset]] = []
            for group in groups:
                if chords and is_one([*chords[-1], *group]):
                    chords[-1] += group
                else:
                    chords.append(group)
            return [0, *accumulate(len(chord) for chord in chords[:-1])]
    return [chord.first for chord in positions(onsets, hand, stretch_mm, _is_chord)]


def _keys(onsets: Sequence[Onset]) -> set[Pitch]:
    return {pitch for onset in onsets for pitch in onset.pitches}


def _blocks(line: Sequence[Onset], held: Sequence[Position]) -> tuple[Block, ...]:
    return tuple(
        Block(position, tuple(line[index] for index in position.onsets)) for position in held
    )


def _is_chord(keys: Collection[Pitch]) -> bool:
    """Whether keys struck together are a chord and no cluster: of four or more, one pair of
    neighbouring letters at most, as in a seventh chord.
    """
    letters = sorted(key.diatonic for key in keys)
    neighbours = sum(high - low == 1 for low, high in pairwise(letters))
    return len(letters) < 4 or neighbours < 2
