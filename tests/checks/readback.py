"""A drill's notes as partitura reads them, against what its source and ``written`` prescribe.

A tied continuation is no onset, a grace note neither. Notes that both hands, or a block, would
strike twice at one moment are struck once: onsets are compared as sets of spelled pitches.
"""

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from tests.checks.manifest import DrillEntry, Pitch


@dataclass(frozen=True)
class Heard:
    """One key that goes down: ``time`` and ``length`` in quarters from the start of the file."""

    time: Fraction
    length: Fraction
    pitch: Pitch
    finger: int | None
    staff: int


def read_with_partitura(path: Path) -> tuple[Heard, ...]:
    """Every note that is struck, ties merged, grace notes left out, in order of time."""
    import partitura
    from partitura.score import GraceNote

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        parts = partitura.load_musicxml(str(path)).parts
    heard = []
    for part in parts:
        clock = Clock(part)
        for note in part.notes_tied:
            if isinstance(note, GraceNote):
                continue
            start, end = clock(note.start.t), clock(note.end_tied.t)
            pitch = (note.step, int(note.alter or 0), int(note.octave))
            heard.append(Heard(start, end - start, pitch, _finger(note), note.staff or 1))
    return tuple(sorted(heard, key=lambda each: (each.time, each.pitch[2], each.pitch)))


def _finger(note: object) -> int | None:
    marks = getattr(note, "technical", None) or []
    fingers = [mark.fingering for mark in marks if hasattr(mark, "fingering")]
    return fingers[0] if fingers else None


FINEST = 96
"""A file whose divisions cannot hold its tuplets rounds them; no fraction of them is finer."""


class Clock:
    """Partitura's divisions as exact quarters from the start of the part."""

    def __init__(self, part: object) -> None:
        changes = part.quarter_durations()  # type: ignore[attr-defined]
        self._changes = [(int(at), int(divisions)) for at, divisions in changes]

    def __call__(self, now: int) -> Fraction:
        total = Fraction(0)
        ends = [at for at, _ in self._changes[1:]] + [now]
        for (start, divisions), end in zip(self._changes, ends, strict=True):
            if now > start:
                total += Fraction(int(min(now, end)) - start, divisions)
        return total


def onsets_of(heard: tuple[Heard, ...]) -> tuple[tuple[Fraction, frozenset[Pitch]], ...]:
    """What is struck at each moment at which anything is."""
    moments: dict[Fraction, set[Pitch]] = {}
    for each in heard:
        moments.setdefault(each.time, set()).add(each.pitch)
    return tuple((time, frozenset(moments[time])) for time in sorted(moments))


def pitch_findings(drill: DrillEntry, heard: tuple[Heard, ...]) -> Iterator[str]:
    """Pitches and spelling, onset by onset."""
    read = [pitches for _, pitches in onsets_of(heard)]
    if len(read) != len(drill.played):
        yield f"{drill.id}: {len(read)} onsets are read back, {len(drill.played)} prescribed"
    for index, (found, asked) in enumerate(zip(read, drill.played, strict=False)):
        if found != asked:
            yield f"{drill.id}: onset {index} plays {_spell(found)}, prescribed {_spell(asked)}"


def finger_findings(drill: DrillEntry, heard: tuple[Heard, ...]) -> Iterator[str]:
    """Where the source names a finger the drill prints one of those it names for that key.

    Two voices may meet on one key; the finger then stands at one of them.

    A drill with fingers of its own is passed over.
    """
    if drill.fingers == "own":
        return
    moments = sorted({each.time for each in heard})
    asked = {
        (time, pitch): {
            finger
            for index in onset
            for key, finger in zip(
                drill.source[index].pitches, drill.source[index].fingers, strict=True
            )
            if key == pitch
        }
        for time, onset in zip(moments, drill.written, strict=False)
        for index in onset
        for pitch in drill.source[index].pitches
    }
    printed: dict[tuple[Fraction, Pitch], set[int | None]] = {}
    for each in heard:
        printed.setdefault((each.time, each.pitch), set()).add(each.finger)
    for (time, pitch), fingers in printed.items():
        wanted = asked.get((time, pitch), {None})
        if None not in wanted and not wanted & fingers:
            yield (
                f"{drill.id}: {_spell({pitch})} at {time} is fingered "
                f"{_numbers(fingers)}, prescribed {_numbers(wanted)}"
            )


def _numbers(fingers: set[int | None]) -> str:
    return " ".join(sorted(str(finger) for finger in fingers))


def _spell(pitches: frozenset[Pitch] | set[Pitch]) -> str:
    def spell(pitch: Pitch) -> str:
        step, alter, octave = pitch
        return f"{step}{'#' * alter if alter >= 0 else 'b' * -alter}{octave}"

    return " ".join(spell(pitch) for pitch in sorted(pitches, key=lambda p: (p[2], p)))
