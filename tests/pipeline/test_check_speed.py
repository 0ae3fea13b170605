"""``engrave check`` of a hundred measures, in a new process and with nothing kept."""

import os
import resource
import subprocess
import sys
from pathlib import Path

from tests.works import DEMO

SECONDS = 2.0
"""Of the processor; how long a clock says depends on what else the machine does."""


def test_a_hundred_measures_are_checked_in_two_seconds(tmp_path: Path) -> None:
    marks = DEMO.score.with_suffix(".yaml")
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, "-m", "engrave", "check", "--no-cache", str(marks)],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"XDG_CACHE_HOME": str(tmp_path)},
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert "drills" in done.stdout
    assert after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime < SECONDS
