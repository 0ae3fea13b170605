"""The file read aloud: tags, artifacts and links, by a reader that is not its printer."""

import re
from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pikepdf
import pytest

from tests.booklet.printed import STYLES, printed

EVERY = pytest.mark.parametrize("style", STYLES, ids="-".join)
Which = tuple[str, str, str]


def opened(style: Which) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(printed(*style)[1].pdf))


def elements(node: Any) -> Iterator[Any]:
    if isinstance(node, pikepdf.Array):
        for child in node:
            yield from elements(child)
    elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
        yield node
        yield from elements(node.get("/K", pikepdf.Array()))


def kids(element: Any) -> list[Any]:
    found = element.get("/K", [])
    return list(found) if isinstance(found, pikepdf.Array) else [found]


@EVERY
def test_it_says_that_it_is_tagged_and_in_which_language(style: Which) -> None:
    with opened(style) as document:
        assert document.Root.MarkInfo.Marked
        assert str(document.Root.Lang) == style[2]
        assert document.Root.ViewerPreferences.DisplayDocTitle
        assert document.open_metadata()["pdfuaid:part"] == "1"  # ISO 14289-1, 5
        kind = {"en": "Practice drills", "de": "Übungen"}[style[2]]
        assert document.docinfo["/Title"] == f"Rondo in D – {kind}"


@EVERY
def test_every_mark_is_in_the_tree_or_an_artifact(style: Which) -> None:
    # ISO 14289-1, 7.1: content is marked as real content or as an artifact.
    with opened(style) as document:
        held: set[tuple[int, int]] = set()
        for element in elements(document.Root.StructTreeRoot.K):
            page = element.get("/Pg")
            held |= {(page.objgen[0], kid) for kid in kids(element) if isinstance(kid, int)}
        for page in document.pages:
            content = page.Contents.read_bytes().decode("latin-1")
            marks = {int(mark) for mark in re.findall(r"/MCID (\d+)", content)}
            assert marks == {mark for number, mark in held if number == page.obj.objgen[0]}


@EVERY
def test_running_heads_and_page_numbers_are_no_content(style: Which) -> None:
    with opened(style) as document:
        heads = [page.Contents.read_bytes().count(b"/Pagination") for page in document.pages]
        front = 2 if style == ("masterclass", "half-letter", "en") else 1
        assert heads == [0] * front + [2] * (len(heads) - front)


@EVERY
def test_links_print_and_stand_in_link_elements(style: Which) -> None:
    # ISO 14289-1, 7.18.5.
    with opened(style) as document:
        links = [note for page in document.pages for note in page.get("/Annots", [])]
        assert links
        assert all(note.F == 4 for note in links)
        linked = {
            kid.Obj.objgen
            for element in elements(document.Root.StructTreeRoot.K)
            if element.S == "/Link"
            for kid in kids(element)
            if isinstance(kid, pikepdf.Dictionary) and "/Obj" in kid
        }
        assert {note.objgen for note in links} == linked


@EVERY
def test_every_table_has_headers(style: Which) -> None:
    # ISO 14289-1, 7.5.
    with opened(style) as document:
        for element in elements(document.Root.StructTreeRoot.K):
            if element.S == "/Table":
                assert any(part.S == "/TH" for part in elements(element.K))


@EVERY
def test_the_file_is_sound(style: Which) -> None:
    with opened(style) as document:
        assert document.check_pdf_syntax() == []
