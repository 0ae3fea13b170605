"""A desk that does not answer, or is closed: what its page tells, keeps and asks for again."""

import time
from pathlib import Path

import pytest

from tests.desk.on_desk import Person, on_desk
from tests.desk.test_desk_in_browsers import settled
from tests.pipeline.demo import lay_out
from tests.watch.browser import executable, open_page

pytestmark = pytest.mark.skipif(executable() is None, reason="no Chromium on this machine")


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "scores")


def test_a_lost_desk_is_told_and_what_was_not_saved_stays(demo: Path, tmp_path: Path) -> None:
    with on_desk(demo, tmp_path / "out") as (address, process), open_page(address) as page:
        settled(page, 4)
        before = demo.read_bytes()
        process.kill()
        process.wait()
        page.wait_for("document.getElementById('saved').className === 'warning'")
        Person(page).type("#field-teacher", "T. Q. and a friend")
        page.wait_for("document.querySelector('#saved button')")
        value = page.evaluate("document.querySelector('#field-teacher').value")
        assert value.endswith("and a friend")
        assert demo.read_bytes() == before


def test_all_that_was_not_saved_is_sent_again_in_its_order(demo: Path, tmp_path: Path) -> None:
    """No answer comes to two changes; the page holds both, and asks before it is left."""
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        settled(page, 4)
        page.evaluate("window.theirs = fetch; window.fetch = () => Promise.reject(new TypeError())")
        person.type("#field-teacher", "Anna Lenz")
        person.type("#field-student-name", "Ida")
        page.evaluate("import('./talk.js').then((talk) => talk.answered())")
        leaving = "dispatchEvent(new Event('beforeunload', { cancelable: true }))"
        assert page.evaluate(leaving) is False
        page.evaluate("window.fetch = window.theirs")
        page.wait_for("document.querySelector('#saved button')")
        person.press("#saved button")
        settled(page, 4)
        assert page.evaluate(leaving) is True
    text = demo.read_text("utf-8")
    assert "teacher: Anna Lenz" in text
    assert "name: Ida" in text


def test_what_could_not_be_drawn_is_asked_for_again(demo: Path, tmp_path: Path) -> None:
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        settled(page, 4)
        page.evaluate("window.theirs = fetch; window.fetch = () => Promise.reject(new TypeError())")
        page.evaluate(
            "import('./score.js').then((score) => score.reveal(score.beats().length - 1))"
        )
        time.sleep(0.5)
        assert not page.evaluate(
            "[...document.querySelectorAll('.system')].at(-1).querySelector('svg')"
        )
        page.evaluate("window.fetch = window.theirs")
        page.evaluate("import('./score.js').then((score) => score.reveal(0))")
        time.sleep(0.5)
        page.evaluate(
            "import('./score.js').then((score) => score.reveal(score.beats().length - 1))"
        )
        page.wait_for("[...document.querySelectorAll('.system')].at(-1).querySelector('svg')", 20)


def test_closing_ends_the_command_with_all_saved(demo: Path, tmp_path: Path) -> None:
    with on_desk(demo, tmp_path / "out") as (address, process), open_page(address) as page:
        settled(page, 4)
        page.evaluate("import('./talk.js').then((talk) => void talk.putAway())")
        page.wait_for("document.getElementById('saved').textContent.includes('is closed')")
        assert process.wait(10) == 0
