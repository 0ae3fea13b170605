"""A real file is edited, and headless Chromium shows what came of it."""

import time
from collections.abc import Iterator

import pytest

from tests.pipeline.demo import edit
from tests.watch.browser import Page, executable, open_page
from tests.watch.watcher import Watcher, watcher

pytestmark = pytest.mark.skipif(executable() is None, reason="no Chromium on this machine")

BOOKLET = """!document.getElementById('booklet').hidden
    && document.querySelectorAll('#booklet section.passage').length === 4"""
MISTAKES = """!document.getElementById('mistakes').hidden
    && document.getElementById('booklet').hidden"""
IN_VIEW = """(box => box.top >= 0 && box.top < innerHeight / 2)(
    document.querySelector('.changed')?.getBoundingClientRect() ?? {})"""
FONTS = "document.fonts.ready.then(all => [...all].filter(f => f.status === 'loaded').length)"
FETCHED = """fetch(document.querySelector('#status a').href)
    .then(answer => answer.arrayBuffer()).then(bytes => bytes.byteLength)"""
VERSION = "document.documentElement.dataset.version"


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watcher]:
    with watcher(tmp_path_factory.mktemp("watch")) as started:
        yield started


@pytest.fixture(scope="module")
def page(watched: Watcher) -> Iterator[Page]:
    with open_page(watched.address) as opened:
        opened.wait_for(BOOKLET, 60)
        yield opened


@pytest.fixture(autouse=True)
def restored(watched: Watcher, page: Page) -> Iterator[None]:
    """Every test leaves marks and score as it found them, and the page shows that."""
    score = watched.marks.with_suffix(".musicxml")
    before = watched.marks.read_text("utf-8"), score.read_text("utf-8")
    yield
    score.write_text(before[1], "utf-8")
    watched.marks.write_text(before[0], "utf-8")
    page.wait_for(BOOKLET)
    page.wait_for("document.body.innerText.includes('The first six notes are only a murmur.')")
    time.sleep(0.5)


def written(page: Page, passage: int) -> str:
    """The texts in the music of a passage as written; passages count from 1."""
    svg = (
        f"document.querySelectorAll('#booklet section.passage')[{passage - 1}].querySelector('svg')"
    )
    texts = f"[...{svg}.querySelectorAll('text')].map(text => text.textContent).join(' ')"
    return str(page.evaluate(texts))


def test_a_changed_drill_is_brought_into_view(watched: Watcher, page: Page) -> None:
    """How soon that is, ``tests.watch.sight`` says."""
    for number in range(2):
        before, after = ('"92.1": "4 3"', '"92.1": "5 3"')[:: 1 if number % 2 == 0 else -1]
        page.evaluate("window.scrollTo(0, 0)")
        version = page.evaluate(VERSION)
        edit(watched.marks, before, after)
        page.wait_for(f"{VERSION} !== '{version}' && {IN_VIEW}")
        right_hand = written(page, 4).split()[0]
        assert right_hand.endswith("53" if number % 2 == 0 else "43")


def test_words_are_shown_where_they_stand(watched: Watcher, page: Page) -> None:
    edit(watched.marks, "The first six notes are only a murmur.", "Like <b>rain</b> & wind.")
    page.wait_for("document.body.innerText.includes('Like <b>rain</b> & wind.')")
    assert page.evaluate(IN_VIEW)
    edit(watched.marks, "Like <b>rain</b> & wind.", "The first six notes are only a murmur.")


def test_a_bad_edit_is_shown_with_its_line_and_then_gone(watched: Watcher, page: Page) -> None:
    edit(watched.marks, "hand: both", "hnad: both")
    page.wait_for(MISTAKES)
    line = watched.marks.read_text("utf-8").splitlines().index("    hnad: both") + 1
    said = page.evaluate("document.getElementById('mistakes').innerText")
    assert f"{watched.marks}:{line}:5" in said
    assert "unknown key 'hnad'" in said
    marked = page.evaluate("document.querySelector('#mistakes pre b').textContent")
    assert marked.split() == [str(line), "hnad:", "both"]
    edit(watched.marks, "hnad: both", "hand: both")
    page.wait_for(BOOKLET)


