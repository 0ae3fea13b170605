"""A book becomes pages: templates are filled, pictures handed to the press, places read back.

Enters: a ``Book`` and a ``PageStyle``. Leaves: a ``Bound``. Text from the book is escaped where it
meets HTML; how a page looks is the templates' affair, and how a sentence reads the word list's.
"""

import math
import re
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from engrave.booklet.book import Book, Bound, DrillPage, PassagePages, Place
from engrave.booklet.press import print_pdf
from engrave.booklet.signs import note_sign
from engrave.booklet.style import PageStyle
from engrave.model import Ladder, Remark
from engrave.plan import Plan, plan
from engrave.tempo import BEAT_UNITS
from engrave.units import Quarters
from engrave.words import TEMPLATES, listed, say, say_variant, words


def bind(book: Book, style: PageStyle) -> Bound:
    """Print ``book`` in ``style``; the same book and style give the same bytes."""
    html = (
        _environment(style)
        .get_template(f"{style.edition}.html")
        .render(book=book, style=style, plan=_plan(book), words=words(style.language))
    )
    pdf, boxes, pages = print_pdf(html, _pictures(book))
    places = {
        page.drill.id: tuple(
            Place(*box)
            for picture in range(1, len(page.pictures) + 1)
            for box in boxes.get(f"{address}-{picture}", ())
        )
        for address, page in _addresses(book)
    }
    return Bound(pdf, places, pages)


def _addresses(book: Book) -> list[tuple[str, DrillPage]]:
    """Every drill with the name its pictures have in the page: passage and drill by number."""
    return [
        (f"{number}-{index}", page)
        for number, pages in enumerate(book.passages, start=1)
        for index, page in enumerate((pages.written, *pages.drills))
    ]


def _pictures(book: Book) -> Mapping[str, Callable[[], bytes]]:
    pictures: dict[str, Callable[[], bytes]] = {
        f"{address}-{index}": partial(lambda picture: picture.svg, picture)
        for address, page in _addresses(book)
        for index, picture in enumerate(page.pictures, start=1)
    }
    for unit in BEAT_UNITS.values():
        pictures[_sign(unit)] = partial(note_sign, unit)
    return pictures


def _plan(book: Book) -> Plan | None:
    if book.performance is None:
        return None
    numbers = [
        str(number)
        for number, pages in enumerate(book.passages, start=1)
        if pages.passage.status != "done"
    ]
    return plan(numbers, book.performance, book.minutes_a_day, book.begin, book.rest_days)


def _sign(unit: Quarters) -> str:
    return f"beat-{unit.numerator}-{unit.denominator}"


def _environment(style: PageStyle) -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    language = style.language
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )

    def t(key: str, **values: object) -> str:
        return say(Remark.of(key, **values), language)

    def alternative(page: DrillPage, pages: PassagePages) -> str:
        """What is said of a drill's picture to whoever cannot see it."""
        drill = page.drill
        return t(
            "text.alternative",
            hand=t(f"hand.{drill.hand}").capitalize(),
            range=pages.measures,
            name=say_variant(drill.family, drill.variant, language),
            count=len(drill.written),
            unit=drill.ladder.beat_unit,
            first=drill.ladder.marks[0],
            last=drill.ladder.marks[-1],
        )

    environment.globals["t"] = t
    environment.globals["per_row"] = int((style.music_width_mm - 13.9) // 14.8)
    environment.filters.update(
        say=lambda remark: say(remark, language),
        variant=lambda drill: say_variant(drill.family, drill.variant, language),
        hand=lambda hand: t(f"hand.{hand}"),
        beat=lambda unit: t("text.beat", unit=unit),
        date=lambda day: t("text.date", date=day),
        day=lambda day: t("text.day", date=day),
        sign=_sign,
        next_mark=next_mark,
        columns=columns,
        heading=lambda pages: t("text.heading", count=_count(pages), range=pages.measures),
        hands=lambda pages: t(f"hand.{pages.hand}"),
        family_names=lambda pages: listed(
            [t(f"family.{family}") for family, _ in pages.families], language
        ),
        alt=alternative,
        height=lambda page: sum(picture.height_mm for picture in page.pictures),
        by_measure=by_measure,
    )
    return environment


def next_mark(ladder: Ladder) -> int | None:
    """The mark to play next: the first above what is reached; None when the goal is."""
    return next((mark for mark in ladder.marks if mark > (ladder.reached or 0)), None)


def _count(pages: PassagePages) -> int:
    """One measure or several: what the grammar asks."""
    return 1 if pages.measures.first == pages.measures.last else 2


def columns(count: int, most: int) -> int:
    """Boxes in a row when ``count`` of them fill rows of ``most`` as evenly as they can."""
    return math.ceil(count / math.ceil(count / most))


def by_measure(book: Book) -> list[tuple[int, PassagePages]]:
    """The passages with their numbers, in the order of their measures in the score."""
    return sorted(
        enumerate(book.passages, start=1),
        key=lambda item: [int(n) for n in re.findall(r"\d+", str(item[1].measures))],
    )
