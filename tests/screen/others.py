"""Firefox over WebDriver BiDi, WebKit over WebDriver: as much of each as the tests need.

Both are W3C protocols. Firefox speaks BiDi itself; WebKitGTK brings a driver, and needs a display.
"""

import itertools
import json
import os
import shutil
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from websockets.sync.client import connect

from tests.watch.browser import OPENED

Evaluate = Callable[[str], Any]
"""The value of an expression on the page, awaited, by way of JSON."""


def firefox() -> str | None:
    return shutil.which("firefox-esr") or shutil.which("firefox")


def webkit() -> tuple[str, str, str] | None:
    """Driver, browser and a display for it."""
    driver, display = shutil.which("WebKitWebDriver"), shutil.which("Xvfb")
    found = sorted(Path("/usr/lib").glob("*/webkit2gtk-4*/MiniBrowser"))
    return (driver, str(found[-1]), display) if driver and display and found else None


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


def _wrapped(expression: str) -> str:
    return f"Promise.resolve({expression}).then((value) => JSON.stringify(value ?? null))"


@contextmanager
def in_firefox(path: Path) -> Iterator[Evaluate]:
    program = firefox()
    assert program
    port = _free_port()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        process = subprocess.Popen(
            [program, "--headless", "--no-remote", "--profile", profile,
             "--remote-debugging-port", str(port), "about:blank"],
            env={**os.environ, "HOME": profile},
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            with _joined(port) as talking:
                numbers = itertools.count(1)

                def send(method: str, **parameters: object) -> Any:
                    number = next(numbers)
                    talking.send(json.dumps({"id": number, "method": method, "params": parameters}))
                    while True:
                        answer = json.loads(talking.recv(timeout=60))
                        if answer.get("id") == number:
                            assert answer["type"] == "success", answer
                            return answer["result"]

                made = send("session.new", capabilities={})["capabilities"]
                OPENED.append(f"Firefox/{made['browserVersion']}")
                (context,) = send("browsingContext.getTree")["contexts"]
                where = {"context": context["context"]}
                send("browsingContext.navigate", url=path.as_uri(), wait="complete", **where)
                size = {"width": 820, "height": 1180}
                send("browsingContext.setViewport", viewport=size, **where)

                def evaluate(expression: str) -> Any:
                    told = send(
                        "script.evaluate",
                        expression=_wrapped(expression),
                        target=where,
                        awaitPromise=True,
                    )
                    assert told["type"] == "success", told
                    return json.loads(told["result"]["value"])

                yield evaluate
        finally:
            process.kill()
            process.wait()


def _joined(port: int) -> Any:
    end = time.monotonic() + 60
    while True:
        try:
            return connect(f"ws://127.0.0.1:{port}/session", max_size=None, open_timeout=10)
        except (OSError, TimeoutError):
            assert time.monotonic() < end, "Firefox did not start"
            time.sleep(0.1)


@contextmanager
def in_webkit(path: Path) -> Iterator[Evaluate]:
    found = webkit()
    assert found
    driver, program, display = found
    port, number = _free_port(), 90 + _free_port() % 400
    screen = subprocess.Popen(
        [display, f":{number}", "-screen", "0", "1400x1300x24", "-nolisten", "tcp"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    environment = {
        "DISPLAY": f":{number}", "PATH": "/usr/bin:/bin", "HOME": tempfile.mkdtemp(),
        "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1", "GDK_BACKEND": "x11",
        "LIBGL_ALWAYS_SOFTWARE": "1", "WEBKIT_DISABLE_COMPOSITING_MODE": "1",
    }  # fmt: skip
    process = subprocess.Popen(
        [driver, f"--port={port}"],
        env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    session = ""

    def send(verb: str, where: str, **parameters: object) -> Any:
        request = urllib.request.Request(
            f"http://127.0.0.1:{port}/session{where}",
            json.dumps(parameters).encode() if verb == "POST" else None,
            {"Content-Type": "application/json"},
            method=verb,
        )
        try:
            with urllib.request.urlopen(request, timeout=90) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise AssertionError(error.read().decode()) from error

    try:
        options = {"webkitgtk:browserOptions": {"binary": program, "args": ["--automation"]}}
        end = time.monotonic() + 60
        while not session:
            try:
                made = send("POST", "", capabilities={"alwaysMatch": options})
                session = made["sessionId"]
            except urllib.error.URLError:
                assert time.monotonic() < end, "WebKit did not start"
                time.sleep(0.2)
        OPENED.append(f"WebKitGTK/{made['capabilities']['browserVersion']}")
        send("POST", f"/{session}/window/rect", width=820, height=1180)
        send("POST", f"/{session}/url", url=path.as_uri())

        def evaluate(expression: str) -> Any:
            script = f"const done = arguments[0]; {_wrapped(expression)}.then(done);"
            told = send("POST", f"/{session}/execute/async", script=script, args=[])
            return json.loads(told)

        yield evaluate
    finally:
        if session:
            send("DELETE", f"/{session}")
        process.kill()
        process.wait()
        screen.kill()
        screen.wait()
        shutil.rmtree(environment["HOME"], ignore_errors=True)
