"""Pages laid out one by one against WeasyPrint laying out the whole; pages that are known."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import weasyprint

from engrave.booklet import Book, LaidOut, page_style
from engrave.booklet.composing import Composer
from engrave.booklet.faces import found_font
from engrave.booklet.guarding import no_complaints
from engrave.booklet.page_numbers import AS_CSS, STAND_IN
from engrave.booklet.page_run import PageRun
from engrave.booklet.parts import MARK, parts_of
from engrave.booklet.press import Press
from engrave.booklet.workshop import Workshop, font_file
from engrave.machine.cache import NO_CACHE, Cache
from tests.booklet import pdf
from tests.booklet.printed import bind
from tests.booklet.samples import book

HTML = f"""<!DOCTYPE html><html lang="de"><head><title>A &amp; B</title>
<meta name="author" content="O&#39;N"><style>p {{ margin: 0 }}</style></head><body class="small">
{MARK}<section class="front" id="a"><img src="picture:x"></section>
{MARK}<section class="passage"><a href="#a">back</a></section></body></html>"""


@pytest.fixture
def laid(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The numbers of the pages that are laid out from now on."""
    numbers: list[int] = []
    page = Composer.page

    def noted(self: Composer, state: Any, number: int) -> Any:
        numbers.append(number)
        return page(self, state, number)

    monkeypatch.setattr(Composer, "page", noted)
    return numbers


@pytest.fixture
def last(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, Mapping[str, bytes]]]:
    """What was laid out: HTML and pictures."""
    given: list[tuple[str, Mapping[str, bytes]]] = []
    lay_out = Press.lay_out

    def noted(self: Press, html: str, pictures: Mapping[str, bytes], *more: Any) -> Any:
        given.append((html, dict(pictures)))
        return lay_out(self, html, pictures, *more)

    monkeypatch.setattr(Press, "lay_out", noted)
    return given


@pytest.mark.parametrize(
    ("edition", "paper", "language"),
    [("student", "a4", "de"), ("stand", "letter", "en"), ("masterclass", "a5", "en")],
)
def test_pages_are_those_of_the_whole_laid_out_at_once(
    last: list[tuple[str, Mapping[str, bytes]]], edition: str, paper: str, language: str
) -> None:
    style = page_style(edition, paper, language)
    ours = bind(book(width_mm=style.music_width_mm), style).pdf
    html, pictures = last[-1]
    shop = Workshop(NO_CACHE)
    whole = weasyprint.HTML(
        string=html.replace(f'"{STAND_IN}"', AS_CSS), base_url="booklet:", url_fetcher=shop.fetcher
    ).write_pdf(font_config=shop.fonts, cache=shop.drawings.of(pictures), pdf_variant="pdf/ua-1")
    assert [" ".join(text.split()) for text in pdf.texts(ours)] == [
        " ".join(text.split()) for text in pdf.texts(whole)
    ]
    for one, other in zip(pdf.pages(ours), pdf.pages(whole), strict=True):
        assert int(np.abs(one.astype(int) - other).max()) <= 2  # of 255: what a form is rounded by
    assert pdf.bookmarks(ours) == pdf.bookmarks(whole)
    assert list(pdf.tags(ours)) == list(pdf.tags(whole))


@pytest.mark.parametrize("is_met", [True, False])
def test_a_copy_that_begins_at_a_page_to_come_changes_nothing(
    monkeypatch: pytest.MonkeyPatch, is_met: bool
) -> None:
    """Whether this process comes to where the copy began or not."""
    met: list[bool] = []
    joined, beginning = PageRun._joined, Composer.beginning

    def noted(self: PageRun, state: Any, far: Any) -> Any:
        after = joined(self, state, far)
        met.append(after is None)
        return after

    def elsewhere(self: Composer, part: int, name: str) -> Any:
        resume, _ = beginning(self, part, name)
        return resume, {"running": "Another passage"}

    monkeypatch.setattr(PageRun, "_joined", noted)
    if not is_met:
        monkeypatch.setattr(Composer, "beginning", elsewhere)
    style = page_style("student", "a5")
    content = book(4, width_mm=style.music_width_mm)
    assert LaidOut(content, style, alone=False).printed() == bind(content, style)
    assert is_met in met


def test_a_page_that_did_not_change_is_not_laid_out_again(tmp_path: Path, laid: list[int]) -> None:
    style, content = page_style("masterclass"), book(3)
    fresh = bind(content, style)
    pages = len(laid)
    cache = Cache(tmp_path)
    assert bind(content, style, cache) == fresh
    laid.clear()
    assert bind(content, style, cache) == fresh
    assert laid == []
    *passages, changed = content.passages
    said = replace(changed.passage, remarks="Once more, and slower.")
    edited = replace(content, passages=(*passages, replace(changed, passage=said)))
    laid.clear()
    bound = bind(edited, style, cache)
    assert 0 < len(laid) < pages
    first = min(place.page for place in bound.places[changed.written.drill.id])
    assert min(laid) >= first - 1  # the page before may have been left as there was no room
    assert bound == bind(edited, style)


