"""Programs measured in processes of their own, by turns; medians, ratios, and growth."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

_UNLIKE_A_USERS = {"PYTHONDONTWRITEBYTECODE"}
"""Settings of machines that run tests; with this one every start compiles the whole program."""


@dataclass(frozen=True)
class Run:
    """One process and those it started: seconds by the clock and of the processors."""

    seconds: float
    processor: float


def run(command: Sequence[str | Path], cache: Path | None = None) -> Run:
    """Run a Python module with arguments; raises ``RuntimeError`` where it fails."""
    start = time.perf_counter()
    process = _begun(command, cache)
    assert process.stderr is not None
    said = process.stderr.read()
    _, status, usage = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"{command} failed: {said.decode()}")
    return Run(seconds, usage.ru_utime + usage.ru_stime)


def peak_mb(command: Sequence[str | Path], every: float = 0.01) -> float:
    """The most memory that a module and the processes it starts hold at once.

    What several of them share is counted once (proportional set size; Linux). Looked at ``every``
    so many seconds.
    """
    process, peak = _begun(command, None), 0
    while process.poll() is None:
        peak = max(peak, sum(map(_held_kb, _family(process.pid))))
        time.sleep(every)
    if process.returncode:
        raise RuntimeError(f"{command} failed")
    return peak / 1024


def _begun(command: Sequence[str | Path], cache: Path | None) -> "subprocess.Popen[bytes]":
    kept = {name: value for name, value in os.environ.items() if name not in _UNLIKE_A_USERS}
    return subprocess.Popen(
        [sys.executable, "-m", *map(str, command)],
        env={**kept, "XDG_CACHE_HOME": str(cache or "/nonexistent")},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
    )


def _family(process: int) -> Iterator[int]:
    yield process
    with suppress(OSError):
        for child in Path(f"/proc/{process}/task/{process}/children").read_text().split():
            yield from _family(int(child))


def _held_kb(process: int) -> int:
    with suppress(OSError):
        told = Path(f"/proc/{process}/smaps_rollup").read_text()
        return sum(int(line.split()[1]) for line in told.splitlines() if line.startswith("Pss:"))
    return 0


@dataclass(frozen=True)
class Series:
    """Runs of one program."""

    runs: tuple[Run, ...]

    @property
    def seconds(self) -> float:
        """The median by the clock."""
        return statistics.median(run.seconds for run in self.runs)

    @property
    def processor(self) -> float:
        """The median of the processors."""
        return statistics.median(run.processor for run in self.runs)

    def over(self, other: "Series") -> tuple[float, float]:
        """Medians of the ratios, pair by pair: by the clock, of the processors."""
        pairs = list(zip(self.runs, other.runs, strict=True))
        return (
            statistics.median(mine.seconds / theirs.seconds for mine, theirs in pairs),
            statistics.median(mine.processor / theirs.processor for mine, theirs in pairs),
        )


def in_turn(rounds: int, programs: Sequence[Callable[[int], Run]]) -> list[Series]:
    """Every program once a round, in turn; each is told the round, from 0."""
    runs = [[program(number) for program in programs] for number in range(rounds)]
    return [Series(tuple(each)) for each in zip(*runs, strict=True)]


def growth(points: Iterable[tuple[float, float]]) -> float:
    """The exponent p of seconds = a + b * size**p that fits ``(size, seconds)`` best.

    ``a`` is what every build costs; errors are weighed by the seconds, as they are likely to be.
    """
    measured = list(points)
    return min((p / 100 for p in range(30, 251)), key=lambda p: _misfit(measured, p))


def _misfit(points: list[tuple[float, float]], exponent: float) -> float:
    """What is left of the squares when a and b (neither below 0) are chosen best."""
    rows = [(1 / t, n**exponent / t) for n, t in points]
    aa, ab, bb = (sum(r[i] * r[j] for r in rows) for i, j in ((0, 0), (0, 1), (1, 1)))
    a1, b1 = sum(r[0] for r in rows), sum(r[1] for r in rows)
    determinant = aa * bb - ab * ab
    a = max(0.0, (a1 * bb - b1 * ab) / determinant) if determinant else 0.0
    b = max(0.0, (b1 - a * ab) / bb)
    return float(sum((a * x + b * y - 1) ** 2 for x, y in rows))
