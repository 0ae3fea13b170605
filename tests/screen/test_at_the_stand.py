"""The demo's screen edition as it is used: what stops, what follows, what a pedal presses."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screen.opened import complaints, opened
from tests.screen.playing import CLOCK
from tests.screen.test_page import both_hands, go, place, press
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")

IS_PLAYING = "document.querySelector('footer').classList.contains('playing')"
TOLD = "document.getElementById('told').textContent"


@pytest.fixture
def page(file: Path) -> Iterator[Page]:
    """The demo under a clock of ours, nothing kept of earlier tests."""
    with opened(file, f"localStorage.clear(); {CLOCK}") as shown:
        shown.see(820, 1180)
        yield shown
        assert complaints(shown) == []


def play(page: Page) -> None:
    press(page, "play")
    page.wait_for(IS_PLAYING)


def last_page(page: Page) -> None:
    page.evaluate("[...document.querySelectorAll('[data-go]')].at(-1).click()")


def test_what_plays_stops_when_the_page_turns_or_is_not_seen(page: Page) -> None:
    go(page, both_hands(page))
    play(page)
    page.press("PageDown", 34)
    assert not page.evaluate(IS_PLAYING)
    play(page)
    page.evaluate("""Object.defineProperty(document, "visibilityState", { value: "hidden" });
        document.dispatchEvent(new Event("visibilitychange"))""")
    assert not page.evaluate(IS_PLAYING)


def test_the_sign_is_on_a_side_at_every_beat_and_larger_on_the_bar(page: Page) -> None:
    """Two beats are counted in; it jumps where motion is not wanted."""
    go(page, 1)
    beat = 60 / int(page.evaluate("document.querySelector('.ladder [aria-current]').textContent"))
    bead = "[parseFloat(bead.style.left), bead.dataset.kind]"
    page.evaluate("window.bead = document.querySelector('#sign span')")
    play(page)
    page.evaluate("sim.step(0.1501)")
    for side, kind in ((4, "bar"), (96, "beat"), (4, "bar"), (96, "beat")):
        left, shown = page.evaluate(bead)
        assert (left, shown) == (pytest.approx(side, abs=0.1), kind)
        page.evaluate(f"sim.step({beat / 2})")
        assert page.evaluate(bead)[0] == pytest.approx(50, abs=0.1)
        page.evaluate(f"sim.step({beat / 2})")
    still = [{"name": "prefers-reduced-motion", "value": "reduce"}]
    page.send("Emulation.setEmulatedMedia", features=still)
    for part in (0.25, 0.5):
        page.evaluate(f"sim.step({part * beat})")
        assert page.evaluate(bead)[0] in (4, 96)


def test_the_music_turns_with_what_sounds(page: Page) -> None:
    """A drill of more systems than a low screen shows."""
    page.see(844, 390)
    systems = "JSON.parse(document.getElementById('data').textContent).drills.map(d => d.systems)"
    counts = [len(each["upright"]) for each in page.evaluate(systems)]
    go(page, 1 + counts.index(max(counts)))
    shown = "[...document.querySelectorAll('section:not([hidden]) figure')].map(f => !f.hidden)"
    first = page.evaluate(shown)
    assert not all(first)
    play(page)
    seen, lit_unseen = {tuple(first)}, 0
    for _ in range(3000):
        page.evaluate("sim.step(0.05)")
        if not page.evaluate(IS_PLAYING):
            break
        seen.add(tuple(page.evaluate(shown)))
        lit_unseen += page.evaluate("document.querySelectorAll('figure[hidden] .lit').length")
    assert len(seen) > 1
    assert lit_unseen == 0


def test_a_finger_leaves_the_keys_to_the_pedal(page: Page) -> None:
    """A button that was tapped is not pressed again by the pedal's space bar."""
    go(page, both_hands(page))
    before = place(page)
    x, y = page.evaluate("""(() => {
        const box = document.querySelector("[data-part=again]").getBoundingClientRect();
        return [box.left + box.width / 2, box.top + box.height / 2];
    })()""")
    page.tap(x, y)
    assert page.evaluate("document.querySelector('[data-part=again]').ariaPressed") == "true"
    page.press(" ", 32, " ")
    assert place(page) == before + 1
    page.send("Input.dispatchKeyEvent", type="keyDown", key=" ", text=" ", modifiers=8)
    assert place(page) == before
    page.tap(0.4 * 820, 700)  # beyond the left third
    assert place(page) == before + 1


def test_a_break_is_called_while_a_drill_goes_on_and_on(file: Path) -> None:
    ticks = """window.setInterval = (work) => { window.tick = work; };
        window.minute = 0; Date.now = () => minute * 60000;"""
    with opened(file, f"{CLOCK}; {ticks}") as page:
        page.see(820, 1180)
        go(page, 1)
        press(page, "again")
        play(page)
        for minute in range(1, 20):
            page.evaluate(f"minute = {minute}, tick()")
        assert not page.evaluate("document.getElementById('pause').open")
        page.evaluate("minute = 20, tick()")
        assert page.evaluate("document.getElementById('pause').open")
        assert page.evaluate("document.getElementById('clock').textContent") == "20 min"


def test_the_record_says_what_was_clean_and_what_was_tried(page: Page) -> None:
    """Three clean running are clean; the mark in parts of the goal, rounded."""
    said = "[...document.querySelectorAll('#record li > span')].map((each) => each.textContent)"
    go(page, 1)
    press(page, "clean")
    press(page, "clean")
    last_page(page)
    assert page.evaluate(said)[0].endswith(": as written tried")
    assert page.evaluate(said)[1] == "nothing yet"
    go(page, 1)
    mark = int(page.evaluate("document.querySelector('.ladder [aria-current]').textContent"))
    press(page, "clean")
    last_page(page)
    part = round(100 * mark / 96)
    assert page.evaluate(said)[0].endswith(f": as written clean at {part} % of its goal")
    leaving = "dispatchEvent(new Event('beforeunload', { cancelable: true }))"
    assert page.evaluate(leaving) is True  # it is kept: nobody is asked


def test_sending_that_is_called_off_is_no_failure(file: Path) -> None:
    before = """window.error = "AbortError";
        Object.assign(navigator, { canShare: () => true,
            share: async () => { throw new DOMException("no", window.error); } });"""
    with opened(file, before) as page:
        page.see(820, 1180)
        last_page(page)
        page.evaluate("document.querySelector('[data-part=share]').click()")
        page.evaluate("new Promise((go) => setTimeout(go, 50))")
        assert page.evaluate(TOLD) == ""
        page.evaluate("window.error = 'NotAllowedError'")
        page.evaluate("document.querySelector('[data-part=share]').click()")
        page.evaluate("new Promise((go) => setTimeout(go, 50))")
        assert "could not be sent" in page.evaluate(TOLD)
