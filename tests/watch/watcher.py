"""``engrave watch`` on a copy of the demo, in a process of its own."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.pipeline.demo import lay_out


@dataclass(frozen=True)
class Watcher:
    """The marks file that is watched, where its booklet is shown, and where the PDF goes.

    ``process`` is the number of the one that watches.
    """

    marks: Path
    address: str
    out: Path
    process: int


@contextmanager
def watcher(folder: Path) -> Iterator[Watcher]:
    """Watch the demo, laid out in ``folder``."""
    marks, out = lay_out(folder / "scores"), folder / "out"
    command = [sys.executable, "-m", "engrave", "watch", str(marks), "--no-browser"]
    environment = {"XDG_CACHE_HOME": str(folder / "cache"), "PATH": "/usr/bin:/bin"}
    process = subprocess.Popen(
        [*command, "--out", str(out)], stdout=subprocess.PIPE, text=True, env=environment
    )
    try:
        assert process.stdout
        yield Watcher(marks, process.stdout.readline().strip(), out, process.pid)
    finally:
        process.terminate()
        process.wait()
