"""Who may read what, and that nothing a teacher writes is more than text."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from engrave.booklet import bind, page_style
from engrave.booklet.press import lay_out
from engrave.errors import EngraveError
from tests.booklet import pdf
from tests.booklet.samples import book, passage_pages

PRIVATE = passage_pages(1, private="Ask about the wrist.", remarks="Sing it first.")
REACHED = "Played clean at 72."


def text(edition: str, named: bool | None = None) -> str:
    style = page_style(edition, named=named)
    return " ".join(pdf.texts(bind(book(passages=(PRIVATE,)), style).pdf))


def test_private_remarks_are_the_students_alone() -> None:
    assert "Ask about the wrist." in text("student")
    assert "Ask about the wrist." not in text("stand")
    masterclass = text("masterclass")
    assert "Ask about the wrist." not in masterclass
    assert "Sing it first." in masterclass


@pytest.mark.parametrize(("named", "there"), [(None, False), (True, True)])
def test_a_masterclass_does_not_name_the_student_unless_asked(
    named: bool | None, there: bool
) -> None:
    style = page_style("masterclass", named=named)
    bound = bind(book(passages=(PRIVATE,)), style)
    said = " ".join(pdf.texts(bound.pdf)) + " ".join(words for _, words in pdf.tags(bound.pdf))
    assert ("Mira Holm" in said) is there
    assert (REACHED in said) is there


def test_a_booklet_without_people_or_date() -> None:
    bare = book(student="", teacher="", composer="", movement="", performance=None)
    said = " ".join(pdf.texts(bind(bare, page_style()).pdf))
    assert "Rondo in D" in said
    assert "Plan up to" not in said
    assert "Performance" not in said


HOSTILE = '<script>alert(1)</script> <img src="http://example.org/x.png"> {{ 7*7 }} & "q"'


@pytest.mark.parametrize("edition", ["student", "stand", "masterclass"])
def test_markup_in_the_book_is_text(edition: str) -> None:
    pages = passage_pages(1, trouble=HOSTILE, remarks=HOSTILE, private=HOSTILE)
    bound = bind(book(passages=(pages,), title=HOSTILE, student=HOSTILE), page_style(edition))
    said = " ".join(" ".join(pdf.texts(bound.pdf)).split())
    assert "<script>alert(1)</script>" in said.replace(" (", "(")
    assert "{{ 7*7 }}" in said
    assert "49" not in said.replace("41–44", "")


@pytest.mark.parametrize(
    "url", ["http://127.0.0.1:9/x.png", "file:///etc/hostname", "picture:none", "x.png"]
)
def test_a_page_can_fetch_nothing_else(url: str) -> None:
    with pytest.raises(RuntimeError, match="Failed to load image"):
        lay_out(f'<html lang="en"><title>x</title><img alt="x" src="{url}">', {})


def test_the_same_book_gives_the_same_bytes_on_another_day() -> None:
    script = (
        "import sys; from tests.booklet.samples import book\n"
        "from engrave.booklet import bind, page_style\n"
        "sys.stdout.buffer.write(bind(book(1), page_style()).pdf)"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", script],
            capture_output=True,
            check=True,
            cwd=Path(__file__).parents[2],
            env=os.environ | {"PYTHONHASHSEED": seed, "TZ": zone},
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    ]
    assert runs[0][:5] == b"%PDF-"
    assert runs[0] == runs[1]


def test_no_words_for_a_language_is_the_users_mistake() -> None:
    with pytest.raises(EngraveError, match="xx"):
        bind(book(1), page_style(language="xx"))
