"""What a watch leaves behind when it is ended: nothing."""

import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from tests.watch.watcher import watcher

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/task").exists(), reason="processes are looked up in /proc"
)


def spawned(process: int) -> list[Path]:
    """Where the processes stand that a process keeps for its builds."""
    tasks = Path(f"/proc/{process}/task").glob("*/children")
    numbers = [number for task in tasks for number in task.read_text("ascii").split()]
    found = []
    for place in (Path("/proc") / number for number in numbers):
        with suppress(OSError):
            if b"spawn_main" in (place / "cmdline").read_bytes():
                found.append(place)
    return found


def wait_for(what: Callable[[], object], seconds: float) -> bool:
    end = time.monotonic() + seconds
    while not (found := what()) and time.monotonic() < end:
        time.sleep(0.1)
    return bool(found)


def test_terminated_it_takes_the_process_that_makes_the_pdf_with_it(tmp_path: Path) -> None:
    with watcher(tmp_path) as watching:
        assert wait_for(lambda: spawned(watching.process), 60)
        started = spawned(watching.process)
    assert wait_for(lambda: not any(each.exists() for each in started), 60)
