"""The list of what happens: marks and score in, passages, drills, engravings, booklets out.

Enters: a marks file's path and a ``Job``. Leaves: ``Checked`` (nothing written) or a folder. All
mistakes of the marks file are raised together as ``Mistakes``.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from engrave.booklet import (
    FOLDED,
    STAND_IN,
    Book,
    PageStyle,
    Place,
    Terrain,
    bind,
    impose,
    load_press,
    page_style,
)
from engrave.cache import NO_CACHE, Cache
from engrave.engraver import Engraving, Style
from engrave.errors import EngraveError, Mistakes, Notice
from engrave.marks import Marks, PassageMark
from engrave.model import Drill, Remark
from engrave.pipeline import keeping
from engrave.pipeline.beside import Beside
from engrave.pipeline.contents import book
from engrave.pipeline.drilling import Drilled
from engrave.pipeline.manifest import DrillFiles, manifest
from engrave.pipeline.reading import read_checked_marks
from engrave.pipeline.terrain import terrain
from engrave.pipeline.writing import MARKER, write_folder
from engrave.score import Score
from engrave.second_reading import Difference, refusal, touched
from engrave.words import say, say_variant

Tell = Callable[[str], None]

MOST_ONSETS = 200_000
"""Of one booklet: some ten minutes' work."""


@dataclass(frozen=True, slots=True)
class Job:
    """How a booklet is to be made; None leaves it to the marks file, or to the edition."""

    editions: tuple[str, ...] = ("student",)
    paper: str | None = None
    language: str | None = None
    staff_mm: float | None = None
    imposed: bool = False


@dataclass(frozen=True, slots=True)
class Checked:
    """A marks file that can be built: its score, and the drills it makes."""

    marks: Marks
    score: Score
    passages: tuple[Drilled, ...]
    notices: tuple[Notice, ...] = field(default=())

    @property
    def drills(self) -> tuple[Drill, ...]:
        """All drills, in the order of the booklet."""
        return tuple(each for drilled in self.passages for each in drilled.drills)


def check(path: Path, tell: Tell = lambda _: None, cache: Cache = NO_CACHE) -> Checked:
    """Everything short of engraving; raises ``Mistakes`` with all that is wrong."""
    tell("marks")
    marks = read_checked_marks(path)
    tell("score")
    try:
        score, differences = keeping.read_score(marks, cache)
    except EngraveError as error:
        raise Mistakes([error]) from error
    tell("drills")
    passages: list[Drilled] = []
    errors: list[EngraveError] = []
    onsets = 0
    for mark in marks.passages:
        if mark.status == "done":
            continue
        try:
            passages.append(keeping.drill_passage(mark, marks, score, cache))
            _refuse_doubtful(mark, score, differences)
        except Mistakes as mistakes:
            errors += mistakes.errors
            continue
        onsets += sum(len(each.written) for each in passages[-1].drills)
        if onsets > MOST_ONSETS:
            raise Mistakes([*errors, _too_long(mark)])
    if errors:
        raise Mistakes(errors)
    if not passages:
        raise Mistakes([_all_done(marks)])
    notices = (*score.notices, *(notice for each in passages for notice in each.notices))
    return Checked(marks, score, tuple(passages), notices)


def _refuse_doubtful(mark: PassageMark, score: Score, differences: Sequence[Difference]) -> None:
    """No drill is made of measures in which two readers of the score find different notes."""
    if not differences:
        return
    from engrave.score import locate

    here = touched(differences, *locate(score, mark.measures.value))
    if here:
        raise Mistakes([refusal(here).at(mark.measures.source)])


def _too_long(mark: PassageMark) -> EngraveError:
    return EngraveError(
        f"with this passage the booklet has more than {MOST_ONSETS:,} onsets to engrave",
        mark.source,
        "spread the passages over several marks files",
    )


def _all_done(marks: Marks) -> EngraveError:
    return EngraveError(
        "every passage is done: there is nothing left to print",
        marks.passages[0].source,
        "mark a passage as learning or warm-up",
    )


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
    checked = check(path, tell, cache)
    name = path.stem
    printed = {edition: page_style_of(checked.marks, job, edition) for edition in job.editions}
    folded = {
        edition: page_style_of(checked.marks, job, edition, folded=True)
        for edition in job.editions
        if job.imposed
    }
    styles = (*printed.values(), *folded.values())
    tell("engraving")
    with (
        Beside(partial(_music, checked, styles, cache), alone) as engraved,
        Beside(partial(_terrains, checked, styles, cache), alone) as surveyed,
    ):
        files = notation(checked, cache)
        load_press()
        music, terrains = engraved.value(), surveyed.value()
    places: dict[str, Mapping[str, Sequence[Place]]] = {}
    missing: set[str] = set()
    for edition, style in printed.items():
        tell(f"booklet, {edition}")
        bound = bind(_book(checked, music[style], terrains[style]), style)
        files[f"{name}-{edition}.pdf"] = bound.pdf
        places[edition] = bound.places
        missing.update(bound.missing)
        if half := folded.get(edition):
            bound = bind(_book(checked, music[half], terrains[half]), half)
            files[f"{name}-{edition}-imposed.pdf"] = impose(bound.pdf)
    listed = _list_pictures(music[styles[0]], files)
    files[MARKER] = manifest(checked.marks, checked.score, checked.passages, listed, places)
    tell("writing")
    write_folder(out / name, files, lambda entry: _is_ours(name, entry))
    cache.trim()
    return replace(checked, notices=(*checked.notices, *_unprinted(missing, checked.marks)))


