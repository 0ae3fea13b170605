"""``python -m tests.watch.sight --times 30``: from a save to what is seen, in headless Chromium.

On a page of ``engrave watch``, and on the desk: the median and the worst, in seconds. Holds on a
machine that does nothing else.
"""

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.desk.on_desk import on_desk
from tests.desk.test_desk_in_browsers import settled
from tests.pipeline.demo import edit, lay_out
from tests.watch.browser import open_page
from tests.watch.watcher import watcher

PASSAGES = 4
SAVES = '"92.1": "4 3"', '"92.1": "5 3"'
"""A finger of the demo's last passage, changed to and fro."""
WATCHED = f"document.querySelectorAll('#booklet section.passage').length === {PASSAGES}"
VERSION = "document.documentElement.dataset.version"
IN_VIEW = """(box => box.top >= 0 && box.top < innerHeight / 2)(
    document.querySelector('.changed')?.getBoundingClientRect() ?? {})"""
ON_DESK = """(async () => {
    const { listen } = await import("./store.js");
    const { change } = await import("./talk.js");
    const start = performance.now();
    const seen = new Promise((go) => listen(["drills"], go));
    await change([["passages", 1, "tempo", "start"], "%s"]);
    await seen;
    await new Promise((go) => requestAnimationFrame(() => requestAnimationFrame(go)));
    return (performance.now() - start) / 1000;
})()"""


def watch(folder: Path, times: int) -> list[float]:
    """Seconds from a save in an editor to the changed drill, in view."""
    seconds = []
    with watcher(folder) as watched, open_page(watched.address) as page:
        page.wait_for(WATCHED, 60)
        for number in range(times):
            page.evaluate("window.scrollTo(0, 0)")
            version = page.evaluate(VERSION)
            start = time.perf_counter()
            edit(watched.marks, *SAVES[:: 1 if number % 2 == 0 else -1])
            page.wait_for(f"{VERSION} !== '{version}' && {IN_VIEW}")
            seconds.append(time.perf_counter() - start)
            time.sleep(1.5)  # for the PDF, which follows
    return seconds


def desk(folder: Path, times: int) -> list[float]:
    """Seconds from a change at the desk to the changed drills."""
    marks = lay_out(folder / "scores")
    with on_desk(marks, folder / "out") as (address, _), open_page(address) as page:
        settled(page, PASSAGES)
        seconds = []
        for number in range(times):
            seconds.append(page.evaluate(ON_DESK % ("50" if number % 2 == 0 else "48")))
            time.sleep(0.5)
    return seconds


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=30)
    parser.add_argument("--only", default="watch,desk")
    options = parser.parse_args()
    places: dict[str, Callable[[Path, int], list[float]]] = {"watch": watch, "desk": desk}
    for name in options.only.split(","):
        with tempfile.TemporaryDirectory() as folder:
            seconds = places[name](Path(folder), options.times)
        median, worst = statistics.median(seconds), max(seconds)
        print(f"{name}: median {median:.3f} s, worst of {len(seconds)} {worst:.3f} s", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
