"""The list of what happens: marks and score in, passages, drills, engravings, booklets out.

Enters: a marks file's path and a ``Job``. Leaves: a folder. All mistakes of the marks file are
raised together as ``Mistakes``.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from engrave.booklet import (
    FOLDED,
    STAND_IN,
    Book,
    PageStyle,
    Place,
    bind,
    impose,
    load_press,
    page_style,
)
from engrave.errors import Notice, counted
from engrave.machine.beside import Beside
from engrave.machine.cache import NO_CACHE, Cache
from engrave.machine.writing import Change, write_folder
from engrave.marks import Marks
from engrave.pipeline.checking import Checked, Tell, drilled, read
from engrave.pipeline.contents import book
from engrave.pipeline.drawing import Music, list_pictures, music_of, notation, terrains_of
from engrave.pipeline.fitting import fitted
from engrave.pipeline.manifest import Output, Whose, manifest
from engrave.pipeline.overview import NAME as OVERVIEW
from engrave.pipeline.overview import overview
from engrave.pipeline.ownership import BOOKLETS, Owner, change_of, output_name, refuse_others
from engrave.pipeline.screening import SCREEN, screen_page, screens_of
from engrave.pipeline.sounding import audio_files, midi_files, unheard
from engrave.pipeline.telling import progress_of
from engrave.pipeline.terrain import survey_piece
from engrave.sound import refuse_without_audio


@dataclass(frozen=True, slots=True)
class Job:
    """How a booklet is to be made; None leaves it to the marks file, or to the edition."""

    editions: tuple[str, ...] = ("student",)
    paper: str | None = None
    language: str | None = None
    staff_mm: float | None = None
    imposed: bool = False
    sound: bool = False
    audio: bool = False


def build(
    path: Path,
    out: Path,
    job: Job = Job(),
    tell: Tell = lambda _: None,
    cache: Cache = NO_CACHE,
    alone: bool = False,
) -> Checked:
    """Make the booklet of a marks file in ``out/NAME/``, NAME being the file's own.

    ``alone``: in this process alone, as others have work already.
    """
    if job.audio:
        refuse_without_audio()
    name = output_name(path)
    folder = out / name
    found = read(path, tell, cache)
    owner = Owner(path, found.marks.lesson.value if found.marks.lesson else None)
    refuse_others(folder, owner)
    styles = page_styles(found.marks, job)
    plain = page_style_of(found.marks, job, next((edition for edition, _ in styles), "student"))
    with Beside(partial(survey_piece, found.marks, found.score, cache), alone) as surveyed:
        checked = drilled(found, tell, cache)
        tell("engraving")
        with Beside(
            partial(music_of, checked, (plain, *styles.values()), cache), alone
        ) as engraved:
            files = notation(checked, cache)
            if job.sound or checked.marks.sound:
                files.update(midi_files(checked, cache))
            if job.audio:
                files.update(audio_files(checked, cache))
            if styles:
                load_press()
            terrains = terrains_of(checked, (plain, *styles.values()), cache, surveyed.value)
            music = engraved.value()

    def content_of(checked: Checked, style: PageStyle) -> Book:
        return book(
            checked.marks,
            checked.score,
            checked.passages,
            music[style],
            terrains[style],
            progress_of(checked, style.language),
        )

    if checked.marks.pages and styles:
        checked = _fitted(checked, next(iter(styles.values())), content_of, music)
        files = {each: content for each, content in files.items() if _is_kept(each, checked)}
    kept = {each.id for each in checked.drills}
    pictures = {id: engraving for id, engraving in music[plain].items() if id in kept}
    listed = list_pictures(pictures, files)
    places: dict[str, Mapping[str, Sequence[Place]]] = {}
    missing: set[str] = set()
    with Beside(
        partial(screens_of, checked, cache), alone or SCREEN not in job.editions
    ) as screens:
        for (edition, folded), style in styles.items():
            tell(f"booklet, {edition}")
            bound = bind(content_of(checked, style), style)
            missing.update(bound.missing)
            if folded:
                files[f"{name}-{edition}-imposed.pdf"] = impose(bound.pdf)
            else:
                files[f"{name}-{edition}.pdf"] = bound.pdf
                places[edition] = bound.places
        if SCREEN in job.editions:
            tell(f"booklet, {SCREEN}")
            content = book(checked.marks, checked.score, checked.passages, music[plain])
            files[f"{name}-{SCREEN}.html"] = screen_page(
                checked, content, plain, screens.value(), name
            )
    language = job.language or checked.marks.language
    files[OVERVIEW] = overview(checked, name, language, files, listed, places)
    tell("writing")

    def listing(outputs: Sequence[Output]) -> bytes:
        whose = Whose(owner.seen_from(folder), outputs)
        return manifest(whose, checked.marks, checked.score, checked.passages, listed, places)

    told = [*unheard(checked)] if job.sound or job.audio or checked.marks.sound else []
    gone: list[str] = []

    def decide(there: Path) -> Change:
        change = change_of(there, owner, files, listing, told.append)
        gone.extend(
            each for each, to in change.moved.items() if not to and each not in change.files
        )
        return change

    write_folder(folder, decide)
    cache.trim()
    notices = (*checked.notices, *_unprinted(missing, checked.marks), *told)
    return replace(checked, notices=notices, made=_made(checked, folder, files, len(gone)))


def _fitted(
    checked: Checked,
    style: PageStyle,
    content_of: Callable[[Checked, PageStyle], Book],
    music: Mapping[PageStyle, Music],
) -> Checked:
    """With so few drills that the booklet keeps to the pages that the marks allow it."""
    assert checked.marks.pages
    heights = {
        id: sum(picture.height_mm for picture in engraving.pictures)
        for id, engraving in music[style].items()
    }
    return fitted(
        checked,
        checked.marks.pages,
        style.text_height_mm,
        heights,
        lambda less: bind(content_of(less, style), style).pages,
    )


def _is_kept(file: str, checked: Checked) -> bool:
    """Whether a file is no drill's, or that of one that is made."""
    folder, _, name = file.partition("/")
    ids = {each.id for each in checked.drills}
    return folder != "drills" or name.rpartition(".")[0] in ids


