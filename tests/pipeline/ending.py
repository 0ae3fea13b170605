"""Builds whose process is ended from outside, and what they leave behind.

``python -m tests.pipeline.ending --times 20`` ends as many batches by every signal, at random
moments.
"""

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.pipeline.demo import lay_out

PROMPTLY = 8.0
"""Seconds in which everything has ended, also on a machine that has other things to do."""
FILES = 5


class Batch:
    """A build of several marks files, ended while it is at work."""

    def __init__(self, folder: Path, files: int = FILES) -> None:
        first = lay_out(folder / "scores")
        text = first.read_text("utf-8")
        self.marks = [first.with_name(f"marks-{number}.yaml") for number in range(files)]
        for path in self.marks:
            path.write_text(text, "utf-8")
        self.out, self.temporary = folder / "out", folder / "temporary"
        self.temporary.mkdir(parents=True, exist_ok=True)
        self.environment = {
            "XDG_CACHE_HOME": str(folder / "cache"),
            "PATH": "/usr/bin:/bin",
            "TMPDIR": str(self.temporary),
            "ENDING": str(folder),
        }

    def start(self, jobs: int = 2) -> "subprocess.Popen[bytes]":
        """Begin to build."""
        command = [sys.executable, "-m", "engrave", "build", *map(str, self.marks), "--no-cache"]
        return subprocess.Popen(
            [*command, "--out", str(self.out), "--jobs", str(jobs)],
            env=self.environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            start_new_session=True,
        )

    def processes(self) -> list[int]:
        """All that is at work for it: every process with its environment."""
        sign = f"ENDING={self.environment['ENDING']}\0".encode()
        found = []
        for place in Path("/proc").iterdir():
            if place.name.isdecimal():
                try:
                    if sign in (place / "environ").read_bytes() + b"\0":
                        found.append(int(place.name))
                except OSError:
                    continue
        return found

    def end(self, how: signal.Signals, moment: float, group: bool = False) -> tuple[int, float]:
        """The exit code of a batch ended after ``moment`` seconds, and how long its end took.

        The time is that until no process of it is left; -1 where some stay.
        """
        build = self.start()
        time.sleep(moment)
        began = time.monotonic()
        if group:
            os.killpg(build.pid, how)
        else:
            build.send_signal(how)
        told = build.communicate()[1]
        assert b"Traceback" not in told, told.decode()
        while self.processes():
            if time.monotonic() - began > PROMPTLY:
                return build.returncode, -1
            time.sleep(0.05)
        return build.returncode, time.monotonic() - began

    def halves(self) -> list[str]:
        """What stands in the output, or among temporary files, that is no booklet."""
        names = {path.stem for path in self.marks}
        there = sorted(self.out.iterdir()) if self.out.exists() else []
        return [
            *(path.name for path in there if path.name not in names),
            *(path.name for path in self.temporary.iterdir()),
        ]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    chance = random.Random(options.seed)
    with tempfile.TemporaryDirectory() as folder:
        batch = Batch(Path(folder))
        for how in (signal.SIGTERM, signal.SIGINT, signal.SIGKILL):
            came: Counter[str] = Counter()
            slowest = 0.0
            for _ in range(options.times):
                _, seconds = batch.end(how, chance.uniform(0.3, 8), chance.random() < 0.3)
                slowest = max(slowest, seconds)
                came["some stay"] += seconds < 0
                came["halves left"] += bool(batch.halves())
            assert batch.start().wait() == 0
            left = batch.halves()
            print(f"{how.name}: {options.times} times, {dict(came)}, at most {slowest:.1f} s;")
            print(f"  after the next build: {left or 'nothing left'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
