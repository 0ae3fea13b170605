"""Repeat signs and ending brackets that lost their other half in a cut are dropped.

Enters: the bars of a cut, with the repeat signs of the score. Leaves: the bars with those that make
sense inside the cut. Knows no notes.
"""

from collections.abc import Sequence
from dataclasses import replace

from engrave.music.sheet import Bar, Ending


def without_torn_repeats(bars: Sequence[Bar], opens: bool) -> tuple[Bar, ...]:
    """Keep a repeat whose two signs are inside, and the endings that belong to one that is kept.

    ``opens``: a repeat may begin with the cut without a sign, as it may where a movement begins or
    another repeat has ended.
    """
    pairs = _pairs(bars, opens)
    starts, ends = {start for start, _ in pairs}, {end for _, end in pairs}
    brackets = _kept_brackets(bars, ends)
    return tuple(
        replace(
            bar,
            repeat_start=index in starts,
            repeat_end=index in ends,
            ending=_closed(bar.ending, last=index == len(bars) - 1) if index in brackets else None,
        )
        for index, bar in enumerate(bars)
    )


def _pairs(bars: Sequence[Bar], opens: bool) -> list[tuple[int, int]]:
    """The bars of each repeat's opening and closing sign; all endings share one opening.

    A repeat without an opening sign has the bar -1 for it.
    """
    pairs: list[tuple[int, int]] = []
    start = -1 if opens else None
    for index, bar in enumerate(bars):
        if bar.repeat_start:
            start = index
        if bar.repeat_end and start is not None:
            pairs.append((start, index))
            if bar.ending is None:
                start = -1
    return pairs


def _kept_brackets(bars: Sequence[Bar], repeat_ends: set[int]) -> set[int]:
    """The bars of the brackets that close a kept repeat, and of the one that follows such."""
    kept: set[int] = set()
    group: list[int] = []
    after_kept = False
    for index, bar in enumerate(bars):
        begins = bar.ending is not None and bar.ending.type.startswith("start")
        if bar.ending is None:
            group, after_kept = [], False
            continue
        group = [index] if begins else [*group, index] if group else []
        closes = bar.ending.type in ("stop", "start-stop", "discontinue") or index == len(bars) - 1
        if group and closes:
            is_kept = after_kept or index in repeat_ends
            kept.update(group if is_kept else ())
            group, after_kept = [], is_kept
    return kept


def _closed(ending: Ending | None, last: bool) -> Ending | None:
    """An ending that the cut's end interrupts is left open at its right."""
    if ending is None or not last or ending.type in ("stop", "start-stop", "discontinue"):
        return ending
    return replace(ending, type="start-stop" if ending.type == "start" else "discontinue")
