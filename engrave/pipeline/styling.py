"""How a booklet is to be made, and the styles of page that this comes to.

Enters: marks, a ``Job``. Leaves: ``Styles``. Knows no music.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from engrave.booklet import FOLDED, PageStyle, page_style
from engrave.marks import Marks
from engrave.pipeline.screening import SCREEN

Printed = tuple[str, bool]
"""An edition, and whether the pages are those of a sheet to fold."""


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


@dataclass(frozen=True, slots=True)
class Styles:
    """``printed`` are those of the booklets on paper, ``plain`` that of the drills' own files."""

    plain: PageStyle
    printed: Mapping[Printed, PageStyle]

    @property
    def all(self) -> tuple[PageStyle, ...]:
        """All of them, the plain one first."""
        return self.plain, *self.printed.values()


def styles_of(marks: Marks, job: Job) -> Styles:
    """The styles of the editions asked for; files of their own are as the first printed one."""
    printed = {
        (edition, folded): page_style_of(marks, job, edition, folded)
        for edition in job.editions
        if edition != SCREEN
        for folded in ((False, True) if job.imposed else (False,))
    }
    first = next((edition for edition, _ in printed), "student")
    return Styles(page_style_of(marks, job, first), printed)


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