def test_a_damaged_cache_changes_nothing(tmp_path: Path) -> None:
    style, content = page_style("masterclass"), book(2)
    fresh = bind(content, style, Cache(tmp_path))
    for number, path in enumerate(sorted(tmp_path.glob("??/*"))):
        if number % 2:
            path.write_bytes(path.read_bytes()[:-1])
        elif number % 3 == 0:
            path.unlink()
    assert bind(content, style, Cache(tmp_path)) == fresh


def test_a_face_of_which_no_page_was_drawn_is_found_again() -> None:
    shop = Workshop(NO_CACHE)
    html = f'{HTML.split(MARK)[0]}{MARK}<p style="font: italic 600 9pt serif">Ümlaut</p></body>'
    with no_complaints() as heard:
        run = PageRun(shop, parts_of(html, {}), heard, draw=True)
        run.lay_out()
        (plate,) = run.plates(heard)
    (face,) = plate.faces
    shop = Workshop(NO_CACHE)
    assert found_font(face, "Ü", shop.fonts).hash == face.hash
    assert found_font(replace(face, file="another"), "Ü", shop.fonts) is None


def test_parts_know_what_they_are_and_what_stood_before() -> None:
    parts = parts_of(HTML, {"x": b"<svg/>"})
    assert (parts.language, parts.title, parts.author) == ("de", "A & B", "O'N")
    front, passage = parts.parts
    assert (front.pictures, front.before) == (("x",), "")
    assert passage.before == '<section class="front"></section>'
    assert '<body class="small"><section class="front"></section>' in parts.html(1)


def test_a_page_that_a_break_ends_does_not_depend_on_what_follows(
    tmp_path: Path, laid: list[int]
) -> None:
    style, content = page_style("masterclass"), book(2)
    bind(content, style, Cache(tmp_path))
    first, second = content.passages
    said = replace(first.passage, remarks="It hurries.")
    edited = replace(content, passages=(replace(first, passage=said), second))
    laid.clear()
    bind(edited, style, Cache(tmp_path))
    begins = min(place.page for place in bind(edited, style).places[first.written.drill.id])
    assert laid[0] == begins  # the page before it is as it was


@pytest.mark.parametrize(
    ("pictures", "html", "same"),
    [
        ({"x": b"<svg/>"}, HTML, (True, True)),
        ({"x": b"<svg />"}, HTML, (False, True)),
        ({"x": b"<svg/>"}, HTML.replace("back", "up"), (True, False)),
        ({"x": b"<svg/>"}, HTML.replace('class="front"', 'class="plain"'), (False, False)),
        ({"x": b"<svg/>"}, HTML.replace("margin: 0", "margin: 1mm"), (False, False)),
        ({"x": b"<svg/>"}, HTML.replace('lang="de"', 'lang="en"'), (False, False)),
    ],
)
def test_a_part_is_known_by_all_that_it_is_made_of(
    pictures: dict[str, bytes], html: str, same: tuple[bool, bool]
) -> None:
    before, after = parts_of(HTML, {"x": b"<svg/>"}), parts_of(html, pictures)
    digests = zip(before.parts, after.parts, strict=True)
    assert tuple(one.digest == other.digest for one, other in digests) == same


def test_links_that_lead_nowhere_are_an_error() -> None:
    content: Book = book(1)
    assert bind(content, page_style("masterclass")).pages
    html = HTML.replace('href="#a"', 'href="#nowhere"').replace('<img src="picture:x">', "")
    with pytest.raises(RuntimeError, match="nowhere"):
        Press().lay_out(html, {}).pdf()


def test_a_float_that_goes_on_overleaf_goes_on_there_alone(tmp_path: Path) -> None:
    def html(words: int) -> str:
        return (
            "<!DOCTYPE html><html><head><title>x</title><style>"
            "@page { size: 60mm 40mm; margin: 5mm; font: 9pt serif } div { float: left }"
            f"div {{ width: 12mm }} p {{ margin: 0 }}</style></head><body>{MARK}<section>"
            f"<div>{'float ' * 25}</div><p>{'text ' * 180}</p></section>"
            f"{MARK}<section><p>{'more ' * words}</p></section></body></html>"
        )

    Press(Cache(tmp_path)).lay_out(html(90), {}).pdf()
    changed = Press(Cache(tmp_path)).lay_out(html(100), {}).pdf()
    assert pdf.texts(changed) == pdf.texts(Press().lay_out(html(100), {}).pdf())


def test_pages_depend_on_the_rules_by_which_fonts_are_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = tmp_path / "fonts.conf"
    folder = f"<fontconfig><dir>{font_file('Regular').parent}</dir>"
    monkeypatch.setenv("FONTCONFIG_FILE", str(rules))
    rules.write_text(f"{folder}</fontconfig>", "utf-8")
    before = Workshop(NO_CACHE).surroundings
    assert Workshop(NO_CACHE).surroundings == before
    serif = (
        "<alias><family>serif</family><prefer><family>Source Serif Pro</family></prefer></alias>"
    )
    rules.write_text(f"{folder}{serif}</fontconfig>", "utf-8")
    assert Workshop(NO_CACHE).surroundings != before


def test_parts_that_would_be_kept_together_are_refused() -> None:
    html = HTML.replace("p { margin: 0 }", ".passage a { break-before: avoid; display: block }")
    html = html.replace('<img src="picture:x">', "")
    with pytest.raises(RuntimeError, match="kept on one page"):
        Press().lay_out(html, {})
