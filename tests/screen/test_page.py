"""The demo's screen edition in a browser: what it plays, lights and turns."""

import re
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.booklet.screen_music import drill_values
from engrave.pipeline.checking import Checked
from engrave.sound import timeline
from tests.screen.opened import asked_for, complaints, opened
from tests.screen.playing import CLOCK, compare, play_through
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")


def go(page: Page, stop: int) -> None:
    page.evaluate(f"document.querySelector('[data-go=\"{stop}\"]').click()")


def both_hands(page: Page) -> int:
    """The first page with a drill for both hands."""
    hands = "JSON.parse(document.getElementById('data').textContent).drills.map(d => d.hand)"
    return 1 + list(page.evaluate(hands)).index("both")


def press(page: Page, part: str) -> None:
    page.evaluate(f"document.querySelector('#controls [data-part={part}]').click()")


def place(page: Page) -> int:
    return int(page.evaluate("document.getElementById('place').textContent").split()[0])


def up(page: Page) -> str:
    return str(page.evaluate("document.querySelector('.ladder [aria-current]').textContent"))


def ticked(page: Page) -> list[str]:
    return list(
        page.evaluate("[...document.querySelectorAll('.ladder .ticked')].map(b => b.textContent)")
    )


def test_the_page_is_small_and_says_which_policy_it_has(file: Path) -> None:
    data = file.read_bytes()
    assert len(data) <= 1_500_000
    assert data.count(b"<script") == 2
    assert b"default-src &#39;none&#39;; script-src &#39;sha256-" in data
    assert b"unsafe" not in data.partition(b"<style>")[0]
    assert b"http" not in data.partition(b"</head>")[0].replace(b"http-equiv", b"")


def test_drills_have_the_numbers_of_the_booklet(file: Path, checked: Checked) -> None:
    """By which the plan on paper calls them."""
    numbers = [
        f"{passage}.{drill}"
        for passage, drilled in enumerate(checked.passages, 1)
        for drill in range(1, len(drilled.drills))
    ]
    page = file.read_text("utf-8")
    assert re.findall(r"<b>(\d+\.\d+) \w", page) == numbers
    assert re.findall(r"<span>(\d+\.\d+) \w", page) == numbers


def test_the_contents_name_the_hand_of_a_drill_only_where_its_passage_has_two(file: Path) -> None:
    lines = re.findall(r"<span>(\d+\.\d+ [^<]+)</span>", file.read_text("utf-8"))
    assert "1.1 Rhythms: long–short" in lines
    assert "3.2 Hands apart: left hand" in lines
    assert "3.6 Leaps: fourth step: to the full chord, left hand" in lines


def test_every_page_can_be_seen_nobody_is_asked_and_nothing_is_wrong(
    shown: Page, file: Path, checked: Checked
) -> None:
    sizes = ((390, 844), (820, 1180), (1180, 820), (1366, 768), (844, 390), (667, 375))
    for width, height in sizes:
        shown.see(width, height)
        for stop in range(1, len(checked.drills) + 1):
            go(shown, stop)
            found = shown.evaluate("""(() => {
                const music = document.querySelector("section:not([hidden]) .music");
                const box = music.getBoundingClientRect();
                const seen = [...music.querySelectorAll("figure")].filter((each) => !each.hidden);
                const inks = seen.map((each) => each.getBoundingClientRect());
                const buttons = [...document.querySelectorAll("button")]
                    .filter((each) => each.checkVisibility()).map((each) => each.offsetHeight);
                return { count: seen.length, low: Math.min(...buttons),
                    over: inks.some((ink) => ink.bottom > box.bottom + 1
                    || ink.right > box.right + 1 || ink.width < 40),
                    wide: document.documentElement.scrollWidth > innerWidth,
                    strip: document.getElementById("controls").getBoundingClientRect().bottom
                        > innerHeight + 1 };
            })()""")
            assert found["count"] >= 1, (width, stop)
            assert not found["over"], (width, stop)
            assert not found["wide"], (width, stop)
            assert not found["strip"], (width, stop)
            assert found["low"] >= 44, (width, stop)  # as a finger needs
    shown.see(820, 1180)
    assert complaints(shown) == []
    assert {each for each in asked_for(shown) if not each.startswith("data:")} <= {
        file.as_uri(), "about:blank",
    }  # fmt: skip


