"""A process killed at a moment of one's choosing.

Enters: a process, a moment, the folder in which it writes. Leaves: whether the kill found it alive.
"""

import os
import signal
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Moment:
    """So many seconds after its start, or, ``once_written``, after it first writes something."""

    seconds: float
    once_written: bool = False


def struck(process: "subprocess.Popen[bytes]", moment: Moment, folder: Path) -> bool:
    """Kill ``process`` at ``moment``; False where it had ended by then."""
    before = set(os.listdir(folder))
    while moment.once_written and process.poll() is None and set(os.listdir(folder)) <= before:
        time.sleep(0.0005)
    try:
        process.wait(moment.seconds)
    except subprocess.TimeoutExpired:
        process.kill()
    return process.wait() == -signal.SIGKILL
