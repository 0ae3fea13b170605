"""The demo's page for everybody: without scripts, by keys alone, legible; and for the hostile."""

import json
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.pipeline.checking import Checked
from tests.pipeline.demo import NAME, lay_out
from tests.screen.opened import complaints, opened
from tests.screen.test_page import both_hands, go
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")


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