def test_the_notes_that_light_are_the_notes_that_sound(file: Path, checked: Checked) -> None:
    """Every drill once at the mark that is up, by a clock of ours; times are the timeline's."""
    with opened(file, CLOCK) as page:
        page.see(820, 1180)
        for stop, drill in enumerate(checked.drills, 1):
            go(page, stop)
            mark = int(up(page))
            heard = timeline(drill.sheet, drill.ladder, mark)
            compare(drill.id, heard, mark, page.evaluate(play_through(heard, mark)))


def test_lights_stand_over_the_notes_in_the_order_in_which_they_sound(checked: Checked) -> None:
    from engrave.booklet.screen_music import SIZES
    from engrave.engraver import engrave

    for drill in checked.drills[::4]:
        systems = {each.name: engrave(drill.sheet, each.style).pictures for each in SIZES}
        values = drill_values(drill, systems)
        soundings = timeline(drill.sheet, drill.ladder, drill.ladder.marks[0]).soundings
        onsets = {
            head: float(sounding.onset)
            for note, sounding in zip(values["heard"]["notes"], soundings, strict=True)
            for head in note[5][:1]
        }
        for name, places in values["places"].items():
            by_time = sorted(
                (places[head][0], onset, places[head][1]) for head, onset in onsets.items()
            )
            for system in {each[0] for each in by_time}:
                middle: dict[float, float] = {}
                for number, onset, left in by_time:
                    if number == system:
                        middle.setdefault(onset, left)
                lefts = [middle[onset] for onset in sorted(middle)]
                assert lefts == sorted(lefts), (drill.id, name)
            for system, left, top, right, bottom in places:
                width, height = values["systems"][name][system]
                assert 0 <= left < right <= width
                assert 0 <= top < bottom <= height


def test_each_hand_and_the_clicks_can_be_silenced(file: Path) -> None:
    with opened(file, CLOCK) as page:
        page.see(820, 1180)
        go(page, both_hands(page))
        for part in ("left", "clicks", "left"):
            press(page, part)
        press(page, "play")
        page.wait_for("sim.timers.length")
        page.evaluate("sim.levels = []")
        press(page, "right")
        press(page, "left")
        press(page, "left")
        assert page.evaluate("sim.levels") == [0, 0, 0.34]
        assert page.evaluate("document.querySelector('[data-part=clicks]').ariaPressed") == "false"
        press(page, "sign")
        assert page.evaluate("document.getElementById('sign').hidden") is True


def test_taps_swipes_and_the_keys_of_pedals_turn_the_page(shown: Page) -> None:
    shown.see(820, 1180)
    go(shown, 2)
    for key, code in ((" ", 32), ("PageDown", 34), ("ArrowRight", 39), ("ArrowDown", 40)):
        before = place(shown)
        shown.press(key, code, " " if key == " " else "")
        assert place(shown) == before + 1, key
    for key, code in (("PageUp", 33), ("ArrowLeft", 37), ("ArrowUp", 38)):
        before = place(shown)
        shown.press(key, code)
        assert place(shown) == before - 1, key
    before = place(shown)
    shown.tap(600, 700)
    assert place(shown) == before + 1
    shown.tap(60, 700)
    assert place(shown) == before
    shown.tap(600, 700, (400, 710))
    assert place(shown) == before + 1
    shown.tap(300, 700, (500, 690))
    assert place(shown) == before


def test_keys_read_a_page_of_words_to_its_end_before_they_turn(shown: Page) -> None:
    """A laptop at 200 %: the front and the words about a drill are longer than the screen."""
    shown.see(683, 384)
    for open_it, box in (
        ("document.getElementById('contents').click()", "#front"),
        ("document.querySelector('[data-go=\"1\"]').click(), words.click()",
         "section:not([hidden]) .said"),
    ):  # fmt: skip
        shown.evaluate(f"{open_it}; document.querySelector('{box}').scrollTo(0, 0)")
        before, presses = place(shown), 0
        left = f"""(({{ scrollHeight, scrollTop, clientHeight }}) =>
            scrollHeight - scrollTop - clientHeight)(document.querySelector('{box}'))"""
        assert shown.evaluate(left) > 150
        while shown.evaluate(left) > 1:
            shown.press("PageDown", 34)
            presses += 1
            assert place(shown) == before
        assert presses > 1
        shown.press("PageDown", 34)
        assert place(shown) == before + 1
    shown.press("Escape", 27)
    assert shown.evaluate("words.ariaExpanded") == "false"
    before = place(shown)
    shown.evaluate("document.getElementById('pause').showModal()")
    shown.press("PageDown", 34)
    assert place(shown) == before
    shown.evaluate("document.getElementById('pause').close()")
    shown.see(820, 1180)


