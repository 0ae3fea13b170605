"""Saddle stitch by the handbooks' arithmetic, checked by folding."""

from io import BytesIO

import pikepdf
import pypdfium2
import pytest

from engrave.booklet.imposition import impose, saddle_stitch
from tests.booklet.printed import printed


def test_eight_pages_by_the_handbook() -> None:
    # Bookbinders' handbooks, s.v. "saddle stitch": 8, 1 / 2, 7 / 6, 3 / 4, 5.
    assert saddle_stitch(8) == [(8, 1), (2, 7), (6, 3), (4, 5)]


@pytest.mark.parametrize("pages", range(4, 41))
def test_folding_the_sheets_gives_the_pages_in_order(pages: int) -> None:
    sides = saddle_stitch(pages)
    fronts, backs = sides[::2], sides[1::2]
    # Turned over at the short edge, the back's left page lies behind the front's right one.
    leaves_before = [(front[1], back[0]) for front, back in zip(fronts, backs, strict=True)]
    leaves_after = [(back[1], front[0]) for front, back in zip(fronts, backs, strict=True)]
    folded = [page for leaf in (*leaves_before, *reversed(leaves_after)) for page in leaf]
    assert folded == list(range(1, 4 * len(fronts) + 1))
    assert 0 <= 4 * len(fronts) - pages < 4


def test_no_pages_are_no_booklet() -> None:
    with pytest.raises(ValueError, match="at least one"):
        saddle_stitch(0)


@pytest.mark.parametrize(
    "which", [("student", "a5", "de"), ("masterclass", "half-letter", "en")], ids="-".join
)
def test_sheets_carry_the_pages_that_their_labels_name(which: tuple[str, str, str]) -> None:
    style, bound = printed(*which)
    sheets = impose(bound.pdf)
    assert sheets == impose(bound.pdf)
    with pypdfium2.PdfDocument(bound.pdf) as pages, pypdfium2.PdfDocument(sheets) as document:
        texts = [page.get_textpage().get_text_bounded().split() for page in pages]
        for number, sheet in enumerate(document):
            width, height = sheet.get_size()
            assert width == pytest.approx(2 * style.paper.width_mm * 72 / 25.4, abs=0.1)
            assert height == pytest.approx(style.paper.height_mm * 72 / 25.4, abs=0.1)
            label = document.get_page_label(number)
            named = [int(page) for page in label.split(" | ") if page]
            assert named == [
                page for page in saddle_stitch(bound.pages)[number] if page <= len(texts)
            ]
            halves = {"left": (0, width / 2), "right": (width / 2, width)}
            for (left, right), page in zip(
                halves.values(), saddle_stitch(bound.pages)[number], strict=True
            ):
                found = sheet.get_textpage().get_text_bounded(left=left, right=right).split()
                assert found == (texts[page - 1] if page <= len(texts) else [])


def test_sheets_are_sound() -> None:
    sheets = impose(printed("masterclass", "half-letter", "en")[1].pdf)
    with pikepdf.open(BytesIO(sheets)) as document:
        assert document.check_pdf_syntax() == []
        assert str(document.docinfo["/Title"]) == "Rondo in D – Practice drills"
