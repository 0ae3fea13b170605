"""The PDF's pages as pixels: ink on every staff that the manifest promises, margins kept."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.checks.manifest import DrillEntry, Output
from tests.checks.pictures import LEAST_INK
from tests.checks.raster import Grey, find_staves, ink_box, ink_share

DPI = 200
PIXELS_PER_MM = DPI / 25.4
UNPRINTABLE_MM = 6.0
"""What a home printer cannot reach (common practice, no source)."""
SIDES_MM = {"student": 20.0, "stand": 14.0, "masterclass": 20.0}
"""The narrower side margin of each edition."""
FURNITURE_MM = {"student": (22.0, 24.0), "stand": (14.0, 15.0), "masterclass": (22.0, 24.0)}
"""Above and below: where headings and page numbers stand, which do not fill a page."""
SLACK_MM = 0.6


@dataclass(frozen=True)
class Box:
    """Where one picture of a drill stands: page from 1, millimetres from its top left."""

    drill: str
    page: int
    x: float
    y: float
    width: float
    height: float


def boxes_of(output: Output, edition: str) -> list[Box]:
    return [
        Box(
            drill.id, place["page"], place["x_mm"], place["y_mm"],
            place["width_mm"], place["height_mm"],
        )
        for drill in output.drills
        for place in drill.places.get(edition, [])
    ]  # fmt: skip


def rasterise_pages(pdf: Path) -> list[Grey]:
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        return [
            np.asarray(page.render(scale=DPI / 72, grayscale=True).to_pil().convert("L"))
            for page in document
        ]


def page_findings(output: Output, edition: str) -> Iterator[str]:
    pdf = output.folder / f"{output.name}-{edition}.pdf"
    yield from file_findings(pdf)
    pages = rasterise_pages(pdf)
    for number, grey in enumerate(pages, start=1):
        yield from (f"{pdf.name}, page {number}: {text}" for text in _sheet(grey, edition))
    boxes = boxes_of(output, edition)
    for drill in output.drills:
        if not any(box.drill == drill.id for box in boxes):
            yield f"{pdf.name}: {drill.id} stands nowhere"
            continue
        own = [box for box in boxes if box.drill == drill.id]
        yield from (f"{pdf.name}: {text}" for text in _music(drill, own, pages, edition))


def file_findings(pdf: Path) -> Iterator[str]:
    """The file's own structure, as qpdf's library reads it."""
    import pikepdf

    with pikepdf.open(pdf) as document:
        yield from (f"{pdf.name}: {problem}" for problem in document.check_pdf_syntax())


def _sheet(grey: Grey, edition: str) -> Iterator[str]:
    box = ink_box(grey)
    top, bottom = (round(mm * PIXELS_PER_MM) for mm in FURNITURE_MM[edition])
    if box is None or ink_box(grey[top:-bottom]) is None:
        yield "empty"
        return
    height, width = grey.shape
    side = SIDES_MM[edition] - SLACK_MM
    left, right = box[0] / PIXELS_PER_MM, (width - 1 - box[2]) / PIXELS_PER_MM
    above, below = box[1] / PIXELS_PER_MM, (height - 1 - box[3]) / PIXELS_PER_MM
    if min(left, right) < side or min(above, below) < UNPRINTABLE_MM:
        yield (
            f"ink {left:.1f} mm from the left, {right:.1f} right, {above:.1f} above, {below:.1f} "
            f"below"
        )


def _music(drill: DrillEntry, boxes: list[Box], pages: list[Grey], edition: str) -> Iterator[str]:
    """The manifest counts the systems of the first edition; others have staves of another size."""
    count = 0
    for box in boxes:
        if not 1 <= box.page <= len(pages):
            yield f"{drill.id}: stands on page {box.page} of {len(pages)}"
            continue
        grey = _cut(pages[box.page - 1], box)
        if grey.size == 0:
            yield f"{drill.id}: its place on page {box.page} has no size"
            continue
        staves = find_staves(grey, PIXELS_PER_MM)
        count += len(staves)
        for number, staff in enumerate(staves, start=1):
            if ink_share(grey, staff) < LEAST_INK:
                yield f"{drill.id}: staff {number} on page {box.page} is empty"
    promised = drill.staves * drill.systems
    if next(iter(drill.places)) == edition:
        if count != promised:
            yield f"{drill.id}: {count} staves are on its pages, {promised} promised"
    elif count == 0 or count % drill.staves:
        yield f"{drill.id}: {count} staves are on its pages, systems have {drill.staves}"


def _cut(page: Grey, box: Box) -> Grey:
    left, top = round(box.x * PIXELS_PER_MM), round(box.y * PIXELS_PER_MM)
    right = round((box.x + box.width) * PIXELS_PER_MM)
    bottom = round((box.y + box.height) * PIXELS_PER_MM)
    return page[max(top, 0) : bottom + 1, max(left, 0) : right + 1]