def test_words_about_a_drill_lie_over_its_music_alone(shown: Page) -> None:
    for width, height in ((390, 844), (820, 1180)):
        shown.see(width, height)
        go(shown, 1)
        shown.evaluate("words.click()")
        found = shown.evaluate("""["h1", ".music", ".said"].map((name) => {
            const box = document.querySelector(`section:not([hidden]) ${name}`)
                .getBoundingClientRect();
            return [box.top, box.bottom];
        })""")
        shown.evaluate("words.click()")
        assert found[0][1] <= found[2][0]
        assert found[1] == found[2]


def test_the_screen_stays_awake_while_a_drill_is_up_and_silence_is_told(file: Path) -> None:
    before = """window.locks = 0;
        Object.defineProperty(navigator, "wakeLock", { value: {
            request: async () => {
                window.locks += 1;
                const release = async () => { window.locks -= 1; };
                return Object.assign(new EventTarget(), { release });
            } } });
        window.AudioContext = class { constructor() { throw new Error("no device"); } };"""
    with opened(file, before) as page:
        page.see(820, 1180)
        assert page.evaluate("locks") == 0
        go(page, 1)
        page.press("PageDown", 34)
        assert page.evaluate("locks") == 1
        stops = page.evaluate("document.querySelectorAll('[data-go]').length")
        for stop, locks in ((stops, 0), (1, 1), ("contents", 0), (2, 1)):
            page.evaluate(f'document.querySelector(\'[id="{stop}"], [data-go="{stop}"]\').click()')
            assert page.evaluate("new Promise((go) => setTimeout(() => go(locks)))") == locks, stop
        press(page, "play")
        page.wait_for("document.getElementById('told').textContent.includes('no sound')")
        press(page, "missed")
        press(page, "missed")
        assert "One box back" in page.evaluate("document.getElementById('told').textContent")
        assert complaints(page) == []


def test_sound_that_does_not_begin_is_told(file: Path) -> None:
    """Some browsers leave a device waiting, and never answer."""
    waiting = """Object.defineProperty(AudioContext.prototype, "state", { get: () => "suspended" });
        AudioContext.prototype.resume = () => new Promise(() => {});"""
    with opened(file, waiting) as page:
        page.see(820, 1180)
        go(page, 1)
        press(page, "play")
        page.wait_for("document.getElementById('told').textContent.includes('no sound')")
        assert page.evaluate("document.querySelector('#controls.playing')") is None


def test_a_finger_turns_the_page_too(shown: Page) -> None:
    shown.see(820, 1180)
    go(shown, 3)
    before = place(shown)
    for x in (600.0, 60.0):
        point = [{"x": x, "y": 700.0}]
        shown.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=point)
        shown.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        if x > 100:
            assert place(shown) == before + 1
    assert place(shown) == before


def test_a_long_drill_turns_by_systems_before_the_next_comes(shown: Page) -> None:
    shown.see(844, 390)
    systems = "JSON.parse(document.getElementById('data').textContent).drills.map(d => d.systems)"
    counts = [len(each["upright"]) for each in shown.evaluate(systems)]
    go(shown, 1 + counts.index(max(counts)))
    before, seen = place(shown), []
    script = "[...document.querySelectorAll('section:not([hidden]) figure')].map(f => !f.hidden)"
    while place(shown) == before:
        seen.append(shown.evaluate(script))
        shown.press("PageDown", 34)
    assert len(seen) > 1
    assert [sum(column) for column in zip(*seen, strict=True)] == [1] * len(seen[0])
    shown.see(820, 1180)


def test_the_count_in_is_a_whole_bar(checked: Checked) -> None:
    for drill in checked.drills:
        heard = timeline(drill.sheet, drill.ladder, drill.ladder.marks[0])
        assert heard.count_in >= Fraction(drill.meter.length)
