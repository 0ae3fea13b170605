"""The modules of the desk's page one by one, in a browser: what is not answered, drawn or heard."""

import shutil
from collections.abc import Iterator

import pytest

from tests.screen.opened import MODULES, with_modules
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    folder = tmp_path_factory.mktemp("modules")
    shutil.copytree(MODULES, folder / "screen")
    with with_modules(folder, MODULES.parent / "desk") as page:
        yield page


@pytest.fixture
def page(blank: Page) -> Page:
    """A blank page again, nothing of it imported yet."""
    address = blank.evaluate("location.href")
    blank.go("about:blank")
    blank.go(address)
    return blank


DESK = """
    const { parts, takeNews } = await import("./store.js");
    const { again, answered, change, isWaiting, letGo, undo } = await import("./talk.js");
    takeNews({ file: { version: 5 } });
    const sent = [];
    let answers = [];
    window.fetch = async (path, { body }) => {
        sent.push(JSON.parse(body));
        const answer = answers.shift();
        if (!answer) throw new TypeError("no answer");
        return { ok: "version" in answer, json: async () => answer };
    };
    const write = (name, value) => change([[name], value]);
    const add = (measures) => change([["passages", 2], { measures }]);
    const old = { problem: "the marks have changed" };
    const bases = () => sent.splice(0).map((each) => each.base);
"""
"""A desk of ours: ``answers`` in their order, and none where there is none left."""


def test_what_is_refused_waits_though_something_else_is_taken(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {DESK}
        await write("teacher", "Anna");
        await write("title", "Rondo");
        answers = [{{ problem: "no room" }}, {{ version: 6 }}];
        await again();
        const first = [isWaiting(), parts.refused?.problem];
        sent.length = 0;
        answers = [{{ version: 7 }}];
        await again();
        return [first, sent.map((each) => each.edits), isWaiting(), parts.refused ?? null];
    }})()""")
    assert found == [[True, "no room"], [[[["teacher"], "Anna"]]], False, None]


def test_what_got_no_answer_is_sent_again_at_the_version_that_it_was_made_at(page: Page) -> None:
    """The desk has taken the passage away, and its answer was lost; its news were not."""
    found = page.evaluate(f"""(async () => {{
        {DESK}
        await change([["passages", 2], null]);
        await undo();
        takeNews({{ file: {{ version: 6 }} }});
        answers = [old, old];
        await again();
        answers = [old, old];
        await again();
        return [bases(), isWaiting()];
    }})()""")
    assert found == [[5, 5, 5, 5, 5, 5], True]


def test_what_was_never_heard_is_saved_one_version_after_the_other(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {DESK}
        await write("teacher", "Anna");
        await write("title", "Rondo");
        answers = [{{ version: 6 }}, {{ version: 7 }}];
        again();
        await again();
        return [bases(), isWaiting()];
    }})()""")
    assert found == [[5, 5, 5, 6], False]


def test_a_text_that_was_refused_is_saved_at_the_version_that_is_shown(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {DESK}
        answers = [old];
        await write("teacher", "Anna");
        takeNews({{ file: {{ version: 8 }} }});
        answers = [{{ version: 9 }}];
        await again();
        return [bases(), isWaiting()];
    }})()""")
    assert found == [[5, 8], False]


def test_what_waits_goes_when_it_is_done_anew_or_let_go(page: Page) -> None:
    """Another text for the same place is it done anew; another new passage is not."""
    found = page.evaluate(f"""(async () => {{
        {DESK}
        const waiting = [];
        const note = () => waiting.push(isWaiting());
        answers = [old, {{ version: 6 }}];
        await write("teacher", "Anna"); note();
        await write("teacher", "Ann"); note();
        answers = [old, {{ version: 7 }}];
        await add("1-2"); note();
        await add("5-6"); note();
        letGo(); note();
        return [waiting, parts.refused ?? null];
    }})()""")
    assert found == [[True, False, True, True, False], None]


SCORE = """
    document.body.innerHTML = `<section id="score" style="height: 500px"></section>`;
    const { parts, takeNews } = await import("./store.js");
    const { showScore } = await import("./score.js");
    const laid = { width: 100, beats: [["1", 1, true, true, 0]], firsts: [0, 1] };
    const drawn = {
        svg: "<svg></svg>", width: 100, height: 20, first: 0, edges: [0, 9], notes: [],
    };
    const answer = (value) => ({ ok: true, json: async () => value });
    const isDrawn = () => Boolean(document.querySelector(".ink svg"));
    const until = async (is) => {
        for (let tries = 0; !is() && tries < 400; tries += 1)
            await new Promise((go) => setTimeout(go, 20));
        return is();
    };
"""


def test_a_system_in_view_that_did_not_come_is_asked_for_again(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {SCORE}
        let failures = 0;
        window.fetch = async (path) => {{
            if (path.startsWith("score")) return answer(laid);
            if (failures === 2) return answer(drawn);
            failures += 1;
            throw new TypeError("no answer");
        }};
        showScore();
        takeNews({{ score: {{ sha256: "a", hands: 0 }} }});
        return [await until(isDrawn), failures];
    }})()""")
    assert found == [True, 2]


def test_a_score_that_goes_while_it_is_laid_out_is_laid_out_when_it_comes_back(page: Page) -> None:
    found = page.evaluate(f"""(async () => {{
        {SCORE}
        const wrong = [];
        addEventListener("unhandledrejection", (event) => wrong.push(String(event.reason)));
        let goOn = null;
        window.fetch = async (path) => {{
            if (path.startsWith("system")) return answer(drawn);
            await new Promise((go) => {{ goOn = go; }});
            return answer(laid);
        }};
        showScore();
        takeNews({{ score: {{ sha256: "a", hands: 0 }} }});
        await until(() => goOn);
        takeNews({{ score: null }});
        goOn();
        await new Promise((go) => setTimeout(go, 300));
        goOn = null;
        takeNews({{ score: {{ sha256: "a", hands: 0 }} }});
        await until(() => goOn);
        goOn?.();
        return [wrong, await until(isDrawn)];
    }})()""")
    assert found == [[], True]


HEAR = """
    document.body.innerHTML = `<section id="drills"></section>`;
    const { takeNews } = await import("./store.js");
    const { showHearing } = await import("./hear.js");
    window.fetch = async () => { throw new TypeError("no answer"); };
    showHearing();
    const drill = { id: "run.chain", name: "Chain", hand: "right", marks: [60], now: 60 };
    takeNews({ heard: [drill], passages: [] });
    document.querySelector("#hear button").click();
    const told = () => document.querySelector("#hear [role=status]")?.textContent;
    for (let tries = 0; !told() && tries < 150; tries += 1)
        await new Promise((go) => setTimeout(go, 20));
"""


@pytest.mark.parametrize(
    ("device", "told"),
    [
        ("class { constructor() { throw new Error('no device'); } }", "hear.no-sound"),
        ("AudioContext", "hear.no-drill"),
    ],
)
def test_a_drill_that_cannot_be_heard_is_told(page: Page, device: str, told: str) -> None:
    script = f"(async () => {{ window.AudioContext = {device}; {HEAR} return told(); }})()"
    assert page.evaluate(script) == told
