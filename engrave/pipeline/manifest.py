"""The manifest: what a build made, for those who read files rather than pages.

Enters: drills, files, places. Leaves: ``manifest.json``, described by
``templates/reference/manifest.md``.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from engrave.booklet import Place
from engrave.marks.model import Marks
from engrave.music.drill import BlockFigures, Drill, LeapFigures, SourceNote
from engrave.music.units import fraction_text
from engrave.pipeline.drilling import Drilled
from engrave.remarks import Remark
from engrave.score import Score
from engrave.words import say

FORMAT = 2

_AT_ONCE = 40

Json = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class DrillFiles:
    """Where a drill was written, below the output folder; ``staves`` are those of one system."""

    musicxml: str
    svg: tuple[str, ...]
    staves: int
    systems: int
    midi: str = ""
    audio: str = ""


@dataclass(frozen=True, slots=True)
class Output:
    """A file that is ours: its path below the output folder, and the day of its lesson, if any."""

    path: str
    sha256: str
    lesson: str | None


@dataclass(frozen=True, slots=True)
class Whose:
    """The marks file, as seen from the output folder, and all files that are ours there."""

    marks: str
    outputs: Sequence[Output]


def manifest(
    whose: Whose,
    marks: Marks,
    score: Score,
    passages: Sequence[Drilled],
    files: Mapping[str, DrillFiles],
    places: Mapping[str, Mapping[str, Sequence[Place]]],
) -> Iterator[bytes]:
    """The manifest as UTF-8 JSON, piece by piece; ``places`` by edition, then by drill id."""
    head: Json = {
        "format": FORMAT,
        "marks": whose.marks,
        "piece": {
            "title": marks.piece.title or score.title,
            "composer": marks.piece.composer or score.composer,
            "movement": marks.piece.movement,
        },
        "score": {"file": score.file, "sha256": score.sha256},
        "passages": [_passage(each, _midi(each, files)) for each in passages],
    }
    yield _text(head).removesuffix("\n}").encode()
    drills = (_drill(drill, files[drill.id], places) for each in passages for drill in each.drills)
    yield from listed("drills", drills)
    yield from listed(
        "outputs",
        (
            {"path": each.path, "sha256": each.sha256, "lesson": each.lesson}
            for each in whose.outputs
        ),
    )
    yield b"\n}\n"


def listed(name: str, values: Iterable[Json]) -> Iterator[bytes]:
    """A list at the end of an object: of what it says of each, a few at a time are held.

    Not one: json leaves a little of every call behind that only Python's own looking finds.
    """
    yield f',\n "{name}": ['.encode()
    left, comma = iter(values), b""
    while some := list(islice(left, _AT_ONCE)):
        yield comma + _text(some)[1:-2].encode().replace(b"\n", b"\n ")
        comma = b","
    yield b"\n ]" if comma else b"]"


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1)


def _heard(midi: str, audio: str = "") -> Json:
    return {kind: file for kind, file in (("midi", midi), ("audio", audio)) if file}


def _passage(drilled: Drilled, midi: str) -> Json:
    passage = drilled.passage
    return {
        "id": passage.id,
        "number": passage.number,
        "measures": passage.label,
        "hands": list(passage.hands),
        "status": passage.status,
        "files": {"musicxml": f"passages/{passage.id}.musicxml", **_heard(midi)},
        "drills": [drill.id for drill in drilled.drills],
    }


def _midi(drilled: Drilled, files: Mapping[str, DrillFiles]) -> str:
    """The passage's MIDI file, where its drills have theirs."""
    return f"passages/{drilled.passage.id}.mid" if files[drilled.drills[0].id].midi else ""


def _drill(
    drill: Drill, files: DrillFiles, places: Mapping[str, Mapping[str, Sequence[Place]]]
) -> Json:
    return {
        "id": drill.id,
        "passage": drill.passage,
        "family": drill.family,
        "variant": drill.variant,
        "hand": drill.hand,
        "meter": str(drill.meter),
        "beat_unit": fraction_text(drill.ladder.beat_unit),
        "ladder": list(drill.ladder.marks),
        "reached": drill.ladder.reached,
        "days": [day and day.isoformat() for day in drill.ladder.days],
        "files": {
            "musicxml": files.musicxml,
            "svg": list(files.svg),
            **_heard(files.midi, files.audio),
        },
        "left_out": [say(Remark.of("left-out.sentence", items=(item,))) for item in drill.left_out],
        "staves": files.staves,
        "systems": files.systems,
        "places": {
            edition: [_place(place) for place in by_drill.get(drill.id, ())]
            for edition, by_drill in places.items()
        },
        "source": [_source(note) for note in drill.source],
        "written": [list(indices) for indices in drill.written],
        "fingers": drill.fingers,
        "beams": drill.beams,
        "pitches": drill.pitches,
        "stretch": fraction_text(drill.stretch),
        "complete": drill.complete,
        **{name: figures for name, figures in _figures(drill).items() if figures},
    }


def _figures(drill: Drill) -> Json:
    """What only the drills of some families have."""
    return {
        "pattern": list(drill.pattern),
        "octaves": drill.octaves,
        "leaps": [_leap(leap) for leap in drill.leaps],
        "blocks": [_block(block) for block in drill.blocks],
    }


def _source(note: SourceNote) -> Json:
    origins = {finger.origin for finger in note.fingers if finger}
    return {
        "measure": note.measure,
        "offset": fraction_text(note.offset),
        "hand": note.hand,
        "midi": [pitch.midi for pitch in note.pitches],
        "spelling": [pitch.spelling for pitch in note.pitches],
        "fingers": [finger.number if finger else None for finger in note.fingers],
        "fingers_from": next((o for o in ("marks", "score", "computed") if o in origins), None),
    }


def _place(place: Place) -> Json:
    return {
        "page": place.page,
        "x_mm": round(place.x_mm, 3),
        "y_mm": round(place.y_mm, 3),
        "width_mm": round(place.width_mm, 3),
        "height_mm": round(place.height_mm, 3),
    }


def _leap(leap: LeapFigures) -> Json:
    return {
        "from": leap.start,
        "to": leap.end,
        "moved_from": leap.moved_from.spelling,
        "moved_to": leap.moved_to.spelling,
        "distance_mm": round(leap.distance_mm, 1),
        "distance_keys": leap.distance_keys,
        "start_key": leap.start_key,
        "landing_key": leap.landing_key,
        "index_of_difficulty": round(leap.index_of_difficulty, 3),
        "flagged": leap.flagged,
        "whole": leap.whole,
    }


def _block(block: BlockFigures) -> Json:
    return {
        "source": list(block.source),
        "shift_mm": round(block.shift_mm, 1),
        "shift_white_keys": block.shift_white_keys,
    }
