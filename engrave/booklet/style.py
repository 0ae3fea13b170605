"""Paper, margins and staff height of every edition, in millimetres.

The engraver needs the width of the music before there is a page, so it stands here and is handed to
the style sheet; all else about the page is in ``templates/*.css``.
"""

from dataclasses import dataclass
from math import ceil

from engrave.booklet.editions import SMALL, Edition, Says


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet, upright. A4 and A5 by ISO 216; Letter is 8.5 by 11 inches, half of it 5.5 by 8.5."""

    width_mm: float
    height_mm: float


PAPERS: dict[str, Paper] = {
    "a4": Paper(210, 297),
    "letter": Paper(215.9, 279.4),
    "a5": Paper(148, 210),
    "half-letter": Paper(139.7, 215.9),
}

FOLDED = {"a4": "a5", "letter": "half-letter"}
"""The page that two of make a sheet of paper, for a booklet that is folded."""

TEMPO_NOTE_MM = 10.0
"""Room before a tempo row, where the note stands that names the beat."""
TEMPO_EDGE_MM = 0.8
"""Both edges of a tempo row, as wide as a heavy frame's stroke reaches."""


CHARACTER_MM, LINE_MM = 1.65, 4.94
"""An average character of a text of one rem on large paper, and its line, in millimetres."""
GUTTER_MM = 6.0
SHORTEST_LINE = 34
"""Characters that a column of text needs in a line."""


@dataclass(frozen=True, slots=True)
class TempoBox:
    """One box of a tempo row, in millimetres: its ``figures`` are so high, ``dated`` boxes have a
    line for the date.
    """

    width: float
    height: float
    figures: float
    dated: bool


@dataclass(frozen=True, slots=True)
class TableBox(TempoBox):
    """A cell of a table of boxes, in millimetres; ``head`` is the height of the row of marks,
    ``label`` the width before the cells, ``table`` that of the whole, in ``columns``."""

    head: float
    label: float
    columns: int
    table: float


@dataclass(frozen=True, slots=True)
class PageStyle:
    """One edition on one paper in one language; ``named`` prints the student's name."""

    edition: Edition
    paper: Paper
    language: str
    staff_mm: float
    named: bool
    top_mm: float
    bottom_mm: float
    inner_mm: float
    outer_mm: float

    def says(self, what: str) -> bool:
        """Whether the edition says this of a passage (``editions.Says``)."""
        return Says(what) in self.edition.traits.says

    @property
    def music_width_mm(self) -> float:
        """Width of the text block, and of the widest system."""
        return self.paper.width_mm - self.inner_mm - self.outer_mm

    @property
    def text_height_mm(self) -> float:
        """Height of the text block."""
        return self.paper.height_mm - self.top_mm - self.bottom_mm

    @property
    def music_height_mm(self) -> float:
        """The most that one picture of music may take of a page: headings and boxes go with it.

        On folded paper nothing: each system is a picture, so that a drill may go on across an
        opening, whose two pages are sure to lie side by side.
        """
        return 0 if self.small else self.text_height_mm - 45

    @property
    def is_spread(self) -> bool:
        """Whether what is left at the foot of a page goes between its blocks in any case."""
        return self.small or self.edition.traits.is_spread

    @property
    def tempo_box(self) -> TempoBox:
        """The box that fits the edition: nine, the usual ladder, in a row on any paper."""
        dated = self.edition.traits.is_dated
        height = 10.5 if dated else 5.7
        return (
            TempoBox(11.1, height, 3.3, dated) if self.small else TempoBox(15, height, 3.8, dated)
        )

    def table_box(self, marks: int, label_mm: float) -> "TableBox":
        """The cells of a table of boxes for a ladder of so many ``marks``."""
        dated = self.edition.traits.is_dated
        room = self.music_width_mm - label_mm - TEMPO_EDGE_MM
        least, most = (8.2, 11.1) if self.small else (10.5, 15.0)
        bands = -(-marks // max(1, int(room // least)))
        columns = -(-marks // bands)
        width = min(most, room / columns)
        return TableBox(
            width=width,
            height=6.4 if dated else 5.2,
            figures=3.1 if self.small else 3.4,
            dated=dated,
            head=5.0,
            label=label_mm,
            columns=columns,
            table=label_mm + columns * width + TEMPO_EDGE_MM,
        )

    def tempo_boxes_a_row(self, marks: int) -> int:
        """How many boxes stand in each row of a ladder of ``marks``: rows as even as can be."""
        most = int((self.music_width_mm - TEMPO_NOTE_MM - TEMPO_EDGE_MM) // self.tempo_box.width)
        return -(-marks // -(-marks // most))

    def tempo_width_mm(self, marks: int) -> float:
        """Width of the rows of a ladder of ``marks``, with the note that names the beat."""
        boxes = self.tempo_boxes_a_row(marks) * self.tempo_box.width
        return TEMPO_NOTE_MM + boxes + TEMPO_EDGE_MM

    def is_shorter_beside(
        self, characters: int, size_rem: float, width_mm: float, height_mm: float
    ) -> bool:
        """Whether a text takes less of the page beside a picture than below it, by estimate."""
        rem = size_rem * (0.86 if self.small else 1)
        room = self.music_width_mm - width_mm - GUTTER_MM

        def height(column_mm: float) -> float:
            return ceil(characters * CHARACTER_MM * rem / column_mm) * LINE_MM * rem

        wide_enough = room >= SHORTEST_LINE * CHARACTER_MM * rem
        return wide_enough and height(room) <= height_mm + height(self.music_width_mm)

    @property
    def small(self) -> bool:
        """Whether the page is of folded paper, with margins and text to match."""
        return self.paper.width_mm < 180


def page_style(
    edition: str = Edition.STUDENT,
    paper: str = "a4",
    language: str = "en",
    staff_mm: float | None = None,
    named: bool | None = None,
) -> PageStyle:
    """The style of ``edition`` on ``paper`` ("a4", "letter", "a5", "half-letter").

    ``named`` prints the student's name, or not, whatever the edition usually does.
    """
    kind, sheet = Edition(edition), PAPERS[paper]
    traits = kind.traits
    top, bottom, inner, outer = SMALL if sheet.width_mm < 180 else traits.margins_mm
    return PageStyle(
        edition=kind,
        paper=sheet,
        language=language,
        staff_mm=traits.staff_mm if staff_mm is None else staff_mm,
        named=traits.is_named if named is None else named,
        top_mm=top,
        bottom_mm=bottom,
        inner_mm=inner,
        outer_mm=outer,
    )
