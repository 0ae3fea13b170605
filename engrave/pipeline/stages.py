"""The list of what happens: read, drill, write, engrave, bind, exchange.

Enters: a marks file's path and a ``Job``. Leaves: a folder. All mistakes of the marks file are
raised together as ``Mistakes``.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from engrave.booklet import load_press, load_templates
from engrave.engraver import load_verovio
from engrave.machine.cache import NO_CACHE, Cache
from engrave.machine.packed import PackedFiles
from engrave.pipeline.binding import Engraved, bind_all, fit
from engrave.pipeline.checking import Checked, Read, drill, read
from engrave.pipeline.drawing import Drawn, engraving, notation, terrains_of
from engrave.pipeline.exchanging import destination, exchange
from engrave.pipeline.holding import without_music
from engrave.pipeline.means import Means, Tell, silent
from engrave.pipeline.ownership import output_name
from engrave.pipeline.screening import SCREEN, drill_on_screen
from engrave.pipeline.sounding import audio_files, midi_files
from engrave.pipeline.styling import Job, Styles, styles_of
from engrave.pipeline.terrain import surveying
from engrave.sound import refuse_without_audio

if TYPE_CHECKING:
    from engrave.survey import Terrain

FEW = 8
"""Passages that are drilled in the time that a survey takes."""


def build(
    path: Path,
    out: Path,
    job: Job = Job(),
    tell: Tell = silent,
    cache: Cache = NO_CACHE,
    alone: bool = False,
) -> Checked:
    """Make the booklet of a marks file in ``out/NAME/``, NAME being the file's own.

    ``alone``: in this process alone, as others have work already; else the piece is surveyed while
    passages are drilled, and drills are engraved while they are written, where that was not kept.
    """
    if job.audio:
        refuse_without_audio()
    name, means = output_name(path), Means(tell, cache, alone)
    opened = read(path, means, None if alone else load_all)
    to = destination(path, out / name, opened.marks)
    styles = styles_of(opened.marks, job)
    checked, files, drawn = _made(opened, styles, job, means)
    checked, first = fit(checked, drawn, means)
    booklets = bind_all(checked, drawn, first, name, means)
    tell("writing")
    made = exchange(checked, to, files, drawn, booklets, job)
    cache.trim()
    return made


def _made(
    opened: Read, styles: Styles, job: Job, means: Means
) -> tuple[Checked, PackedFiles, Engraved]:
    """What there is to bind; the drills' music is let go."""
    cache, alone = means.cache, means.alone
    with surveying(opened.marks, opened.score, cache, alone) as terrain:
        few = len(opened.marks.passages) <= FEW  # the survey keeps the other process as long
        checked = drill(opened, replace(means, alone=alone or few))
        means.tell("engraving")
        language = styles.plain.language
        on_screen = SCREEN in job.editions and partial(
            drill_on_screen, marks=opened.marks, language=language, cache=cache
        )
        with engraving(checked, styles.all, cache, alone, on_screen or None) as drawing:
            files = write(checked, job, cache)
            drawn = engrave(checked, styles, drawing, terrain, cache)
    return without_music(checked), files, drawn


def load_all() -> None:
    """Load what a first build takes, but for what reads scores."""
    from engrave.passage import assembly  # noqa: F401
    from engrave.survey import picture, surveying  # noqa: F401

    load_press()
    load_templates()
    load_verovio()


def write(checked: Checked, job: Job, cache: Cache) -> PackedFiles:
    """The notation of every drill and passage and, where asked for, their sound, by file."""
    files = notation(checked, cache)
    if job.sound or checked.marks.sound:
        files.add(midi_files(checked, cache))
    if job.audio:
        files.add(audio_files(checked, cache))
    return files


def engrave(
    checked: Checked,
    styles: Styles,
    drawing: Callable[[], Drawn],
    terrain: "Callable[[], Terrain]",
    cache: Cache,
) -> Engraved:
    """Everything that is drawn, with what prints loaded while drills are still engraved."""
    if styles.printed:
        load_press()
    terrains = terrains_of(checked, styles.all, cache, terrain)
    return Engraved(styles, drawing(), terrains)
