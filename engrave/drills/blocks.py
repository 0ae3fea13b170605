"""Blocks: each hand position struck as one chord, then the chord and its notes one after another.

Enters: a passage whose onsets have their fingers. Leaves: two drills a hand. Where the hand is,
``positions`` says; this module only lays out what it holds.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.drills.barring import bar_up
from engrave.drills.block_cutting import Block, blocks_of
from engrave.drills.block_lines import Laid, as_chords, unfolded
from engrave.drills.family import (
    Family,
    Made,
    Options,
    drill_of,
    key_at,
    meter_at,
    nothing_to_drill,
    option,
    source_note,
)
from engrave.drills.needs import Need, share
from engrave.drills.signs import ARTICULATION
from engrave.marks.readers import list_of, value
from engrave.marks.scalars import whole
from engrave.music.drill import BlockFigures, Drill
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.tempo import LOWEST
from engrave.music.values import UnprintableError
from engrave.passage.fingering_notes import interval_of
from engrave.passage.model import Passage
from engrave.passage.positions import Position
from engrave.remarks import Remark

LAYOUTS = {1: as_chords, 2: unfolded}
SLOWEST, SLOWEST_OF_SHORT = LOWEST, 56
"""Beats a minute that a ladder ends at, at least, and beats shorter than a quarter, which no half
unit can count: one that ends lower has a box or two."""
MOST_MOVES_NAMED = 4
CHORD = 3
"""Keys from which a position is a chord."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockOptions(Options):
    """Which steps: the chords, the chords unfolded."""

    steps: tuple[int, ...] = option(list_of(value(whole("a step", 1, 2))), tuple(LAYOUTS))


def make(passage: Passage, options: BlockOptions) -> Made:
    """Both steps for every marked hand that gathers notes in its positions.

    Where no hand does, those that strike chords as they are written.
    """
    drills: list[Drill] = []
    refused: list[Remark] = []
    for hand, blocks in _drilled(passage).items():
        unfolds = any(len(block.onsets) > 1 for block in blocks)
        for step in options.steps:
            if step == 2 and not unfolds:
                continue
            try:
                drills.append(_drill(passage, hand, blocks, step, options))
            except UnprintableError as reason:
                refused.append(
                    Remark.of("blocks.refused", step=step, hand=hand, reason=reason.told)
                )
    if not drills and not refused and _drilled(passage):
        raise nothing_to_drill(
            passage,
            "blocks",
            "every position is struck at once as it is: there is nothing to unfold",
            "ask for step 1, or drop blocks from this passage's drills",
            options.place("steps"),
        )
    if not drills and not refused:
        raise nothing_to_drill(
            passage,
            "blocks",
            "no hand position holds notes that could be struck together",
            "drop blocks from this passage's drills, or widen its measures",
        )
    return Made(tuple(drills), tuple(refused))


def _drilled(passage: Passage) -> dict[Hand, tuple[Block, ...]]:
    blocks = {hand: blocks_of(passage, hand) for hand in passage.hands}
    chords = {
        hand: [block for block in own if len(block.position.keys) > 1]
        for hand, own in blocks.items()
    }
    gather = [hand for hand in blocks if any(len(block.onsets) > 1 for block in chords[hand])]
    return {hand: _broken_part(passage, hand) for hand in gather or blocks if chords[hand]}


def _broken_part(passage: Passage, hand: Hand) -> tuple[Block, ...]:
    """The blocks from the first broken chord to the last, and the note on which they arrive.

    What the hand holds before and after as it is written, or plays note by note in no hurry, is
    nothing to strike together. All of them in a hand that does not mostly break chords.
    """
    blocks = blocks_of(passage, hand)
    broken = [number for number, block in enumerate(blocks) if block.is_broken_chord]
    if not _mostly_breaks_chords(passage, hand, [blocks[number] for number in broken]):
        return blocks
    after = len(blocks) - 1
    arrives = broken[-1] == after - 1 and len(blocks[after].onsets) == 1
    return _as_a_line(blocks[broken[0] : after + 1 if arrives else broken[-1] + 1])


def _as_a_line(blocks: Sequence[Block]) -> tuple[Block, ...]:
    """The blocks with the onsets counted from the first of them, from which no hand has come."""
    before = blocks[0].position.first
    shifted = [
        replace(b, position=replace(b.position, first=b.position.first - before,
                                    last=b.position.last - before))
        for b in blocks
    ]  # fmt: skip
    start = replace(shifted[0].position, shift_mm=0.0, shift_white_keys=0)
    return (replace(shifted[0], position=start), *shifted[1:])


def _mostly_breaks_chords(passage: Passage, hand: Hand, broken: Sequence[Block]) -> bool:
    onsets = sum(len(block.onsets) for block in broken)
    keys = {block.position.keys for block in broken}
    return len(keys) >= 2 and 2 * onsets > len(passage.lines[hand])


