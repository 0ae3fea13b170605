"""``engrave desk`` in a process of its own, and a person at its page: pointer and keys."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.watch.browser import Page


@contextmanager
def on_desk(path: Path, out: Path) -> Iterator[tuple[str, "subprocess.Popen[str]"]]:
    """The address of the desk of a score or marks file, and its process."""
    environment = {"XDG_CACHE_HOME": str(out / "cache"), "PATH": "/usr/bin:/bin"}
    command = [sys.executable, "-m", "engrave", "desk", str(path), "--no-browser"]
    process = subprocess.Popen(
        [*command, "--out", str(out)], stdout=subprocess.PIPE, text=True, env=environment
    )
    try:
        assert process.stdout
        yield process.stdout.readline().strip(), process
    finally:
        process.terminate()
        process.wait()


class Person:
    """Does at a page of the desk what a person does."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def see(self, width: int, height: int) -> None:
        """Have a window of this size."""
        self.page.send(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=False,
        )

    def choose(self, passage: int | None) -> None:
        """Have the card of a passage open, by its place in the file; that of none for None."""
        chosen = "null" if passage is None else passage
        self.page.evaluate(
            f"import('./store.js').then((store) => store.choose({{passage: {chosen}}}))"
        )

    def beat(self, measure: str, number: int) -> tuple[float, float]:
        """Where a beat of the score is on the page, once it has been drawn there."""
        script = f"""(async () => {{
            const score = await import("./score.js");
            const beat = score.beats().findIndex(([name, n]) => name === "{measure}" && n === {number});
            score.reveal(beat);
            for (let tries = 0; tries < 200; tries += 1) {{
                const [found] = score.strips(beat, beat);
                if (found) {{
                    const box = found[0].querySelector(".ink").getBoundingClientRect();
                    const at = found[0].querySelector(".ink svg").getBoundingClientRect();
                    return [box.left + (found[1] + 0.008) * box.width, at.top];
                }}
                await new Promise((go) => setTimeout(go, 25));
            }}
            return null;
        }})()"""  # noqa: E501
        found = self.page.evaluate(script)
        assert found, (measure, number)
        x, y = found
        return x + 4, y + 8

    def mouse(self, kind: str, x: float, y: float, pressed: bool = True) -> None:
        """A movement or press of the mouse."""
        self.page.send(
            "Input.dispatchMouseEvent",
            type=kind,
            x=x,
            y=y,
            button="left",
            buttons=int(pressed),
            clickCount=1,
        )

    def draw(self, start: tuple[str, int], end: tuple[str, int]) -> None:
        """Draw from one beat to another of the same view."""
        self.beat(*end)
        x, y = self.beat(*start)
        self.mouse("mousePressed", x, y)
        self.mouse("mouseMoved", x + 8, y)
        x, y = self.place(*end)
        self.mouse("mouseMoved", x, y)
        self.mouse("mouseReleased", x, y, pressed=False)

    def place(self, measure: str, number: int) -> tuple[float, float]:
        """Where a beat is without going there."""
        script = f"""(async () => {{
            const score = await import("./score.js");
            const beat = score.beats().findIndex(([name, n]) => name === "{measure}" && n === {number});
            const [found] = score.strips(beat, beat);
            const box = found[0].querySelector(".ink").getBoundingClientRect();
            return [box.left + (found[1] + 0.008) * box.width, box.top];
        }})()"""  # noqa: E501
        x, y = self.page.evaluate(script)
        return x + 4, y + 8

    def click(self, x: float, y: float) -> None:
        """Press and release at one place."""
        self.mouse("mousePressed", x, y)
        self.mouse("mouseReleased", x, y, pressed=False)

    def press(self, selector: str) -> None:
        """Click what a selector names, with the pointer."""
        script = f"""(() => {{
            const found = document.querySelector({selector!r});
            found.scrollIntoView({{block: "center"}});
            const box = found.getBoundingClientRect();
            return [box.left + box.width / 2, box.top + box.height / 2];
        }})()"""
        self.click(*self.page.evaluate(script))

    def key(self, name: str, modifiers: int = 0) -> None:
        """Press a key by its name in the DOM (``ArrowRight``); modifiers: 2 Ctrl, 8 Shift."""
        text = name if len(name) == 1 and not modifiers & 2 else None
        codes = {"Enter": 13, "Escape": 27, "Backspace": 8, "Tab": 9}
        more = {"text": text} if text else {}
        if name == "Enter":
            more = {"text": "\r"}
        self.page.send(
            "Input.dispatchKeyEvent",
            type="keyDown",
            key=name,
            windowsVirtualKeyCode=codes.get(name, 0),
            modifiers=modifiers,
            **more,
        )
        self.page.send("Input.dispatchKeyEvent", type="keyUp", key=name, modifiers=modifiers)

    def type(self, selector: str, text: str) -> None:
        """Write into a field, in the place of what stands there, and leave it."""
        self.press(selector)
        self.page.evaluate("document.activeElement.select()")
        self.page.send("Input.insertText", text=text)
        self.page.evaluate("document.activeElement.blur()")
