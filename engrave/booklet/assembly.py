"""Drawn pages put together into one file: what points from page to page is set here.

Enters: the pages of a booklet, their ``Folio``s and ``Plate``s. Leaves: PDF bytes. Their objects
get numbers, what several pages draw alike stands once, and the file gets its fonts, its bookmarks,
the places that links lead to, and the structure by which it is read aloud (ISO 14289-1: PDF/UA-1).
"""

from collections.abc import Iterable, Iterator, Sequence
from types import SimpleNamespace
from typing import Any

from engrave.booklet.faces import Faces
from engrave.booklet.filing import WrittenObject, file_of
from engrave.booklet.folio import FIRST_NOTE, FONTS, PAGES, STRUCTURE, Folio, Item, Plate
from engrave.booklet.parts import Parts
from engrave.booklet.plates import SCALE

VERSION = "1.7"


def assemble(parts: Parts, folios: Sequence[Folio], plates: Iterable[Plate], faces: Faces) -> bytes:
    """The file of all ``folios``; raises ``RuntimeError`` for links that lead nowhere.

    ``plates`` are gone through twice, and not held.
    """
    import pydyf

    pdf = pydyf.PDF()
    named = _named(folios)
    fonts = faces.add(pdf, (face for plate in plates for face in plate.faces))
    structure = pydyf.Dictionary({"Type": "/StructElem", "S": "/Document"})
    for shared in (fonts, structure):
        pdf.add_object(shared)
    outside = {
        PAGES: pdf.pages.reference,
        FONTS: fonts.reference,
        STRUCTURE: structure.reference,
    }
    _add_pages(pdf, len(folios), plates, outside, structure)
    _add_bookmarks(pdf, folios)
    pages = pdf.page_references
    names = pydyf.Array()
    for name, (page, x, y) in sorted(named.items()):
        place = (pages[page], "/XYZ", x * SCALE, (folios[page].height - y) * SCALE, 0)
        names.extend((pydyf.String(name), pydyf.Array(place)))
    if names:
        pdf.catalog["Names"] = pydyf.Dictionary({"Dests": pydyf.Dictionary({"Names": names})})
    _describe(pdf, parts)
    return file_of(pdf, VERSION)


def _describe(pdf: Any, parts: Parts) -> None:
    """Say whose file it is, in which language, and that it can be read aloud."""
    import pydyf
    from weasyprint import VERSION as PRINTER
    from weasyprint.document import DocumentMetadata

    pdf.info["Producer"] = pydyf.String(f"WeasyPrint {PRINTER}")
    pdf.info["Title"] = pydyf.String(parts.title)
    if parts.author:
        pdf.info["Author"] = pydyf.String(parts.author)
    pdf.catalog["Lang"] = pydyf.String(parts.language)
    pdf.catalog["ViewerPreferences"] = pydyf.Dictionary({"DisplayDocTitle": "true"})
    pdf.catalog["MarkInfo"] = pydyf.Dictionary({"Marked": "true"})
    metadata = DocumentMetadata(title=parts.title, authors=[parts.author] if parts.author else [])
    metadata.include_in_pdf(pdf, "ua", 1, conformance=None, compress=True)


def _named(folios: Sequence[Folio]) -> dict[str, tuple[int, float, float]]:
    """The page from 0 and the place of every anchor, where it is first."""
    named: dict[str, tuple[int, float, float]] = {}
    for page, folio in enumerate(folios):
        for name, (x, y, _, _) in folio.anchors:
            named.setdefault(name, (page, x, y))
    if lost := sorted({link for folio in folios for link in folio.links} - named.keys()):
        raise RuntimeError(f"links lead nowhere: {', '.join(lost)}")
    return named


def _add_pages(
    pdf: Any, count: int, plates: Iterable[Plate], outside: dict[int, bytes], structure: Any
) -> None:
    import pydyf

    kids, mapping, annotated = pydyf.Array(), pydyf.Array(), list[bytes]()
    shared: dict[str, bytes] = {}
    for index, plate in enumerate(plates):
        first_note = count + len(annotated)
        notes = range(len(plate.notes))
        own = {FIRST_NOTE - note: str(first_note + note).encode() for note in notes}
        numbers = _add_items(pdf, plate, outside | own, shared)
        pdf.pages["Kids"].extend([int(numbers[plate.page].split()[0]), 0, "R"])
        kids.extend(numbers[element] for element in plate.elements)
        mapping.extend((index, pydyf.Array(numbers[mark] for mark in plate.marks)))
        annotated.extend(numbers[element] for element in plate.notes)
    pdf.pages["Count"] = count
    for index, element in enumerate(annotated, count):
        mapping.extend((index, element))
    structure["K"] = kids
    _add_root(pdf, mapping, structure)


def _add_items(
    pdf: Any, plate: Plate, known: dict[int, bytes], shared: dict[str, bytes]
) -> dict[int, bytes]:
    """The numbers in the file, ``known`` or new, of all that a page consists of.

    ``shared`` are those of what several pages draw alike; it grows by what is new.
    """
    numbers, fresh = dict(known), []
    for item in plate.items:
        if item.digest in shared:
            numbers[item.number] = shared[item.digest]
            continue
        written = WrittenObject(item.stream is not None)
        pdf.add_object(written)
        numbers[item.number] = written.reference
        fresh.append((item, written))
        if item.digest:
            shared[item.digest] = written.reference
    for item, written in fresh:
        written.data = b"".join(_data(item, numbers))
    return numbers


def _add_root(pdf: Any, mapping: Any, structure: Any) -> None:
    """The tree by which the file is read aloud; ``mapping`` leads from what is drawn to its
    elements."""
    import pydyf

    content = pydyf.Dictionary({"Nums": mapping})
    pdf.add_object(content)
    root = pydyf.Dictionary(
        {
            "Type": "/StructTreeRoot",
            "ParentTree": content.reference,
            "K": pydyf.Array([structure.reference]),
        }
    )
    pdf.add_object(root)
    structure["P"] = root.reference
    pdf.catalog["StructTreeRoot"] = root.reference


def _data(item: Item, numbers: dict[int, bytes]) -> Iterator[bytes]:
    for piece in item.text:
        yield numbers[piece] if isinstance(piece, int) else piece
    if item.stream is not None:
        yield from (b"\nstream\n", item.stream, b"\nendstream")


def _add_bookmarks(pdf: Any, folios: Sequence[Folio]) -> None:
    from weasyprint.anchors import make_page_bookmark_tree
    from weasyprint.matrix import Matrix
    from weasyprint.pdf.anchors import add_outlines

    root: list[Any] = []
    skipped: list[int] = []
    last_by_depth, level = [root], 0
    for page, folio in enumerate(folios):
        marks = [
            (mark.level, mark.title, (mark.x, mark.y), "open" if mark.is_open else "closed")
            for mark in folio.bookmarks
        ]
        matrix = Matrix(a=SCALE, d=-SCALE, f=folio.height * SCALE)
        level = make_page_bookmark_tree(
            SimpleNamespace(bookmarks=marks), skipped, last_by_depth, level, page, matrix
        )
    add_outlines(pdf, root)
