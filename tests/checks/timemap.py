"""Verovio's timemap of a file against the exact onsets of the raw XML, to the millisecond."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from tests.checks.rawxml import RawPart

TOLERANCE_MS = 1.0


def heads(parts: tuple[RawPart, ...]) -> tuple[set[Fraction], set[Fraction]]:
    """When keys go down, and when any note head stands, in quarters from the start."""
    struck, printed = set(), set()
    for part in parts:
        for start, measure in zip(part.starts, part.measures, strict=True):
            for note in measure.notes:
                if note.pitch and not note.grace:
                    printed.add(start + note.onset)
                    if not note.tied_from:
                        struck.add(start + note.onset)
    return struck, printed


def timemap_findings(path: Path, parts: tuple[RawPart, ...]) -> Iterator[str]:
    """Every strike is in the timemap, and nothing but note heads.

    Verovio lists tied heads too. For grace notes and rolled chords it has moments of its own, so
    that in files with such only the strikes that are to be there are looked for.
    """
    import verovio

    toolkit = verovio.toolkit()
    toolkit.setOptions({"expandNever": True})  # else it plays repeats twice
    if not toolkit.loadFile(str(path)):
        yield f"{path.name}: verovio cannot read it"
        return
    events = toolkit.renderToTimemap()
    tempos = list(_tempos(events))
    found = [float(event["tstamp"]) for event in events if event.get("on")]
    struck, printed = heads(parts)
    for time in sorted(struck):
        ms = _ms(time, tempos)
        if not any(abs(ms - each) <= TOLERANCE_MS for each in found):
            yield f"{path.name}: verovio strikes nothing at {time} quarters ({ms:.1f} ms)"
    if any(note.loose for part in parts for measure in part.measures for note in measure.notes):
        return
    known = [_ms(time, tempos) for time in printed]
    for each in found:
        if not any(abs(each - ms) <= TOLERANCE_MS for ms in known):
            yield f"{path.name}: verovio strikes something at {each} ms, the file nothing"


def _tempos(events: list[dict[str, Any]]) -> Iterator[tuple[float, float]]:
    """From when each tempo holds, in quarters.

    The first is listed after rests for whole measures, though it holds before; the time tells.
    """
    for number, event in enumerate(event for event in events if "tempo" in event):
        start, tempo = float(event["qstamp"]), float(event["tempo"])
        holds_before = abs(start * 60000 / tempo - float(event["tstamp"])) <= TOLERANCE_MS
        yield (0.0 if number == 0 and holds_before else start), tempo


def _ms(time: Fraction, tempos: list[tuple[float, float]]) -> float:
    """``time`` in milliseconds, each of ``tempos`` (from a time in quarters on) a quarter beat."""
    if not tempos or tempos[0][0] > 0:
        tempos = [(0.0, 120.0), *tempos]
    total = 0.0
    for index, (start, tempo) in enumerate(tempos):
        end = tempos[index + 1][0] if index + 1 < len(tempos) else float(time)
        total += max(min(end, float(time)) - start, 0.0) * 60000 / tempo
    return total
