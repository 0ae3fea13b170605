"""A laid-out page drawn, as the objects of a PDF that it consists of.

Enters: a page of WeasyPrint's (70.0). Leaves: a ``Plate``. WeasyPrint draws into a PDF of this page
alone; its objects are taken out and can be put into any other.
"""

import re
from collections.abc import Iterator
from hashlib import blake2b
from typing import Any

from engrave.booklet.folio import FIRST_NOTE, FONTS, PAGES, STRUCTURE, Face, Item, Plate
from engrave.booklet.tidying import tidy

SCALE = 0.75
"""Points in a CSS pixel."""

_THOUSAND = 1000
"""Units of an em in which PDF measures fonts."""
_REFERENCE = re.compile(rb"(\d+) 0 R")
_RESOURCES = ("ExtGState", "XObject", "Pattern", "Shading", "ColorSpace")


class PlateMaker:
    """Draws pages; ``fonts`` are WeasyPrint's, as far as seen, by the names they have in PDFs."""

    def __init__(self) -> None:
        self.fonts: dict[str, Any] = {}
        self._digests: dict[str, str] = {}
        self._steady: dict[Any, Any] = {}

    def plate(self, page: Any, number: int) -> Plate:
        """The page ``number``, from 1."""
        import pydyf

        pdf, fonts = pydyf.PDF(), self._unused_fonts()
        face_list = pydyf.Dictionary()
        document = pydyf.Dictionary({"S": "/Document", "K": pydyf.Array()})
        for placeholder in (face_list, document):
            pdf.add_object(placeholder)
        outside = {
            pdf.pages.number: PAGES,
            face_list.number: FONTS,
            document.number: STRUCTURE,
        }
        begun = len(pdf.objects)
        resources = pydyf.Dictionary({name: pydyf.Dictionary() for name in _RESOURCES})
        resources["Font"] = face_list.reference
        pdf.add_object(resources)
        tags: dict[Any, Any] = {}
        own = _drawn(pdf, page, number, resources, fonts, tags)
        marks, notes = _structured(pdf, page, document, tags)
        _tell_apart(pdf, number)
        tidy(pdf)
        items = _Items(pdf.objects, outside)
        return Plate(
            tuple(items.of(item) for item in pdf.objects[begun:]),
            own.number,
            tuple(_number(element) for element in document["K"]),
            marks,
            notes,
            tuple(
                self._face(key, font)
                for key, font in sorted(fonts.items(), key=lambda item: item[1].hash)
                if font.widths
            ),
        )

    def _unused_fonts(self) -> dict[Any, Any]:
        """The fonts of earlier pages, as if nothing had been drawn.

        Others measure their height anew on every page: it is rounded by the size that comes first.
        """
        for font in self._steady.values():
            font.widths, font.to_unicode, font.missing = {}, {}, {}
        return dict(self._steady)

    def _face(self, key: Any, font: Any) -> Face:
        self.fonts.setdefault(font.hash, font)
        if font.upem == _THOUSAND and self.fonts[font.hash] is font:
            self._steady[key] = font
        if font.hash not in self._digests:
            self._digests[font.hash] = digest_of(font.file_content)
        return Face(
            font.hash,
            bytes(font.name),
            font.family,
            int(font.weight),
            int(font.style),
            font.flags,
            font.ascent,
            font.descent,
            self._digests[font.hash],
            font.bitmap,
            tuple(font.widths.items()),
            tuple(font.to_unicode.items()),
        )


def digest_of(file: bytes) -> str:
    """What a font's file is known by."""
    return blake2b(file, digest_size=20).hexdigest()


def _drawn(pdf: Any, page: Any, number: int, resources: Any, fonts: Any, tags: Any) -> Any:
    """The page's own object, its contents drawn in ``pdf``."""
    import pydyf
    from weasyprint.matrix import Matrix
    from weasyprint.pdf import _use_references
    from weasyprint.pdf.anchors import add_links
    from weasyprint.pdf.stream import Stream

    images: dict[Any, Any] = {}
    edges = [0, 0, SCALE * page.width, SCALE * page.height]
    rectangle = (0, 0, page.width, page.height)
    stream = Stream(fonts, rectangle, resources, images, tags, {}, None, compress=True)
    stream.transform(d=-1, f=page.height * SCALE)
    pdf.add_object(stream)
    own = pydyf.Dictionary(
        {
            "Type": "/Page",
            "Parent": pdf.pages.reference,
            "MediaBox": pydyf.Array(edges),
            "Contents": stream.reference,
            "Resources": resources.reference,
            "Tabs": "/S",
            "StructParents": number - 1,
        }
    )
    pdf.add_page(own)
    matrix = Matrix(SCALE, 0, 0, -SCALE, 0, page.height * SCALE)
    add_links((page.links, ()), matrix, pdf, own, [], tags)
    page.paint(stream, SCALE)
    own["TrimBox"] = own["BleedBox"] = pydyf.Array(edges)
    _use_references(pdf, resources, images, {})
    return own


