"""Printed pages, read back: pixels, vectors, words, bookmarks."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from engrave.booklet import TerrainStrip, page_style
from engrave.booklet.setting import Setting
from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.words import say
from tests.booklet import pdf
from tests.booklet.printed import STYLES, bind, pixels, printed
from tests.booklet.samples import book, drawing, passage_pages

EVERY = pytest.mark.parametrize("style", STYLES, ids="-".join)
Which = tuple[str, str, str]

SLACK_MM = 0.5
"""Half a stroke and half a pixel."""
PRINTER_MM = 6.0
"""What home printers cannot reach (common practice, no source)."""
CLEAR_MM = 1.5
"""Nearer to music no word may come (common practice, no source)."""


@EVERY
def test_nothing_is_drawn_outside_the_margins(style: Which) -> None:
    page_style, _ = printed(*style)
    for number, page in enumerate(pixels(*style), start=1):
        box = pdf.ink_box(page)
        assert box is not None, f"page {number} is empty"
        left, top, right, bottom = box
        inner, outer = page_style.inner_mm, page_style.outer_mm
        before, after = (inner, outer) if number % 2 else (outer, inner)
        assert left >= before - SLACK_MM, number
        assert right <= page_style.paper.width_mm - after + SLACK_MM, number
        assert top >= PRINTER_MM, number
        assert bottom <= page_style.paper.height_mm - PRINTER_MM, number


@EVERY
def test_no_page_is_near_empty_but_the_last_of_a_section(style: Which) -> None:
    page_style, bound = printed(*style)
    assert pdf.near_empty(bound.pdf, pixels(*style), page_style) == []


def test_the_stand_uses_its_pages() -> None:
    style, bound = printed("stand", "letter", "en")
    used = []
    for number, page in enumerate(pixels("stand", "letter", "en")[:-1], start=1):
        if sum(place.page == number for places in bound.places.values() for place in places) > 1:
            used.append(pdf.fullness(page, style))
    assert used
    assert sum(used) / len(used) >= 0.8


@EVERY
def test_every_drill_stands_on_one_page_with_ink_at_its_place(style: Which) -> None:
    _, bound = printed(*style)
    assert len(bound.places) == len(book().addresses())
    for drill, places in bound.places.items():
        assert len({place.page for place in places}) == 1, drill
        for place in places:
            x, y, width, height = (
                round(mm * pdf.PIXELS_PER_MM)
                for mm in (place.x_mm, place.y_mm, place.width_mm, place.height_mm)
            )
            cut = pixels(*style)[place.page - 1][y : y + height, x : x + width]
            assert (cut < pdf.INK).mean() > 0.01, drill


@EVERY
def test_no_word_comes_near_the_music(style: Which) -> None:
    _, bound = printed(*style)
    places = [place for found in bound.places.values() for place in found]
    assert pdf.crowded(bound.pdf, places, CLEAR_MM) == []


@EVERY
def test_music_keeps_its_true_size(style: Which) -> None:
    page_style, bound = printed(*style)
    place = next(iter(bound.places.values()))[0]
    assert place.width_mm == pytest.approx(page_style.music_width_mm, abs=0.01)
    lines = pdf.staff_lines(bound.pdf, place.page - 1, 0.9 * page_style.music_width_mm)
    staves = [five for five in zip(*(lines[n:] for n in range(5)), strict=False) if even(five)]
    assert staves
    for five in staves:
        assert five[4] - five[0] == pytest.approx(7.0, abs=0.05)


def even(lines: tuple[float, ...]) -> bool:
    gaps = [b - a for a, b in pairwise(lines)]
    return max(gaps) - min(gaps) < 0.05 and max(gaps) < 3


@EVERY
def test_every_drill_is_said_in_words(style: Which) -> None:
    _, bound = printed(*style)
    figures = [words for tag, words in pdf.tags(bound.pdf) if tag == "Figure"]
    assert all(figures)
    said = {
        "en": "Right hand. Measures 41–44, long–short: 24 notes, quarter note = 60 to 120.",
        "de": "Rechte Hand. Takte 41–44, lang–kurz: 24 Noten, Viertelnote = 60 bis 120.",
    }
    assert said[style[2]] in figures


@EVERY
def test_the_file_is_small(style: Which) -> None:
    _, bound = printed(*style)
    assert len(bound.pdf) / bound.pages < 60_000


def test_text_reads_in_order() -> None:
    _, bound = printed("student", "a4", "en")
    page = bound.places["passage-1.rhythms.long-short"][0].page
    text = pdf.texts(bound.pdf)[page - 1]
    order = ["Measures 41–44", "Thumb passes", "Rhythms", "Wait on the long", "1.1 "]
    found = [text.find(words) for words in order]
    assert -1 not in found
    assert found == sorted(found)
    drills = [text.index(f"1.{number} ") for number in (1, 2)]
    boxes = text.index("as written", drills[1])
    assert drills[0] < drills[1] < boxes
    assert "60" in text[drills[1] : boxes]


def test_headings_go_down_step_by_step() -> None:
    _, bound = printed("student", "a4", "en")
    levels = [int(tag[1]) for tag, _ in pdf.tags(bound.pdf) if tag in {"H1", "H2", "H3"}]
    assert levels[0] == 1
    assert all(b <= a + 1 for a, b in pairwise(levels))


def test_contents_name_the_pages_of_the_passages() -> None:
    _, bound = printed("student", "a4", "en")
    contents = next(text for text in pdf.texts(bound.pdf) if "Contents" in text)
    for number, first in ((1, 41), (2, 81)):
        page = bound.places[f"passage-{number}.as-written.whole"][0].page
        line = contents[contents.index(f"Measures {first}") :]
        assert str(page) in line.split("Measures")[1]


def test_the_contents_of_nine_passages_stand_on_one_page() -> None:
    style = page_style("student", "letter")
    shows = (Remark.of("survey.shows", first="0", last="99"),)
    strip = TerrainStrip(drawing(style.music_width_mm), Remark.of("survey.caption"), shows)
    first, second, *_ = pdf.texts(bind(book(9, style.music_width_mm, terrain=strip), style).pdf)
    assert "Plan up to the performance" in first
    assert "How to use this booklet" in second


def test_bookmarks_name_passages_families_and_drills_alone() -> None:
    _, bound = printed("masterclass", "a4", "de")
    marks = [(level, title) for level, title, _ in pdf.bookmarks(bound.pdf)]
    assert (0, "1 Takte 41–44") in marks
    assert (2, "1.1 lang–kurz") in marks
    inside = marks[marks.index((0, "1 Takte 41–44")) : marks.index((0, "2 Takte 81–84"))]
    assert [title for level, title in inside if level == 1] == ["Rhythmen", "Griffe"]


@pytest.mark.parametrize("edition", ["student", "stand", "masterclass"])
def test_the_terrain_of_the_piece_stands_before_the_passages(edition: str) -> None:
    style = page_style(edition)
    words = Remark.of("survey.caption")
    shows = (Remark.of("survey.shows", first="0", last="99"), Remark.of("how.boxes"))
    strip = TerrainStrip(drawing(style.music_width_mm), words, shows)
    html = Setting(book(1, terrain=strip), style).html()
    assert html.index(f'alt="{say(shows[0])} {say(shows[1])}"') < html.index('id="passage-1"')
    assert f'class="note">{say(words)}<' in html


def test_passages_without_drills_share_a_page() -> None:
    """Each on a page of its own would be near empty; those with drills begin a page."""
    bare = tuple(passage_pages(n, f"{n}1-{n}2", families={}) for n in (2, 3))
    drilled = passage_pages(1, "11-12"), passage_pages(4, "41-42")
    bound = bind(book(passages=(drilled[0], *bare, drilled[1])), page_style())
    pages = [page for level, title, page in pdf.bookmarks(bound.pdf) if "Measures" in title]
    assert pages[1] == pages[2]
    assert pages[0] < pages[1] < pages[3]


def test_fingering_notes_stand_on_one_page() -> None:
    passages = tuple(
        replace(
            passage_pages(n, f"{n}1-{n}2", {"blocks": ("step-1",) * (n % 3)}),
            notes=(Remark.of("fingering.teachers", measures=f"{n}{n}"),) * 12,
        )
        for n in range(1, 10)
    )
    bound = bind(book(passages=passages), page_style("masterclass"))
    texts = pdf.texts(bound.pdf)
    for n in range(1, 10):
        found = [len(re.findall(rf"\b{n}{n}\s+are\s+your\s+teacher", text)) for text in texts]
        assert [count for count in found if count] == [12], n


def test_the_hand_is_said_where_a_passage_has_two() -> None:
    _, bound = printed("masterclass", "a4", "en")
    marks = [title for _, title, _ in pdf.bookmarks(bound.pdf)]
    assert "1.1 long–short" in marks
    both = passage_pages(1, hands=(Hand.RIGHT, Hand.LEFT))
    one = replace(both.drills[0], drill=replace(both.drills[0].drill, hands=(Hand.RIGHT,)))
    html = Setting(book(passages=(replace(both, drills=(one,)),)), page_style()).html()
    assert "<b>long–short</b> <i>right hand</i>" in html


def test_german_words_are_broken_where_three_letters_stand_on_either_line() -> None:
    _, bound = printed("student", "a5", "de")
    text = "\n".join(pdf.texts(bound.pdf))
    broken = re.findall(r"(\w+)\u2010\s*\n(\w+)", text)
    assert broken
    assert [pair for pair in broken if min(map(len, pair)) < 3] == []


def test_headings_of_a_booklet_are_all_of_one_size() -> None:
    """Measured in print: a long one is set smaller, and the others with it."""
    short, long = passage_pages(1, "41-44"), passage_pages(2, "81.3-84.2")
    widest = [
        max(pdf.width_of(bind(book(passages=passages), page_style()).pdf, "Measures 41"))
        for passages in ((short,), (short, long))
    ]
    assert widest[1] < 0.8 * widest[0]
    mixed = pdf.width_of(bind(book(passages=(short, long)), page_style()).pdf, "Measures 8")
    assert max(mixed) == pytest.approx(widest[1] * 10 / 11, rel=0.05)
