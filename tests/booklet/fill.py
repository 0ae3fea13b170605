"""How full the pages of a booklet are, measured in the pixels of its PDF.

``python -m tests.booklet.fill BOOKLET.pdf …`` prints a line a booklet; of marks files it sets every
edition, on A4 and on Letter, folded and flat, in English and in German. A page's fill is the share
of the height between its margins that ink takes, from its first line to its last; gaps of more
than 12 mm, and what is left at the foot, are not used. What stands side by side counts once. Pages
under two fifths are named: with a ``!``, unless the next page begins a passage or what comes after
the passages, or none follows.
"""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pypdfium2

from engrave.booklet import LaidOut
from engrave.machine.cache import NO_CACHE, Cache, user_folder
from engrave.pipeline.binding import Engraved
from engrave.pipeline.checking import Checked, check
from engrave.pipeline.drawing import engraving
from engrave.pipeline.stages import engrave
from engrave.pipeline.styling import Job, Styles, styles_of
from engrave.pipeline.terrain import surveying

DPI = 72
MM = DPI / 25.4
DARK = 200
WIDEST_GAP_MM = 12.0
MARGINS_MM = {"student": (18.0, 20.0), "stand": (14.0, 15.0), "masterclass": (18.0, 20.0)}
"""Above and below; headings and page numbers stand in them and fill nothing."""
SMALL_MM = (14.0, 16.0)
LEAST_OF_ALL, LEAST_OF_ONE = 0.75, 0.40
TOP_MM = 40.0
"""A heading nearer to the paper's edge than this begins its page."""
PAPERS, LANGUAGES = ("a4", "letter"), ("en", "de")


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its number, what of it is used (0 to 1), whether it is blank."""

    number: int
    fill: float
    is_blank: bool
    is_last: bool
    """Whether what follows begins a page, or nothing follows; on the stand also whether it is the
    only page of its opening that is near empty, for there the music is turned where hands rest."""

    @property
    def is_wasted(self) -> bool:
        """Whether it is emptier than it may be."""
        return self.fill < LEAST_OF_ONE and not self.is_last


def fills(pdf: bytes, edition: str) -> list[Page]:
    """Every page of a booklet but its cover."""
    with pypdfium2.PdfDocument(pdf) as document:
        begun = set(_begun(document))
        pages = [_page(page, number, edition, begun) for number, page in enumerate(document, 1)]
        pages[-1] = replace(pages[-1], is_last=True)
    if edition == "stand":
        pages = [
            replace(page, is_last=True) if page is _excused(pages, page) else page for page in pages
        ]
    return pages[1:]


def _excused(pages: Sequence[Page], page: Page) -> Page | None:
    """The first page of the same opening that is near empty."""
    opening = [each for each in pages if each.number // 2 == page.number // 2]
    return next((each for each in opening if each.is_wasted), None)


def _begun(document: pypdfium2.PdfDocument) -> Iterator[int]:
    """The pages that a passage, or what stands before or after them all, begins at their top."""
    for mark in document.get_toc():
        where = mark.get_dest()
        if mark.level == 0 and where is not None:
            _, place = where.get_view()
            height = document[where.get_index()].get_height()
            if height - place[1] < TOP_MM / 25.4 * 72:
                yield where.get_index() + 1


def _page(page: pypdfium2.PdfPage, number: int, edition: str, begun: set[int]) -> Page:
    image = np.asarray(page.render(scale=DPI / 72, grayscale=True).to_pil().convert("L"))
    height_mm = image.shape[0] / MM
    above, below = SMALL_MM if height_mm < 230 else MARGINS_MM[edition]
    dark = np.asarray((image < DARK).any(axis=1))
    rows = dark[round(above * MM) : round((height_mm - below) * MM)]
    return Page(number, used(rows), not rows.any(), number + 1 in begun)


def used(rows: npt.NDArray[np.bool_]) -> float:
    """The share of ``rows`` with ink, gaps of at most 12 mm between them counted in."""
    inked = np.flatnonzero(rows)
    if not len(inked):
        return 0.0
    gaps = np.diff(inked) - 1
    lost = gaps[gaps > WIDEST_GAP_MM * MM].sum()
    return float((inked[-1] + 1 - min(inked[0], WIDEST_GAP_MM * MM) - lost) / len(rows))


def edition_of(name: str) -> str:
    """``student`` of ``rondo-student.pdf``."""
    return next(each for each in MARGINS_MM if each in name)


def booklets(
    path: Path,
    papers: Iterable[str] = PAPERS,
    languages: Iterable[str] = LANGUAGES,
    wanted: Callable[[str, bool], bool] = lambda edition, folded: True,
    cache: Cache = NO_CACHE,
) -> Iterator[tuple[str, bytes]]:
    """Every booklet of a marks file, by a name that says what it is; ``wanted`` may choose by
    edition and whether it is folded."""
    checked = check(path, cache=cache)
    for paper, language in product(papers, languages):
        styles = styles_of(checked.marks, Job(tuple(MARGINS_MM), paper, language, imposed=True))
        printed = {key: style for key, style in styles.printed.items() if wanted(*key)}
        styles = replace(styles, printed=printed)
        drawn = _drawn(checked, styles, cache)
        for (edition, folded), style in styles.printed.items():
            name = f"{path.stem}-{edition}-{paper}-{language}{'-folded' if folded else ''}"
            yield name, LaidOut(drawn.content(checked, style), style).printed().pdf


def _drawn(checked: Checked, styles: Styles, cache: Cache) -> Engraved:
    with (
        surveying(checked.marks, checked.score, cache, alone=True) as terrain,
        engraving(checked, styles.all, cache, alone=True) as music,
    ):
        return engrave(checked, styles, music, terrain, cache)


def told(name: str, pages: list[Page]) -> str:
    """A booklet in a line."""
    mean = sum(page.fill for page in pages) / max(1, len(pages))
    low = [
        f"{page.number}: {page.fill:.2f}{'!' if page.is_wasted else ''}"
        for page in pages
        if page.fill < LEAST_OF_ONE
    ]
    blank = sum(page.is_blank for page in pages)
    return f"{mean:.2f}  {len(pages) + 1:3} pages  {blank} blank  {name}  {', '.join(low)}"


def main(paths: list[str]) -> None:
    """Print the fill of every booklet, its emptiest pages named."""
    everything: list[Page] = []
    cache = Cache(user_folder())
    for path in map(Path, paths):
        is_pdf = path.suffix == ".pdf"
        found = [(path.name, path.read_bytes())] if is_pdf else booklets(path, cache=cache)
        for name, pdf in found:
            pages = fills(pdf, edition_of(name))
            everything += pages
            print(told(name, pages), flush=True)
    mean = sum(page.fill for page in everything) / max(1, len(everything))
    wasted = sum(page.is_wasted for page in everything)
    print(f"{mean:.2f}  {len(everything)} pages in all, {wasted} emptier than they may be")


if __name__ == "__main__":
    main(sys.argv[1:])
