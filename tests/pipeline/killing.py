"""Builds killed at random moments: what stood there stays whole, and the next build succeeds.

``python -m tests.pipeline.killing --times 100 --logs 50 --desk 50 --seed 1`` kills so many builds,
logs that are taken in and saves of a desk, and prints how far the killed ones had come. One that
ended before it could be killed does not count.
"""

import argparse
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tests.pipeline.demo import NAME, edit, files_of, lay_out
from tests.pipeline.killing_saves import DeskSaves, KillingSaves, LogSaves
from tests.pipeline.striking import Moment, struck

BEFORE, AFTER = "Neither early nor late.", "Both hands at once."


class Killing:
    """The demo built in ``folder``, again and again, with one of two remarks in it."""

    def __init__(self, folder: Path, cached: bool = True) -> None:
        self.marks, self.out = lay_out(folder / "scores"), folder / "out"
        edit(self.marks, "The first six notes are only a murmur.", BEFORE)
        self.temporary = folder / "temporary"
        self.temporary.mkdir()
        self.environment = {
            "XDG_CACHE_HOME": str(folder / "cache"),
            "PATH": "/usr/bin:/bin",
            "TMPDIR": str(self.temporary),
        }
        self.options = [] if cached else ["--no-cache"]
        assert self._start().wait() == 0
        self.wholes = [self._standing()]
        self._turn_over()
        start = time.monotonic()
        assert self._start().wait() == 0
        self.seconds = time.monotonic() - start
        self.wholes.append(self._standing())
        assert self.wholes[0] != self.wholes[1]

    def kill(self, moment: Moment) -> str:
        """Kill a build at ``moment``; returns what it left: ``old``, ``new``, ``ended``.

        Raises ``AssertionError`` where anything else stands there.
        """
        old = self._standing()
        self._turn_over()
        if struck(self._start(), moment, self.out):
            left = "old" if self._standing() == old else "new"
        else:
            left = "ended"
        assert self._standing() in self.wholes
        return left

    def build_again(self) -> None:
        """The next build succeeds, and clears away what killed ones left."""
        assert self._start().wait() == 0
        assert self._standing() == self.wholes[BEFORE not in self.marks.read_text("utf-8")]
        assert [entry.name for entry in self.out.iterdir()] == [NAME]
        assert not list(self.temporary.iterdir())

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


def moments(seconds: float, seed: int) -> Iterator[Moment]:
    """Half of them anywhere, half of them while it writes, which takes a moment."""
    chance = random.Random(seed)
    while True:
        yield Moment(chance.uniform(0, seconds))
        yield Moment(chance.uniform(0, seconds / 10), once_written=True)


def _kill_builds(folder: Path, times: int, seed: int) -> None:
    killing = Killing(folder)
    left: Counter[str] = Counter()
    for moment in moments(killing.seconds, seed):
        if left.total() - left["ended"] >= times:
            break
        left[killing.kill(moment)] += 1
    killing.build_again()
    print(f"{times} builds of {killing.seconds:.1f} s killed; they left", dict(left), flush=True)


def _kill_saves(killing: KillingSaves, times: int, seed: int) -> None:
    steps: Counter[int | None] = Counter()
    for moment in moments(killing.seconds, seed):
        if steps.total() - steps[None] >= times:
            break
        steps[killing.kill(moment)] += 1
    killing.step_again()
    counts = ", ".join(f"{step}: {n}" for step, n in sorted(steps.items(), key=str))
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
