"""Where a page has to break so that no drill is split over a page turn, and no boxes stand alone.

Enters: a book, and where its blocks stand in a first layout. Leaves: the blocks that are to begin
a page, or to stay with what is before them. A drill of several pictures may go on from a left page
to the right one beside it; one that would go on overleaf begins the next page, which is a left one.
Knows no HTML but the blocks' names.
"""

from collections.abc import Iterator, Mapping, Sequence

from engrave.booklet.book import Book, DrillPage
from engrave.booklet.press import Box


def turned_over(book: Book, boxes: Mapping[str, Sequence[Box]]) -> set[str]:
    """The blocks of all drills that begin on a right page and go on overleaf."""
    found = set()
    for block, address, page in _blocks(book):
        pages = sorted(
            box[0]
            for picture in range(1, len(page.pictures) + 1)
            for box in boxes.get(f"{address}-{picture}", ())
        )
        if pages and pages[0] % 2 and pages[-1] > pages[0]:
            found.add(block)
    return found


def boxes_alone(boxes: Mapping[str, Sequence[Box]]) -> set[str]:
    """The tables of boxes that have a page to themselves: what follows them found no room there."""
    company = {
        box[0]
        for name, found in boxes.items()
        if name.startswith(("first-", "drill-")) or name in ("log", "plan", "index")
        for box in found
    }
    return {
        name
        for name, found in boxes.items()
        if name.startswith("return-") and not company & {box[0] for box in found}
    }


def _blocks(book: Book) -> Iterator[tuple[str, str, DrillPage]]:
    """Every drill with the name of the block that moves with it: its family if it is the first."""
    for pages in book.passages:
        yield f"passage-{pages.number}", f"{pages.number}-0", pages.written
        index = 0
        for number, family in enumerate(pages.families, 1):
            for place, page in enumerate(family.drills):
                index += 1
                address = f"{pages.number}-{index}"
                block = f"drill-{address}" if place else f"family-{pages.number}-{number}"
                yield block, address, page
