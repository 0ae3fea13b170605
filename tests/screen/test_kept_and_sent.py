"""What is practised on the demo's page: ticked, kept on the device, sent, and loaded back."""

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from engrave.cli import main
from tests.pipeline.demo import NAME, edit, lay_out
from tests.screen.opened import complaints, opened
from tests.screen.test_page import go, press, ticked, up
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")


@contextmanager
def afresh(file: Path) -> Iterator[Page]:
    """The page on a tablet upright, opened with nothing kept from before."""
    with opened(file) as page:
        page.see(820, 1180)
        page.evaluate("localStorage.clear()")
        page.go("about:blank")
        page.go(file.as_uri())
        yield page


def test_a_log_is_saved_under_no_name_that_the_marks_have(file: Path) -> None:
    """The demo's marks are ``lantern-rondo.yaml``; their log is another file."""
    caught = """window.saved = [];
        HTMLAnchorElement.prototype.click = function () { window.saved.push(this.download); };"""
    with opened(file, caught) as page:
        page.see(820, 1180)
        go(page, 1)
        for _ in range(3):
            press(page, "clean")
        go(page, page.evaluate("document.querySelectorAll('[data-go]').length"))
        page.evaluate("document.querySelector('#record [data-part=save]').click()")
        (name,) = page.evaluate("saved")
        assert re.fullmatch(rf"{NAME}-sent-\d{{4}}-\d\d-\d\d\.log\.yaml", name)
        line = "document.querySelector('#record [data-part=days] li span').textContent"
        assert re.search(r"^\d+ [A-Z][a-z]+: .+ clean at \d+ % of its goal$", page.evaluate(line))
        assert page.evaluate("document.querySelectorAll('#record li svg').length") == 0
        assert complaints(page) == []


def test_three_clean_tick_the_box_and_twice_not_yet_go_one_back(file: Path, root: Path) -> None:
    """And what was kept is found again: at the next opening, elsewhere, in next week's file."""
    with afresh(file) as page:
        go(page, 1)
        assert (up(page), ticked(page)) == ("66", ["48", "52", "56", "60"])
        for _ in range(3):
            press(page, "clean")
        assert (up(page), ticked(page)) == ("72", ["48", "52", "56", "60", "66"])
        assert "66" in page.evaluate("document.getElementById('told').textContent")
        for part in ("clean", "missed", "clean", "clean", "missed"):
            press(page, part)
        assert up(page) == "66"
        press(page, "clean")
        go(page, 2)
        press(page, "missed")
        page.go("about:blank")
        page.go(file.as_uri())
        go(page, 1)
        assert (up(page), ticked(page)[-1]) == ("66", "66")
        assert page.evaluate("document.querySelector('[data-part=count]').textContent") == "●○○"
        moved = root / "elsewhere" / "mail.html"
        moved.parent.mkdir(exist_ok=True)
        moved.write_bytes(file.read_bytes())
        page.go(moved.as_uri())
        go(page, 1)
        assert ticked(page)[-1] == "66"
        other = root / "next"
        other.mkdir(exist_ok=True)
        week = build_week(other)
        page.go(week.as_uri())
        go(page, 1)
        assert ticked(page)[-1] == "66"
        assert page.evaluate("document.getElementById('kept').className") == ""


def build_week(root: Path) -> Path:
    """The booklet of a week later: another word, and less to practise."""
    marks = lay_out(root)
    edit(marks, "reached: {mark: 44,", "reached: {mark: 48,")
    out = str(root / "out")
    assert main(["build", str(marks), "--out", out, "--edition", "screen"]) == 0
    return root / "out" / NAME / f"{NAME}-screen.html"


