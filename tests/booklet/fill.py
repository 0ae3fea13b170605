"""How full the pages of a booklet are, measured in the pixels of its PDF.

``python -m tests.booklet.fill BOOKLET.pdf …`` prints a line a booklet. A page's fill is the share
of the height between its margins that ink takes, from its first line to its last; gaps of more
than 12 mm, and what is left at the foot, are not used. What stands side by side counts once.
"""

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pypdfium2

DPI = 72
MM = DPI / 25.4
DARK = 200
WIDEST_GAP_MM = 12.0
MARGINS_MM = {"student": (18.0, 20.0), "stand": (14.0, 15.0), "masterclass": (18.0, 20.0)}
"""Above and below; headings and page numbers stand in them and fill nothing."""
SMALL_MM = (14.0, 16.0)
LEAST_OF_ALL, LEAST_OF_ONE = 0.75, 0.40


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its number, what of it is used (0 to 1), whether it is blank."""

    number: int
    fill: float
    is_blank: bool


def fills(pdf: bytes, edition: str) -> list[Page]:
    """Every page of a booklet but its cover."""
    with pypdfium2.PdfDocument(pdf) as document:
        pages = [_page(page, number, edition) for number, page in enumerate(document, 1)]
    return pages[1:]


def _page(page: pypdfium2.PdfPage, number: int, edition: str) -> Page:
    image = np.asarray(page.render(scale=DPI / 72, grayscale=True).to_pil().convert("L"))
    height_mm = image.shape[0] / MM
    above, below = SMALL_MM if height_mm < 230 else MARGINS_MM[edition]
    rows = np.asarray((image < DARK).any(axis=1))[
        round(above * MM) : round((height_mm - below) * MM)
    ]
    return Page(number, used(rows), not rows.any())


def used(rows: npt.NDArray[np.bool_]) -> float:
    """The share of ``rows`` with ink, gaps of at most 12 mm between them counted in."""
    inked = np.flatnonzero(rows)
    if not len(inked):
        return 0.0
    gaps = np.diff(inked) - 1
    lost = gaps[gaps > WIDEST_GAP_MM * MM].sum()
    return float((inked[-1] + 1 - min(inked[0], WIDEST_GAP_MM * MM) - lost) / len(rows))


def edition_of(path: Path) -> str:
    """``student`` of ``rondo-student.pdf``."""
    return next(name for name in MARGINS_MM if name in path.stem)


def main(paths: list[str]) -> None:
    """Print the fill of every booklet, its emptiest pages named."""
    everything: list[float] = []
    for path in map(Path, paths):
        pages = fills(path.read_bytes(), edition_of(path))
        everything += [page.fill for page in pages]
        mean = sum(page.fill for page in pages) / max(1, len(pages))
        low = [f"{page.number}: {page.fill:.2f}" for page in pages if page.fill < LEAST_OF_ONE]
        blank = sum(page.is_blank for page in pages)
        print(f"{mean:.2f}  {len(pages) + 1:3} pages  {blank} blank  {path.name}  {', '.join(low)}")
    print(f"{sum(everything) / max(1, len(everything)):.2f}  {len(everything)} pages in all")


if __name__ == "__main__":
    main(sys.argv[1:])
