"""The list of what happens: marks and score in, passages, drills, engravings, booklets out.

Enters: a marks file's path and a ``Job``. Leaves: ``Checked`` (nothing written) or a folder. All
mistakes of the marks file are raised together as ``Mistakes``.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from engrave.assembly import assemble
from engrave.booklet import (
    FOLDED,
    Book,
    Bound,
    DrillPage,
    PageStyle,
    PassagePages,
    Place,
    bind,
    impose,
    page_style,
)
from engrave.engraver import Engraving, Style, engrave
from engrave.errors import EngraveError, Mistakes, Notice
from engrave.fingering.notes import fingering_notes
from engrave.marks import Marks, PassageMark, read_marks
from engrave.marks.schema import WEEKDAYS
from engrave.model import Drill, Remark
from engrave.notation import musicxml
from engrave.passage import Passage
from engrave.pipeline.drilling import Drilled, drill
from engrave.pipeline.manifest import DrillFiles, manifest
from engrave.pipeline.writing import MARKER, write_folder
from engrave.positions import positions
from engrave.score import Score, read_score
from engrave.words import say, say_variant

Tell = Callable[[str], None]


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


def check(path: Path, tell: Tell = lambda _: None) -> Checked:
    """Everything short of engraving; raises ``Mistakes`` with all that is wrong."""
    tell("marks")
    marks = read_marks(path)
    tell("score")
    part = marks.part.value if marks.part else None
    try:
        score = read_score(marks.score.value, part=part, movement=marks.piece.movement)
    except EngraveError as error:
        place = marks.part.source if marks.part and "part" in error.message else marks.score.source
        raise Mistakes([error.at(place)]) from error
    tell("drills")
    passages: list[Drilled] = []
    errors: list[EngraveError] = []
    for mark in marks.passages:
        if mark.status == "done":
            continue
        try:
            passages.append(drill(assemble(mark, marks, score)))
        except Mistakes as mistakes:
            errors += mistakes.errors
    if errors:
        raise Mistakes(errors)
    if not passages:
        raise Mistakes([_all_done(marks)])
    notices = (*score.notices, *(notice for each in passages for notice in each.notices))
    return Checked(marks, score, tuple(passages), notices)


def _all_done(marks: Marks) -> EngraveError:
    return EngraveError(
        "every passage is done: there is nothing left to print",
        marks.passages[0].source,
        "mark a passage as learning or warm-up",
    )


def build(path: Path, out: Path, job: Job = Job(), tell: Tell = lambda _: None) -> Checked:
    """Make the booklet of a marks file in ``out/NAME/``, NAME being the file's own."""
    checked = check(path, tell)
    name = path.stem
    tell("notation")
    scores = {each.id: musicxml(each.sheet, title=_title(checked, each)) for each in checked.drills}
    files: dict[str, bytes] = {f"drills/{id}.musicxml": score for id, score in scores.items()}
    for drilled in checked.passages:
        passage = drilled.passage
        files[f"passages/{passage.id}.musicxml"] = musicxml(passage.sheet, title=passage.label)
    places: dict[str, Mapping[str, Sequence[Place]]] = {}
    listed: dict[str, DrillFiles] = {}
    for edition in job.editions:
        style = _page_style(checked.marks, job, edition)
        engravings, bound = _print(checked, style, tell)
        listed = listed or _list_pictures(engravings, files)
        files[f"{name}-{edition}.pdf"] = bound.pdf
        places[edition] = bound.places
        if job.imposed:
            folded = _page_style(checked.marks, job, edition, folded=True)
            files[f"{name}-{edition}-imposed.pdf"] = impose(_print(checked, folded, tell)[1].pdf)
    files[MARKER] = manifest(checked.marks, checked.score, checked.passages, listed, places)
    tell("writing")
    write_folder(out / name, files, lambda entry: _is_ours(name, entry))
    return checked


def _print(checked: Checked, style: PageStyle, tell: Tell) -> tuple[Mapping[str, Engraving], Bound]:
    tell(f"engraving, {style.edition}")
    engravings = {each.id: _engrave(each, style, checked) for each in checked.drills}
    tell(f"booklet, {style.edition}")
    return engravings, bind(book(checked, engravings), style)


def _title(checked: Checked, each: Drill) -> str:
    piece = checked.marks.piece.title or checked.score.title
    variant = say_variant(each.family, each.variant)
    return f"{piece}: {say(Remark.of(f'family.{each.family}'))}, {variant}"


def _page_style(marks: Marks, job: Job, edition: str, folded: bool = False) -> PageStyle:
    """The style of an edition; ``folded`` for half the paper, two pages a side."""
    paper = job.paper or marks.paper
    return page_style(
        edition,
        FOLDED[paper] if folded else paper,
        job.language or marks.language,
        job.staff_mm or marks.staff_mm,
        True if marks.show_student else None,
    )


def _engrave(each: Drill, style: PageStyle, checked: Checked) -> Engraving:
    try:
        return engrave(
            each.sheet, Style(style.staff_mm, style.music_width_mm, style.music_height_mm)
        )
    except EngraveError as error:
        raise Mistakes([error.at(_mark(checked.marks, each.passage).source)]) from error


def _mark(marks: Marks, id: str) -> PassageMark:
    return next(mark for mark in marks.passages if mark.id == id)


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


def book(checked: Checked, engravings: Mapping[str, Engraving]) -> Book:
    """The booklet's content: the checked passages with their pictures."""
    marks, score = checked.marks, checked.score

    def page(each: Drill) -> DrillPage:
        return DrillPage(each, engravings[each.id].pictures)

    return Book(
        title=marks.piece.title or score.title,
        composer=marks.piece.composer or score.composer,
        movement=str(marks.piece.movement or ""),
        student=marks.student.name,
        teacher=marks.teacher,
        performance=marks.performance.value if marks.performance else None,
        minutes_a_day=marks.practice.minutes_a_day or 30,
        rest_days=tuple(WEEKDAYS[day] for day in marks.practice.rest_days),
        passages=tuple(
            PassagePages(
                passage=drilled.passage,
                written=page(drilled.written),
                drills=tuple(page(each) for each in drilled.drills[1:]),
                notes=tuple(_notes(drilled.passage)),
            )
            for drilled in checked.passages
        ),
    )


def _notes(passage: Passage) -> list[Remark]:
    return [
        remark
        for hand in passage.hands
        for remark in fingering_notes(
            passage.lines[hand],
            positions(passage.lines[hand], hand, passage.stretch_mm[hand]),
            hand,
        )
    ]


def _is_ours(name: str, entry: str) -> bool:
    return entry in ("drills", "passages", MARKER) or (
        entry.startswith(f"{name}-") and entry.endswith(".pdf")
    )