def _structured(
    pdf: Any, page: Any, document: Any, tags: Any
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The numbers of the elements that hold marked contents, and of those that hold annotations.

    The outermost elements are put into ``document``.
    """
    from weasyprint.pdf.tags import _build_box_tree

    marks: dict[int, bytes] = {}
    notes: list[tuple[bytes, Any]] = []
    for element in _build_box_tree(page._page_box, document, pdf, 0, marks, notes, tags):
        document["K"].append(element.reference)
    for index, (_, note) in enumerate(notes):
        note["StructParent"] = _Note(FIRST_NOTE - index)
    return (
        tuple(_number(reference) for _, reference in sorted(marks.items())),
        tuple(_number(reference) for reference, _ in notes),
    )


def _tell_apart(pdf: Any, number: int) -> None:
    """Have the names of table headers be those of this page alone."""
    for element in pdf.objects:
        if isinstance(element, dict) and "ID" in element:
            element["ID"].string = f"{number}-{element['ID'].string}"


def _number(reference: bytes) -> int:
    return int(reference.split()[0])


class _Note(int):
    """What stands for the number of an annotation in the tree of parents."""


class _Items:
    """The objects of a PDF as ``Item``s; ``outside`` are those that stay behind, by number."""

    def __init__(self, objects: list[Any], outside: dict[int, int]) -> None:
        self._objects, self._outside = objects, outside
        self._made: dict[int, Item] = {}

    def of(self, item: Any) -> Item:
        """``item`` by itself, with a digest if it is a form, or of one."""
        if item.number not in self._made:
            form = hasattr(item, "stream") and item.extra.get("Subtype") == "/Form"
            self._made[item.number] = self._item(item, form)
        return self._made[item.number]

    def _item(self, item: Any, shared: bool) -> Item:
        import zlib

        stream = None
        if hasattr(item, "stream"):
            said = b"\n".join(
                each if isinstance(each, bytes) else _plain(each) for each in item.stream
            )
            stream = zlib.compress(said, 9) if item.compress else said
            extra = {**item.extra, "Length": len(stream)}
            if item.compress:
                extra["Filter"] = "/FlateDecode"
            text = tuple(_joined(self._text(extra)))
        elif item.get("Type") == "/StructElem" and "Alt" not in item:
            text = tuple(self._cut(item.data))
        else:
            text = tuple(_joined(self._text(item)))
        if not shared:
            return Item(item.number, text, stream)
        digest = blake2b(stream or b"", digest_size=20)
        for piece in text:
            if isinstance(piece, int) and piece >= 0:
                kept = self._made[piece] = self._item(self._objects[piece], shared=True)
                digest.update(kept.digest.encode())
            else:
                digest.update(repr(piece).encode())
        return Item(item.number, text, stream, digest.hexdigest())

    def _cut(self, data: bytes) -> Iterator[bytes | int]:
        """What is written already, and has no words in it: most of a page's objects."""
        for index, piece in enumerate(_REFERENCE.split(data)):
            yield self._outside.get(int(piece), int(piece)) if index % 2 else piece

    def _text(self, value: Any) -> Iterator[bytes | int]:
        if isinstance(value, dict):
            yield b"<<"
            for key, inside in value.items():
                if inside != {}:
                    yield f"/{key} ".encode()
                    yield from self._text(inside)
            yield b">>"
        elif isinstance(value, list | tuple):
            yield b"["
            for inside in value:
                yield from self._text(inside)
                yield b" "
            yield b"]"
        elif isinstance(value, bytes) and (found := _REFERENCE.fullmatch(value)):
            number = int(found[1])
            yield self._outside.get(number, number)
        elif isinstance(value, _Note):
            yield int(value)
        else:
            yield _plain(value)


def _joined(pieces: Iterator[bytes | int]) -> Iterator[bytes | int]:
    """Texts that follow each other as one."""
    run: list[bytes] = []
    for piece in pieces:
        if isinstance(piece, bytes):
            run.append(piece)
            continue
        yield b"".join(run)
        run.clear()
        yield piece
    yield b"".join(run)


def _plain(value: Any) -> bytes:
    """As pydyf writes what holds no references."""
    import pydyf

    if isinstance(value, str):
        return value.encode("ascii")
    data: bytes = pydyf.Array([value]).data
    return data[1:-1]
