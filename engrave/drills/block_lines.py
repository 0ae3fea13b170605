"""A hand's blocks laid out in time: as chords, one a beat, or each chord and then its notes.

Enters: a passage and the blocks of one hand. Leaves: notes and bars in drill time. Knows nothing
of hands, ladders or remarks.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from engrave.drills.barring import Room, Written, rooms
from engrave.drills.block_cutting import Block
from engrave.drills.family import clef_at
from engrave.music.sheet import Meter, Tone
from engrave.music.units import Quarters
from engrave.passage.model import Passage


@dataclass(frozen=True, slots=True)
class Laid:
    """Blocks in drill time: the notes, the bars they fill, and where each block begins."""

    notes: tuple[Written, ...]
    bars: tuple[Room, ...]
    starts: tuple[Quarters, ...]


def as_chords(passage: Passage, blocks: Sequence[Block], meter: Meter) -> Laid:
    """One block a beat in the passage's meter; the last is held to the end of its bar."""
    beat = meter.beat
    bars = tuple(rooms(meter, len(blocks) * beat))
    starts = tuple(number * beat for number in range(len(blocks)))
    ends = (*starts[1:], sum((bar.length for bar in bars), Fraction(0)))
    notes = tuple(
        _chord(passage, block, start, end - start)
        for block, start, end in zip(blocks, starts, ends, strict=True)
    )
    return Laid(notes, bars, starts)


def unfolded(passage: Passage, blocks: Sequence[Block], meter: Meter) -> Laid:
    """A measure a block: the chord for a beat, then its notes in the run's value.

    The last note is held to the end of a beat, and for longer than the value of the notes, so that
    the hand has time to leave and every chord falls on a beat. A block of one onset is its chord.
    """
    value = _value(blocks, meter)
    notes: list[Written] = []
    bars: list[Room] = []
    starts = [Fraction(0)]
    for block in blocks:
        measure = list(_measure(passage, block, starts[-1], value, meter.beat))
        length = measure[-1].end - starts[-1]
        notes += measure
        bars.append(_room(length, meter))
        starts.append(starts[-1] + length)
    return Laid(tuple(notes), tuple(bars), tuple(starts[:-1]))


def _measure(
    passage: Passage, block: Block, start: Quarters, value: Quarters, beat: Quarters
) -> Iterator[Written]:
    if len(block.onsets) == 1:
        yield _chord(passage, block, start, 2 * beat)
        return
    yield _chord(passage, block, start, beat)
    figure = _figure(block)
    last = beat + (len(figure) - 1) * value
    for number, places in enumerate(figure[:-1]):
        yield _note(passage, block, places, start + beat + number * value, value)
    end = (last + value) // beat * beat + beat
    yield _note(passage, block, figure[-1], start + last, end - last)


def _value(blocks: Sequence[Block], meter: Meter) -> Quarters:
    """The run's value: how far apart the notes inside positions mostly are, a beat at most."""
    gaps = Counter(
        after.time - before.time for block in blocks for before, after in pairwise(block.onsets)
    )
    most = max(gaps, key=lambda gap: (gaps[gap], -gap), default=meter.beat)
    return min(most, meter.beat)


def _figure(block: Block) -> list[list[int]]:
    """The onsets, by their places in the block, of one turn of a figure that comes round again.

    Each stands for its repetitions; what does not repeat stands for itself.
    """
    keys = [onset.pitches for onset in block.onsets]
    count = len(keys)
    turn = next(
        (
            size
            for size in range(1, count // 2 + 1)
            if all(keys[place] == keys[place - size] for place in range(size, count))
        ),
        count,
    )
    return [list(range(place, count, turn)) for place in range(turn)]


def _chord(passage: Passage, block: Block, time: Quarters, length: Quarters) -> Written:
    first = block.onsets[0]
    return Written(
        time=time,
        length=length,
        tones=block.tones,
        hand=first.hand,
        source=block.source,
        measure=first.measure,
        clef=clef_at(passage, first.staff, first.time),
        arpeggio=not block.position.held,
    )


def _note(
    passage: Passage, block: Block, places: Sequence[int], time: Quarters, length: Quarters
) -> Written:
    onset = block.onsets[places[0]]
    return Written(
        time=time,
        length=length,
        tones=tuple(Tone(tone.pitch, tone.finger) for tone in onset.tones),
        hand=onset.hand,
        source=tuple(block.source[place] for place in places),
        measure=onset.measure,
        clef=clef_at(passage, block.onsets[0].staff, block.start),
    )


def _room(length: Quarters, meter: Meter) -> Room:
    """A bar of whole beats whose meter is not printed."""
    beats = int(length / Fraction(4, meter.beat_type))
    return Room(length, Meter(beats, meter.beat_type), meter_shown=False)
