"""A book is set: the edition's template filled with the book, in one language.

Enters: a ``Book`` and a ``PageStyle``. Leaves: HTML, and the SVG that it names. Everything is
escaped, and a name that the template misspells is an error.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType
from typing import Any

from engrave.booklet import page_numbers
from engrave.booklet.book import Book, DrillPage, FamilyPages, PassagePages
from engrave.booklet.guarding import sweep
from engrave.booklet.need import PassageNeed
from engrave.booklet.pictures import Pictures
from engrave.booklet.plan import Plan, plan
from engrave.booklet.rows import (
    BoxRow,
    BoxTable,
    box_tables,
    column_mm,
    drill_rows,
    lowered_mm,
)
from engrave.booklet.said import all_said_of
from engrave.booklet.signs import note_sign
from engrave.booklet.style import PageStyle
from engrave.booklet.templates import environment
from engrave.log.picture import MarksPicture, marks_picture
from engrave.music.drill import Ladder
from engrave.remarks import Remark
from engrave.words import listed, say, say_family, say_measures, say_variant, words

LABEL_MM, LABEL_SMALL_MM = 24.0, 21.0
"""Before a table of boxes: the drill's number, or that the row is the passage as written."""

LONG_CONTENTS = 6
"""Passages beyond which the contents are set close, each in one line: else two or three lines of
them would stand alone on a second page."""

LONG = 28
"""Characters of a passage's heading that is set smaller, and all of the booklet with it."""

_SWEPT_EVERY = 1000


