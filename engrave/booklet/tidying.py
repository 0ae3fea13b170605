"""What the printer leaves undone in a tagged PDF (ISO 14289-1), done before the file is written.

Enters: a PDF of pydyf's, its pages drawn by WeasyPrint. Leaves: the same objects, with links that
print, and running heads and page numbers as artifacts instead of content that no structure holds.
"""

from collections.abc import Iterator
from typing import Any

PRINT = 4
"""The flag of an annotation that is printed (ISO 32000-1, table 165)."""


def tidy(pdf: Any) -> None:
    """Amend ``pdf`` in place."""
    objects = {item.number: item for item in pdf.objects}
    streams = {page.number: _content(page, objects) for page in _of(pdf, "Type", "/Page")}
    for link in _of(pdf, "Subtype", "/Link"):
        link["F"] = PRINT
    for element in _of(pdf, "Type", "/StructElem"):
        if element.reference not in objects[_number(element["P"])]["K"]:
            for page, mark in _marks(element, objects):
                _release(streams[page], mark)


def _of(pdf: Any, key: str, value: str) -> Iterator[Any]:
    return (item for item in pdf.objects if isinstance(item, dict) and item.get(key) == value)


def _number(reference: bytes) -> int:
    return int(reference.split()[0])


def _content(page: Any, objects: dict[int, Any]) -> list[Any]:
    content: list[Any] = objects[_number(page["Contents"])].stream
    return content


def _marks(element: Any, objects: dict[int, Any]) -> Iterator[tuple[int, int]]:
    """The page object and number of every mark below a structure element."""
    for kid in element["K"]:
        if isinstance(kid, int):
            yield _number(element["Pg"]), kid
        elif (child := objects[_number(kid)]).get("Type") == "/StructElem":
            yield from _marks(child, objects)


def _release(stream: list[Any], mark: int) -> None:
    """Turn the marked content ``mark`` of a page into an artifact of its pagination."""
    for at, item in enumerate(stream):
        if isinstance(item, dict) and item.get("MCID") == mark:
            stream[at - 1] = "/Artifact"
            del item["MCID"]
            item["Type"] = "/Pagination"
            return
