"""MusicXML read by own arithmetic: where each note stands, in exact quarters, and nothing more.

MusicXML 4.0 (W3C Community Group report, 2021): ``divisions`` per quarter, ``duration`` in
divisions, ``backup`` and ``forward`` move the cursor, a ``chord`` note starts with the one before.
"""

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

TYPES = {
    "long": Fraction(16), "breve": Fraction(8), "whole": Fraction(4), "half": Fraction(2),
    "quarter": Fraction(1), "eighth": Fraction(1, 2), "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8), "64th": Fraction(1, 16), "128th": Fraction(1, 32),
    "256th": Fraction(1, 64),
}  # fmt: skip


@dataclass(frozen=True)
class RawNote:
    """A note or rest; ``onset`` from the start of its measure. A grace note lasts 0."""

    onset: Fraction
    length: Fraction
    voice: str
    staff: int
    pitch: tuple[str, int, int] | None
    chord: bool
    grace: bool
    printed: Fraction | None
    """What type, dots and time modification say; None where no type is written."""
    beams: tuple[tuple[int, str], ...]
    tied_from: bool
    tied_to: bool
    rolled: bool
    in_tuplet: bool
    """Whether it stands in a tuplet that an earlier note began."""

    @property
    def loose(self) -> bool:
        """Whether players place the note by feeling: a grace note, or in a rolled chord."""
        return self.grace or self.rolled


@dataclass(frozen=True)
class RawMeasure:
    """``full``: what the meter in force asks; ``length``: as far as the notes reach."""

    number: str
    implicit: bool
    full: Fraction
    length: Fraction
    beat: Fraction
    staves: int
    notes: tuple[RawNote, ...]
    flaws: tuple[str, ...]
    """Cursor moves that no reader can follow (a backup before the measure's start)."""


@dataclass(frozen=True)
class RawPart:
    id: str
    measures: tuple[RawMeasure, ...]

    @property
    def starts(self) -> tuple[Fraction, ...]:
        starts, now = [], Fraction(0)
        for measure in self.measures:
            starts.append(now)
            now += measure.length
        return tuple(starts)


def read_raw(path: Path) -> tuple[RawPart, ...]:
    """The parts of a partwise file."""
    root = ET.parse(path).getroot()
    return tuple(RawPart(part.get("id", ""), _measures(part)) for part in root.findall("part"))


@dataclass
class _Force:
    divisions: Fraction = Fraction(1)
    full: Fraction = Fraction(4)
    beat: Fraction = Fraction(1)
    staves: int = 1

    def update(self, attributes: ET.Element) -> None:
        if (divisions := attributes.findtext("divisions")) is not None:
            self.divisions = Fraction(divisions)
        if (staves := attributes.findtext("staves")) is not None:
            self.staves = int(staves)
        time = attributes.find("time")
        if time is not None and time.find("beats") is not None:
            beats = sum(int(number) for number in (time.findtext("beats") or "").split("+"))
            beat_type = int(time.findtext("beat-type") or "")
            self.full, self.beat = Fraction(4 * beats, beat_type), beat_of(beats, beat_type)


def beat_of(beats: int, beat_type: int) -> Fraction:
    """The meter's own beat in quarters: 1 in 2/4, 3/2 in 6/8, 1/2 in 3/8 (common practice)."""
    unit = Fraction(4, beat_type)
    return 3 * unit if beats > 3 and beats % 3 == 0 and beat_type >= 8 else unit


def _measures(part: ET.Element) -> tuple[RawMeasure, ...]:
    force = _Force()
    return tuple(_measure(element, force) for element in part.findall("measure"))


def _measure(element: ET.Element, force: _Force) -> RawMeasure:
    now = start = reach = Fraction(0)
    notes: list[RawNote] = []
    flaws: list[str] = []
    for child in element:
        length = Fraction(child.findtext("duration") or 0) / force.divisions
        if child.tag == "attributes":
            force.update(child)
        elif child.tag == "backup":
            now -= length
            if now < 0:
                flaws.append(f"a backup of {length} goes {-now} before the measure")
        elif child.tag == "forward":
            now += length
        elif child.tag == "note":
            chord = child.find("chord") is not None
            start = start if chord else now
            notes.append(_note(child, start, length))
            now = max(now, start + length) if chord else now + length
        reach = max(reach, now)
    return RawMeasure(
        element.get("number", ""), element.get("implicit") == "yes", force.full, reach,
        force.beat, force.staves, tuple(notes), tuple(flaws),
    )  # fmt: skip


def _note(note: ET.Element, onset: Fraction, length: Fraction) -> RawNote:
    pitch = note.find("pitch")
    ties = {tie.get("type") for tie in note.findall("tie")}
    return RawNote(
        onset=onset,
        length=length,
        voice=note.findtext("voice") or "1",
        staff=int(note.findtext("staff") or 1),
        pitch=None if pitch is None else pitch_of(pitch),
        chord=note.find("chord") is not None,
        grace=note.find("grace") is not None,
        printed=_printed(note),
        beams=tuple((int(b.get("number", 1)), b.text or "") for b in note.findall("beam")),
        tied_from="stop" in ties,
        tied_to="start" in ties,
        rolled=note.find("notations/arpeggiate") is not None,
        in_tuplet=note.find("time-modification") is not None
        and not any(t.get("type") == "start" for t in note.findall("notations/tuplet")),
    )


def pitch_of(pitch: ET.Element) -> tuple[str, int, int]:
    alter = Fraction(pitch.findtext("alter") or 0)
    if alter.denominator != 1:
        raise ValueError(f"a quarter tone: alter {alter}")
    return pitch.findtext("step") or "", int(alter), int(pitch.findtext("octave") or "")


def _printed(note: ET.Element) -> Fraction | None:
    kind = note.findtext("type")
    if kind is None:
        return None
    length = TYPES[kind] * (2 - Fraction(1, 2 ** len(note.findall("dot"))))
    change = note.find("time-modification")
    if change is not None:
        normal, actual = change.findtext("normal-notes"), change.findtext("actual-notes")
        length *= Fraction(int(normal or ""), int(actual or ""))
    return length
