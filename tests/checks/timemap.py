"""Verovio's timemap of a file against the exact onsets of the raw XML, to the millisecond."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from tests.checks.rawxml import RawPart

TOLERANCE_MS = 1.0


def struck_times(parts: tuple[RawPart, ...]) -> dict[Fraction, int]:
    """When keys go down, in quarters from the start, and how many notes are struck there."""
    times: dict[Fraction, int] = {}
    for part in parts:
        for start, measure in zip(part.starts, part.measures, strict=True):
            for note in measure.notes:
                if note.pitch and not note.grace and not note.tied_from:
                    time = start + note.onset
                    times[time] = times.get(time, 0) + 1
    return times


def timemap_findings(path: Path, parts: tuple[RawPart, ...]) -> Iterator[str]:
    """Files with grace notes are compared without the moments that only a grace note has."""
    import verovio

    toolkit = verovio.toolkit()
    if not toolkit.loadFile(str(path)):
        yield f"{path.name}: verovio cannot read it"
        return
    events = [event for event in toolkit.renderToTimemap() if event.get("on")]
    tempo = next((event["tempo"] for event in events if "tempo" in event), 120)
    asked = {60000 * float(time) / tempo: time for time in sorted(struck_times(parts))}
    found = [float(event["tstamp"]) for event in events]
    graces = any(note.grace for part in parts for m in part.measures for note in m.notes)
    for ms, time in asked.items():
        if not any(abs(ms - each) <= TOLERANCE_MS for each in found):
            yield f"{path.name}: verovio strikes nothing at {time} quarters ({ms:.1f} ms)"
    for each in found:
        if not graces and not any(abs(ms - each) <= TOLERANCE_MS for ms in asked):
            yield f"{path.name}: verovio strikes something at {each} ms, the file nothing"