def need(passage: Passage) -> Need | None:
    """The beats of the hands that mostly play broken chords, and move from one to the next.

    A position counts when at least three of its keys are struck one after another, more often by
    leaps of a third and more than by step; a scale's thumb groups do not.
    """
    broken_chords: dict[Hand, list[Block]] = {}
    for hand in passage.hands:
        broken = [block for block in blocks_of(passage, hand) if block.is_broken_chord]
        if _mostly_breaks_chords(passage, hand, broken):
            broken_chords[hand] = broken
    if not broken_chords:
        return None
    extents = [
        (block.start, block.onsets[-1].time) for each in broken_chords.values() for block in each
    ]
    each = ((h, Remark.of("why.blocks", hand=h, count=len(b))) for h, b in broken_chords.items())
    return Need(share(passage, extents), 2, tuple(broken_chords), each=tuple(each))


def never(drill: Drill) -> Remark | None:
    """Why blocks are no drill of which fewer than half, or than two, are chords."""
    keys = [
        len({pitch for index in block.source for pitch in drill.source[index].pitches})
        for block in drill.blocks
    ]
    full = sum(count >= CHORD for count in keys)
    if full >= 2 and 2 * full >= len(keys):
        return None
    if not full:
        return Remark.of("never.thin.none", of=len(keys))
    return Remark.of("never.thin", count=full, of=len(keys))


def _drill(
    passage: Passage, hand: Hand, blocks: Sequence[Block], step: int, options: BlockOptions
) -> Drill:
    first = blocks[0].onsets[0]
    meter = meter_at(passage, first.bar)
    laid = LAYOUTS[step](passage, blocks, meter)
    sheet = bar_up([laid.notes], laid.bars, key_at(passage, first.bar), (hand.staff,))
    pace = _pace(blocks, laid, step)
    factor = pace * passage.goal.beat / meter.beat
    least = SLOWEST if meter.beat >= 1 else SLOWEST_OF_SHORT
    slowest = least / passage.goal.per_minute
    as_fast = step == 2 and pace == 1
    speed = [Remark.of("blocks.as-fast") if as_fast else Remark.of("blocks.as-often")]
    if factor < slowest or options.goal:
        speed = []
    line = [onset for block in blocks for onset in block.onsets]
    drill = drill_of(
        passage,
        options,
        ("blocks", f"step-{step}"),
        (hand,),
        sheet,
        map(source_note, line),
        of=hand,
        worth=step - 1,
        factor=max(factor, slowest),
        beat=meter.beat,
        remarks=(*_remarks(passage, hand, blocks, step), *speed),
        left_out=_around(passage, hand, line),
        on_purpose=(ARTICULATION,),
    )
    figures = (
        BlockFigures(block.source, block.position.shift_mm, block.position.shift_white_keys)
        for block in blocks
    )
    return replace(drill, blocks=tuple(figures))


def _around(passage: Passage, hand: Hand, line: Sequence[Onset]) -> Iterator[Remark]:
    if around := len(passage.lines[hand]) - len(line):
        yield Remark.of("left-out.around-the-chords", count=around)


def _pace(blocks: Sequence[Block], laid: Laid, step: int) -> Fraction:
    """How many quarters of the drill go by in one of the passage, positions changing as often.

    Where unfolding takes longer over a block than the passage does, the notes would have to be
    faster than the passage's own: nobody practises chords at that speed, so step 2 ends, at the
    latest, where its notes are as fast as those of the passage at the goal.
    """
    moved = blocks[-1].start - blocks[0].start
    pace = laid.starts[-1] / moved if moved else Fraction(1)
    return pace if step == 1 else min(pace, Fraction(1))


def _remarks(passage: Passage, hand: Hand, blocks: Sequence[Block], step: int) -> Iterator[Remark]:
    if step == 1:
        yield Remark.of("blocks.step-1")
        yield from _moves(blocks)
    else:
        yield Remark.of("blocks.step-2")
    rolled = [block.onsets[0].measure for block in blocks if not block.position.held]
    if rolled:
        yield Remark.of("blocks.rolled", count=len(rolled), measures=list(dict.fromkeys(rolled)))


def _moves(blocks: Sequence[Block]) -> Iterator[Remark]:
    """How the hand moves from block to block; of many moves the farthest alone."""
    moves = [block for block in blocks if block.position.shift_mm]
    if len(moves) > MOST_MOVES_NAMED:
        farthest = max(moves, key=lambda block: abs(block.position.shift_mm))
        measure, move = farthest.onsets[0].measure, _move(farthest.position)
        yield Remark.of("blocks.farthest", measure=measure, move=move)
    elif moves:
        yield Remark.of("blocks.moves", moves=[_move(block.position) for block in moves])


def _move(position: Position) -> Remark:
    """The shift as an interval and in white keys; less than a white key by its direction alone."""
    mm, keys = position.shift_mm, abs(position.shift_white_keys)
    if not keys:
        return Remark.of("blocks.aside.up" if mm > 0 else "blocks.aside.down")
    key = "blocks.up" if mm > 0 else "blocks.down"
    return Remark.of(key, count=keys, interval=interval_of(keys))


FAMILY = Family("blocks", make, BlockOptions, need, never)
