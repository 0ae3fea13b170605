"""The demo's screen edition in a browser: what it plays, lights, turns, keeps and sends."""

import json
import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.booklet.screen_music import drill_values
from engrave.cli import main
from engrave.pipeline.checking import Checked
from engrave.sound import timeline
from tests.pipeline.demo import NAME, edit, lay_out
from tests.screen.opened import asked_for, complaints, opened
from tests.screen.playing import CLOCK, compare, play_through
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")


@pytest.fixture(scope="module")
def shown(file: Path) -> Iterator[Page]:
    with opened(file) as page:
        page.see(820, 1180)
        yield page


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


def test_no_text_is_small_on_a_tablet(shown: Page, checked: Checked) -> None:
    """3.5 mm at the 132 CSS pixels an inch of common tablets; what is drawn is scaled with it."""
    least = 3.5 / 25.4 * 132
    for width, height in ((820, 1180), (1180, 820)):
        shown.see(width, height)
        for stop in range(len(checked.drills) + 2):
            if stop:
                go(shown, stop)
            else:
                shown.evaluate("document.getElementById('contents').click()")
            small = shown.evaluate("""[...document.querySelectorAll("body *")]
                .filter((each) => each.checkVisibility() && each.tagName !== "OPTION"
                    && [...each.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
                .map((each) => {
                    const box = each.ownerSVGElement;
                    const wide = box?.getBoundingClientRect().width;
                    const scale = box ? wide / box.viewBox.baseVal.width : 1;
                    return [scale * parseFloat(getComputedStyle(each).fontSize), each.textContent];
                })
                .sort((a, b) => a[0] - b[0])[0]""")
            assert small[0] >= least, (width, stop, small)
    shown.see(820, 1180)


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


def test_three_clean_tick_the_box_and_twice_not_yet_go_one_back(file: Path, root: Path) -> None:
    """And what was kept is found again: at the next opening, elsewhere, in next week's file."""
    with opened(file) as page:
        page.see(820, 1180)
        page.evaluate("localStorage.clear()")
        page.go("about:blank")
        page.go(file.as_uri())
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
    with opened(file) as page:
        page.see(820, 1180)
        page.evaluate("localStorage.clear()")
        page.go("about:blank")
        page.go(file.as_uri())
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
    with opened(file) as page:
        page.see(820, 1180)
        page.evaluate("localStorage.clear()")
        page.go("about:blank")
        page.go(file.as_uri())
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


def test_without_scripts_all_drills_stand_there(file: Path, checked: Checked) -> None:
    with opened(Path("/dev/null")) as page:
        page.send("Emulation.setScriptExecutionDisabled", value=True)
        page.send("Page.navigate", url=file.as_uri())
        page.see(820, 1180)
        text = ""
        for _ in range(100):
            text = page.send("DOM.getDocument", depth=-1)["root"].get("documentURL", "")
            if text == file.as_uri():
                break
        page.send("DOMSnapshot.enable")
        shot = page.send("DOMSnapshot.captureSnapshot", computedStyles=["display"])
        strings = shot["strings"]
        nodes = shot["documents"][0]
        names = [strings[each] for each in nodes["nodes"]["nodeName"]]
        laid = nodes["layout"]["nodeIndex"]
        boxes = dict(zip(laid, nodes["layout"]["bounds"], strict=True))
        figures = [boxes.get(i) for i, name in enumerate(names) if name == "FIGURE"]
        assert len(figures) >= len(checked.drills)
        assert all(box and box[2] > 100 and box[3] > 20 for box in figures)
        assert any("plays, counts and remembers only with scripts" in each for each in strings)


EVIL = """</script><script>window.hacked=1</script><img src=x onerror="hacked=1">"""


