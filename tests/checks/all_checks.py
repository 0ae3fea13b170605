"""All checks of a folder that a build wrote, in one call."""

from collections.abc import Iterator
from pathlib import Path

from tests.checks.figures import figure_findings
from tests.checks.grid import grid_findings
from tests.checks.manifest import DrillEntry, Output, manifest_findings, read_output
from tests.checks.measures import beam_findings, fullness_findings, value_findings
from tests.checks.pages import page_findings
from tests.checks.pictures import picture_findings
from tests.checks.rawxml import read_raw
from tests.checks.readback import finger_findings, pitch_findings, read_with_partitura
from tests.checks.rhythms import rhythm_findings
from tests.checks.schema import schema_findings
from tests.checks.sources import (
    ScoreReading,
    completeness_findings,
    read_score,
    source_findings,
)
from tests.checks.timemap import timemap_findings


def music_findings(drill: DrillEntry, score: ScoreReading) -> Iterator[str]:
    """What can be wrong with a drill's MusicXML."""
    path = drill.musicxml
    broken = schema_findings(path)
    yield from broken
    if broken:
        return
    parts = read_raw(path)
    heard = read_with_partitura(path)
    named = [
        *fullness_findings(parts, score.irregular),
        *value_findings(parts),
        *beam_findings(parts, drill.beams == "beats"),
    ]
    yield from (f"{drill.id}: {text}" for text in named)
    if drill.pitches == "source":
        yield from pitch_findings(drill, heard)
    else:
        yield from grid_findings(drill, heard, score)
    yield from finger_findings(drill, heard)
    yield from source_findings(drill, score)
    yield from timemap_findings(path, parts)
    if drill.complete and drill.hand == "both":
        yield from completeness_findings(drill, score)
    if drill.pattern:
        yield from rhythm_findings(drill, heard, score)


def cut_findings(path: Path, score: ScoreReading) -> Iterator[str]:
    """What can be wrong with the MusicXML of a passage as it was cut."""
    broken = schema_findings(path)
    yield from broken
    if broken:
        return
    parts = read_raw(path)
    named = [
        *fullness_findings(parts, score.irregular),
        *value_findings(parts),
        *beam_findings(parts, by_beat=False),
    ]
    yield from (f"{path.name}: {text}" for text in named)
    yield from timemap_findings(path, parts)


def output_findings(folder: Path, score: Path, part: str = "") -> list[str]:
    """Everything there is to find in ``folder``, built from ``score``'s ``part``."""
    output = read_output(folder)
    reading = read_score(score, part)
    return [
        *manifest_findings(output),
        *(finding for drill in output.drills for finding in music_findings(drill, reading)),
        *(
            finding
            for path in sorted((folder / "passages").glob("*.musicxml"))
            for finding in cut_findings(path, reading)
        ),
        *(
            finding
            for drill, raw in zip(output.drills, output.manifest["drills"], strict=True)
            for finding in figure_findings(drill, raw)
        ),
        *(finding for drill in output.drills for finding in picture_findings(drill)),
        *(finding for edition in editions(output) for finding in page_findings(output, edition)),
    ]


def editions(output: Output) -> list[str]:
    """The editions that were built, by their PDFs' names; sheets for folding are none."""
    stems = (path.stem for path in sorted(output.folder.glob(f"{output.name}-*.pdf")))
    return [stem.removeprefix(f"{output.name}-") for stem in stems if not stem.endswith("-imposed")]
