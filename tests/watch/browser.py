"""Headless Chromium, driven over its own debugging protocol (Chrome DevTools Protocol 1.3)."""

import itertools
import json
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

NAMES = ("chromium", "chromium-browser", "google-chrome")

OPENED: list[str] = []
"""Browsers that were opened since somebody last looked, by name and version."""


def executable() -> str | None:
    """The browser of this machine; None where there is none."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


class Page:
    """A page in a browser of its own."""

    def __init__(self, socket: ClientConnection) -> None:
        self._socket, self._numbers = socket, itertools.count(1)
        self.events: list[dict[str, Any]] = []
        """What the browser told unasked, of the domains that were enabled."""

    def send(self, method: str, **parameters: object) -> Any:
        """Call a method of the protocol; returns its result."""
        number = next(self._numbers)
        self._socket.send(json.dumps({"id": number, "method": method, "params": parameters}))
        while True:
            answer = json.loads(self._socket.recv(timeout=60))
            if answer.get("id") == number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            if "method" in answer:
                self.events.append(answer)

    def evaluate(self, script: str) -> Any:
        """The value of a script, awaited if it is a promise; raises what it throws."""
        result = self.send(
            "Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True
        )
        if "exceptionDetails" in result:
            raise RuntimeError(result["exceptionDetails"])
        return result["result"].get("value")

    def wait_for(self, condition: str, seconds: float = 60) -> float:
        """Wait until ``condition`` is true of the page; returns how long that took."""
        start = time.perf_counter()
        while not self.evaluate(f"Boolean({condition})"):
            if time.perf_counter() - start > seconds:
                raise AssertionError(f"not within {seconds} s: {condition}")
            time.sleep(0.005)
        return time.perf_counter() - start

    def go(self, address: str) -> None:
        """Load a page."""
        self.send("Page.navigate", url=address)
        self.wait_for(
            f"location.href === {json.dumps(address)} && document.readyState === 'complete'"
        )

    def first_of_all(self, script: str) -> None:
        """Run a script in every page that is loaded from now on, before its own."""
        self.send("Page.enable")
        self.send("Page.addScriptToEvaluateOnNewDocument", source=script)

    def see(self, width: int, height: int, scheme: str = "light") -> None:
        """Have a screen of this size, and a taste for light or dark."""
        self.send(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=False,
        )
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.send("Emulation.setEmulatedMedia", features=features)

    def press(self, key: str, code: int = 0, text: str = "") -> None:
        """A key down and up."""
        kind = "keyDown" if text else "rawKeyDown"
        common = {"key": key, "windowsVirtualKeyCode": code}
        self.send("Input.dispatchKeyEvent", type=kind, text=text, **common)
        self.send("Input.dispatchKeyEvent", type="keyUp", **common)

    def tap(self, x: float, y: float, to: tuple[float, float] | None = None) -> None:
        """A finger down at a place and up there, or elsewhere."""
        for kind, (left, top) in (("mousePressed", (x, y)), ("mouseReleased", to or (x, y))):
            self.send(
                "Input.dispatchMouseEvent",
                type=kind,
                x=left,
                y=top,
                button="left",
                clickCount=1,
            )

    def screenshot(self, path: Path) -> None:
        """What is to be seen, as PNG."""
        import base64

        path.write_bytes(base64.b64decode(self.send("Page.captureScreenshot")["data"]))


@contextmanager
def open_page(address: str) -> Iterator[Page]:
    """A new browser that shows ``address``."""
    program = executable()
    assert program
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        process = subprocess.Popen(
            [
                program,
                "--headless=new",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-dev-shm-usage",
                "--no-first-run",
                "--autoplay-policy=no-user-gesture-required",
                "--remote-debugging-port=0",
                f"--user-data-dir={profile}",
                "--window-size=1000,900",
                "about:blank",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            with connect(_socket_of(Path(profile)), max_size=None) as socket:
                page = Page(socket)
                OPENED.append(page.send("Browser.getVersion")["product"])
                page.go(address)
                yield page
        finally:
            process.kill()
            process.wait()


def _socket_of(profile: Path) -> str:
    """The address of the first page's debugger, once the browser has said its port."""
    import urllib.request

    end = time.monotonic() + 60
    while time.monotonic() < end:
        try:
            port = (profile / "DevToolsActivePort").read_text().splitlines()[0]
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/json/list", timeout=5) as answer:
                pages = [each for each in json.load(answer) if each["type"] == "page"]
            return str(pages[0]["webSocketDebuggerUrl"])
        except (OSError, IndexError):
            time.sleep(0.05)
    raise AssertionError("the browser did not start")
