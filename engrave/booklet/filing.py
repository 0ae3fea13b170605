"""The objects of a PDF become its file: the same bytes as pydyf writes (0.12), in less memory.

Enters: a PDF of pydyf's. Leaves: bytes. What may stand in a stream of objects does (ISO 32000-1,
7.5.7 and 7.5.8). A long booklet has a quarter of a million objects; pydyf lists the place of every
one of them several times over. Here each is let go as it is written, and a place is a few bytes.
"""

from collections.abc import Iterator
from io import BytesIO
from math import ceil, log
from typing import Any


class WrittenObject:
    """An object that is written already; streams stand by themselves."""

    __slots__ = ("data", "is_stream", "number", "offset")
    generation, free = 0, "n"

    def __init__(self, is_stream: bool) -> None:
        self.data, self.is_stream, self.number, self.offset = b"", is_stream, 0, 0

    @property
    def reference(self) -> bytes:
        """By which others name it."""
        return f"{self.number} 0 R".encode()

    @property
    def indirect(self) -> bytes:
        """As it stands in a file."""
        return f"{self.number} 0 obj\n".encode() + self.data + b"\nendobj"

    @property
    def compressible(self) -> bool:
        """Whether it may stand in a stream of objects."""
        return not self.is_stream


def file_of(pdf: Any, version: str) -> bytes:
    """The file; ``pdf`` is used up."""
    import pydyf

    pdf.add_object(pdf.info)
    file = BytesIO()
    file.write(b"%%PDF-%s\n%%\xf0\x9f\x96\xa4\n" % version.encode())
    packed = []
    for each in pdf.objects:
        if each.free == "f":
            continue
        if each.compressible:
            packed.append(each)
        else:
            _put(each, file)
    stream = _stream_of(packed)
    pdf.add_object(stream)
    _put(stream, file)
    start = file.tell()
    lengths = (1, ceil(log(start + 1, 256)), ceil(log(max(65535, len(packed)) + 1, 256)))
    extra = {
        "Type": "/XRef",
        "Index": pydyf.Array((0, len(pdf.objects) + 1)),
        "W": pydyf.Array(lengths),
        "Size": len(pdf.objects) + 1,
        "Root": pdf.catalog.reference,
        "Info": pdf.info.reference,
    }
    table = bytearray()  # of numbers as long as the largest, of which generation 65535 is one
    for place in _places(pdf.objects, stream.number, start):
        for value, length in zip(place, lengths, strict=True):
            table += value.to_bytes(length, "big")
    index = pydyf.Stream([bytes(table)], extra, True)
    pdf.add_object(index)
    _put(index, file)
    file.write(f"startxref\n{start}\n%%EOF\n".encode())
    return file.getvalue()


def _put(each: Any, file: BytesIO) -> None:
    each.offset = file.tell()
    file.write(each.indirect)
    file.write(b"\n")
    if isinstance(each, WrittenObject):
        each.data = b""


def _stream_of(packed: list[Any]) -> Any:
    """The objects one after the other, behind their numbers and places."""
    import pydyf

    head, inside = BytesIO(), BytesIO()
    for each in packed:
        head.write(b"%d %d " % (each.number, inside.tell()))
        inside.write(each.data)
        inside.write(b"\n")
        if isinstance(each, WrittenObject):
            each.data = b""
    numbers = head.getvalue()[:-1]
    extra = {"Type": "/ObjStm", "N": len(packed), "First": len(numbers) + 1}
    inside.truncate(inside.tell() - 1)
    return pydyf.Stream([numbers, inside.getvalue()], extra, True)


def _places(objects: list[Any], stream: int, last: int) -> Iterator[tuple[int, int, int]]:
    index = 0
    for each in objects:
        if each.compressible:
            yield 2, stream, index
            index += 1
        else:
            yield bool(each.number), each.offset, each.generation
    yield 1, last, 0
