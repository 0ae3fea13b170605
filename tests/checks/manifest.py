"""The manifest and the files it names, as templates/reference/manifest.md has them.

``read_output`` turns ``manifest.json`` into typed values and says where it departs from that page.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from typing import Any

STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
SPELLING = re.compile(r"([A-G])(#*|b*)(-?\d+)")
DRILL_KEYS = {
    "id", "passage", "family", "variant", "hand", "meter", "beat_unit", "ladder", "files",
    "left_out", "staves", "systems", "places", "source", "written", "fingers", "beams", "complete",
    "pitches", "stretch",
}  # fmt: skip
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")

Pitch = tuple[str, int, int]
"""Step, alteration in semitones, octave."""


def parse_spelling(text: str) -> Pitch:
    found = SPELLING.fullmatch(text)
    if not found:
        raise ValueError(f"{text!r} spells no pitch")
    step, accidentals, octave = found.groups()
    return step, accidentals.count("#") - accidentals.count("b"), int(octave)


def midi_of(pitch: Pitch) -> int:
    """MIDI key number, middle C (C4) = 60."""
    return 12 * (pitch[2] + 1) + STEPS[pitch[0]] + pitch[1]


@dataclass(frozen=True)
class SourceEntry:
    """One onset of one hand in the score, as the manifest says; ``offset`` in quarters."""

    measure: str
    offset: Fraction
    hand: str
    pitches: tuple[Pitch, ...]
    fingers: tuple[int | None, ...]


@dataclass(frozen=True)
class DrillEntry:
    """One drill of the manifest; ``written``: indices into ``source``, onset by onset."""

    id: str
    family: str
    variant: str
    passage: str
    hand: str
    musicxml: Path
    svg: tuple[Path, ...]
    staves: int
    systems: int
    octaves: int
    source: tuple[SourceEntry, ...]
    written: tuple[tuple[int, ...], ...]
    places: dict[str, Any] = field(repr=False)
    fingers: str = "source"
    beams: str = "source"
    pitches: str = "source"
    complete: bool = False
    pattern: tuple[int, ...] = ()

    @property
    def played(self) -> tuple[frozenset[Pitch], ...]:
        """What sounds at each onset of the drill, as ``source`` and ``written`` prescribe it."""
        return tuple(
            frozenset(
                (step, alter, octave + self.octaves)
                for index in onset
                for step, alter, octave in self.source[index].pitches
            )
            for onset in self.written
        )


@dataclass(frozen=True)
class Output:
    """A folder that a build wrote."""

    folder: Path
    manifest: dict[str, Any]
    drills: tuple[DrillEntry, ...]

    @property
    def name(self) -> str:
        return self.folder.name


def read_output(folder: Path) -> Output:
    """Raises KeyError or ValueError where the manifest cannot be followed at all."""
    manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
    return Output(folder, manifest, tuple(drill_entry(folder, raw) for raw in manifest["drills"]))


def drill_entry(folder: Path, raw: dict[str, Any]) -> DrillEntry:
    """A drill of the manifest, its files below ``folder``."""
    return DrillEntry(
        id=raw["id"],
        family=raw["family"],
        variant=raw["variant"],
        passage=raw["passage"],
        hand=raw["hand"],
        musicxml=folder / raw["files"]["musicxml"],
        svg=tuple(folder / name for name in raw["files"]["svg"]),
        staves=raw["staves"],
        systems=raw["systems"],
        octaves=raw.get("octaves", 0),
        source=tuple(_source(entry) for entry in raw["source"]),
        written=tuple(tuple(onset) for onset in raw["written"]),
        places=raw["places"],
        fingers=raw["fingers"],
        beams=raw["beams"],
        pitches=raw["pitches"],
        complete=raw["complete"],
        pattern=tuple(raw.get("pattern", ())),
    )


def _source(raw: dict[str, Any]) -> SourceEntry:
    return SourceEntry(
        raw["measure"],
        Fraction(raw["offset"]),
        raw["hand"],
        tuple(parse_spelling(text) for text in raw["spelling"]),
        tuple(raw["fingers"]),
    )


def manifest_findings(output: Output) -> Iterator[str]:
    """The manifest has what its page says, and the folder has the files and no others."""
    manifest = output.manifest
    if manifest.get("format") != 2:
        yield "manifest: format is not 2"
    if not (output.folder / manifest.get("marks", "no marks")).is_file():
        yield "manifest: marks names no file"
    for key, kind in {"piece": dict, "score": dict, "passages": list, "drills": list}.items():
        if not isinstance(manifest.get(key), kind):
            yield f"manifest: {key} is not a {kind.__name__}"
    if not re.fullmatch("[0-9a-f]{64}", manifest["score"].get("sha256", "")):
        yield "manifest: the score has no sha256"
    ids = [drill.id for drill in output.drills]
    yield from (f"drill {each}: its id stands twice" for each in set(ids) if ids.count(each) > 1)
    for raw, drill in zip(manifest["drills"], output.drills, strict=True):
        yield from (f"drill {drill.id}: {text}" for text in _drill_findings(raw, drill))
    yield from _file_findings(output)
    yield from _output_findings(output)


def _drill_findings(raw: dict[str, Any], drill: DrillEntry) -> Iterator[str]:
    yield from (f"has no {key}" for key in sorted(DRILL_KEYS - set(raw)))
    names = (drill.passage, drill.family, drill.variant)
    hands = ("right", "left") if drill.hand == "both" else (drill.hand,)
    if drill.id not in {".".join(names), *(".".join((*names, hand)) for hand in hands)}:
        yield "its id is not PASSAGE.FAMILY.VARIANT[.HAND]"
    if not NAME.fullmatch(drill.family) or not NAME.fullmatch(drill.variant):
        yield f"{drill.family}.{drill.variant} is no name"
    if drill.pitches not in {"source", "tapped", "one-key"}:
        yield f"there are no pitches {drill.pitches}"
    if drill.fingers not in {"source", "own"} or drill.beams not in {"source", "beats"}:
        yield f"fingers {drill.fingers} and beams {drill.beams} are none that the manifest knows"
    if drill.hand not in {"right", "left", "both"}:
        yield f"there is no hand {drill.hand}"
    ladder = raw["ladder"]
    if not ladder or ladder != sorted(set(ladder)) or not 0 < min(ladder) <= max(ladder) <= 208:
        yield f"its ladder does not rise within the metronome: {ladder}"
    if not isinstance(raw["beat_unit"], str) or Fraction(raw["beat_unit"]) <= 0:
        yield "its beat unit is not a fraction string"
    if not drill.source or not drill.written or any(not onset for onset in drill.written):
        yield "it plays nothing, or an onset plays nothing"
    indices = {index for onset in drill.written for index in onset}
    if indices != set(range(len(drill.source))):
        yield "written and source do not name the same notes"
    for entry in raw["source"]:
        yield from _source_findings(entry)


def _source_findings(entry: dict[str, Any]) -> Iterator[str]:
    where = f"source at {entry['measure']}+{entry['offset']}"
    midi = [midi_of(parse_spelling(text)) for text in entry["spelling"]]
    if midi != entry["midi"]:
        yield f"{where}: midi {entry['midi']} is not what {entry['spelling']} spells"
    if not midi or midi != sorted(midi):
        yield f"{where}: not low to high: {midi}"
    if len(entry["fingers"]) != len(midi):
        yield f"{where}: {len(entry['fingers'])} fingers for {len(midi)} notes"
    if any(finger is not None and finger not in range(1, 6) for finger in entry["fingers"]):
        yield f"{where}: no such finger: {entry['fingers']}"
    origins = entry["fingers_from"]
    if any(
        origin not in {"marks", "score", "computed", None}
        for origin in (origins if isinstance(origins, list) else [origins])
    ):
        yield f"{where}: fingers from {origins}"


def _file_findings(output: Output) -> Iterator[str]:
    folder, passages = output.folder, output.manifest["passages"]
    promised = {
        folder / "manifest.json",
        folder / "index.html",
        *folder.glob(f"{output.name}-*.pdf"),
        *folder.glob(f"lessons/*/{output.name}-*.pdf"),
    }
    promised |= {folder / "passages" / f"{passage['id']}.musicxml" for passage in passages}
    for drill in output.drills:
        promised |= {drill.musicxml, *drill.svg}
        if drill.musicxml != folder / "drills" / f"{drill.id}.musicxml":
            yield f"drill {drill.id}: its file is {drill.musicxml.name}"
        if not drill.svg:
            yield f"drill {drill.id}: no picture"
    there = {path for path in folder.rglob("*") if path.is_file()}
    yield from (f"missing: {path.relative_to(folder)}" for path in sorted(promised - there))
    yield from (f"not promised: {path.relative_to(folder)}" for path in sorted(there - promised))


def _output_findings(output: Output) -> Iterator[str]:
    """All files but the manifest are listed, each with its digest."""
    listed = {each["path"]: each for each in output.manifest.get("outputs", [])}
    there = {
        path.relative_to(output.folder).as_posix(): path
        for path in output.folder.rglob("*")
        if path.is_file() and path.name != "manifest.json"
    }
    yield from (f"not listed: {name}" for name in sorted(there.keys() - listed.keys()))
    yield from (f"listed, not there: {name}" for name in sorted(listed.keys() - there.keys()))
    for name in sorted(there.keys() & listed.keys()):
        if sha256(there[name].read_bytes()).hexdigest() != listed[name]["sha256"]:
            yield f"{name}: its digest is another"
        if listed[name].keys() != {"path", "sha256", "lesson"}:
            yield f"{name}: listed with {sorted(listed[name])}"
