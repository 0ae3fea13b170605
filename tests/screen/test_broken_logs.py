"""Logs as they should not be, loaded into a page: told, and never kept to break it later."""

import json
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.log.reading import read_log_bytes
from tests.robustness.screen_logs import load_in, read_in
from tests.screen.opened import opened
from tests.watch.browser import Page, executable

pytestmark = pytest.mark.skipif(executable() is None, reason="needs Chromium")

OWN = f"piece: {'9f2a' * 4}, student: {'03b7' * 4}"
FIRST = f"id: {'a' * 32}, day: 2027-02-14, {OWN}"
MARK = "mark: 60, beat: quarter, clean: 3"
SOUND = (
    f"- {{{FIRST}, drill: run.rhythms.long-short, {MARK}}}",
    f'- {{{FIRST}, passage: run, minutes: 0.5, word: "a, \'b\' \\\\ \\" c"}}',
    f"- {{{FIRST}, lesson: [run, turn], done: [run]}}",
    f"- {{{FIRST}, lesson: []}}",
    f"- {{{FIRST}, withdraws: {'0' * 32}}}",
    f"- {{{FIRST}, adopts: {'0' * 16}}}",
    f"- {{{FIRST}, passage: run, mark: 10, beat: 3/8, clean: 0}}",
)
STRANGE = (
    f'- {{{FIRST}, passage: run, word: "a\tb\x01"}}',
    f"- {{id: {'a' * 32}, day: [2027-02-14], {OWN}, passage: run, {MARK}}}",
    f"- {{id: {'a' * 32}, day: 2027-02-30, {OWN}, passage: run, {MARK}}}",
    f"- {{id: {'a' * 32}, day: 1899-12-31, {OWN}, passage: run, {MARK}}}",
    f"- {{id: {'A' * 32}, day: 2027-02-14, {OWN}, passage: run, {MARK}}}",
    f"- {{{FIRST}}}",
    f"- {{{FIRST}, passage: run, mark: 60}}",
    f"- {{{FIRST}, passage: run, mark: 9, beat: quarter, clean: 3}}",
    f"- {{{FIRST}, passage: run, mark: 1e2, beat: quarter, clean: 3}}",
    f"- {{{FIRST}, passage: run, mark: 60, beat: crotchet, clean: 3}}",
    f"- {{{FIRST}, passage: run, minutes: 601}}",
    f"- {{{FIRST}, passage: run, withdraws: {'0' * 32}}}",
    f"- {{{FIRST}, withdraws: {'0' * 32}, word: x}}",
    f"- {{{FIRST}, lesson: [run, run]}}",
    f"- {{{FIRST}, passage: con}}",
    f"- {{{FIRST}, drill: run}}",
    f'- {{{FIRST}, passage: run, word: "{"w" * 301}"}}',
)


def test_the_page_takes_what_the_tool_takes_and_nothing_else(page: Page) -> None:
    texts = [f"log: 1\nentries:\n{each}\n" for each in (*SOUND, *STRANGE)]
    found = page.evaluate(f"""(async () => {{
        const {{ read, written }} = await import("./log.js");
        return {json.dumps(texts)}.map(read).map((each) =>
            [each.entries.length, each.strange, written(each.entries)]);
    }})()""")
    for text, (count, strange, again) in zip(texts, found, strict=True):
        tool = _entries(text)
        assert (count, strange) == (len(tool), 1 - len(tool)), text
        assert _entries(again) == tool
    assert [count for count, *_ in found] == [1] * len(SOUND) + [0] * len(STRANGE)


def _entries(text: str) -> tuple[object, ...]:
    try:
        return read_log_bytes(text.encode(), "sent").entries
    except EngraveError:
        return ()


def test_broken_logs_are_read_as_the_tool_reads_them(page: Page) -> None:
    assert [each for each in read_in(page, range(200)) if each.wrong] == []


def test_broken_logs_are_loaded_and_the_page_opens_again(file: Path) -> None:
    with opened(file) as page:
        assert load_in(page, file, range(40)) == ""


def test_what_an_older_page_kept_and_is_no_entry_is_laid_aside(page: Page) -> None:
    kept = page.evaluate(f"""(async () => {{
        const {{ Store }} = await import("./store.js");
        const {{ read }} = await import("./log.js");
        const {{ entries }} = read({json.dumps(f"log: 1{chr(10)}entries:{chr(10)}{SOUND[0]}")});
        const keys = {{ piece: "p", student: "s" }};
        const {{ drill, mark, beat, clean, ...whose }} = entries[0];
        const unkind = {{ ...whose, constructor: "x" }};
        const odd = [...entries, {{ ...entries[0], day: ["x"] }}, unkind, null];
        localStorage.setItem("engrave p s", JSON.stringify({{ entries: odd }}));
        const store = new Store(keys);
        return [store.entries.length, JSON.parse(localStorage["engrave p s unread"]).entries];
    }})()""")
    assert kept[0] == 1
    assert len(kept[1]) == 4