def test_a_score_that_goes_is_missed_and_one_that_comes_back_is_read(
    watched: Watcher, page: Page
) -> None:
    score = watched.marks.with_suffix(".musicxml")
    music = score.read_text("utf-8")
    score.unlink()
    page.wait_for(MISTAKES)
    said = page.evaluate("document.getElementById('mistakes').innerText")
    lines = watched.marks.read_text("utf-8").splitlines()
    line = next(n for n, text in enumerate(lines, 1) if text.startswith("score:"))
    assert f"{watched.marks}:{line}:8" in said
    assert "there is no" in said
    score.write_text(music, "utf-8")
    page.wait_for(BOOKLET)


def test_marks_that_go_are_missed(watched: Watcher, page: Page) -> None:
    marks = watched.marks.read_text("utf-8")
    watched.marks.unlink()
    page.wait_for(MISTAKES)
    watched.marks.write_text(marks, "utf-8")
    page.wait_for(BOOKLET)


def test_an_editor_may_save_by_renaming(watched: Watcher, page: Page) -> None:
    beside = watched.marks.with_name("half.tmp")
    text = watched.marks.read_text("utf-8").replace('"92.1": "4 3"', '"92.1": "5 3"')
    beside.write_text(text, "utf-8")
    version = page.evaluate(VERSION)
    beside.replace(watched.marks)
    page.wait_for(f"{VERSION} !== '{version}' && {IN_VIEW}")


def test_of_ten_saves_the_last_is_shown(watched: Watcher, page: Page) -> None:
    text = watched.marks.read_text("utf-8")
    for number in range(10):
        saved = text.replace("are only a murmur", f"are murmur number {number}")
        watched.marks.write_text(saved, "utf-8")
        time.sleep(0.03)
    page.wait_for("document.body.innerText.includes('are murmur number 9')")
    time.sleep(1)
    assert page.evaluate("document.body.innerText.includes('are murmur number 9')")
    watched.marks.write_text(text, "utf-8")


def test_two_browsers_show_the_same(watched: Watcher, page: Page) -> None:
    with open_page(watched.address) as other:
        other.wait_for(BOOKLET)
        edit(watched.marks, '"92.1": "4 3"', '"92.1": "5 3"')
        for each in (page, other):
            each.wait_for(IN_VIEW)
        assert page.evaluate("booklet.innerHTML") == other.evaluate("booklet.innerHTML")
        edit(watched.marks, "hand: both", "hnad: both")
        for each in (page, other):
            each.wait_for(MISTAKES)
        other.go(watched.address)
        other.wait_for(MISTAKES)


def test_the_pdf_follows(watched: Watcher, page: Page) -> None:
    page.wait_for("document.querySelector('#status').innerText === 'lantern-rondo-student.pdf'", 60)
    edit(watched.marks, "teacher: Tobias Quern", "teacher: Ada Nobody")  # on no passage's page
    page.wait_for("document.querySelector('#status').innerText.includes('is being renewed')")
    page.wait_for("document.querySelector('#status').innerText === 'lantern-rondo-student.pdf'", 60)
    pdf = watched.out / "lantern-rondo" / "lantern-rondo-student.pdf"
    assert b"Ada Nobody" in _text_of(pdf.read_bytes())
    assert page.evaluate(FETCHED) == len(pdf.read_bytes())


def _text_of(pdf: bytes) -> bytes:
    from tests.booklet.pdf import texts

    return "".join(texts(pdf)).encode()


def test_the_page_obeys_its_own_rules(page: Page) -> None:
    """Its fonts are let in; nothing else is, and nothing goes out."""
    assert page.evaluate(FONTS) >= 2
    assert page.evaluate("booklet.querySelectorAll('script').length") == 0
    fetched = "fetch('https://example.invalid/').then(() => 'went', () => 'refused')"
    assert page.evaluate(fetched) == "refused"


@pytest.mark.parametrize("width", [390, 820, 1180])
def test_on_a_phone_or_a_tablet_nothing_runs_over(page: Page, width: int) -> None:
    page.see(width, 900)
    try:
        over = page.evaluate("""[...document.querySelectorAll("#booklet svg, #booklet p")]
            .filter((each) => !each.closest("table"))
            .map((each) => each.getBoundingClientRect())
            .filter((box) => box.width && (box.right > innerWidth || box.left < 0)).length""")
        assert over == 0
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert (
            page.evaluate("""Math.min(...[...document.querySelectorAll("#booklet .written svg")]
            .map((each) => each.getBoundingClientRect().width))""")
            > min(width, 800) / 4
        )
    finally:
        page.see(1000, 900)