def _made(checked: Checked, folder: Path, files: Iterable[str], gone: int) -> str:
    """What was made and where, in one line."""
    booklets = [
        str(folder / each) for each in files if each.endswith(BOOKLETS) and each != OVERVIEW
    ]
    said = [
        counted(len(checked.passages), "passage"),
        counted(len(checked.drills), "drill"),
        *([f"{counted(gone, 'file')} of drills no longer made taken away"] if gone else []),
    ]
    return f"{', '.join(booklets) or folder}: {', '.join(said)}"


def page_styles(marks: Marks, job: Job) -> dict[tuple[str, bool], PageStyle]:
    """The styles by printed edition, and whether the pages are those of a sheet to fold."""
    return {
        (edition, folded): page_style_of(marks, job, edition, folded)
        for edition in job.editions
        if edition != SCREEN
        for folded in ((False, True) if job.imposed else (False,))
    }


def page_style_of(marks: Marks, job: Job, edition: str, folded: bool = False) -> PageStyle:
    """The style of an edition; ``folded`` for half the paper, two pages a side."""
    paper = job.paper or marks.paper
    return page_style(
        edition,
        FOLDED[paper] if folded else paper,
        job.language or marks.language,
        job.staff_mm or marks.staff_mm,
        True if marks.show_student else None,
    )


def _unprinted(missing: Iterable[str], marks: Marks) -> Iterator[Notice]:
    """Characters of the marks or of the score that stand nowhere in the booklet."""
    for each in sorted(missing):
        yield Notice(
            f"no font on this machine has {each!r} (U+{ord(each):04X}): {STAND_IN} is printed",
            marks.source,
        )