def _unprinted(missing: Iterable[str], marks: Marks) -> Iterator[Notice]:
    """Characters of the marks or of the score that stand nowhere in the booklet."""
    for each in sorted(missing):
        yield Notice(
            f"no font on this machine has {each!r} (U+{ord(each):04X}): {STAND_IN} is printed",
            marks.source,
        )


def notation(checked: Checked, cache: Cache) -> dict[str, bytes]:
    """The MusicXML of every drill and passage, by its file's name."""
    files: dict[str, bytes] = {}
    for drilled in checked.passages:
        passage = drilled.passage
        sheets = {
            f"drills/{each.id}.musicxml": (each.sheet, _title(checked, each))
            for each in drilled.drills
        }
        sheets[f"passages/{passage.id}.musicxml"] = (passage.sheet, passage.label)
        files.update(keeping.notate(sheets, cache))
    return files


def engravings_of(
    drills: Sequence[Drill], marks: Marks, style: PageStyle, cache: Cache
) -> dict[str, Engraving]:
    """The engravings by drill id; raises ``Mistakes`` at the passage that cannot be engraved."""
    page = _engraved_as(style)
    engravings = {}
    for each in drills:
        try:
            engravings[each.id] = keeping.engrave_sheet(each.sheet, page, cache)
        except EngraveError as error:
            source = next(mark.source for mark in marks.passages if mark.id == each.passage)
            raise Mistakes([error.at(source)]) from error
    return engravings


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


def _music(
    checked: Checked, styles: Iterable[PageStyle], cache: Cache
) -> dict[PageStyle, dict[str, Engraving]]:
    """The engravings of every style; what is engraved alike is engraved once."""
    found: dict[Style, dict[str, Engraving]] = {}
    for page in styles:
        style = _engraved_as(page)
        if style not in found:
            found[style] = engravings_of(checked.drills, checked.marks, page, cache)
    cache.trim()
    return {page: found[_engraved_as(page)] for page in styles}


def _terrains(
    checked: Checked, styles: Iterable[PageStyle], cache: Cache
) -> dict[PageStyle, Terrain]:
    """The piece as a strip, for every style."""
    made = {
        style: terrain(
            checked.marks,
            checked.score,
            checked.passages,
            style.music_width_mm,
            style.language,
            cache,
        )
        for style in styles
    }
    cache.trim()
    return made


def _book(checked: Checked, music: Mapping[str, Engraving], strip: Terrain) -> Book:
    return book(checked.marks, checked.score, checked.passages, music, strip)


def _engraved_as(page: PageStyle) -> Style:
    return Style(page.staff_mm, page.music_width_mm, page.music_height_mm)


def _title(checked: Checked, each: Drill) -> str:
    piece = checked.marks.piece.title or checked.score.title
    variant = say_variant(each.family, each.variant)
    return f"{piece}: {say(Remark.of(f'family.{each.family}'))}, {variant}"


def _list_pictures(
    engravings: Mapping[str, Engraving], files: dict[str, bytes]
) -> dict[str, DrillFiles]:
    """Add every picture to ``files``: ``drills/ID.svg``, then ``ID-2.svg`` where there are more."""
    listed = {}
    for id, engraving in engravings.items():
        names = []
        for number, picture in enumerate(engraving.pictures, 1):
            names.append(f"drills/{id}.svg" if number == 1 else f"drills/{id}-{number}.svg")
            files[names[-1]] = picture.svg
        systems = sum(picture.systems for picture in engraving.pictures)
        listed[id] = DrillFiles(
            f"drills/{id}.musicxml",
            tuple(names),
            sum(picture.staves for picture in engraving.pictures) // systems,
            systems,
        )
    return listed


def _is_ours(name: str, entry: str) -> bool:
    return entry in ("drills", "passages", MARKER) or (
        entry.startswith(f"{name}-") and entry.endswith(".pdf")
    )
