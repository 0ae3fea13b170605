"""The desk for whoever cannot see it well, or has a finger for a pointer: checked from outside."""

from pathlib import Path

import axe_core_python
import pytest

from tests.desk.on_desk import Person, on_desk
from tests.pipeline.demo import edit, lay_out
from tests.watch.browser import Page, executable, open_page

pytestmark = pytest.mark.skipif(executable() is None, reason="no Chromium on this machine")


def found_by_axe(page: Page) -> list[object]:
    """axe-core, its rules for WCAG 2.2 A and AA and its best practices."""
    code = (Path(axe_core_python.__file__).parent / "axe.min.js").read_text("utf-8")
    page.evaluate(code)
    found = page.evaluate("""axe.run(document, { resultTypes: ["violations"] })
        .then((told) => told.violations.map((each) =>
            [each.id, each.nodes.map((node) => node.html).slice(0, 3)]))""")
    assert isinstance(found, list)
    return found


def test_an_accessibility_checker_finds_nothing(tmp_path: Path) -> None:
    """The list, a passage, its fingers being set, and a mistake in a field; in German."""
    demo = lay_out(tmp_path / "scores")
    edit(demo, "teacher:", "language: de\nteacher:")
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        person = Person(page)
        person.see(1366, 1024)
        page.wait_for("document.querySelector('#score .number')")
        page.wait_for("document.querySelectorAll('#hear option').length")
        assert found_by_axe(page) == []
        person.choose(0)
        assert found_by_axe(page) == []
        person.press("#finger-choice button")
        assert found_by_axe(page) == []
        person.key("Escape")
        person.type("#field-passages-0-measures", "46-4000")
        page.wait_for("document.querySelector('[aria-invalid=true]')")
        assert found_by_axe(page) == []


def test_a_finger_can_hit_everything_and_nothing_is_wider_than_a_phone(tmp_path: Path) -> None:
    demo = lay_out(tmp_path / "scores")
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        page.send("Emulation.setTouchEmulationEnabled", enabled=True)
        person = Person(page)
        person.see(390, 844)
        assert page.evaluate("matchMedia('(pointer: coarse)').matches")
        page.wait_for("document.querySelectorAll('#hear option').length")
        person.choose(0)
        page.evaluate("document.querySelector('#finger-choice button').click()")
        page.wait_for("document.querySelector('.column.here')")  # far down the score
        middle = page.evaluate("""["#score", ".column.here"].map((name) => {
            const box = document.querySelector(name).getBoundingClientRect();
            return [box.top, box.bottom];
        })""")
        assert middle[0][0] < middle[1][0] < middle[1][1] < middle[0][1]
        assert page.evaluate("document.getElementById('fingers').offsetWidth") > 300
        for width, height in ((390, 844), (820, 1180)):
            person.see(width, height)
            assert page.evaluate("document.documentElement.scrollWidth") == width
            low = page.evaluate("""[...document.querySelectorAll("button, select, [type=text]")]
                .filter((each) => each.checkVisibility() && !each.closest("#score"))
                .filter((each) => each.offsetHeight < 44).map((each) => each.outerHTML)""")
            assert low == []
