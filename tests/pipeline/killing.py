"""Builds killed at random moments: what stood there stays whole, and the next build succeeds.

``python -m tests.pipeline.killing --times 100 --logs 50 --desk 50 --seed 1`` kills so many builds,
logs that are taken in and saves of a desk, and prints how far the killed ones had come.
"""

import argparse
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.pipeline.demo import NAME, edit, files_of, lay_out
from tests.pipeline.killing_saves import DeskSaves, KillingSaves, LogSaves, any_moment

BEFORE, AFTER = "Neither early nor late.", "Both hands at once."


class Killing:
    """The demo built in ``folder``, again and again, with one of two remarks in it."""

    def __init__(self, folder: Path, cached: bool = True) -> None:
        self.marks, self.out = lay_out(folder / "scores"), folder / "out"
        edit(self.marks, "The first six notes are only a murmur.", BEFORE)
        self.environment = {"XDG_CACHE_HOME": str(folder / "cache"), "PATH": "/usr/bin:/bin"}
        self.options = [] if cached else ["--no-cache"]
        assert self._start().wait() == 0
        self.wholes = [self._standing()]
        self._turn_over()
        start = time.monotonic()
        assert self._start().wait() == 0
        self.seconds = time.monotonic() - start
        self.wholes.append(self._standing())
        assert self.wholes[0] != self.wholes[1]

    def kill(self, moment: float) -> str:
        """Kill a build after ``moment`` seconds; returns what it left: ``old``, ``new``, ``ended``.

        Raises ``AssertionError`` where anything else stands there.
        """
        old = self._standing()
        self._turn_over()
        build = self._start()
        try:
            build.wait(moment)
            left = "ended"
        except subprocess.TimeoutExpired:
            build.kill()
            build.wait()
            left = "old" if self._standing() == old else "new"
        assert self._standing() in self.wholes
        return left

    def build_again(self) -> None:
        """The next build succeeds, and clears away what killed ones left."""
        assert self._start().wait() == 0
        assert self._standing() == self.wholes[BEFORE not in self.marks.read_text("utf-8")]
        assert [entry.name for entry in self.out.iterdir()] == [NAME]

    def _standing(self) -> dict[str, bytes]:
        """The output, without the halves that killed builds left beside it."""
        return files_of(self.out / NAME)

    def _turn_over(self) -> None:
        text = self.marks.read_text("utf-8")
        turned = text.replace(BEFORE, AFTER) if BEFORE in text else text.replace(AFTER, BEFORE)
        self.marks.write_text(turned, "utf-8")

    def _start(self) -> "subprocess.Popen[bytes]":
        command = [sys.executable, "-m", "engrave", "build", str(self.marks)]
        return subprocess.Popen(
            [*command, "--out", str(self.out), *self.options], env=self.environment
        )


def moments(times: int, seconds: float, seed: int) -> list[float]:
    """Half of them anywhere, half of them in the last tenth, when it writes."""
    chance = random.Random(seed)
    return [
        chance.uniform(0, seconds) if number % 2 else chance.uniform(0.9 * seconds, 1.05 * seconds)
        for number in range(times)
    ]


def _kill_builds(folder: Path, times: int, seed: int) -> None:
    killing = Killing(folder)
    left = Counter(killing.kill(moment) for moment in moments(times, killing.seconds, seed))
    killing.build_again()
    print(f"{times} builds of {killing.seconds:.1f} s killed; they left", dict(left), flush=True)


def _kill_saves(killing: KillingSaves, times: int, seed: int) -> None:
    moment = any_moment(random.Random(seed))
    steps = Counter(killing.kill(moment) for _ in range(times))
    killing.step_again()
    counts = ", ".join(f"{step}: {steps[step]}" for step in sorted(steps))
    print(f"{times} of {killing.saves.name} killed; whole after step {counts}", flush=True)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=100)
    parser.add_argument("--logs", type=int, default=0)
    parser.add_argument("--desk", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        if options.times:
            _kill_builds(Path(folder) / "build", options.times, options.seed)
        for kind, times in ((LogSaves, options.logs), (DeskSaves, options.desk)):
            if times:
                _kill_saves(KillingSaves(Path(folder) / kind.name, kind), times, options.seed)
    return 0


if __name__ == "__main__":
    sys.exit(main())