class Setting:
    """One book in one style. ``pictures`` grows while ``html`` is made.

    ``page_of_target`` is what the style sheet says for the number of the page that a link leads to.
    ``is_close``: the rows of the practice plan are to be set closer.
    """

    def __init__(
        self, book: Book, style: PageStyle, page_of_target: str = page_numbers.AS_CSS
    ) -> None:
        self._page_of_target, self.is_close = page_of_target, False
        self.book, self.style, self.language = book, style, style.language
        self.pictures = Pictures(
            {
                f"{address}-{index}": picture
                for address, page in book.addresses()
                for index, picture in enumerate(page.pictures, start=1)
            }
        )
        self._tables: dict[BoxTable, str] = {}
        if book.terrain:
            self.pictures["terrain"] = book.terrain.picture.svg
        self.marks = self._marks_over_days()

    def html(
        self,
        spaces: Mapping[str, float] = MappingProxyType({}),
        begins: Collection[str] = (),
    ) -> str:
        """The whole booklet as one page of HTML.

        ``spaces`` are above blocks, in mm; ``begins`` are all blocks that begin a page. With
        none pages break as they come.
        """
        template = f"{self.style.edition}.html"
        return self.fill(template, spaces=spaces, begins=begins, is_close=self.is_close)

    def fill(self, template: str, **values: object) -> str:
        """A template of the booklet's, filled with the book.

        What it includes leaves behind what only holds itself: half a megabyte a passage.
        """
        pieces: list[str] = []
        for number, piece in enumerate(self._environment.get_template(template).generate(values)):
            pieces.append(piece)
            if number % _SWEPT_EVERY == 0:
                sweep(len(self.book.passages))
        return "".join(pieces)

    def t(self, key: str, **values: object) -> str:
        """The sentence ``key`` of the word list."""
        return say(Remark.of(key, **values), self.language)

    @cached_property
    def _environment(self) -> Any:
        made = environment()
        made.globals.update(
            t=self.t,
            book=self.book,
            is_long=len(self.book.passages) > LONG_CONTENTS,
            has_long_headings=any(len(self.heading(p)) > LONG for p in self.book.passages),
            style=self.style,
            words=words(self.language),
            plan=self._plan(),
            facts=self._facts(),
            sample_ladder=Ladder(Fraction(1), (60, 66, 72, 80), reached=66),
            by_measure=by_measure(self.book),
            marks_over_days=self.marks,
            tables=self.tables,
            page_of_target=self._page_of_target,
        )
        made.filters.update(
            say=lambda remark: say(remark, self.language),
            family=lambda family: say_family(family, self.language),
            variant=self._variant,
            said=lambda page: all_said_of(page.drill),
            upper_first=lambda text: text[0].upper() + text[1:],
            hand=lambda hand: self.t(f"hand.{hand}"),
            list_of=lambda items: listed(items, self.language),
            paragraphs=lambda text: re.split(r"\n\s*\n", text.strip()),
            heading=self.heading,
            family_names=self._family_names,
            alternative=self._alternative,
            boxes=self.boxes,
            rows=lambda family: drill_rows(family.drills, self.style.music_width_mm),
            column=column_mm,
            lowered=lowered_mm,
            tempo_words=self._tempo_words,
            day_of_box=lambda day: self.t("tempo.day", date=day),
        )
        made.tests.update(over=self._is_over, single=_is_single)
        return made

    def _is_over(self, page: DrillPage) -> bool:
        """Whether a drill is longer than a page."""
        return sum(each.height_mm for each in page.pictures) > self.style.text_height_mm - 30

    def _marks_over_days(self) -> MarksPicture | None:
        """The marks over the days, where the log has any and the student is named."""
        book = self.book
        if not book.progress.curves or not self.style.named:
            return None
        drawn = marks_picture(
            book.progress.curves,
            book.progress.lesson,
            self.style.music_width_mm,
            book.performance,
            self.language,
        )
        self.pictures["marks"] = drawn.svg
        return drawn

    def _plan(self) -> Plan | None:
        book = self.book
        if book.performance is None:
            return None
        begin = book.begin or book.progress.lesson
        if begin and begin >= book.performance:
            return None  # it is today
        items = book.progress.items or [PassageNeed(str(pages.number)) for pages in book.passages]
        return plan(items, book.performance, book.minutes_a_day, begin, book.rest_days)

    def _facts(self) -> list[tuple[str, str]]:
        """Who the booklet is for, with whom, and up to when, as far as the edition says it."""
        book = self.book
        day = self.t("text.date", date=book.performance) if book.performance else ""
        lesson = book.progress.lesson
        facts = [
            ("lesson", self.t("text.date", date=lesson) if lesson else ""),
            ("student", book.student if self.style.named else ""),
            ("teacher", book.teacher),
            ("performance", day),
        ]
        return [(key, fact) for key, fact in facts if fact]

    def _variant(self, page: DrillPage) -> str:
        return say_variant(page.drill.family, page.drill.called, self.language)

    def heading(self, pages: PassagePages) -> str:
        """``Measures 41–44``."""
        return say_measures(pages.passage.measures, self.language)

    def _family_names(self, pages: PassagePages) -> str:
        names = [say_family(family.name, self.language) for family in pages.families]
        return listed(names, self.language)

    def _alternative(self, page: DrillPage, pages: PassagePages) -> str:
        """What is said of a drill's picture to whoever cannot see it."""
        drill = page.drill
        words = self.t(
            "text.alternative",
            hand=self.t(f"hand.{page.whose}"),
            measures=self.heading(pages),
            name=self._variant(page),
            count=len(drill.written),
            unit=drill.ladder.beat_unit,
            first=drill.ladder.marks[0],
            last=drill.ladder.marks[-1],
        )
        return words[0].upper() + words[1:]

    def boxes(self, ladder: Ladder) -> str:
        """The name of the picture of ``ladder``'s boxes; ladders that look alike share one."""
        ladder = self._shown(ladder)
        unit = ladder.beat_unit
        marks = "-".join(map(str, ladder.marks))
        days = "-".join(f"{day:%m%d}" if day else "" for day in ladder.days)
        name = f"tempo-{unit.numerator}-{unit.denominator}-{marks}-{ladder.reached or 0}{days}"
        if name not in self.pictures:
            template = self._environment.get_template("tempo.svg")
            svg = template.render(
                ladder=ladder,
                sign=note_sign(unit),
                box=self.style.tempo_box,
                per_row=self.style.tempo_boxes_a_row(len(ladder.marks)),
                width=self.style.tempo_width_mm(len(ladder.marks)),
            )
            self.pictures[name] = svg.encode()
        return name

    def tables(self, family: FamilyPages, pages: PassagePages, first: int) -> list[tuple[str, str]]:
        """The pictures of the boxes of a family's drills, and of the passage as written after
        them: each with what it says in words. The drills are numbered from ``first``."""
        written = self.t("page.back")
        rows = [
            BoxRow(f"{pages.number}.{number}", self._shown(page.drill.ladder))
            for number, page in enumerate(family.drills, first)
        ]
        rows.append(BoxRow(written, self._shown(pages.written.drill.ladder)))
        return [self._table(table, written) for table in box_tables(rows)]

    def _table(self, table: BoxTable, written: str) -> tuple[str, str]:
        label = LABEL_SMALL_MM if self.style.small else LABEL_MM
        words = " ".join(f"{row.label}: {self._tempo_words(row.ladder)}" for row in table.rows)
        name = f"boxes-{len(self.pictures)}"
        known = self._tables.setdefault(table, name)
        if known == name:
            svg = self._environment.get_template("tempo-table.svg").render(
                table=table,
                written=written,
                sign=note_sign(table.beat_unit),
                box=self.style.table_box(len(table.marks), label),
            )
            self.pictures[name] = svg.encode()
        return known, words

    def _shown(self, ladder: Ladder) -> Ladder:
        """Without what the student has reached, where the student is not named."""
        return ladder if self.style.named else replace(ladder, reached=None, days=())

    def _tempo_words(self, ladder: Ladder) -> str:
        ladder = self._shown(ladder)
        first, last = ladder.marks[0], ladder.marks[-1]
        said = [self.t("tempo.boxes", unit=ladder.beat_unit, first=first, last=last)]
        if ladder.reached:
            said.append(self.t("tempo.reached", mark=ladder.reached))
        if (mark := ladder.next) is not None:
            said.append(self.t("tempo.next", mark=mark))
        return " ".join(said)


def _is_single(page: DrillPage) -> bool:
    """Whether a drill is one system."""
    return sum(len(each.staff_tops_mm) for each in page.pictures) <= len(page.drill.sheet.staves)


def by_measure(book: Book) -> list[PassagePages]:
    """The passages in the order of their measures in the score."""
    return sorted(
        book.passages,
        key=lambda pages: [int(n) for n in re.findall(r"\d+", str(pages.passage.measures))],
    )
