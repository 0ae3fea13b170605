"""Who may read what, and that nothing a teacher writes is more than text."""

import os
import subprocess
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.booklet import Book, News, Progress, page_style
from engrave.booklet.press import Press
from engrave.booklet.setting import Setting
from engrave.errors import EngraveError
from engrave.log.picture import Curve, Point
from engrave.music.ranges import parse_range
from engrave.remarks import Remark
from tests.booklet import pdf
from tests.booklet.printed import bind, text
from tests.booklet.samples import book, passage_pages

REACHED = "Played clean at 84."


def test_private_remarks_are_the_students_alone() -> None:
    assert "Ask about the wrist." in text("student", "a4", "en")
    assert "Ask about the wrist." not in text("stand", "letter", "en")
    masterclass = text("masterclass", "half-letter", "en")
    assert "Ask about the wrist." not in masterclass
    assert "Sing it first." in masterclass


def test_a_masterclass_does_not_name_the_student_unless_asked() -> None:
    said = text("masterclass", "half-letter", "en")
    assert "Mira Holm" not in said
    assert REACHED not in said
    named = Setting(book(), page_style("masterclass", named=True)).html()
    assert "Mira Holm" in named
    assert REACHED in named


def test_how_far_the_student_has_come_is_nobody_elses_affair() -> None:
    day = date(2027, 2, 20)
    line = Remark.of("news.rose", name="1.1 long–short", before=60, now=66)
    done = Remark.of("news.done-plain", number=9, where="Measure 9", at="")
    curve = Curve(1, parse_range("41-44"), 96, (Point(day, Fraction(1, 2), True, True),))
    told = Progress(day, News(day, moved=(line,)), (done,), (curve,))
    for edition, shown in (("student", True), ("masterclass", False), ("stand", False)):
        setting = Setting(book(progress=told), page_style(edition))
        html = setting.html()
        assert ("from 60 to 66" in html) is shown
        assert ("Since the last lesson" in html) is shown
        if edition == "masterclass":
            assert "Measure 9: done" not in html
            assert "marks" not in setting.pictures


def test_a_booklet_without_people_or_date() -> None:
    bare = book(1, student="", teacher="", composer="", movement=None, performance=None)
    html = Setting(bare, page_style()).html()
    assert "Rondo in D" in html
    assert "Plan up to" not in html
    assert ">Performance<" not in html
    assert "None" not in html


HOSTILE = '<script>alert(1)</script> <img src="http://example.org/x.png"> {{ 7*7 }} & "q"'


def hostile() -> Book:
    one: dict[str, tuple[str, ...]] = {"rhythms": ("long-short",)}
    pages = passage_pages(1, families=one, trouble=HOSTILE, remarks=HOSTILE, private=HOSTILE)
    return book(passages=(pages,), title=HOSTILE, student=HOSTILE, teacher=HOSTILE)


@pytest.mark.parametrize("edition", ["student", "stand", "masterclass"])
def test_markup_in_the_book_is_escaped(edition: str) -> None:
    html = Setting(hostile(), page_style(edition)).html()
    assert html.count("&lt;script&gt;") >= 4
    assert "<script" not in html
    assert "example.org/x.png&#34;" in html


def test_markup_in_the_book_is_text() -> None:
    said = " ".join(" ".join(pdf.texts(bind(hostile(), page_style("masterclass")).pdf)).split())
    assert "<script>alert(1)</script>" in said.replace(" (", "(")
    assert "{{ 7*7 }}" in said
    assert "49" not in said.replace("41–44", "")


@pytest.mark.parametrize(
    "url", ["http://127.0.0.1:9/x.png", "file:///etc/hostname", "picture:none", "x.png"]
)
def test_a_page_can_fetch_nothing_else(url: str) -> None:
    with pytest.raises(RuntimeError, match="Failed to load image"):
        Press().lay_out(f'<html lang="en"><title>x</title><body><img alt="x" src="{url}">', {})


def test_the_same_book_gives_the_same_bytes_on_another_day() -> None:
    script = (
        "import sys; from tests.booklet.samples import book\n"
        "from engrave.booklet import LaidOut, page_style\n"
        "sys.stdout.buffer.write(LaidOut(book(1), page_style()).printed().pdf)"
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
