"""Characters that no font of the machine has: another stands for them, and they are named.

Private-use characters (Unicode 16, chapter 23.5) have no font unless somebody makes one; neither
have the last code points of plane 16.
"""

from dataclasses import replace

import pytest

from engrave.booklet import STAND_IN, LaidOut, page_style
from tests.booklet import pdf
from tests.booklet.printed import bind
from tests.booklet.samples import book, drawing, passage_pages

NOWHERE = "\U000f1234"
JOINING = "\U000e0101"
"""A variation selector: it only chooses the form of the character before it."""


@pytest.mark.parametrize("edition", ["student", "stand"])
def test_a_character_that_no_font_has_is_printed_as_a_sign_and_named(edition: str) -> None:
    bound = bind(book(1, title=f"Rondo {NOWHERE} in D"), page_style(edition))
    assert bound.missing == NOWHERE
    said = "".join(pdf.texts(bound.pdf))
    assert f"Rondo {STAND_IN} in D" in said
    assert NOWHERE not in said


def test_what_only_joins_its_neighbours_leaves_nothing() -> None:
    bound = bind(book(1, title=f"Ron{JOINING}do"), page_style("masterclass"))
    assert set(bound.missing) <= {JOINING}
    assert "Rondo" in "".join(pdf.texts(bound.pdf))
    assert STAND_IN not in "".join(pdf.texts(bound.pdf))


def test_words_inside_the_music_are_treated_alike() -> None:
    plain = drawing()
    words = f'<text x="5" y="5" font-family="Source Serif Pro">dolce {NOWHERE}</text></svg>'
    marked = replace(plain, svg=plain.svg.replace(b"</svg>", words.encode()))
    pages = passage_pages(1)
    drills = tuple(replace(page, pictures=(marked,)) for page in pages.drills)
    bound = bind(book(passages=(replace(pages, drills=drills),)), page_style("stand"))
    assert bound.missing == NOWHERE
    assert f"dolce {STAND_IN}" in "".join(pdf.texts(bound.pdf))


def test_a_booklet_of_ordinary_text_misses_nothing() -> None:
    bound = bind(book(1, title="Ländler für Åse, č\u2019est ½ fini"), page_style("masterclass"))
    assert bound.missing == ""


def test_pages_that_a_copy_of_the_process_draws_are_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Also where a character is missing on one of them: this process hears of it."""
    monkeypatch.setattr("engrave.booklet.page_run.WORTH_SHARING", 1)
    plain = drawing()
    words = f'<text x="5" y="5" font-family="Source Serif Pro">dolce {NOWHERE}</text></svg>'
    marked = replace(plain, svg=plain.svg.replace(b"</svg>", words.encode()))
    pages = passage_pages(1)
    drills = tuple(replace(page, pictures=(marked,)) for page in pages.drills)
    for content in (book(3), book(passages=(replace(pages, drills=drills), passage_pages(2)))):
        here = LaidOut(content, page_style("student")).printed()
        shared = LaidOut(content, page_style("student"), alone=False).printed()
        assert (shared.pdf, shared.missing) == (here.pdf, here.missing)
