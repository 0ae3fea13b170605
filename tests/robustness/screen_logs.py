"""Broken logs before the screen edition's own reader, in a browser.

``python -m tests.robustness.screen_logs --cases 5000`` reads so many. What must hold: it ends soon
and throws nothing; what the tool refuses as no log it refuses; every entry that it takes, the tool
takes from the same bytes, and reads again from what the page writes; what it leaves out it counts;
and what the tool itself writes it reads. The same files then go in by the page's door: it answers
each, opens again with what it kept, and the log that it sends is one that the tool takes.
"""

import argparse
import json
import random
import sys
import tempfile
from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from engrave.errors import EngraveError
from engrave.log import Entry, entry_line
from engrave.log.reading import read_log_bytes
from tests.robustness.broken_logs import broken_log
from tests.screen.opened import build, complaints, opened, with_modules
from tests.watch.browser import Page

MOST_MS = 1000
"""For one log, which is a few kilobytes."""
AT_ONCE = 100
_ALL = """(async (logs, each) => {
    const bytes = (text) => Uint8Array.from(atob(text), (letter) => letter.codePointAt(0));
    const answers = [];
    for (const log of logs) answers.push(await each(new Blob([bytes(log)])));
    return answers;
})"""
_READ = """(async (blob) => {
    const { decoded, read, written, union } = await import("./log.js");
    const text = decoded(await blob.arrayBuffer());
    const began = performance.now();
    try {
        const found = read(text);
        const ms = performance.now() - began;
        if (!found) return { ms };
        const again = written(union(found.entries, found.entries));
        const { entries, strange } = read(again);
        return { ms, again, strange: found.strange, lost: strange, count: entries.length };
    } catch (error) {
        return { thrown: String(error) };
    }
})"""
_LOAD = """(async (blob) => {
    const told = document.getElementById("told");
    const input = document.querySelector("[data-part=load]");
    const files = new DataTransfer();
    files.items.add(new File([blob], "sent.log.yaml"));
    told.textContent = "";
    input.files = files.files;
    input.dispatchEvent(new Event("change"));
    for (let tries = 0; tries < 1000 && !told.textContent; tries += 1) {
        await new Promise((go) => setTimeout(go, 2));
    }
    return told.textContent;
})"""
_SENT = """(async () => {
    document.querySelector("[data-part=copy]").click();
    const area = document.querySelector("[data-part=text]");
    while (area.hidden) await new Promise((go) => setTimeout(go, 2));
    return area.value;
})()"""


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a log: the seed, how far it came, what is wrong (empty where nothing is)."""

    seed: int
    came: str
    wrong: str
    ms: float = 0


def log_of(seed: int) -> bytes:
    """A broken log."""
    return broken_log(random.Random(f"screen-{seed}"))


def read_in(page: Page, seeds: Sequence[int]) -> list[Answer]:
    """What the reader makes of the logs, on a page that has the modules."""
    return [
        Answer(seed, *_judged(log_of(seed), found), found.get("ms", 0))
        for some in _portions(seeds)
        for seed, found in zip(some, _asked(page, _READ, some), strict=True)
    ]


def _portions(seeds: Sequence[int]) -> list[Sequence[int]]:
    return [seeds[first : first + AT_ONCE] for first in range(0, len(seeds), AT_ONCE)]


def _asked(page: Page, script: str, seeds: Sequence[int]) -> list[Any]:
    logs = json.dumps([b64encode(log_of(seed)).decode() for seed in seeds])
    answers: list[Any] = page.evaluate(f"{_ALL}({logs}, {script})")
    return answers


def _judged(data: bytes, found: dict[str, Any]) -> tuple[str, str]:
    if "thrown" in found:
        return "failed", f"it throws {found['thrown']}"
    if found["ms"] > MOST_MS:
        return "failed", f"it takes {found['ms']:.0f} ms"
    try:
        log = read_log_bytes(data, "sent")
    except EngraveError as error:
        return "no log", f"the tool says {error.message!r}" if "again" in found else ""
    if "again" not in found:
        return "no log", "the tool reads it" if log.lines else ""
    taken = read_log_bytes(found["again"].encode(), "again")
    if taken.mistakes:
        return "read", f"it writes what the tool refuses: {taken.mistakes[0].message}"
    if found["lost"] or found["count"] != len(taken.lines):
        return "read", "it does not read again what it wrote"
    read, ours = set(taken.entries), set(log.entries)
    if not read <= ours:
        return "read", f"it takes what the tool does not: {sorted(map(entry_line, read - ours))[0]}"
    if len(ours - read) > found["strange"]:
        return "read", "it loses entries and does not say so"
    plain = {each.entry for each in log.lines if entry_line(each.entry) == each.text.strip()}
    if not plain <= read:
        return "read", f"it cannot read {sorted(map(entry_line, plain - read))[0]}"
    return "read", ""


def load_in(page: Page, file: Path, seeds: Sequence[int]) -> str:
    """What goes wrong where the logs are loaded one after another, empty where nothing does."""
    page.evaluate("localStorage.clear()")
    page.go("about:blank")
    page.go(file.as_uri())
    keys = page.evaluate("JSON.parse(document.getElementById('data').textContent).keys")
    answers = _asked(page, _LOAD, seeds)
    silent = [seed for seed, told in zip(seeds, answers, strict=True) if not told]
    if silent:
        return f"nothing is said of {silent}"
    sent = page.evaluate(_SENT)
    page.go("about:blank")
    page.go(file.as_uri())
    if page.evaluate(_SENT) != sent:
        return "opened again, the page has another log"
    log = read_log_bytes(sent.encode(), "sent")
    if log.mistakes:
        return f"it sends what the tool refuses: {log.mistakes[0].message}"
    own = {e for e in _taken(seeds) if (e.piece, e.student) == (keys["piece"], keys["student"])}
    if not set(log.entries) <= own:
        return "it sends what was in none of the logs"
    return "; ".join(complaints(page))


def _taken(seeds: Sequence[int]) -> set[Entry]:
    """Every entry that the tool takes from the logs."""
    found: set[Entry] = set()
    for seed in seeds:
        try:
            found |= set(read_log_bytes(log_of(seed), "sent").entries)
        except EngraveError:
            continue
    return found


def main() -> int:
    """Read as many as asked, print what failed and the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1, help="the first seed")
    options = parser.parse_args()
    seeds = range(options.seed, options.seed + options.cases)
    failed = 0
    with tempfile.TemporaryDirectory() as name:
        with with_modules(Path(name) / "modules") as page:
            answers = read_in(page, seeds)
        file = build(Path(name) / "book")
        with opened(file) as page:
            for some in _portions(seeds):
                wrong = load_in(page, file, some)
                failed += bool(wrong)
                if wrong:
                    print(f"{some[0]} to {some[-1]}: {wrong[:2000]}", flush=True)
    for answer in answers:
        if answer.wrong:
            failed += 1
            print(f"{answer.seed}: {answer.wrong[:2000]}")
    counts = {came: sum(a.came == came for a in answers) for came in {a.came for a in answers}}
    print(f"{len(answers)} logs: {counts}, wrong {failed}; {max(a.ms for a in answers):.1f} ms")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