def test_what_was_done_comes_back_into_the_booklet(file: Path, root: Path) -> None:
    with afresh(file) as page:
        go(page, 1)
        for part in ("clean",) * 3 + ("missed",):
            press(page, part)
        go(page, 2)
        for _ in range(6):
            press(page, "clean")
        best = int(ticked(page)[-1])
        stops = page.evaluate("document.querySelectorAll('[data-go]').length")
        go(page, stops)
        page.evaluate("document.querySelector('.noting input').focus()")
        page.send("Input.insertText", text='the "thumb"   \\ again')
        page.evaluate("document.querySelector('.noting button').click()")
        page.evaluate("document.querySelector('#record [data-part=copy]').click()")
        page.wait_for("document.querySelector('#record textarea').value")
        text = page.evaluate("document.querySelector('#record textarea').value")
        day = page.evaluate("new Date().toLocaleDateString('sv')")
    assert text.count("clean: 3") == 3
    assert text.count("clean: 0") == 1
    week = root / "after"
    week.mkdir()
    marks = lay_out(week)
    edit(marks, "lesson: 2027-02-20 ", "# no lesson: all days count ")
    (week / "nell.log.yaml").write_text("log: 1\nentries:\n", "utf-8")
    sent = week / "sent.log.yaml"
    sent.write_text(text, "utf-8")
    assert main(["log", str(marks), str(sent)]) == 0
    assert main(["build", str(marks), "--out", str(week / "out"), "--edition", "screen"]) == 0
    drills = json.loads((week / "out" / NAME / "manifest.json").read_text("utf-8"))["drills"]
    reached = {each["id"]: each["reached"] for each in drills}
    assert reached["run-to-the-lantern.as-written.whole"] == 66
    assert reached[drills[1]["id"]] == best
    assert r'word: "the \"thumb\" \\ again"' in text
    assert day in (week / "nell.log.yaml").read_text("utf-8")


def test_where_storage_is_denied_the_page_says_so_and_goes_on(file: Path) -> None:
    denied = """Object.defineProperty(window, "localStorage",
        { get() { throw new DOMException("denied", "SecurityError"); } })"""
    with opened(file, denied) as page:
        page.see(820, 1180)
        assert "keeps nothing" in page.evaluate("document.getElementById('kept').textContent")
        go(page, 1)
        for _ in range(3):
            press(page, "clean")
        assert up(page) == "72"
        script = """(() => {
            const leaving = new Event("beforeunload", { cancelable: true });
            return !dispatchEvent(leaving);
        })()"""
        assert page.evaluate(script) is True
        stops = page.evaluate("document.querySelectorAll('[data-go]').length")
        go(page, stops)
        page.evaluate("document.querySelector('#record [data-part=copy]').click()")
        page.wait_for("document.querySelector('#record textarea').value.includes('clean: 3')")
        assert page.evaluate(script) is False
        assert complaints(page) == []


def test_a_log_can_be_loaded_back_and_others_are_refused(file: Path, root: Path) -> None:
    with afresh(file) as page:
        keys = page.evaluate("JSON.parse(document.getElementById('data').textContent).keys")
        own = f"piece: {keys['piece']}, student: {keys['student']}"
        made = root / "old.log.yaml"
        made.write_text(
            "log: 1\nentries:\n"
            f"- {{id: {'a' * 32}, day: 2027-02-01, {own}, passage: run-to-the-lantern, "
            "mark: 72, beat: quarter, clean: 3}\n"
            f"- {{id: {'b' * 32}, day: 2027-02-01, piece: {'0' * 16}, student: {'0' * 16}, "
            "passage: run-to-the-lantern, mark: 96, beat: quarter, clean: 3}\n"
            f"- {{id: {'c' * 32}, day: 2027-02-01, piece: {keys['piece']}, student: {'0' * 16}, "
            "passage: run-to-the-lantern, mark: 88, beat: quarter, clean: 3}\n",
            "utf-8",
        )
        page.send("DOM.enable")
        document = page.send("DOM.getDocument")["root"]["nodeId"]
        found = page.send("DOM.querySelector", nodeId=document, selector="[data-part=load]")
        page.send("DOM.setFileInputFiles", files=[str(made)], nodeId=found["nodeId"])
        page.wait_for("document.getElementById('told').textContent")
        assert "2 were left out" in page.evaluate("document.getElementById('told').textContent")
        go(page, 1)
        assert ticked(page)[-1] == "72"