def test_hostile_words_run_nothing_in_german_too(tmp_path: Path) -> None:
    marks = lay_out(tmp_path)
    text = marks.read_text("utf-8")
    evil = json.dumps(EVIL + "{{ 7*7 }} @@DATA@@ \u2028")
    text = text.replace(
        "title: Lantern Rondo, composer: Orla Windhaber", f"title: {evil}, composer: {evil}"
    )
    text = text.replace("name: Nell Averdine", f"name: {evil}").replace("Tobias Quern", evil)
    text = text.replace(
        "remarks: The first six notes are only a murmur. Save the crescendo for the second beat.",
        f"remarks: {evil}\n    private: {evil}",
    )
    text = text.replace(
        "trouble: Thirteen notes in one breath, and the last of them is the one that people hear.",
        f"trouble: {evil}",
    )
    assert text.count("hacked=1") >= 12
    marks.write_text(text, "utf-8")
    score = marks.with_suffix(".musicxml")
    music = score.read_text("utf-8")
    assert "appassionato" in music
    score.write_text(
        music.replace("appassionato", "&lt;/script>&lt;script>hacked=1&lt;/script>"), "utf-8"
    )
    command = ["build", str(marks), "--out", str(tmp_path / "out"), "--edition", "screen"]
    assert main([*command, "--language", "de"]) == 0
    with opened(tmp_path / "out" / NAME / f"{NAME}-screen.html") as page:
        page.see(390, 844)
        for stop in range(1, page.evaluate("document.querySelectorAll('[data-go]').length") + 1):
            go(page, stop)
        assert page.evaluate("document.documentElement.lang") == "de"
        german = page.evaluate("document.querySelector('[data-part=missed]').textContent")
        assert german == "Noch nicht"
        assert page.evaluate("typeof window.hacked") == "undefined"
        assert page.evaluate("document.title").startswith("</script>")
        assert "{{ 7*7 }}" in page.evaluate("document.title")
        assert complaints(page) == []


def test_what_gets_past_the_escaping_is_stopped_by_the_policy(file: Path) -> None:
    with opened(file) as page:
        found = page.evaluate("""(async () => {
            const refused = [];
            document.addEventListener("securitypolicyviolation", (event) =>
                refused.push(event.effectiveDirective));
            const script = document.createElement("script");
            script.textContent = "window.hacked = 1";
            document.body.append(script);
            document.body.insertAdjacentHTML("beforeend",
                '<p style="color: red" onclick="window.hacked = 1">x</p><img src="x.png">'
                + '<form action="https://example.invalid"><button>x</button></form>'
                + '<iframe src="https://example.invalid"></iframe>');
            document.body.querySelector("p[onclick]").click();
            await fetch("data:,x").catch(() => refused.push("fetch"));
            await new Promise((go) => setTimeout(go, 200));
            return [typeof window.hacked, refused];
        })()""")
        assert found[0] == "undefined"
        assert {"script-src-elem", "script-src-attr", "style-src-attr", "img-src", "frame-src",
                "fetch"} <= set(found[1])  # fmt: skip


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_accessibility_checker_finds_nothing(shown: Page, scheme: str) -> None:
    """axe-core, its rules for WCAG 2.2 A and AA."""
    import axe_core_python

    code = (Path(axe_core_python.__file__).parent / "axe.min.js").read_text("utf-8")
    shown.see(820, 1180, scheme)
    shown.evaluate(code)
    stops = shown.evaluate("document.querySelectorAll('[data-go]').length")
    for stop in (None, 1, 13, stops):
        if stop is None:
            shown.evaluate("document.getElementById('contents').click()")
        else:
            go(shown, stop)
        found = shown.evaluate("""axe.run(document, { resultTypes: ["violations"] })
            .then((told) => told.violations.map((each) =>
                [each.id, each.nodes.map((node) => node.html).slice(0, 3)]))""")
        assert found == [], (scheme, stop)
    shown.see(820, 1180)


def test_everything_can_be_reached_with_the_tab_key_in_the_order_of_reading(shown: Page) -> None:
    shown.see(820, 1180)
    go(shown, both_hands(shown))
    seen = []
    for _ in range(60):
        shown.press("Tab", 9)
        seen.append(
            shown.evaluate("""document.activeElement.getAttribute("aria-label")
                ?? document.activeElement.innerText""")
        )
        if "Not yet" in seen:
            break
    wanted = ["Play", "right hand", "left hand", "Clicks", "Sign", "Repeat", "Clean", "Not yet"]
    assert [each for each in seen if each in wanted] == wanted
    assert any(", up now" in each for each in seen)


def test_the_count_in_is_a_whole_bar(checked: Checked) -> None:
    for drill in checked.drills:
        heard = timeline(drill.sheet, drill.ladder, drill.ladder.marks[0])
        assert heard.count_in >= Fraction(drill.meter.length)
