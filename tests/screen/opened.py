"""The demo's screen edition, built once, and a browser that shows it or its modules."""

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from engrave.cli import main
from tests.pipeline.demo import NAME, lay_out
from tests.watch.browser import Page, open_page

MODULES = Path(__file__).resolve().parents[2] / "templates" / "screen"


def build(root: Path, *options: str) -> Path:
    """The demo's page, built in ``root``."""
    marks = lay_out(root)
    out = str(root / "out")
    assert main(["build", str(marks), "--out", out, "--edition", "screen", *options]) == 0
    return root / "out" / NAME / f"{NAME}-screen.html"


class _Quiet(SimpleHTTPRequestHandler):
    extensions_map = {".js": "text/javascript", ".html": "text/html"}  # noqa: RUF012

    def log_message(self, format: str, *args: object) -> None:
        pass


@contextmanager
def with_modules(folder: Path, modules: Path = MODULES) -> Iterator[Page]:
    """A blank page on which the modules can be imported, each by itself: ``./pace.js``."""
    shutil.copytree(modules, folder, dirs_exist_ok=True)
    (folder / "blank.html").write_text("<!DOCTYPE html><title>blank</title>", "utf-8")
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        with open_page(f"http://127.0.0.1:{server.server_port}/blank.html") as page:
            yield page
    finally:
        server.shutdown()
        server.server_close()


@contextmanager
def opened(path: Path, before: str = "") -> Iterator[Page]:
    """The page at ``path`` in a browser of its own; ``before`` runs before its script."""
    with open_page("about:blank") as page:
        page.send("Runtime.enable")
        page.send("Log.enable")
        page.send("Network.enable")
        if before:
            page.first_of_all(before)
        page.go(path.as_uri())
        yield page


def complaints(page: Page) -> list[str]:
    """What the browser's console says of errors and of the content policy."""
    page.evaluate("1")
    return [
        str(event["params"])
        for event in page.events
        if event["method"] == "Runtime.exceptionThrown"
        or (event["method"] == "Log.entryAdded" and event["params"]["entry"]["level"] == "error")
    ]


def asked_for(page: Page) -> list[str]:
    """What the page asked of anybody."""
    page.evaluate("1")
    return [
        event["params"]["request"]["url"]
        for event in page.events
        if event["method"] == "Network.requestWillBeSent"
    ]
