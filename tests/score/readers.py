"""What an independent reader, partitura, says of a MusicXML file."""

import warnings
from collections import defaultdict
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from engrave.music.notes import Pitch
from engrave.score import Score

Key = tuple[int, str, int]
"""Index of the bar, spelling, staff."""
Offsets = Mapping[Key, list[Fraction]]

TICK = Fraction(1, 100)
"""partitura counts ticks, we count what is printed: they may differ by less than this."""


@cache
def _parts(path: Path) -> Any:
    import partitura

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return partitura.load_musicxml(str(path)).parts


def partitura_part(path: Path, part: int = 0) -> Any:
    """The part as partitura reads it; a file is read once, whichever of its parts are asked for."""
    return _parts(path)[part]


def notes_by_partitura(path: Path, part: int = 0) -> Offsets:
    """Where each written note begins, grace notes left out, offsets in quarters from its bar."""
    import partitura

    loaded = partitura_part(path, part)
    starts = [measure.start.t for measure in loaded.measures]
    found: dict[Key, list[Fraction]] = defaultdict(list)
    for note in loaded.notes:
        if isinstance(note, partitura.score.GraceNote):
            continue
        bar = max(i for i, start in enumerate(starts) if start <= note.start.t)
        ticks = int(loaded.quarter_duration_map(note.start.t))
        spelling = Pitch(note.step, note.alter or 0, note.octave).spelling
        found[bar, spelling, note.staff or 1].append(Fraction(note.start.t - starts[bar], ticks))
    return found


def notes_by_us(score: Score) -> Offsets:
    """The same, from our sheet."""
    found: dict[Key, list[Fraction]] = defaultdict(list)
    for index, bar in enumerate(score.sheet.bars):
        for event in bar.events:
            if not event.grace:
                for tone in event.tones:
                    found[index, tone.pitch.spelling, event.staff].append(event.offset)
    return found


def differences(ours: Offsets, theirs: Offsets) -> list[tuple[Key, list[Fraction], list[Fraction]]]:
    """The notes on which the two readers disagree."""
    odd = []
    for key in sorted({*ours, *theirs}):
        mine, other = sorted(ours.get(key, [])), sorted(theirs.get(key, []))
        if len(mine) != len(other) or any(
            abs(a - b) > TICK for a, b in zip(mine, other, strict=True)
        ):
            odd.append((key, mine, other))
    return odd
